"""Point files: Lot 17 with its four curves against the published area, and every spoil of one good file."""

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point

from lawnmap.errors import ChoiceError, FileError, LawnmapError, QuantityError, ShapeError
from lawnmap.survey.points.door import read_points
from lawnmap.survey.points.table import read_table
from lawnmap.survey.source import Source

DATA = Path(__file__).parent / "data"
# Jerry Mahun, Open Access Surveying Library (jerrymahun.com), COGO Intersections and Curves, problem 2.
LOT_17 = (DATA / "lot_17_pnezd.txt").read_text("utf-8")
SQUARE = "1,0,0,5,LAWN B\n2,0,10,5,LAWN\n3,20,10,5,LAWN\n4,20,0,5,LAWN C\n"


def points(text, **choices):
    return read_points(text, Source(**{"local_units": "ft", "point_order": "PNEZD"} | choices))


def only(text, **choices):
    (feature,) = points(text, **choices).features
    return feature.shape


def codes(sheet):
    return [found.code for found in sheet.findings]


def test_lot_17():
    lot = only(LOT_17)
    assert lot.area == pytest.approx(124_740, abs=5)
    assert lot.area == pytest.approx(124_744.17, abs=0.5)  # three decimals of a foot
    for north, east in [(985.63, 764.70), (990.91, 944.50), (683.74, 936.43)]:  # D, F and H as published
        assert lot.exterior.distance(Point(east, north)) < 0.01
    assert points(LOT_17).features[0].attributes["role"] == "lot"


def test_north_and_east_swapped_mirror_the_yard_but_keep_its_area():
    right, wrong = only(LOT_17), only(LOT_17, point_order="PENZD")
    assert wrong.area == pytest.approx(right.area, rel=1e-9)  # which is why a guess must be told
    assert wrong.centroid.x == pytest.approx(right.centroid.y)


@pytest.mark.parametrize(
    ("order", "row"),
    [
        ("PNEZD", "7,20,10,5,LAWN"), ("PENZD", "7,10,20,5,LAWN"), ("PNE", "7,20,10"), ("PNEZ", "7,20,10,5"),
        ("NEZ", "20,10,5"), ("ENZ", "10,20,5"), ("XYZ", "10,20,5"), ("PNED", "7,20,10,LAWN"), ("pnezd", "7 20 10 5 LAWN"),
        ("PXYZD", "7\t10\t20\t5\tLAWN"), ("PNEZD", '7; 20; 10; 5; "LAWN"'),
    ],
)  # fmt: skip
def test_orders_met_in_the_field(order, row):
    (shot,), found = read_table(f"{row}\n", order)
    assert (shot.east, shot.north) == (10, 20)
    assert not found
    assert shot.text in {"", "LAWN"}


@pytest.mark.parametrize(
    ("text", "guess"),
    [
        (SQUARE, "PNEZD"),
        ("1,0,0,5\n2,0,10,5\n3,20,10,5\n", "PNEZ"),
        ("0.5,0,5\n0.25,10,5\n20.5,10,5\n", "NEZ"),
        ("1,0,0,LAWN\n2,0,10,LAWN\n3,20,10,LAWN\n", "PNED"),
        ("A,0,0\nB,0,10\nC,20,10\n", "PNE"),
    ],
)
def test_an_order_guessed_is_told(text, guess):
    _, found = read_table(text, None)
    assert [note.code for note in found] == ["point-order-guessed"]
    assert f"taken as {guess};" in found[0].text


def test_headings_tell_the_order():
    (shot, _), found = read_table(
        "Point,Easting (ft),Northing (ft),Elev,Desc\n1,10,20,5,LAWN B\n2,30,40,5,LAWN\n", None
    )
    assert (shot.east, shot.north, shot.text) == (10, 20, "LAWN B")
    assert not found


def test_a_circle_from_points_on_it():
    """Every second point on an arc: two arcs through three points each make the circle."""
    at = [(90, "B"), (45, "OC"), (0, ""), (270, "OC"), (180, ""), (135, "OC C")]
    rows = [
        f"{i},{100 + 30 * math.sin(math.radians(a)):.9f},{30 * math.cos(math.radians(a)):.9f},0,TURF {word}"
        for i, (a, word) in enumerate(at)
    ]
    assert only("\n".join(rows)).area == pytest.approx(math.pi * 900, rel=1e-7)


@given(
    st.lists(st.floats(5, 60), min_size=3, max_size=11), st.floats(3, 200), st.floats(0, 6.28), st.booleans()
)
def test_a_curve_through_any_points_of_a_circle(steps, radius, turn, backwards):
    """From PC to PT over points spread unevenly: the sector's chord closes the line."""
    angles = turn + np.radians(np.concatenate([[0], np.cumsum(steps) * 300 / sum(steps)]))
    angles = angles[::-1] if backwards else angles
    words = ["B PC", *[""] * (len(angles) - 2), "PT C"]
    rows = [
        f"{i} {radius * math.sin(a):.10f} {radius * math.cos(a):.10f} 0 LAWN {word}"
        for i, (a, word) in enumerate(zip(angles, words, strict=True))
    ]
    whole = math.radians(300)
    assert only("\n".join(rows)).area == pytest.approx(radius**2 * (whole - math.sin(whole)) / 2, rel=1e-6)


