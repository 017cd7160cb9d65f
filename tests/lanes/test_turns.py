import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from lawnmap.lanes.turns import (
    fishtail_length_m,
    shortest_turns,
    turn_depth_m,
    turn_length_m,
    turn_points,
)

POSE = st.tuples(st.floats(-6, 6), st.floats(-6, 6), st.floats(0, 6.28))


def beside(offset):
    """From the end of a lane that runs north to the beginning of one that runs south."""
    return np.array([[0.0, 0.0, np.pi / 2]]), np.array([[offset, 0.0, -np.pi / 2]])


# L. E. Dubins, American Journal of Mathematics 79 (1957): arcs of the least radius. For radius 1 the loop is
# π + 4 arccos((2 + d)/4), which is 7π/3 at d = 0 and π at d = 2; beyond that a U turn of π + d - 2.
@pytest.mark.parametrize(("offset", "length"), [(0, 7 * np.pi / 3), (1, 6.0325), (2, np.pi), (4, np.pi + 2)])
def test_turns_between_lanes_side_by_side(offset, length):
    assert turn_length_m(offset, 1) == pytest.approx(length, abs=1e-4)
    assert shortest_turns(*beside(offset), 1.0)[0][0] == pytest.approx(length, abs=1e-4)


def test_a_fishtail_is_shorter_than_a_loop_between_close_lanes():
    assert fishtail_length_m(0.5, 1) == pytest.approx(2 + np.pi - 0.5)
    assert fishtail_length_m(0.5, 1) < turn_length_m(0.5, 1)


@pytest.mark.parametrize("offset", [0.0, 0.5, 1.0, 1.9, 2.0, 3.0])
def test_depth_is_how_far_the_drawn_turn_reaches(offset):
    start, end = beside(offset)
    _, word, parts = shortest_turns(start, end, 1.0)
    points = turn_points(start[0], int(word[0]), parts[0], 1.0)
    assert points[:, 1].max() <= turn_depth_m(offset, 1) + 1e-9
    assert points[:, 1].max() == pytest.approx(turn_depth_m(offset, 1), abs=0.05)


@given(POSE, POSE, st.floats(0.2, 3))
@example((0.0, 0.0, 0.0), (0.0, 2e-05, 0.0), 1.0)
@settings(max_examples=200, deadline=None)
def test_a_turn_drawn_from_its_parts_arrives(start, end, radius):
    start, end = np.array([start]), np.array([end])
    length, word, parts = shortest_turns(start, end, radius)
    points = turn_points(start[0], int(word[0]), parts[0], radius)
    assert points[-1] == pytest.approx(end[0, :2], abs=1e-6)
    assert length[0] >= np.hypot(*(end - start)[0, :2]) - 1e-6
    drawn = np.hypot(*np.diff(points, axis=0).T).sum()
    assert drawn == pytest.approx(length[0], rel=0.004, abs=1e-6)


@given(POSE, POSE)
@settings(max_examples=100, deadline=None)
def test_a_turn_driven_backwards_is_as_long(start, end):
    there = shortest_turns(np.array([start]), np.array([end]), 1.0)[0]
    turn = np.array([0.0, 0.0, np.pi])
    back = shortest_turns(np.array([end]) + turn, np.array([start]) + turn, 1.0)[0]
    assert back == pytest.approx(there, abs=1e-6)
