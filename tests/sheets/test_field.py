"""The field sheet read back: what the crew needs is on it, in black, on two pages of either paper."""

from dataclasses import replace

import numpy as np
import pypdfium2
import pytest

from lawnmap.lanes import LanePlan, Outing, Rig
from lawnmap.lanes.labour import Labour
from lawnmap.lanes.model import Leg, Stretch
from lawnmap.lanes.refills import Refill
from lawnmap.lanes.stakes import Stake, Tie
from lawnmap.rates import Spray, spray_all
from lawnmap.sheets.figures import load_table
from lawnmap.sheets.pdf import Sheet, face_of
from lawnmap.sheets.pdf_field import BEFORE, SPRAY_BOX, WATER_BOX, write_field_sheet
from lawnmap.sheets.pdf_loads import hand_rows
from lawnmap.sheets.pdf_map import GROUND, MapPicture, MapStyle
from lawnmap.sheets.scene import compose
from lawnmap.sheets.spraying import tank_tables

HERE = np.empty((0, 2))
STAKES = (
    Stake(
        1,
        1,
        "start",
        0.0,
        0.0,
        (Tie("Tap", "from", 9.144), Tie("East fence", "off", 3.048)),
        90.0,
        0.02,
        0.0,
        "",
    ),
    Stake(2, 1, "end", 9.0, 0.0, (), 0.0, float("nan"), 9.0, ""),
)


@pytest.fixture
def text_of(tmp_path, read_pdf):
    def text(plan, **more):
        write_field_sheet(plan, tmp_path / "f.pdf", **more)
        return " ".join(" ".join(read_pdf(tmp_path / "f.pdf")).split())

    return text


@pytest.mark.parametrize("paper", ["letter", "A4"])
def test_two_pages_of_either_paper(plan, paper, tmp_path, read_pdf, page_size):
    write_field_sheet(plan, tmp_path / "f.pdf", paper=paper)
    assert len(read_pdf(tmp_path / "f.pdf")) <= 2
    size = {"letter": (612, 792), "A4": (595.3, 841.9)}[paper]
    assert page_size(tmp_path / "f.pdf") == pytest.approx(size, abs=0.5)


def test_every_load_and_setting_is_on_it(plan, text_of):
    told = text_of(plan).partition("Load and set")[2].partition("Stake the first lane")[0]
    for _zone, material, when, rate, _fill in load_table(plan).rows:
        named = told.split(material)
        assert len(named) == 2, "each material is named once"
        assert f"{rate}, {when}" in named[1]
    for zone, material, when, rate, fill in load_table(plan).rows:
        assert f"{zone} {fill}" in told.split(material)[1].split(f"{rate}, {when}")[1]


@pytest.mark.parametrize("paper", ["letter", "A4"])
def test_no_type_under_nine_points_but_at_the_foot(plan, paper, tmp_path):
    write_field_sheet(plan, tmp_path / "f.pdf", paper=paper)
    document = pypdfium2.PdfDocument(tmp_path / "f.pdf")
    for page in document:
        words = page.get_textpage()
        for i in range(words.count_chars()):
            foot = words.get_charbox(i)[3] < 30  # the margin, where title and page are
            assert (
                foot
                or pypdfium2.raw.FPDFText_GetFontSize(words, i) >= 9.0
                or not words.get_text_range(i, 1).strip()
            )
    document.close()


def test_the_legend_stands_once_over_both_maps(plan, text_of):
    assert text_of(plan).count("seed, but no fertilizer") == 1


def test_maps_take_the_width_of_the_page(plan, tmp_path):
    """A yard twice as wide as it is deep is drawn over more than four fifths of the width of a page."""
    scene = replace(compose(plan), bounds=(-3.0, 0.0, 121.0, 62.0))
    sheet = Sheet("f", "", "letter", face_of())
    picture = MapPicture(
        scene, plan.units, sheet, (540.0, 300.0), MapStyle(GROUND, 1.0, black=True, close=True)
    )
    assert 124 * picture.paper.px_per_m > 0.95 * 540
    assert picture.height <= 300


def test_spots_to_do_by_hand_are_weighed_out(plan, text_of):
    spots = hand_rows(plan)
    assert {zone for zone, *_ in spots} == {zone.name for zone in plan.takeoff.zones if zone.by_hand} != set()
    told = text_of(plan).partition("Load and set")[2].partition("Stake the first lane")[0]
    for zone, material, rate, amount in spots:
        assert f"By hand {rate} {zone} {amount}" in told.split(material)[1]


def test_boxes_cautions_and_notes(plan, text_of):
    text = text_of(plan)
    for words in (*BEFORE, *SPRAY_BOX, *WATER_BOX, *plan.cautions, *plan.notes):
        assert words in text


def test_maps_of_both_passes_with_lane_numbers(plan, text_of):
    text = text_of(plan)
    assert "Pass 1" in text
    assert "Pass 2" in text
    for word in ("Tap", "Front lawn", "N"):
        assert word in text


