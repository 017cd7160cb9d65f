import pytest
from shapely.geometry import box

from lawnmap.lanes import Rig, lay
from lawnmap.lanes.labour import labour_of
from lawnmap.lanes.refills import with_refills

LAWN = box(0, 0, 40, 30)
RIG = Rig(swath_m=2, passes="one direction", speed_m_per_s=1, turn_s=5, refill_s=100)


def test_times_add_up_to_those_of_the_plan():
    plan = lay(LAWN, RIG)
    labour = labour_of(plan, RIG)
    assert labour.total_s == pytest.approx(plan.time_s)
    assert labour.refill_s == 0
    assert labour.work_s == pytest.approx(plan.passes[0].work_length_m)


def test_refills_cost_walking_and_loading():
    plan = lay(LAWN, RIG)
    filled = with_refills(plan, LAWN, RIG, {"": 400.0})
    assert len(filled.passes[0].refills) >= 3
    labour = labour_of(filled, RIG)
    assert labour.total_s == pytest.approx(filled.time_s)
    assert labour.refill_s == 100 * len(filled.passes[0].refills)
    assert filled.path_length_m > plan.path_length_m
    frame = filled.to_frame()
    assert sorted(set(frame.fill_before) - {0}) == [fill.number for fill in filled.passes[0].refills]


# ASABE EP496: effective field capacity = speed × width × field efficiency.
def test_capacity_is_speed_times_swath_times_efficiency():
    labour = labour_of(lay(LAWN, RIG), RIG)
    assert 0 < labour.field_efficiency < 1
    assert labour.area_m2_per_h == pytest.approx(3600 * 1 * 2 * labour.field_efficiency)


def test_the_walk_as_a_table():
    plan = lay(LAWN, Rig(swath_m=2))
    frame = plan.to_frame()
    assert frame.step.tolist() == list(range(1, len(frame) + 1))
    assert frame.length_m.sum() == pytest.approx(plan.path_length_m)
    assert frame.geometry.length.sum() == pytest.approx(plan.path_length_m)
    assert set(frame.kind) == {"lane", "loop", "way"}
