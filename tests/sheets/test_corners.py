"""Arrow and scale bar stand where the yard and its words do not: checked with shapely's own predicates."""

import pytest
import shapely

from lawnmap.sheets.corners import fit_close, free_place
from lawnmap.sheets.marks import Layer, Look, Mark, Scene


def scene_of(polygon):
    layer = Layer("zones", "Lawn", (Mark("z", polygon, Look(fill="#fff")),))
    return Scene((layer,), (), (), polygon.bounds, north_up=True)


@pytest.mark.parametrize(("width", "height"), [(540.0, 300.0), (270.0, 430.0), (200.0, 900.0)])
def test_the_yard_fills_the_box_but_for_an_edge(width, height):
    paper = fit_close(scene_of(shapely.box(5, 7, 45, 30)), width, height)
    corners = paper.at(shapely.get_coordinates(shapely.box(5, 7, 45, 30)))
    assert corners.min() >= 0
    assert corners[:, 0].max() <= width
    assert corners[:, 1].max() <= paper.height_px <= height + 1e-9
    assert corners[:, 0].max() - corners[:, 0].min() > width - 20 or paper.height_px > height - 1e-6


def test_a_free_corner_is_found_and_is_free():
    triangle = shapely.Polygon([(0, 0), (100, 60), (0, 60)])  # its south-east is free
    paper = fit_close(scene_of(triangle), 540.0, 400.0)
    left, top, right, foot = free_place(scene_of(triangle), paper, (80.0, 40.0), [])
    assert not shapely.box(left, top, right, foot).intersects(shapely.transform(triangle, paper.at))
    assert right > 0.9 * 540
    assert foot > 0.9 * paper.height_px


def test_what_is_taken_stays_free():
    triangle = shapely.Polygon([(0, 0), (100, 60), (0, 60)])
    paper = fit_close(scene_of(triangle), 540.0, 400.0)
    first = free_place(scene_of(triangle), paper, (80.0, 20.0), [])
    second = free_place(scene_of(triangle), paper, (80.0, 20.0), [first])
    assert not shapely.box(*first).intersects(shapely.box(*second))


def test_a_yard_that_fills_its_box_leaves_no_corner():
    square = shapely.box(0, 0, 50, 50)
    assert free_place(scene_of(square), fit_close(scene_of(square), 300.0, 300.0), (40.0, 40.0), []) is None


def test_below_the_yard_there_is_room():
    square = shapely.box(0, 0, 50, 50)
    paper = fit_close(scene_of(square), 300.0, 400.0, 56.0)
    assert free_place(scene_of(square), paper, (30.0, 40.0), []) is not None