def test_two_lines_of_one_code_and_an_open_one():
    text = (
        SQUARE
        + "5,100,0,5,LAWN BEG\n6,100,10,5,LAWN\n7,120,10,5,LAWN CLS\n8,0,50,5,CREEK BEG\n9,9,50,5,CREEK END\n"
    )
    sheet = points(text)
    assert [feature.shape.geom_type for feature in sheet.features] == ["Polygon", "Polygon", "LineString"]
    assert [feature.shape.area for feature in sheet.features] == pytest.approx([200, 100, 0])


def test_lines_that_meet_end_to_end_are_chained():
    text = (
        "1,0,0,0,LAWN B\n2,0,10,0,LAWN\n3,20,10,0,LAWN E\n4,20,10,0,LAWN B\n5,20,0,0,LAWN\n6,0,0,0,LAWN E\n"
    )
    assert only(text).area == pytest.approx(200)


def test_points_without_commands_are_joined_and_told():
    text = SQUARE.replace(" B", "").replace(" C", "")
    sheet = points(text)
    assert sheet.features[0].shape.area == 200
    assert "points-joined" in codes(sheet)


def test_letters_of_corners_are_no_commands():
    """Corners A to D of a lot: B would begin a line there and C close it."""
    text = "1,0,0,0,PL A\n2,0,10,0,PL B\n3,20,10,0,PL C\n4,20,0,0,PL D\n"
    sheet = points(text)
    assert sheet.features[0].shape.area == 200
    assert codes(sheet)[:2] == ["letters-are-names", "points-joined"]


def test_trees_and_stakes_are_single_points():
    sheet = points(SQUARE + "5,5,5,0,CORNER\n6,6,6,0,CORNER\n7,7,7,0,CORNER\n")
    assert [feature.shape.geom_type for feature in sheet.features] == ["Polygon", "Point", "Point", "Point"]
    assert sheet.features[1].attributes == {"role": "landmark", "kind": "corner"}


def test_codes_by_hand():
    (feature,) = points(SQUARE.replace("LAWN", "Q7"), layers={"Q7": "house", "*": "lawn"}).features
    assert feature.attributes["role"] == "lawn"


def test_grid_to_ground():
    sheet = points(SQUARE, scale_factor=0.9999)
    assert sheet.features[0].shape.area == pytest.approx(200 / 0.9999**2, rel=1e-12)


def test_units_are_left_to_be_asked_for():
    assert read_points(SQUARE, Source(point_order="PNEZD")).unit is None
    assert points(SQUARE).unit == "ft"
    assert points(SQUARE, local_units="US survey ft").unit == "us_survey_ft"


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("2,0,10,5,", "2,0,ten,5,", 'line 2: its east "ten" is not a coordinate'),
        ("2,0,10,5,", "2,nan,10,5,", 'line 2: its north "nan" is not a coordinate'),
        ("2,0,10,5,LAWN\n", "2\n", "line 2: it has no east"),
        ("2,0,10,5,", "2,0,1e30,5,", "line 2: its east"),
        (" C\n", "\n", "no closed outline"),
        ("LAWN", "ABC", None),
    ],
)
def test_spoiled_in_one_place(old, new, fault):
    spoiled = SQUARE.replace(old, new)
    assert spoiled != SQUARE
    if fault is None:
        assert only(spoiled).area == 200
        return
    with pytest.raises(LawnmapError, match=fault):
        points(spoiled)


def test_a_number_given_twice_is_told():
    assert "point-repeated" in codes(points(SQUARE.replace("3,20", "2,20")))


@pytest.mark.parametrize("order", ["PNN", "PZD", "", "ABC", "PNEZDD"])
def test_no_such_order(order):
    if order:
        with pytest.raises(ChoiceError, match="is no order of columns"):
            points(SQUARE, point_order=order)


def test_faults_of_whole_files():
    with pytest.raises(FileError, match="there are no points in it"):
        points("# nothing\n")
    with pytest.raises(FileError, match="do not look like points"):
        points("a,b\nc,d\n", point_order=None)
    with pytest.raises(ShapeError, match="has no end point"):
        points("1,0,0,0,LAWN B PC\n2,0,10,0,LAWN OC\n3,5,5,0,LAWN OC E\n")
    with pytest.raises(ShapeError, match="has no end point"):
        points("1,0,0,0,LAWN B\n2,0,10,0,LAWN OC C\n")
    with pytest.raises(QuantityError, match="it has no east"):
        points("1,2\n", point_order="PNEZD")


