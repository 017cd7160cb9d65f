from itertools import pairwise

import numpy as np
import pytest
from shapely.geometry import Point, box

from lawnmap.lanes import Rig, Spread, lay, lay_both_ways, lay_for_products, put_down
from lawnmap.yard import Landmark

RIG = Rig(swath_m=2, passes="two directions", speed_m_per_s=1, turn_s=3, hopper_kg=10, refill_s=60)
ZONES = (("a", "bare", box(0, 0, 25, 20)), ("b", "thin", box(25, 0, 60, 20)))
TAP = (Landmark("tap", Point(0, 0), "refill"),)
SEED = Spread("seed", {"a": 0.04, "b": 0.02}, {"a": 20.0, "b": 14.0})
LIME = Spread("lime", {"b": 0.05}, {"b": 35.0})


def test_loads_of_every_pass_add_up_to_what_it_gets(takeoff_of):
    takeoff = takeoff_of(*ZONES, landmarks=TAP)
    plan = put_down(lay(takeoff, RIG), takeoff, RIG, [SEED, LIME])
    seed, lime = plan.outings
    assert [(single.zone, single.number) for single in seed.passes] == [
        ("a", 1),
        ("a", 2),
        ("b", 1),
        ("b", 2),
    ]
    assert [single.zone for single in lime.passes] == ["b", "b"]
    for outing, spread in ((seed, SEED), (lime, LIME)):
        for single in outing.passes:
            loads = outing.loads_kg(single.zone, single.number)
            assert sum(loads) == pytest.approx(spread.amounts_kg[single.zone] / 2)
            assert max(loads) <= RIG.hopper_kg + 1e-9


def test_the_plan_itself_shows_the_first_product(takeoff_of):
    takeoff = takeoff_of(*ZONES, landmarks=TAP)
    plan = put_down(lay(takeoff, RIG), takeoff, RIG, [LIME, SEED])
    assert [len(single.refills) for single in plan.passes] == [0, 0, 2, 2]
    assert plan.labour.total_s == pytest.approx(plan.time_s)
    assert plan.outings[0].labour.total_s == pytest.approx(sum(p.time_s for p in plan.outings[0].passes))


def test_one_walks_to_the_tap_before_every_pass_but_the_first(takeoff_of):
    takeoff = takeoff_of(*ZONES, landmarks=TAP)
    first, *others = put_down(lay(takeoff, RIG), takeoff, RIG, [SEED]).outings[0].passes
    assert first.refills[0].detour_m == 0
    for single in others:
        fill = single.refills[0]
        assert fill.after_leg == -1
        assert fill.there[-1] == pytest.approx([0, 0])
        work = next(leg for leg in single.legs if leg.kind != "way")
        assert fill.back[-1] == pytest.approx(work.points[0])
        assert fill.detour_m >= -1e-9


def test_worked_together_each_load_serves_both_zones(takeoff_of):
    takeoff = takeoff_of(*ZONES, landmarks=TAP)
    rig = RIG.model_copy(update={"zones": "together"})
    laid = lay_both_ways(takeoff, rig).chosen
    outing = put_down(laid, takeoff, rig, [SEED]).outings[0]
    for single in outing.passes:
        assert sum(refill.load_kg for refill in single.refills) == pytest.approx(17)
        assert max(refill.load_kg for refill in single.refills) <= 10 + 1e-9
        assert {change.rate_kg_per_m2 for change in single.changes} == {0.04, 0.02}
    assert outing.labour.change_s > 0
    assert outing.labour.total_s == pytest.approx(sum(single.time_s for single in outing.passes))


def test_where_one_zone_gets_nothing_the_gate_is_shut(takeoff_of):
    takeoff = takeoff_of(*ZONES, landmarks=TAP)
    rig = RIG.model_copy(update={"zones": "together"})
    outing = put_down(lay_both_ways(takeoff, rig).chosen, takeoff, rig, [LIME]).outings[0]
    assert outing.labour.change_s == 0
    assert {change.rate_kg_per_m2 for single in outing.passes for change in single.changes} == {0.0, 0.05}
    for single in outing.passes:
        assert sum(refill.load_kg for refill in single.refills) == pytest.approx(17.5)
        worked = sum(part.length_m for part in single.parts if part.zone == "b")
        assert sum(refill.work_length_m for refill in single.refills) == pytest.approx(worked)


