import numpy as np
import pytest
from shapely.geometry import Point, Polygon, box

from lawnmap.lanes import Rig, lay
from lawnmap.lanes.direction import Spacing
from lawnmap.lanes.wings import wings_of

L_YARD = Polygon([(0, 0), (100, 0), (100, 40), (40, 40), (40, 100), (0, 100)])
T_YARD = box(0, 60, 120, 100).union(box(40, 0, 80, 60))
SPACING = Spacing(4, 0.5, 12)


def plan(ground, **more):
    return lay(
        ground,
        Rig(
            swath_m=4, speed_m_per_s=1, turn_s=12, **{"passes": "one direction", "headland_loops": 0, **more}
        ),
    )


# An L of 100 by 100 less 60 by 60 has altitudes that add up to 100 in either direction: 25 lanes at 4. Cut along
# the step its wings have 40 each: 20 lanes. W. H. Huang, IEEE ICRA 2001, on the sum of altitudes of cells.
def test_the_wings_of_an_l_take_a_fifth_fewer_lanes():
    made = plan(L_YARD)
    assert len(made.lanes) == 20
    assert sorted(single.direction_deg for single in made.passes) == [0, 90]
    assert made.path_length_m < 1696  # what the best single direction walks, by counting


def test_wings_share_the_rounds_and_leave_no_gap():
    made = plan(T_YARD, headland_loops=1, lane_end=1)
    assert len(made.passes) == 2
    assert [len(single.loops) for single in made.passes] == [1, 0]
    assert sum(single.by_hand.area for single in made.passes) < 0.001 * T_YARD.area


@pytest.mark.parametrize("ground", [box(0, 0, 60, 40), Point(0, 0).buffer(30), Polygon()])
def test_ground_without_wings_stays_whole(ground):
    assert wings_of(ground, SPACING) == ()


def test_wings_are_parts_of_the_ground():
    parts = wings_of(L_YARD, SPACING)
    assert sum(part.area for part in parts) == pytest.approx(L_YARD.area)
    assert len(parts) == 2


def test_a_stated_direction_or_a_second_one_needs_no_wings():
    assert len(plan(L_YARD, direction=0).passes) == 1
    assert len(plan(L_YARD, passes="two directions").passes) == 2


def test_half_spacing_walks_each_wing_twice():
    made = plan(L_YARD, passes="half spacing")
    assert [single.number for single in made.passes] == [1, 1, 2, 2]
    assert np.ptp([single.lane_count for single in made.passes]) <= 2
