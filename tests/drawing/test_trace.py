"""From clicks to ground: figures whose areas everyone knows, at a known scale."""

import json
import re
from math import pi

import numpy as np
import pytest
from shapely.geometry import MultiPolygon, Point, Polygon, box

from lawnmap.drawing.sketch import Control, Known, Shape, Sheet, Sketch, Tie, read_sketch
from lawnmap.drawing.start import sketch_of
from lawnmap.drawing.trace import fit_of, trace
from lawnmap.errors import FileError, InputError
from lawnmap.yard import Landmark, Obstacle, Plane, Water, Yard, Zone

PICTURE = Sheet(kind="picture", wide=1200.0, high=900.0)
SQUARE = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
TEN_M = Known(ends=((0.0, 0.0), (100.0, 0.0)), length="10 m")


def shape(**values):
    return Shape(**{"id": "s1", "role": "lawn", "form": "polygon", "points": SQUARE, **values})


def traced(*shapes, known=(TEN_M,), **values):
    sketch = Sketch(paper=PICTURE, known=known, shapes=shapes, **values)
    return trace(sketch, fit_of(sketch))


def test_square_of_ten_metres():
    yard, troubles = traced(shape(density="bare", slope_percent=10.0))
    assert not troubles
    (zone,) = yard.zones
    assert (zone.name, zone.density, zone.slope_percent) == ("lawn", "bare", 10)
    assert zone.polygon.area == pytest.approx(100)
    assert not yard.plane.georeferenced


def test_hole_is_not_lawn():
    yard, _ = traced(shape(holes=(((20.0, 20.0), (40.0, 20.0), (40.0, 40.0), (20.0, 40.0)),)))
    assert yard.zones[0].polygon.area == pytest.approx(96)


def test_circle_has_the_area_of_a_circle():
    yard, _ = traced(shape(role="obstacle", kind="tree", form="circle", points=((50.0, 50.0), (50.0, 70.0))))
    assert yard.obstacles[0].polygon.area == pytest.approx(pi * 2**2, rel=1e-12)


def test_scale_is_the_least_squares_one():
    """Σ p L / Σ p² for p = 100, 100 and L = 10, 11: 0.105 m to the unit."""
    second = Known(ends=((0.0, 0.0), (0.0, 100.0)), length="11 m")
    sketch = Sketch(paper=PICTURE, known=(TEN_M, second))
    fit = fit_of(sketch)
    assert fit.metres_per_unit((0, 0)) == pytest.approx(0.105)
    assert any("slant" in warning for warning in fit.warnings)


def test_control_points_go_first_and_turn_the_sheet():
    """The sheet lies on its side: right on it is north on the ground."""
    control = tuple(
        Control(at=at, east=east, north=north)
        for at, east, north in [
            ((0.0, 0.0), "0 m", "0 m"),
            ((100.0, 0.0), "0 m", "20 m"),
            ((0.0, 100.0), "-20 m", "0 m"),
        ]
    )
    yard, _ = traced(shape(), control=control)
    assert yard.zones[0].polygon.area == pytest.approx(400)
    assert yard.zones[0].polygon.bounds == pytest.approx((-20, 0, 0, 20), abs=1e-9)


def taped(points, distances, **more):
    return Control(at=(100.0, 100.0), tie=Tie(points=points, distances=distances, **more))


CORNERS = (
    Control(at=(0.0, 0.0), east="0 m", north="0 m"),
    Control(at=(100.0, 0.0), east="50 m", north="0 m"),
)


@pytest.mark.parametrize(("left", "north"), [(True, 24), (False, -24)])
def test_a_point_taped_from_two_corners(left, north):
    """30 and 40 over 50: a 3-4-5 triangle, whose foot is 18 along and 24 across."""
    point = taped((1, 2), ("30 m", "40 m"), left=left)
    fit = fit_of(Sketch(paper=PICTURE, control=(*CORNERS, point), map_kind="affine"))
    assert fit.kind == "affine"
    assert fit.apply(np.array([[100.0, 100.0]]))[0] == pytest.approx((18, north))


@pytest.mark.parametrize(
    ("point", "sentence"),
    [
        (taped((1, 3), ("30 m", "40 m")), "control point 3: it is taped from point 3, which comes after it"),
        (
            taped((1, 2), ("10 m", "20 m")),
            "control point 3: two tapes of 10 m and 20 m cannot meet over 50 m",
        ),
        (taped((1, 1), ("10 m", "20 m")), "control point 3: the two corners are one point"),
        (taped((1, 2), ("10", "20 m")), "control point 3"),
        (Control(at=(1.0, 1.0)), "control point 3"),
    ],
)
def test_a_tape_that_cannot_be_is_told_with_its_point(point, sentence):
    with pytest.raises(InputError, match=sentence):
        fit_of(Sketch(paper=PICTURE, control=(*CORNERS, point)))


def test_without_a_scale_it_says_how_to_get_one():
    with pytest.raises(InputError, match="no scale yet; click both ends"):
        fit_of(Sketch(paper=PICTURE))


