"""Where things are drawn, before anything is drawn."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import MultiPolygon, Point, box

from lawnmap.lanes import LanePlan
from lawnmap.sheets.scene import _place, compose
from lawnmap.sheets.webmap import Display


def test_a_word_stands_in_the_middle_of_a_rectangle():
    assert _place(box(0, 0, 30, 10)) == pytest.approx((15, 5, 30))


def test_a_word_keeps_to_the_wide_part_of_an_l():
    east, north, room = _place(box(0, 0, 4, 40).union(box(0, 0, 40, 10)))
    assert (east, room) == pytest.approx((20, 40))
    assert 2 < north < 8


def test_a_sliver_still_has_a_place():
    thin = MultiPolygon([box(0, 0, 10, 1e-9)])
    assert shapely.Point(_place(thin)[:2]).distance(thin) < 1e-6


@settings(max_examples=50, deadline=None)
@given(st.lists(st.tuples(st.floats(0, 50), st.floats(0, 50), st.floats(1, 9)), min_size=1, max_size=6))
def test_a_word_always_stands_on_its_ground(discs):
    ground = shapely.union_all([Point(east, north).buffer(radius) for east, north, radius in discs])
    east, north, room = _place(ground)
    assert ground.distance(Point(east, north)) < 1e-9
    chord = shapely.LineString([(east - room / 2, north), (east + room / 2, north)])
    assert chord.difference(ground.buffer(1e-6)).length < 1e-6


def test_layers_without_a_mark_are_left_out(plan):
    bare = replace(
        plan,
        lanes=LanePlan(()),
        takeoff=replace(plan.takeoff, yard=replace(plan.yard, water=(), landmarks=())),
    )
    assert [layer.id for layer in compose(bare).layers] == ["zones", "setback", "obstacles", "hand"]


def test_first_pass_is_on_and_the_second_off(plan):
    shown = {layer.id: layer.shown for layer in compose(plan).layers}
    assert shown["pass1"]
    assert not shown["pass2"]


def test_marks_carry_no_word_of_the_user(build_plan):
    scene = compose(build_plan(rename=lambda name: f"WORD{name}"))
    for layer in scene.layers:
        assert "WORD" not in f"{layer.id}{layer.title}{layer.keys}{[mark.id for mark in layer.marks]}"


def test_the_tape_knows_metres_on_the_earth(plan):
    """Fitted metres against the plane itself: within a millimetre over the yard."""
    scene, display = compose(plan), Display(plan.yard.plane)
    matrix = np.array(display.metres(scene))
    points = np.array([(0.0, 0.0), (50.0, 0.0), (13.0, 47.0), (31.5, 8.25)])
    shown = np.column_stack([display.at(points), np.ones(len(points))])
    assert shown @ matrix.T == pytest.approx(points, abs=1e-3)