def test_without_a_product_the_one_outing_is_the_bare_walk(takeoff_of):
    takeoff = takeoff_of(*ZONES)
    plan = put_down(lay(takeoff, RIG), takeoff, RIG, [])
    (outing,) = plan.outings
    assert outing.passes == plan.passes
    assert {step.settings for step in outing.steps} == {()}
    assert sum(step.time_s for step in outing.steps) == pytest.approx(plan.time_s)


@pytest.mark.parametrize("zones", ["one by one", "together"])
@pytest.mark.parametrize("hopper_kg", [1.5, 4, 100])
def test_steps_take_as_long_as_the_outing(takeoff_of, zones, hopper_kg):
    takeoff = takeoff_of(*ZONES, landmarks=TAP)
    rig = RIG.model_copy(update={"zones": zones, "hopper_kg": hopper_kg})
    for outing in put_down(lay_for_products(takeoff, rig, []), takeoff, rig, [SEED, LIME]).outings:
        steps = outing.steps
        assert sum(step.time_s for step in steps) == pytest.approx(outing.labour.total_s)
        fills = [fill for single in outing.passes for fill in single.refills]
        assert [fill.load_kg for step in steps for fill in step.fills] == [fill.load_kg for fill in fills]
        assert [step.number for step in steps] == list(range(1, len(steps) + 1))
        lanes = sum(single.lane_count + len(single.loops) for single in outing.passes)
        assert len(steps) == lanes


def test_a_step_says_when_to_fill_next(takeoff_of):
    takeoff = takeoff_of(*ZONES, landmarks=TAP)
    steps = put_down(lay(takeoff, RIG), takeoff, RIG, [LIME]).outings[0].steps
    for one, two in pairwise(steps):
        assert one.refill_after == bool(two.fills)
    assert not steps[-1].refill_after
    assert steps[0].load_kg is not None
    assert {setting.rate_kg_per_m2 for step in steps for setting in step.settings} == {0.025}


def test_settings_of_a_step_are_those_of_its_zones(takeoff_of):
    takeoff = takeoff_of(*ZONES, landmarks=TAP)
    rig = RIG.model_copy(update={"zones": "together", "passes": "one direction", "direction": 0.0})
    steps = put_down(lay_for_products(takeoff, rig, []), takeoff, rig, [SEED]).outings[0].steps
    for step in steps:
        if step.kind == "lane":
            west = step.points[0, 0] < step.points[1, 0]
            assert [s.rate_kg_per_m2 for s in step.settings] == ([0.04, 0.02] if west else [0.02, 0.04])
            assert step.settings[1].at_m == pytest.approx(abs(25 - step.points[0, 0]), abs=0.01)


def test_json_holds_refills_and_times(takeoff_of):
    takeoff = takeoff_of(*ZONES, landmarks=TAP)
    said = put_down(lay(takeoff, RIG), takeoff, RIG, [SEED]).to_dict()
    assert said["labour"]["total_s"] == pytest.approx(said["time_s"])
    assert said["outings"][0]["product"] == "seed"
    assert said["outings"][0]["passes"][0]["refills"][0]["load_kg"] > 0
    assert np.isfinite(said["outings"][0]["labour"]["field_efficiency"])


@pytest.mark.parametrize(("change_s", "refill_s", "together"), [(0.0, 120.0, True), (300.0, 0.0, False)])
def test_filling_and_changing_decide_whether_zones_are_worked_together(
    takeoff_of, change_s, refill_s, together
):
    takeoff = takeoff_of(*ZONES, landmarks=TAP)
    update = {"setting_change_s": change_s, "refill_s": refill_s, "hopper_kg": 40.0}
    rig = RIG.model_copy(update=update)
    plan = put_down(lay_for_products(takeoff, rig, [SEED]), takeoff, rig, [SEED])
    assert plan.compared.together is together
    time_s = {True: plan.compared.together_s, False: plan.compared.one_by_one_s}
    assert sum(outing.labour.total_s for outing in plan.outings) == pytest.approx(time_s[together])
    assert plan.compared.changes > 0
    for asked in ("together", "one by one"):
        told = lay_for_products(takeoff, rig.model_copy(update={"zones": asked}), [SEED])
        assert (len(told.passes[0].zones) > 1) is (asked == "together")
    if together:
        assert plan.compared.together_s < 0.9 * plan.compared.one_by_one_s
