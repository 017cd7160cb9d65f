"""The contractor's survey: a drawing, points and a deed of one yard agree with the sums worked out by hand."""

import subprocess
import sys
from pathlib import Path

import ezdxf
import pytest

import lawnmap
from lawnmap.job import open_job, read_choices, refuse_findings
from lawnmap.measure import Ground, take_off
from lawnmap.survey import Source, list_layers

SQ_FT = (1200 / 3937) ** 2  # US survey foot, Federal Register 85 FR 62698
POINTS = {"local_units": "US survey ft", "vertex_accuracy_m": "0.05 ft"}
CODES = {
    "PL": "lot", "TURF-*": "lawn", "BLDG": "house", "SHED": "other", "DRIV": "drive", "WALK": "walk", "POOL": "pool",
    "BED": "bed", "TREE": "tree", "WATR": "water",
}  # fmt: skip
GROUND = Ground(default_density="patchy", water_setback_m="20 ft")


@pytest.fixture(scope="module")
def folder(samples):
    return samples / "contractor" / "survey"


@pytest.fixture(scope="module")
def expected(expected_m2):
    return expected_m2["contractor/survey"]


def of_drawing(folder):
    yard, choices = open_job(folder, read_choices(folder))
    return take_off(yard, choices.ground)


def of_points(folder):
    source = Source(layers=CODES, **POINTS)
    return take_off(lawnmap.read(folder / "fernhill_points.csv", source=source), GROUND)


def of_deed(folder, **more):
    source = Source(layers={"Fernhill": "lawn"}, **POINTS, **more)
    return take_off(lawnmap.read(folder / "fernhill_deed.txt", source=source), GROUND)


def test_the_drawing_gives_every_zone(folder, expected):
    found = {zone.name: zone.net_area_m2 for zone in of_drawing(folder).zones}
    zones = {name: area for name, area in expected.items() if name != "The whole lot"}
    assert found == pytest.approx(zones, rel=3e-7)  # of which the grid has 2e-7


def test_the_points_give_every_zone_in_the_order_shot(folder, expected):
    order = [
        "Septic field",
        "Stump grinding",
        "Street lawn",
        "Back lawn",
        "East bank",
        "Pond meadow",
        "West side",
    ]
    found = [zone.net_area_m2 for zone in of_points(folder).zones]
    # rounding to 0.001 ft, and curves through 24 points of an ellipse for the island bed and the pond
    room = [0.2 * SQ_FT if name != "Pond meadow" else 1.1 * SQ_FT for name in order]
    for area, name, within in zip(found, order, room, strict=True):
        assert area == pytest.approx(expected[name], abs=within), name


@pytest.mark.parametrize("balance", [False, True])
def test_the_deed_gives_the_lot(folder, expected, balance):
    takeoff = of_deed(folder, balance=balance)
    # each corner moves by half a hundredth of a foot at most, along a perimeter of 1,250 ft
    assert takeoff.net_area_m2 == pytest.approx(expected["The whole lot"], abs=6 * SQ_FT)
    assert takeoff.net_area_m2 == pytest.approx(expected["The whole lot"], abs=1 * SQ_FT)


def test_the_lot_is_one_area_in_all_three(folder, expected):
    layer = next(layer for layer in list_layers(folder / "fernhill.dxf") if layer.name == "V-PROP-LINE")
    only_lot = Source(layers={"*": "skip", "PL": "lawn"}, **POINTS)
    shot = lawnmap.take_off(lawnmap.read(folder / "fernhill_points.csv", source=only_lot))
    found = [layer.closed_area_m2[0], shot.net_area_m2, of_deed(folder).net_area_m2]
    assert found == pytest.approx([expected["The whole lot"]] * 3, rel=1e-5)


@pytest.mark.parametrize("measured", [of_drawing, of_points, of_deed])
def test_a_clean_file_has_no_doubts(folder, measured):
    findings = measured(folder).findings
    refuse_findings(findings, strict=True)
    assert findings  # it is told all the same what was done


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("80.00 feet", "80.40 feet", "misclosure-wide"),
        ("arc length of 193.05", "arc length of 193.50", "curve-disagrees"),
        ("Fernhill", "The lot", "lot-as-lawn"),
    ],
)
def test_a_spoilt_deed_is_doubted(folder, tmp_path, old, new, code):
    text = (folder / "fernhill_deed.txt").read_text("utf-8").replace(old, new)
    path = tmp_path / "spoilt.txt"
    path.write_text(text, "utf-8")
    source = Source(layers={"Fernhill": "lawn"} if "Fernhill" in text else {}, **POINTS)
    with pytest.raises(lawnmap.errors.FindingsError, match="leave out --strict"):
        refuse_findings(take_off(lawnmap.read(path, source=source), GROUND).findings, strict=True)
    assert code in {found.code for found in lawnmap.read(path, source=source).findings}


@pytest.fixture(scope="module")
def again(tmp_path_factory):
    """The drawing, made again."""
    making = Path(__file__).parent / "making"
    folder = tmp_path_factory.mktemp("survey")
    program = "import contractor_survey, pathlib, sys; contractor_survey.make(pathlib.Path(sys.argv[1]))"
    subprocess.run([sys.executable, "-c", program, str(folder)], check=True, timeout=120, cwd=making)
    return folder / "fernhill.dxf"


def test_drawing_can_be_made_again(folder, again):
    def entities(path):
        space = ezdxf.readfile(path).modelspace()
        return [(entity.dxftype(), entity.dxf.layer, entity.dxf.handle) for entity in space]

    kept = folder / "fernhill.dxf"
    assert entities(kept) == entities(again)
    for one, other in zip(list_layers(kept), list_layers(again), strict=True):
        assert one.closed_area_m2 == pytest.approx(other.closed_area_m2, rel=1e-12)
