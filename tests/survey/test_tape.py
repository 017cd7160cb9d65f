"""Tape sheets: every figure against a published example, and sheets that a person may fill in wrong."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from lawnmap.errors import LawnmapError, QuantityError
from lawnmap.survey import read
from lawnmap.survey.source import Source
from lawnmap.survey.tape import figures
from lawnmap.survey.tape.door import read_tape
from lawnmap.survey.tape.form import TEMPLATE

# Area by Offsets from a Straight Line, class notes E1/E2 (scribd.com/document/677840629), metres.
OFFSETS = [0.8, 3.6, 4.7, 5.3, 3.9, 2.7, 4.6, 5.5, 4.9, 7.6, 8.8, 5.4, 6.0]
SHEET = """tape sheet
unit, ft
base, 50
lawn, Front, offsets, every 10, 0, 12, 15.5, 18, 14, 9, 0
lawn thin, Back, ties, 40 30, 50 40, 70 60, 60 70, behind
house, House, rectangle, 20, 5, at 5 1
tree, Oak, circle, diameter 2, tied 30 40, in Front
"""


def sheet(*lines, unit="ft"):
    return read_tape("\n".join(["tape sheet", f"unit, {unit}", *lines]), Source())


def area(*lines, unit="ft"):
    return sheet(*lines, unit=unit).features[0].shape.area


def codes(read_sheet):
    return [found.code for found in read_sheet.findings]


def test_trapezoid_and_simpson_of_class_notes():
    assert figures.trapezoid_area(np.arange(13) * 3.5, np.array(OFFSETS)) == pytest.approx(211.4, abs=0.005)
    assert figures.simpson_area(3.5, np.array(OFFSETS)) == pytest.approx(211.17, abs=0.005)


def test_an_even_number_of_offsets():
    """Area of irregular boundaries, class notes (scribd.com/document/633416509): 276.3 m² by trapezoids."""
    offsets = np.array([2, 3.2, 4, 3.5, 5, 4.5, 6, 7])
    assert figures.trapezoid_area(np.arange(8) * 9.0, offsets) == pytest.approx(276.3, abs=0.005)
    last_strip = 9 * (6 + 7) / 2
    assert figures.simpson_area(9, offsets) == pytest.approx(
        figures.simpson_area(9, offsets[:-1]) + last_strip
    )


@given(st.lists(st.floats(-9, 9), min_size=4, max_size=4), st.integers(1, 9))
def test_simpson_is_right_for_every_cubic(coefficients, half):
    along = np.arange(2 * half + 1) * 0.5
    cubic = np.polynomial.Polynomial(coefficients)
    exact = cubic.integ()(along[-1])
    assert figures.simpson_area(0.5, cubic(along)) == pytest.approx(exact, abs=1e-9, rel=1e-9)


def test_offsets_are_drawn_by_trapezoids_and_both_rules_told():
    drawn = sheet(f"lawn, A, offsets, every 3.5, {', '.join(map(str, OFFSETS))}", unit="m")
    assert drawn.features[0].shape.area == pytest.approx(211.4, abs=0.01)
    assert "211.17 by Simpson's rule" in next(f.text for f in drawn.findings if f.code == "offset-area")


@pytest.mark.parametrize(
    ("line", "published", "tolerance"),
    [
        # Virginia Turfgrass Council, Size of Treatment Area (vaturf.org).
        ("rectangle, 50, 30", 1500, 1e-9),
        ("triangle, base 40, height 80", 1600, 1e-9),
        # University of Tennessee Extension PSEP, Common Calculations.
        ("circle, diameter 20", 314.159, 0.001),
        ("circle, radius 10", 314.159, 0.001),
        # algebra.com, solution 162147: an oval pool.
        ("ellipse, 107, 41", 3445.5, 0.1),
        # How to Measure the Area of a Kidney-Shaped Pool (hunker.com/13418172).
        ("kidney, length 20, widths 10 15", 225, 1e-9),
        # Western Australia training department, calculating turf areas: a mean radius of 15 m.
        ("radii, " + ", ".join(["15"] * 36), 706.86, 0.01),
        # 3-4-5, Euclid I.47.
        ("triangle, 3, 4, 5", 6, 1e-9),
        (f"circle, around {20 * math.pi:.9f}", 314.159, 0.001),
    ],
)
def test_plain_figures(line, published, tolerance):
    assert area(f"lawn, A, {line}") == pytest.approx(published, abs=tolerance)


def test_mean_of_squares_is_right_where_the_square_of_the_mean_is_not():
    """Ellipse of 20 by 10 with 36 readings: truth π·20·10 = 628.3; as often taught 592.1."""
    angle = np.radians(np.arange(36) * 10)
    readings = 1 / np.hypot(np.cos(angle) / 20, np.sin(angle) / 10)
    drawn = sheet("lawn, A, radii, " + ", ".join(f"{r:.9f}" for r in readings))
    assert drawn.features[0].shape.area == pytest.approx(math.pi * 200, rel=1e-6)
    text = next(f.text for f in drawn.findings if f.code == "average-radius")
    assert "628.3" in text
    assert "592.1" in text


def test_a_tape_that_is_too_long():
    """Tape measurement problem (pdfcoffee.com/8pdf-14-pdf-free.html): 249.5 by 496.85 m with a 30 m tape of 30.05 m is 12.44 ha."""
    drawn = sheet("tape, reads 30, is 30.05", "lawn, A, rectangle, 249.5, 496.85", unit="m")
    assert drawn.features[0].shape.area == pytest.approx(124_377.6, abs=0.1)
    assert drawn.features[0].shape.area / 1e4 == pytest.approx(12.44, abs=0.005)
    assert "tape-corrected" in codes(drawn)


def test_a_tie_from_two_corners():
    """A 3-4-5 triangle ten times over: base 50, ties 30 and 40 meet at (18, 24)."""
    assert figures.tie_point(50, 30, 40) == pytest.approx((18, 24))
    assert figures.tie_point(50, 30, 40, behind=True) == pytest.approx((18, -24))


@given(st.floats(1, 100), st.tuples(st.floats(-99, 99), st.floats(0.5, 99)))
def test_ties_find_their_point(base, point):
    from_a, from_b = math.dist((0, 0), point), math.dist((base, 0), point)
    assert figures.tie_point(base, from_a, from_b) == pytest.approx(point, abs=1e-4)


def test_a_whole_sheet():
    drawn = read_tape(SHEET, Source())
    front, back, house, oak = drawn.features
    assert front.attributes == {"role": "lawn", "name": "Front"}
    assert back.attributes["density"] == "thin"
    assert back.shape.bounds[3] < 0  # behind the baseline
    assert house.shape.bounds == pytest.approx((5, 1, 25, 6))
    assert oak.shape.centroid.coords[0] == pytest.approx((18, 24))
    assert drawn.unit == "ft"


def test_a_sheet_as_a_yard(tmp_path):
    (tmp_path / "yard.csv").write_text(
        "tape sheet\nunit,ft\nlawn,Front,rectangle,60,40,\npool,Pool,circle,diameter 20,\n", "utf-8"
    )
    yard = read(tmp_path / "yard.csv")
    assert yard.zones[0].polygon.area == pytest.approx(2400 * 0.3048**2)
    assert yard.obstacles[0].polygon.area == pytest.approx(100 * math.pi * 0.3048**2)
    assert yard.zones[0].polygon.contains(yard.obstacles[0].polygon)
    assert {"laid-out"} <= {found.code for found in yard.findings}
    assert yard.origin.method == "by tape"


def test_figures_without_a_place_stand_apart_and_what_is_on_a_lawn_in_it():
    drawn = sheet(
        "lawn, A, rectangle, 30, 20", "lawn, B, circle, 30", "bed, 1, circle, 6, in B", "bed, 2, circle, 6, in B",
        "house, H, rectangle, 28, 4", "tree, T, circle, 1",
    )  # fmt: skip
    shapes = {feature.attributes["name"]: feature.shape for feature in drawn.features}
    assert shapes["A"].disjoint(shapes["B"])
    assert shapes["B"].contains(shapes["1"])
    assert shapes["1"].disjoint(shapes["2"])
    assert shapes["A"].contains(shapes["H"]) or shapes["B"].contains(shapes["H"])
    assert codes(drawn).count("laid-out") == 6


def test_feet_and_inches():
    assert area("lawn, A, rectangle, 12' 6\", 10'") == pytest.approx(125)
    assert area('lawn,A,rectangle,"12\' 6""",10') == pytest.approx(125)


