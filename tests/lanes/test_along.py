import numpy as np
import pytest
import shapely
from shapely.geometry import MultiPolygon, Polygon, box

from lawnmap.errors import ChoiceError
from lawnmap.lanes import Rig, lay, lay_for_products
from lawnmap.lanes.along import cut_out, lay_both_ways, split_by_zone
from lawnmap.lanes.labour import settings_changed
from lawnmap.lanes.model import SettingChange

RIG = Rig(swath_m=2, passes="one direction", direction=0, speed_m_per_s=1, turn_s=3, setting_change_s=5)
BESIDE = (("a", "bare", box(0, 0, 25, 20)), ("b", "thin", box(25, 0, 60, 20)))
GROUNDS = {name: ground for name, _, ground in BESIDE}


def lanes_changed(single):
    return [change for change in single.changes if single.legs[change.leg].kind == "lane" and change.at_m]


def test_lanes_along_a_border_need_no_change_on_the_way(takeoff_of):
    both = lay_both_ways(takeoff_of(("a", "bare", box(0, 0, 60, 10)), ("b", "thin", box(0, 10, 60, 20))), RIG)
    single = both.whole.passes[0]
    assert single.zone == "a + b"
    assert set(single.zones) == {"a", "b"}
    assert lanes_changed(single) == []


def test_lanes_across_a_border_change_at_it(takeoff_of):
    single = lay_both_ways(takeoff_of(*BESIDE), RIG).whole.passes[0]
    lanes = lanes_changed(single)
    assert len(lanes) == single.lane_count
    for change in lanes:
        begin = single.legs[change.leg].points[0]
        assert change.at_m == pytest.approx(abs(25 - begin[0]), abs=1e-3)
    assert {change.zone for change in single.changes} == {"a", "b"}


def test_changes_cost_time_and_the_quicker_way_is_taken(takeoff_of):
    takeoff = takeoff_of(*BESIDE)
    dear = lay_both_ways(takeoff, RIG.model_copy(update={"setting_change_s": 60.0}))
    cheap = lay_both_ways(takeoff, RIG.model_copy(update={"setting_change_s": 0.0}))
    stops = settings_changed(dear.whole.passes[0].changes)
    assert dear.compared.together_s - cheap.compared.together_s == pytest.approx(60 * stops)
    assert not dear.compared.together
    assert len(dear.chosen.passes) == 2
    assert cheap.compared.together
    assert cheap.chosen.passes[0].zone == "a + b"
    assert cheap.compared.one_by_one_s == pytest.approx(cheap.by_zone.time_s)


@pytest.mark.parametrize(("asked", "passes"), [("one by one", 2), ("together", 1)])
def test_the_user_may_say_which(asked, passes, takeoff_of):
    rig = RIG.model_copy(update={"zones": asked, "setting_change_s": 60.0})
    assert len(lay_for_products(takeoff_of(*BESIDE), rig, []).passes) == passes


def test_zones_of_one_class_need_no_change(takeoff_of):
    both = lay_both_ways(takeoff_of(("a", "thin", box(0, 0, 25, 20)), ("b", "thin", box(25, 0, 60, 20))), RIG)
    assert len(both.whole.passes[0].changes) == 1
    assert both.compared.together


def test_each_product_is_walked_only_where_it_goes(takeoff_of):
    takeoff = takeoff_of(*BESIDE)
    one = lay_both_ways(takeoff, RIG, [{"a": 0.02, "b": 0.02}]).compared
    two = lay_both_ways(takeoff, RIG, [{"a": 0.02, "b": 0.02}, {"b": 0.01}]).compared
    by_zone = lay(takeoff, RIG)
    assert two.one_by_one_s - one.one_by_one_s == pytest.approx(by_zone.passes[1].time_s)
    assert two.together_m == pytest.approx(2 * one.together_m)


def test_shutting_the_gate_on_the_way_is_no_stop():
    rates = [0.02, 0.0, 0.02, 0.01, 0.0, 0.02]
    assert settings_changed([SettingChange(0, float(i), "", rate) for i, rate in enumerate(rates)]) == 2


def test_a_zone_without_ground_changes_nothing(takeoff_of):
    both = lay_both_ways(takeoff_of(("none", "full", Polygon()), *BESIDE), RIG)
    assert set(both.whole.passes[0].zones) == {"a", "b"}
    assert both.compared == lay_both_ways(takeoff_of(*BESIDE), RIG).compared


def test_the_parts_of_a_zone_stay_in_one_pass(takeoff_of):
    split = ("a", "bare", MultiPolygon([box(0, 0, 25, 20), box(-40, 0, -20, 20)]))
    whole = lay_both_ways(takeoff_of(split, BESIDE[1]), RIG).whole
    assert [single.zone for single in whole.passes] == ["a + b"]
    assert set(whole.passes[0].zones) == {"a", "b"}


def test_zones_apart_are_laid_once(takeoff_of):
    apart = takeoff_of(("a", "thin", box(0, 0, 20, 20)), ("b", "bare", box(40, 0, 60, 20)))
    plan = lay_for_products(apart, RIG, [])
    assert [single.zone for single in plan.passes] == ["a", "b"]
    assert plan.compared is None


def test_directions_of_single_zones_and_one_go_contradict_each_other(takeoff_of):
    rig = RIG.model_copy(update={"zones": "together", "zone_directions": {"a": 90.0}})
    with pytest.raises(ChoiceError, match="cannot have directions of their own"):
        lay_for_products(takeoff_of(*BESIDE), rig, [])


def test_cut_by_zone_the_lanes_are_the_same(takeoff_of):
    takeoff = takeoff_of(*BESIDE)
    whole = lay_both_ways(takeoff, RIG).whole
    parts = split_by_zone(whole, takeoff)
    assert [single.zone for single in parts.passes] == list(whole.passes[0].zones)

    def length(plan):
        return sum(np.hypot(*(p.lanes[:, 1] - p.lanes[:, 0]).T).sum() + sum(q.length for q in p.loops)
                   for p in plan.passes)  # fmt: skip

    assert length(parts) == pytest.approx(length(whole))
    for single in parts.passes:
        zone = GROUNDS[single.zone]
        assert shapely.covers(zone.buffer(1e-3), shapely.linestrings(single.lanes)).all()


def test_cutting_keeps_corners():
    line = np.array([[0.0, 0.0], [4.0, 0.0], [4.0, 3.0]])
    assert cut_out(line, 1, 6).tolist() == [[1, 0], [4, 0], [4, 2]]
