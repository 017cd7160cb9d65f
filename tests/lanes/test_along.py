import pytest
from shapely.geometry import Polygon, box

from lawnmap.lanes import Rig
from lawnmap.lanes.along import lay_both_ways
from lawnmap.measure.model import Takeoff, ZoneArea
from lawnmap.yard import Yard, Zone

RIG = Rig(swath_m=2, passes="one direction", direction=0, speed_m_per_s=1, turn_s=3, setting_change_s=5)


def takeoff_of(*zones):
    areas = tuple(
        ZoneArea(
            name,
            density,
            "stated",
            None,
            0.0,
            p.area,
            p.area,
            0.1,
            p.area,
            0.0,
            by_hand=False,
            ground=p,
            unfed=Polygon(),
        )
        for name, density, p in zones
    )
    total = sum(area.net_area_m2 for area in areas)
    yard = Yard("yard", tuple(Zone(name, p) for name, _, p in zones))
    return Takeoff(yard, areas, (), total, total, 0.1, None, 0.05, "test", ())


def test_lanes_along_a_border_need_no_change_on_the_way():
    both = lay_both_ways(takeoff_of(("a", "bare", box(0, 0, 60, 10)), ("b", "thin", box(0, 10, 60, 20))), RIG)
    single = both.whole.passes[0]
    assert single.zone == "a + b"
    assert [change for change in both.changes if single.legs[change.leg].kind == "lane" and change.at_m] == []
    assert both.quicker.time_s == min(both.whole.time_s, both.by_zone.time_s)


def test_lanes_across_a_border_change_at_it():
    both = lay_both_ways(takeoff_of(("a", "bare", box(0, 0, 25, 20)), ("b", "thin", box(25, 0, 60, 20))), RIG)
    single = both.whole.passes[0]
    lanes = [change for change in both.changes if single.legs[change.leg].kind == "lane" and change.at_m]
    assert len(lanes) == single.lane_count
    for change in lanes:
        begin = single.legs[change.leg].points[0]
        assert change.at_m == pytest.approx(abs(25 - begin[0]), abs=1e-3)
    assert {change.zone for change in both.changes} == {"a", "b"}


def test_changes_cost_time():
    takeoff = takeoff_of(("a", "bare", box(0, 0, 25, 20)), ("b", "thin", box(25, 0, 60, 20)))
    dear = lay_both_ways(takeoff, RIG.model_copy(update={"setting_change_s": 60.0}))
    cheap = lay_both_ways(takeoff, RIG.model_copy(update={"setting_change_s": 0.0}))
    assert dear.whole.time_s - cheap.whole.time_s == pytest.approx(60 * (len(dear.changes) - 1))
    assert dear.quicker is dear.by_zone
    assert cheap.quicker is cheap.whole


def test_zones_of_one_class_need_no_change():
    both = lay_both_ways(takeoff_of(("a", "thin", box(0, 0, 25, 20)), ("b", "thin", box(25, 0, 60, 20))), RIG)
    assert len(both.changes) == 1
    assert both.quicker is both.whole


def test_zones_apart_stay_apart():
    both = lay_both_ways(takeoff_of(("a", "thin", box(0, 0, 20, 20)), ("b", "bare", box(40, 0, 60, 20))), RIG)
    assert [single.zone for single in both.whole.passes] == ["a", "b"]