@settings(max_examples=200, deadline=None)
@given(st.randoms(use_true_random=False))
def test_mutated_files_never_break_out(rng):
    text = list(LOT_17.split("\n", 2)[2])
    for _ in range(rng.randint(1, 8)):
        at = rng.randrange(len(text))
        how = rng.random()
        if how < 0.5:
            text[at] = rng.choice("0123456789-. ,;\t\nPCBTOE\"'")
        elif how < 0.8:
            del text[at : at + rng.randint(1, 20)]
        else:
            text[at:at] = text[at : at + rng.randint(1, 40)]
        text = text or ["1"]
    try:
        sheet = read_points("".join(text), Source(local_units="ft", point_order=rng.choice([None, "PNEZD"])))
    except LawnmapError:
        return
    assert sheet.features


def ring(count, radius=40.0, code="BED"):
    """Points evenly on a circle, shot as a person walks round an island."""
    turns = [2 * math.pi * i / count for i in range(count)]
    return [
        f"{i + 1},{1000 + radius * math.sin(a):.3f},{500 + radius * math.cos(a):.3f},0,{code}"
        f"{' B' if not i else ' C' if i == count - 1 else ''}"
        for i, a in enumerate(turns)
    ]


MISSING = "arcs-may-be-missing"


def test_lot_17_without_the_points_on_its_arcs_is_doubted():
    """Published 124,740 sq ft with its four arcs; the chords alone enclose 460 sq ft less."""
    middles = ("3,", "5,", "7,", "9,")
    labelled = LOT_17.replace("PL PC", "PL (PC)").replace("PL PT", "PL (PT)")
    bare = "\n".join(line for line in labelled.splitlines() if not line.startswith(middles))
    sheet = points(bare)
    assert sheet.features[0].shape.area < 124_300
    assert MISSING in codes(sheet)
    assert MISSING not in codes(points(LOT_17))


@pytest.mark.parametrize("words", [("(PC)", "(PT)"), ("CURVE", "CURVE"), ("PC1", "PRC2"), ("RP", "R=25.00")])
def test_words_of_curves_without_a_curve_are_doubted(words):
    text = SQUARE.replace("2,0,10,5,LAWN", f"2,0,10,5,LAWN {words[0]}").replace(
        "3,20,10,5,LAWN", f"3,20,10,5,LAWN {words[1]}"
    )
    assert MISSING in codes(points(text))
    assert MISSING not in codes(points(SQUARE))


def test_curve_points_with_a_code_of_their_own_are_doubted():
    assert MISSING in codes(points(SQUARE + "5,20,3,0,PC\n6,20,7,0,PT\n"))


@pytest.mark.parametrize(("count", "doubted"), [(16, True), (12, True), (8, False), (4, False), (90, False)])
def test_points_on_a_circle_joined_by_chords_are_doubted(count, doubted):
    """An octagon may be one; a polygon of ninety corners is within a part in a thousand of its circle."""
    text = SQUARE + "\n".join(ring(count)) + "\n"
    assert (MISSING in codes(points(text))) is doubted
    if doubted:
        said = next(found.text for found in points(text).findings if found.code == MISSING)
        assert "radius 40" in said


def test_one_arc_without_a_middle_among_others_is_doubted():
    arcs = "1,0,0,0,LAWN B\n2,0,50,0,LAWN PC\n3,10,60,0,LAWN PT\n4,50,60,0,LAWN PC\n5,57,57,0,LAWN\n6,60,50,0,LAWN PT\n7,60,0,0,LAWN C\n"
    sheet = points(arcs)
    assert [found.text for found in sheet.findings if found.code == MISSING] == [
        'code "LAWN" has an arc from 2 to 3 without a point on it'
    ]


JOINED = (
    LOT_17.replace("764.703,100.00,PL", "764.703,100.00,PL PRC")
    .replace("917.166,100.00,PL", "917.166,100.00,PL PCC")
    .replace("944.502,100.00,PL", "944.502,100.00,PL PCC")
)


def test_compound_and_reverse_curves_part_one_arc_from_the_next():
    assert JOINED.count("PCC") == 2
    assert only(JOINED).area == pytest.approx(124_744.17, abs=0.5)
    # a second point on the first arc: without PRC the points would be taken three by three across its end
    more = JOINED.replace(
        "3,966.828,700.521,100.00,PL\n", "3,966.828,700.521,100.00,PL\n31,973.527,733.404,100.00,PL\n"
    )
    assert more.count("\n") == JOINED.count("\n") + 1
    assert only(more).area == pytest.approx(124_744.17, abs=0.5)


def test_one_arc_of_a_compound_curve_without_a_middle_is_doubted():
    bare = "\n".join(line for line in JOINED.splitlines() if not line.startswith("5,"))
    said = [found.text for found in points(bare).findings if found.code == MISSING]
    assert said == ['code "PL" has an arc from 4 to 6 without a point on it']