def test_length_without_a_unit_says_which():
    with pytest.raises(InputError, match="known length 1"):
        fit_of(Sketch(paper=PICTURE, known=(Known(ends=TEN_M.ends, length="ten"),)))


def test_every_role_finds_its_place_and_names_are_unique():
    yard, troubles = traced(
        shape(id="a"),
        shape(id="b"),
        shape(id="c", role="water", form="line", points=((0.0, 0.0), (50.0, 0.0)), name="Pond"),
        shape(id="d", role="landmark", kind="gate", form="point", points=((0.0, 0.0),)),
        shape(id="e", role="obstacle", kind="bed"),
    )
    assert not troubles
    assert [zone.name for zone in yard.zones] == ["lawn", "lawn 2"]
    assert yard.water[0].shape.length == pytest.approx(5)
    assert (yard.landmarks[0].kind, yard.landmarks[0].shape) == ("gate", Point(0, 0))
    assert yard.obstacles[0].kind == "bed"


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({"points": ((0.0, 0.0), (9.0, 9.0), (9.0, 0.0), (0.0, 9.0))}, "crosses itself"),
        ({"points": ((0.0, 0.0), (9.0, 9.0))}, "2 points"),
        ({"points": ((0.0, 0.0), (9.0, 0.0), (18.0, 0.0))}, "faulty|no ground"),
        ({"form": "circle", "points": ((5.0, 5.0), (5.0, 5.0))}, "faulty|no ground"),
        ({"form": "line"}, "it is a line"),
        ({"role": "landmark"}, "a point or a line"),
        ({"role": "obstacle", "kind": "hous"}, "house"),
    ],
)
def test_bad_shape_is_left_out_and_told(values, said):
    yard, (trouble,) = traced(shape(id="good"), shape(id="bad", name="Strip", **values))
    assert len(yard.zones) == 1
    assert trouble.shape == "bad"
    assert "Strip" in trouble.text
    assert re.search(said, trouble.text)


GOOD = json.loads(Sketch(paper=PICTURE, shapes=(shape(),)).text())


def spoilt(**values):
    return json.dumps({**GOOD, **values}).encode()


@pytest.mark.parametrize(
    "held",
    [
        b"",
        b"[",
        b"[" * 200_000,  # deep enough to break a parser that recurses
        b"\xff\xfe",
        b"null",
        spoilt(lawnmap_sketch=2),
        spoilt(surprise=1),
        spoilt(paper={"kind": "picture", "wide": float("nan"), "high": 1}),
        spoilt(shapes=[{**GOOD["shapes"][0], "points": [[0, "1"]]}]),
        spoilt(shapes=[{**GOOD["shapes"][0], "points": [[0, float("inf")]]}]),
        spoilt(shapes=[{**GOOD["shapes"][0], "points": []}]),
        spoilt(shapes=[{**GOOD["shapes"][0], "density": "lush"}]),
        spoilt(shapes=[GOOD["shapes"][0]] * 2),
        spoilt(name="x" * 201),
    ],
    ids=range(14),
)
def test_what_is_no_sketch_is_refused(held):
    with pytest.raises(FileError, match="no sketch of this version"):
        read_sketch(held)


def test_sketch_file_reads_back_alike():
    assert read_sketch(json.dumps(GOOD).encode()).text() == Sketch(paper=PICTURE, shapes=(shape(),)).text()


def example_yard(plane):
    lawn = MultiPolygon(
        [Polygon(box(0, 0, 40, 25).exterior, [box(5, 5, 15, 15).exterior]), box(50, 0, 60, 10)]
    )
    return Yard(
        "Lot",
        (Zone("lawn", lawn, "thin", slope_percent=4.0), Zone("side", box(0, 30, 9, 40), cover_percent=60.0)),
        (Obstacle("house", "house", box(20, 5, 30, 15)),),
        (Water("pond", box(70, 0, 80, 10)),),
        (Landmark("tap", Point(1, 1), "refill"),),
        plane,
    )


@pytest.mark.parametrize("plane", [Plane("local"), Plane("EPSG:26986", "EPSG:4269", -71.1, 42.3, "m")])
def test_yard_to_sketch_and_back_is_the_same_yard(plane):
    before = example_yard(plane)
    sketch = sketch_of(before)
    after, troubles = trace(sketch, fit_of(sketch))
    assert not troubles
    assert after.plane == before.plane or (
        np.isnan(before.plane.longitude_deg) and after.plane.source == "local"
    )
    for role in ("zones", "obstacles"):
        area = [sum(part.polygon.area for part in getattr(yard, role)) for yard in (before, after)]
        assert area[0] == pytest.approx(area[1], rel=1e-12)
    assert after.zones[0].polygon.bounds == pytest.approx((0, 0, 40, 25), abs=1e-9)
    assert [zone.name for zone in after.zones] == ["lawn", "lawn 2", "side"]
    assert (after.zones[2].density, after.zones[2].cover_percent) == (None, 60)
    assert after.water[0].shape.area == pytest.approx(100)
    assert after.landmarks[0].kind == "refill"