def test_turned_and_placed():
    shape = sheet("lawn, A, rectangle, 10, 4, at 100 50, turned 90").features[0].shape
    assert shape.bounds == pytest.approx((96, 50, 100, 60))


def test_sharp_ties_are_told():
    assert "weak-tie" in codes(sheet("base, 5", "lawn, A, ties, 60 60, 80 78, 70 71"))


@pytest.mark.parametrize("unit", ["ft", "US survey ft", "m"])
def test_the_unit_is_kept(unit):
    assert sheet("lawn, A, rectangle, 5, 4", unit=unit).unit == {"US survey ft": "us_survey_ft"}.get(
        unit, unit
    )


def test_without_a_unit_one_is_asked_for():
    with pytest.raises(QuantityError, match='does not tell its unit; add a line "unit, ft"'):
        read_tape("tape sheet\nlawn, A, rectangle, 5, 4\n", Source())
    assert read_tape("tape sheet\nlawn, A, rectangle, 5, 4\n", Source(local_units="m")).unit == "m"


def test_a_blank_sheet_asks_to_be_filled_in():
    with pytest.raises(LawnmapError, match=r"line \d+: "):
        read_tape(TEMPLATE, Source())


@pytest.mark.parametrize(
    ("lines", "fault"),
    [
        (["lawn, A, square, 5"], 'line 3: "square" is not a figure'),
        (["lawm, A, circle, 5"], 'line 3: "lawm" is not a role.*did you mean "lawn"'),
        (["lawn, A, rectangle, 5"], "line 3: a rectangle needs 2 lengths; give length and width"),
        (["lawn, A, rectangle, 5, -4"], "line 3: a rectangle needs 2 lengths"),
        (["lawn, A, triangle, 3, 4, 50"], "line 3: ties of 50 and 4 do not meet over a base of 3"),
        (["lawn, A, ties, 30 40, 50 20, 10 60"], "line 3: ties need the distance between A and B"),
        (["base, 50", "lawn, A, ties, 30 10, 50 20, 10 60"], "line 4: ties of 30 and 10 do not meet"),
        (["base, 50", "lawn, A, ties, 30 40, 50 20"], "line 4: ties need 3 pairs"),
        (["lawn, A, offsets, 0, 12, 15"], "line 3: offsets need 2 pairs"),
        (["lawn, A, offsets, every 0, 0, 12, 15"], "line 3: offsets need their interval"),
        (["lawn, A, offsets, 0 5, 10 5, 5 5"], "line 3: distances must rise"),
        (["lawn, A, points, 0 0, 10 10, 10 0, 0 10"], "line 3: its points cross or enclose nothing"),
        (["lawn, A, rectangle, 5, 4, about 3"], 'line 3: "about" is not understood'),
        (["lawn, A, rectangle, 5, 4 %"], 'line 3: "4 %" is not a measure'),
        (["lawn, A, rectangle, 5, 4' 13\""], "line 3: .* 12 inches or more"),
        (["lawn, A, rectangle, 5, 4, at 3"], "line 3: a place needs two numbers"),
        (["lawn, A, rectangle, 5, 4", "bed, B, circle, 30"], "line 4: no place is found for it within its lawn"),
        (["lawn, A, rectangle, 5, 4", "bed, B, circle, 1, in Z"], 'line 4: there is no lawn "Z"'),
        (["lawn, A"], "line 3: .* is not complete"),
        (["tape, reads 100, is 10", "lawn, A, circle, 5"], "line 3: the tape is not told right"),
        (["base,", "lawn, A, circle, 5"], "line 3: the base needs one length"),
        (["unit, stone", "lawn, A, circle, 5"], 'line 3: "stone" is not a unit of length'),
        (["lawn, A, radii, 5, 5, 5"], "line 3: radii need six readings"),
        (["lawn, A, radii, " + "1, " * 90_000], "line 3: it is too long for a line"),
        ([], "nothing is measured on the sheet"),
    ],
)  # fmt: skip
def test_spoiled_in_one_place(lines, fault):
    with pytest.raises(LawnmapError, match=fault):
        sheet(*lines)


