"""LandXML: Lot 17 against its published area, bombs refused, and one good file spoiled field by field."""

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point

from lawnmap.errors import FileError, LawnmapError, ShapeError
from lawnmap.survey import read
from lawnmap.survey.landxml import read_landxml
from lawnmap.survey.source import Source

# Jerry Mahun, Open Access Surveying Library (jerrymahun.com), COGO Intersections and Curves, problem 2.
LOT_17 = (Path(__file__).parent / "data" / "lot_17.xml").read_text("utf-8")


@pytest.fixture
def sheet_of(tmp_path):
    def read(text, **choices):
        path = tmp_path / "lot.xml"
        path.write_bytes(text.encode() if isinstance(text, str) else text)
        return read_landxml(path, Source(**choices))

    return read


def made(geometry, points="", units='<Metric linearUnit="meter" areaUnit="squareMeter"/>', **parcel):
    says = " ".join(f'{key}="{value}"' for key, value in {"name": "LOT 1", **parcel}.items())
    return (
        f'<LandXML xmlns="http://www.landxml.org/schema/LandXML-1.2"><Units>{units}</Units><CgPoints>{points}</CgPoints>'
        f"<Parcels><Parcel {says}><CoordGeom>{geometry}</CoordGeom></Parcel></Parcels></LandXML>"
    )


def line(north, east, north_2, east_2):
    return f"<Line><Start>{north} {east}</Start><End>{north_2} {east_2}</End></Line>"


def square(size, at=0):
    a, b = at, at + size
    return line(a, a, a, b) + line(a, b, b, b) + line(b, b, b, a) + line(b, a, a, a)


def codes(sheet):
    return [found.code for found in sheet.findings]


def test_lot_17(sheet_of):
    sheet = sheet_of(LOT_17)
    (lot,) = sheet.features
    assert lot.shape.area == pytest.approx(124_740, abs=5)
    assert lot.shape.area == pytest.approx(124_744.17, abs=0.005)
    for north, east in [(985.63, 764.70), (990.91, 944.50), (683.74, 936.43)]:  # D, F and H as published
        assert lot.shape.exterior.distance(Point(east, north)) < 0.01
    assert lot.attributes == {"role": "lot", "name": "LOT 17"}
    assert sheet.unit == "ft"
    assert not sheet.findings


def swapped(text):
    return re.sub(r">(\d+\.\d+) (\d+\.\d+)( 100\.0)?<", r">\2 \1\3<", text)


def test_north_and_east_swapped_shows_in_the_curves(sheet_of):
    """The swap turns every curve over: 123,812 sq ft; the area that the file states gives it away."""
    sheet = sheet_of(re.sub("<Center>.*?</Center>", "", swapped(LOT_17)))
    assert sheet.features[0].shape.area == pytest.approx(123_812, abs=1)
    assert "stated-area-differs" in codes(sheet)


def test_with_centres_a_swap_ties_knots(tmp_path):
    """About its centre each arc then goes the long way round, and the outline crosses itself."""
    (tmp_path / "lot.xml").write_text(swapped(LOT_17), "utf-8")
    with pytest.raises(ShapeError, match="cross"):
        read(tmp_path / "lot.xml")


@pytest.mark.parametrize("version", ["1.0", "1.1", "1.2"])
def test_every_namespace(sheet_of, version):
    text = LOT_17.replace("LandXML-1.2", f"LandXML-{version}")
    assert sheet_of(text).features[0].shape.area == pytest.approx(124_744.17, abs=0.005)


@pytest.mark.parametrize(
    ("units", "unit"),
    [
        ('<Imperial linearUnit="foot"/>', "ft"), ('<Imperial linearUnit="USSurveyFoot"/>', "us_survey_ft"),
        ('<Metric linearUnit="meter"/>', "m"), ('<Metric linearUnit="millimeter"/>', "mm"), ("", None),
    ],
)  # fmt: skip
def test_linear_units(sheet_of, units, unit):
    assert sheet_of(made(square(10_000), units=units)).unit == unit


def test_coordinate_system(sheet_of):
    text = made(square(10)).replace("<Units>", '<CoordinateSystem epsgCode="32618"/><Units>')
    assert sheet_of(text).crs == "EPSG:32618"
    assert sheet_of(text, crs="EPSG:32619").crs == "EPSG:32619"


def test_a_curve_without_centre_and_an_irregular_line(sheet_of):
    """Half a disc of 10 m over a chord drawn as a list of points."""
    curve = '<Curve rot="ccw" radius="10"><Start>-10 0</Start><End>10 0</End></Curve>'
    chord = "<IrregularLine><Start>10 0</Start><End>-10 0</End><PntList3D>10 0 1 5 0 1 0 0 1 -10 0 1</PntList3D></IrregularLine>"
    assert sheet_of(made(curve + chord)).features[0].shape.area == pytest.approx(
        50 * 3.141592653589793, rel=1e-9
    )