def test_it_is_black_and_grey_only(plan, tmp_path):
    write_field_sheet(plan, tmp_path / "f.pdf")
    document = pypdfium2.PdfDocument(tmp_path / "f.pdf")
    pixels = np.asarray(document[1].render(scale=1.0).to_pil().convert("RGB")).astype(int)
    document.close()
    assert np.ptp(pixels, axis=2).max() <= 11  # as much as the ink has, #1f2a24


def test_stakes_say_how_to_tape(plan, text_of):
    first = replace(plan.lanes.passes[0], stakes=STAKES)
    staked = replace(plan, lanes=LanePlan((first, *plan.lanes.passes[1:])))
    text = text_of(staked)
    assert "30 ft 0 in from Tap and 10 ft 0 in square off East fence" in text
    assert "no two fixed points" in text


def test_refills_say_after_which_lane(plan, text_of):
    line = np.array([(0.0, 0.0), (10.0, 0.0)])
    legs = (
        Leg("loop", line, 1),
        Leg("lane", line, 1),
        Leg("way", line),
        Leg("lane", line, 2),
        Leg("lane", line, 3),
    )
    refills = tuple(
        Refill(number, after, 0.0, 10.0, 0.5, HERE, HERE, 0.0, 4.5359237)  # 10 lb
        for number, after in ((1, -1), (2, 0), (3, 2))
    )
    walked = replace(plan.lanes.passes[0], legs=legs, refills=refills)
    outing = Outing("lime", (walked,), Labour(1.0, 1.0, 1.0, 1.0, 1.0), Rig())
    text = text_of(replace(plan, lanes=replace(plan.lanes, outings=(outing,))))
    assert "10 lb to begin with; 10 lb after round 1; 10 lb after lane 1 lime" in text


def test_refills_of_a_load_stand_with_its_setting(plan, text_of):
    load = replace(plan.loads[0], fills=2, split_kg=(4.5359237, 4.5359237))  # 10 lb each
    refills = tuple(Refill(i, -1, 0.0, 10.0, 0.5, HERE, HERE, 0.0, 4.5359237) for i in (1, 2))
    walked = replace(plan.lanes.passes[0], zone=load.zone, number=load.pass_number, refills=refills)
    outing = Outing(load.material, (walked,), Labour(1.0, 1.0, 1.0, 1.0, 1.0), Rig())
    text = text_of(replace(plan, loads=(load,), lanes=replace(plan.lanes, outings=(outing,))))
    assert f"{load.zone}, pass {load.pass_number}: 10 lb to begin with; 10 lb to begin with" in text
    assert "Fill again on the way" not in text


def test_zones_worked_together_share_a_line_for_each_pass(plan, text_of):
    load = plan.loads[0]
    parts = tuple(Stretch(0, 0.0, 5.0, zone) for zone in ("Front lawn", "West side"))
    refills = (Refill(1, -1, 0.0, 10.0, 0.5, HERE, HERE, 0.0, 4.5359237),)  # 10 lb
    both = replace(
        plan.lanes.passes[0], zone="Front lawn + West side", number=1, parts=parts, refills=refills
    )
    outing = Outing(load.material, (both,), Labour(1.0, 1.0, 1.0, 1.0, 1.0), Rig())
    loads = tuple(
        replace(load, zone=zone, pass_number=1, pass_count=1) for zone in ("Front lawn", "West side")
    )
    text = text_of(replace(plan, loads=loads, lanes=replace(plan.lanes, outings=(outing,))))
    assert text.count("Front lawn + West side, pass 1: 10 lb to begin with") == 1
    assert "10 lb for" not in text
    assert "change the setting at each zone" in text
    assert "empty the hopper between settings" not in text


def test_without_lanes_it_still_says_what_there_is(plan, text_of):
    text = text_of(replace(plan, lanes=LanePlan(()), loads=()))
    assert "Cautions" in text
    assert "Spot by the gate" in text
    assert "each of 2 passes" not in text


def test_the_same_plan_gives_the_same_bytes(plan, tmp_path):
    for name in ("a.pdf", "b.pdf"):
        write_field_sheet(plan, tmp_path / name)
    assert (tmp_path / "a.pdf").read_bytes() == (tmp_path / "b.pdf").read_bytes()


def test_what_goes_into_each_tank_is_on_it(plan, text_of):
    label = {"name": "dye", "rate": "10 fl oz / acre", "yearly_maximum": "40 fl oz / acre"}
    spray = Spray(**label, carrier="1 gal / 1000 sq ft", tank="4 gal")
    sprayed = replace(plan, sprays=spray_all(plan.takeoff, [spray]))
    text = text_of(sprayed)
    (table,) = tank_tables(sprayed, sprayed.sprays[0])
    assert "Tank by tank: dye" in text
    for row in table.rows:
        assert " ".join(row) in text
    assert "Tank by tank" not in text_of(plan)