@given(st.lists(st.floats(2, 50), min_size=6, max_size=36))
def test_radii_always_have_the_mean_of_their_squares(readings):
    assert Polygon(figures.star(readings)).area == pytest.approx(
        math.pi * np.mean(np.square(readings)), rel=1e-9
    )


@settings(max_examples=200, deadline=None)
@given(st.randoms(use_true_random=False))
def test_mutated_sheets_never_break_out(rng):
    text = list(SHEET[11:])
    for _ in range(rng.randint(1, 8)):
        at = rng.randrange(len(text))
        how = rng.random()
        if how < 0.5:
            text[at] = rng.choice("0123456789-. ,'\"\nabekrt%")
        elif how < 0.8:
            del text[at : at + rng.randint(1, 15)]
        else:
            text[at:at] = text[at : at + rng.randint(1, 40)]
        text = text or ["1"]
    try:
        drawn = read_tape("tape sheet\n" + "".join(text), Source())
    except LawnmapError:
        return
    assert all(feature.shape.area > 0 for feature in drawn.features)


def test_a_sheet_may_tell_how_sure_its_points_are():
    told = sheet("accuracy, 0' 3\"", "lawn full, Front, rectangle, 50, 30, at 0 0")
    assert told.vertex_sigma_m == pytest.approx(0.25 * 0.3048)
    assert "as the sheet states" in told.method
    with pytest.raises(QuantityError, match=r"the accuracy needs one length; write: accuracy, 0\.2"):
        sheet("accuracy, 0.2 0.3", "lawn, Front, rectangle, 50, 30")
