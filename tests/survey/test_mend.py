"""Faults of outlines: those that leave the area alone are mended, the others refused with the place."""

import numpy as np
import pytest
import shapely
from shapely.geometry import GeometryCollection, LineString, MultiPolygon, Point, Polygon

from lawnmap.survey.mend import closed_line, mend
from lawnmap.survey.notes import Notes

SQUARE = [(0, 0), (4, 0), (4, 4), (0, 4)]
with np.errstate(invalid="ignore"):
    NOWHERE = shapely.from_wkt("POLYGON ((0 0, 4 0, nan 4, 0 0))")


def mended(shape):
    notes = Notes(["feature 1"])
    array = np.empty(1, dtype=object)
    array[0] = shape
    shapes, faults = mend(array, ["feature 1"], notes)
    return shapes[0], [found.code for found in notes.told([0])], faults.get(0)


@pytest.mark.parametrize(
    ("shape", "area", "code"),
    [
        (Polygon(SQUARE), 16, None),
        (Polygon(SQUARE[::-1]), 16, None),
        (Polygon([*SQUARE[:2], SQUARE[1], *SQUARE[2:]]), 16, "repeated-vertex"),
        (Polygon([(0, 0), (4, 0), (4, 2), (7, 2), (4, 2), (4, 4), (0, 4)]), 16, "outline-tidied"),
        (Polygon([(0, 0), (4, 0), (2, 2), (4, 4), (0, 4), (2, 2)]), 8, "outline-tidied"),
        (Polygon([(0, 0, 9), (4, 0, 9), (4, 4, 9), (0, 4, 9)]), 16, "height-dropped"),
        (Polygon([(0, 0, 0), (4, 0, 0), (4, 4, 0), (0, 4, 0)]), 16, None),
        (shapely.from_wkt("POLYGON M ((0 0 1, 4 0 1, 4 4 1, 0 4 1, 0 0 1))"), 16, "measure-dropped"),
        (Polygon(SQUARE, [[(1, 1), (2, 1), (2, 2)]] * 2), 15.5, "ring-repeated"),
        (MultiPolygon([Polygon(SQUARE), Polygon(SQUARE)]), 16, "parts-joined"),
        (MultiPolygon([Polygon(SQUARE), shapely.box(4, 0, 6, 4)]), 24, "parts-joined"),
        (MultiPolygon([Polygon(SQUARE), shapely.box(3, 0, 6, 4)]), 24, "parts-joined"),
        (GeometryCollection([Point(0, 0), Polygon(SQUARE)]), 16, "parts-left-out"),
    ],
)
def test_mended_with_its_area_and_a_finding(shape, area, code):
    got, codes, fault = mended(shape)
    assert fault is None
    assert got.is_valid
    assert not got.has_z
    assert got.area == pytest.approx(area, rel=1e-12)
    assert codes == ([code] if code else [])


@pytest.mark.parametrize(
    ("shape", "words"),
    [
        (Polygon([(0, 0), (4, 0), (0, 3), (4, 3)]), "crosses itself at 2, 1.5"),
        (Polygon(SQUARE * 2), "crosses itself at"),
        (Polygon(SQUARE, [[(10, 10), (11, 10), (11, 11)]]), "hole lies outside its outline at 10, 10"),
        (
            Polygon([(0, 0), (10, 0), (10, 10), (5, 10), (5, 11), (5.2, 9), (0, 10)]),
            "crosses itself at 5.1, 10",
        ),
        (NOWHERE, "not a number"),
        (
            MultiPolygon([Polygon(SQUARE), Polygon([(9, 0), (13, 0), (9, 3), (13, 3)])]),
            "crosses itself at 11, 1.5",
        ),
    ],
)
def test_refused_with_the_place(shape, words):
    _, _, fault = mended(shape)
    assert words in str(fault)
    assert str(fault).startswith("feature 1: ")


@pytest.mark.parametrize("shape", [None, Polygon(), LineString()])
def test_nothing_is_left_out(shape):
    assert mended(shape) == (None, ["no-shape"], None)


def test_an_outline_without_width_is_left_out():
    assert mended(Polygon([(0, 0), (4, 0), (2, 0)])) == (None, ["no-ground"], None)


def test_closed_and_open_lines():
    notes = Notes(["feature 1"])
    ground = closed_line(LineString([*SQUARE, SQUARE[0]]), "feature 1", 0, notes)
    assert ground is not None
    assert ground.area == 16
    assert [found.code for found in notes.told([0])] == ["closed-line"]
    assert closed_line(LineString(SQUARE), "feature 1", 0, notes) is None


def test_findings_with_one_text_are_told_once():
    notes = Notes([f"feature {number}" for number in range(9)])
    notes.add("no-shape", "there is no shape", range(9))
    (found,) = notes.told(range(9))
    assert found.where == "feature 0, feature 1, feature 2 and 6 more"
    assert len(notes.told([4])) == 1