def test_a_chain_of_points(sheet_of):
    points = "".join(
        f'<CgPoint name="{n}">{north} {east}</CgPoint>'
        for n, north, east in [(1, 0, 0), (2, 0, 9), (3, 5, 9)]
    )
    assert sheet_of(made("<Chain>1 2 3 1</Chain>", points)).features[0].shape.area == pytest.approx(22.5)


def test_several_loops_make_holes_and_islands(sheet_of):
    text = made(square(100) + square(20, 10) + square(5, 200))
    assert sheet_of(text).features[0].shape.area == pytest.approx(10_000 - 400 + 25)


def test_several_parcels_are_several_yards(sheet_of):
    one = made(square(10))
    two = one.replace(
        "</Parcels>", f'<Parcel name="LOT 2"><CoordGeom>{square(10, 50)}</CoordGeom></Parcel></Parcels>'
    )
    assert [f.attributes["yard"] for f in sheet_of(two).features] == ["LOT 1", "LOT 2"]
    assert "yard" not in sheet_of(one).features[0].attributes


def test_plan_features_by_their_names(sheet_of):
    features = (
        f'<PlanFeatures><PlanFeature name="House"><CoordGeom>{square(5, 1)}</CoordGeom></PlanFeature>'
        f'<PlanFeature name="F7"><CoordGeom>{square(5, 1)}</CoordGeom></PlanFeature></PlanFeatures>'
    )
    sheet = sheet_of(made(square(10)).replace("</Parcels>", "</Parcels>" + features))
    assert [f.attributes["role"] for f in sheet.features] == ["lot", "obstacle"]
    assert "layer-left-out" in codes(sheet)


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ('pntRef="C"', 'pntRef="X"', r'parcel "LOT 17": the reference to point "X" names no point'),
        ('<CgPoint name="POB" pntRef="B"/>', '<CgPoint name="POB" pntRef="POB"/>', "goes round in a circle"),
        ("970.237546 633.728069 100.0", "970.237546", "no northing and easting"),
        ("970.237546", "north", r'"north 633.728069 100.0" is no list of coordinates'),
        ("970.237546", "inf", "is no list of coordinates"),
        ('rot="ccw"', 'rot="left"', 'a curve turns "left"'),
        ("<Center>", "<Center>1", "not as far from its start as from its end"),
        ('<Line dir="329.5"><Start pntRef="A"/><End pntRef="POB"/></Line>', "", "do not meet the others"),
        ('<Line dir="329.5"><Start pntRef="A"/>', '<Line dir="329.5">', "a Line has no start"),
        ("<Line dir", "<Spiral dir", "it has a spiral|no XML"),
        ("<Parcel name", "<Figure name", "there are no parcels|no XML"),
        ("LandXML", "GardenXML", "it is GardenXML, not LandXML"),
        ("</Parcels>", "", "it is no XML"),
    ],
)
def test_spoiled_in_one_place(sheet_of, old, new, fault):
    assert old in LOT_17
    with pytest.raises(LawnmapError, match=fault):
        sheet_of(LOT_17.replace(old, new))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('linearUnit="foot"', 'linearUnit="meter"'),
        ('rot="ccw"', 'rot="cw"'),
        ('area="124740"', 'area="147240"'),
    ],
)
def test_spoils_that_the_stated_area_gives_away(sheet_of, old, new):
    assert old in LOT_17
    assert "stated-area-differs" in codes(sheet_of(LOT_17.replace(old, new)))


def test_entities_are_refused(sheet_of):
    bomb = '<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>'
    body = made(square(10)).replace("LOT 1", "&b;")
    with pytest.raises(FileError, match=r"document type|no XML"):
        sheet_of(bomb + body)
    outside = '<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]>'
    with pytest.raises(FileError, match=r"document type|no XML"):
        sheet_of(outside + body.replace("&b;", "&a;"))


def test_a_tower_of_elements_is_refused(sheet_of):
    with pytest.raises(FileError, match="it is no XML"):
        sheet_of("<LandXML>" + "<a>" * 5000 + "</a>" * 5000 + "</LandXML>")


@settings(max_examples=200, deadline=None)
@given(st.randoms(use_true_random=False))
def test_mutated_files_never_break_out(tmp_path_factory, rng):
    data = bytearray(LOT_17.encode())
    for _ in range(rng.randint(1, 5)):
        at = rng.randrange(400, len(data))
        how = rng.random()
        if how < 0.6:
            data[at] = rng.choice(b'0123456789.- "=<>/abcE\xff')
        elif how < 0.8:
            del data[at : at + rng.randint(1, 60)]
        else:
            data[at:at] = data[at : at + rng.randint(1, 60)]
    path = tmp_path_factory.mktemp("fuzz") / "lot.xml"
    path.write_bytes(bytes(data))
    try:
        sheet = read_landxml(path, Source(local_units="ft"))
    except LawnmapError:
        return
    assert sheet.features[0].shape is not None
