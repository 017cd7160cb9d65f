"""Machines of every kind, and what is asked of them that cannot be: a plan with plain findings or one sentence."""

import re
import time

import numpy as np
import pytest
import shapely
from shapely.geometry import Point, Polygon, box

from lawnmap.errors import ChoiceError
from lawnmap.lanes import Rig, lay
from lawnmap.lanes.coverage import swaths
from lawnmap.lanes.turns import turn_depth_m

LAWN = box(0, 0, 60, 40)


def codes(plan):
    return {found.code for found in plan.findings}


# A U turn is half a circle of the radius (lanes two radii apart or more), so that is how far it reaches.
@pytest.mark.parametrize(
    ("radius", "swath", "rounds"), [(1.5, 2, 1), (2.4, 1.2, 3), (2.0, 1.5, 2), (0.5, 2, 1)]
)
def test_rounds_leave_room_for_the_turns(radius, swath, rounds):
    rig = Rig(swath_m=swath, machine="tow-behind", turning_radius_m=radius, passes="one direction")
    assert rig.rounds == rounds
    plan = lay(LAWN, rig)
    single = plan.passes[0]
    assert single.turn_depth_m == pytest.approx(turn_depth_m(2 * radius, radius))
    assert single.headland_m == pytest.approx(rounds * swath)
    assert single.headland_m >= single.turn_depth_m
    assert ("rounds-for-turns" in codes(plan)) == (rounds > 1)


def test_rounds_that_are_stated_stay_and_the_need_is_told():
    rig = Rig(
        swath_m=1.5, machine="tow-behind", turning_radius_m=2.5, headland_loops=1, passes="one direction"
    )
    plan = lay(LAWN, rig)
    assert plan.passes[0].headland_m == pytest.approx(1.5)
    tight = next(found for found in plan.findings if found.code == "turn-does-not-fit")
    assert "for which 2 rounds leave room" in tight.text
    assert re.match(r"a turn of [\d.]+ m \([\d.]+ ft\) radius", tight.text)


def test_what_turns_on_the_spot_needs_one_round_whatever_the_radius_says():
    assert Rig(swath_m=1, turning_radius_m=5).rounds == 1


@pytest.mark.parametrize("width", [1.2, 1.8, 3.0])
def test_a_drag_mat_and_a_boom_are_rigs_with_a_width_of_their_own(width):
    """Whatever is pulled over it, the strips of its own width cover the lawn."""
    rig = Rig(swath_m=width, machine="tow-behind", turning_radius_m=1.5, passes="one direction", lane_end=1)
    single = lay(LAWN, rig).passes[0]
    covered = shapely.union_all(swaths(single.lanes, single.loops, width), grid_size=1e-6)
    assert covered.intersection(LAWN).area > 0.995 * LAWN.area
    assert single.swath_m == width


def test_swath_wider_than_the_yard():
    plan = lay(box(0, 0, 4, 3), Rig(swath_m=12))
    assert codes(plan) == {"narrower-than-swath"}
    assert plan.lanes.shape == (0, 2, 2)
    assert plan.time_s == 0


@pytest.mark.parametrize("loops", [0, 1])
def test_no_room_to_turn_at_all(loops):
    plan = lay(
        box(0, 0, 20, 3),
        Rig(
            swath_m=1, machine="tow-behind", turning_radius_m=4, headland_loops=loops, passes="one direction"
        ),
    )
    assert "turn-does-not-fit" in codes(plan)
    assert len(plan.lanes) > 0


def test_a_radius_of_nothing_is_refused():
    with pytest.raises(ChoiceError, match="turning_radius"):
        Rig.read({"turning_radius": "0 ft"}, file="job.toml")


def test_a_radius_too_large_for_any_headland_is_told_and_the_plan_still_made():
    rig = Rig(swath_m=2, machine="tow-behind", turning_radius_m=25, passes="one direction")
    plan = lay(LAWN, rig)
    assert rig.rounds == 3
    assert codes(plan) == {"turn-does-not-fit", "rounds-for-turns"}
    assert np.isfinite(plan.path_length_m)


def test_no_way_between_two_parts_is_told():
    parts = shapely.union_all([box(0, 0, 20, 20), box(30, 0, 50, 20)])
    plan = lay(parts, Rig(swath_m=2, passes="one direction"))
    assert codes(plan) == {"no-way-through"}


@pytest.mark.parametrize("cap_s", [2.0])
def test_ten_thousand_tiny_obstacles_end_within_the_cap(cap_s):
    side = np.arange(100)
    places = np.stack(np.meshgrid(side, side), axis=-1).reshape(-1, 2) * 3.0 + 1.5
    ground = box(0, 0, 300, 300).difference(
        shapely.union_all([Point(*place).buffer(0.1, quad_segs=1) for place in places])
    )
    began = time.process_time()
    plan = lay(ground, Rig(swath_m=6, passes="one direction", lane_end=0, headland_loops=0, time_cap_s=cap_s))
    took_s = time.process_time() - began
    assert len(plan.lanes) > 0
    assert "order-cut-short" in codes(plan)
    # what cannot be cut short, lanes and ground left over, comes on top; a hang would take minutes
    assert took_s < 60


def test_obstacles_that_leave_nothing():
    ring = box(0, 0, 10, 10).difference(box(0.4, 0.4, 9.6, 9.6))
    plan = lay(ring, Rig(swath_m=2))
    assert codes(plan) == {"narrower-than-swath"}


def test_a_needle_of_a_yard():
    plan = lay(Polygon([(0, 0), (100, 0.5), (100, 0.6)]), Rig(swath_m=1))
    assert codes(plan) == {"narrower-than-swath"}
