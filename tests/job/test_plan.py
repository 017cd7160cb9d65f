"""The whole job: every later number is the measured area times a cited rate."""

import json

import numpy as np
import pytest
import shapely

import lawnmap
from lawnmap.errors import FileError, FindingsError
from lawnmap.job import Choices, General, plan_yard
from lawnmap.lanes import Rig
from lawnmap.measure import Ground
from lawnmap.rates import Fertilizer, Seed
from lawnmap.yard import Obstacle, Yard, Zone

ACRE_SQFT = 43_560
FOOT = 0.3048


def feet(*corners):
    return shapely.Polygon(np.array(corners) * FOOT)


@pytest.fixture
def lot():
    """A 100 × 60 ft lawn, half of it bare, around a 20 × 20 ft house."""
    return Yard(
        name="Lot",
        zones=(
            Zone("front", feet((0, 0), (50, 0), (50, 60), (0, 60)), density="bare"),
            Zone("back", feet((50, 0), (100, 0), (100, 60), (50, 60)), density="patchy"),
        ),
        obstacles=(Obstacle("house", "house", feet((40, 20), (60, 20), (60, 40), (40, 40))),),
    )


@pytest.fixture
def planned(lot):
    choices = Choices(
        seed=Seed(
            species="tall fescue", rate_kg_per_m2="8 lb / 1000 sq ft", packs=("10 lb",), allowance="0 %"
        ),
        fertilizer=Fertilizer(grade="20-5-10", rate_kg_per_m2="1 lb / 1000 sq ft"),
        ground=Ground(vertex_accuracy_m="0.1 ft"),
        rig=Rig(swath_m="5 ft", passes="two directions", zones="one by one"),
    )
    return plan_yard(lot, choices)


def by_zone(plan, kind):
    material = next(one for one in plan.prescription.materials if one.kind == kind)
    return {amount.zone: amount.amount_kg / 0.45359237 for amount in material.by_zone}


def test_the_house_is_taken_out_of_both_zones(planned):
    assert [zone.net_area_m2 / FOOT**2 for zone in planned.takeoff.zones] == pytest.approx([2800, 2800])


def test_amounts_are_area_times_rate_times_density(planned):
    # 2800 sq ft at 8 lb / 1000 sq ft, worked by hand: 22.4 lb bare, half of it patchy
    assert by_zone(planned, "seed") == pytest.approx({"front": 22.4, "back": 11.2})
    # 1 lb of N from a 20-5-10 is 5 lb of product per 1000 sq ft (UMass Extension Turf Program,
    # Rotary Spreader Calibration Procedures): 14 lb on each zone
    assert by_zone(planned, "fertilizer") == pytest.approx({"front": 14.0, "back": 14.0})


def test_one_purchase_for_the_whole_job(planned):
    seed = planned.prescription.materials[0]
    assert sum(pack.count for pack in seed.packs) == 4  # 33.6 lb; per zone it would be 3 + 2


def test_each_pass_gets_half(planned):
    loads = [load for load in planned.loads if load.material == planned.prescription.materials[0].name]
    front = [load.amount_kg / 0.45359237 for load in loads if load.zone == "front"]
    assert front == pytest.approx([11.2, 11.2])


def test_lanes_of_two_passes_cross(planned):
    turned = [single.direction_deg for single in planned.lanes.passes if single.zone == "front"]
    assert (turned[1] - turned[0]) % 180 == pytest.approx(90)


def test_all_that_leaves_the_hopper_is_accounted_for(planned):
    even = planned.evenness
    gone = even.on_lawn_kg + sum(even.off_lawn_kg.values())
    assert gone == pytest.approx(even.hopper_kg, rel=1e-6)
    # a triangle whose half-rate points lie a swath apart adds up to an even cover between lanes
    assert even.interior_cv == pytest.approx(0, abs=1e-9)


def test_nothing_to_spread_has_no_evenness(lot):
    bare = Choices(general=General(leave_out=("seed", "fertilizer")))
    assert plan_yard(lot, bare).evenness is None


def test_the_plan_is_json(planned):
    text = json.dumps(planned.to_dict(), allow_nan=False)
    assert json.loads(text)["takeoff"]["net_area_m2"] == pytest.approx(5600 * FOOT**2)


def test_every_amount_has_a_source(planned):
    for material in planned.to_dict()["prescription"]["materials"]:
        for amount in material["by_zone"]:
            assert amount["source"]


def test_parts_can_be_left_out(lot):
    plan = plan_yard(lot, Choices(general=General(leave_out=("fertilizer", "lanes"))))
    assert {material.kind for material in plan.prescription.materials} == {"seed"}
    assert not plan.lanes.passes
    assert not [one for one in plan.defaults if one.section in {"fertilizer", "rig"}]


def test_runoff_is_a_caution_where_fertilizer_is_spread(lot, planned):
    unfed = plan_yard(lot, Choices(General(leave_out=("fertilizer",))))
    fed = [sentence for sentence in planned.cautions if "before heavy rain" in sentence]
    assert len(fed) == 1
    assert "runs off into drains and streams" in fed[0]
    assert not any("heavy rain" in sentence for sentence in unfed.cautions)


def test_evenness_can_be_left_out_and_nothing_else_changes(lot, planned):
    choices = Choices(general=General(leave_out=("evenness",)), rig=Rig(zones="one by one"))
    plan = plan_yard(lot, choices)
    assert plan.evenness is None
    assert len(plan.lanes.passes) == len(planned.lanes.passes)


def test_strict_refuses_what_was_assumed(lot):
    unknown = Yard("Lot", (Zone("front", lot.zones[0].polygon),))
    with pytest.raises(FindingsError, match="leave out --strict"):
        plan_yard(unknown, Choices(), strict=True)


def test_a_job_without_a_yard_file_says_so(tmp_path):
    (tmp_path / "job.toml").write_text("name = 'x'\n")
    with pytest.raises(FileError, match=r'the yard file is not named; add file = "yard.geojson"'):
        lawnmap.plan(tmp_path)


def test_the_walk_carries_refills_loads_and_labour(planned):
    seed, fertilizer = planned.lanes.outings
    assert (seed.product, fertilizer.product) == tuple(one.name for one in planned.prescription.materials)
    for outing in planned.lanes.outings:
        loads = [load for load in planned.loads if load.material == outing.product]
        for load in loads:
            assert sum(load.split_kg) == pytest.approx(load.amount_kg)
            assert load.fills == len(load.split_kg)
    said = planned.to_dict()["lanes"]
    assert said["labour"]["total_s"] == pytest.approx(said["time_s"])
    assert said["compared"] is None  # zone by zone was asked for


def test_zones_that_touch_are_tried_both_ways(lot):
    choices = Choices(seed=Seed(species="tall fescue"), rig=Rig(swath_m="5 ft"))
    said = plan_yard(lot, choices).to_dict()["lanes"]["compared"]
    assert said["one_by_one_s"] > 0
    assert said["together_s"] > 0


def test_zones_worked_together_are_judged_zone_by_zone(lot):
    choices = Choices(
        seed=Seed(species="tall fescue", rate_kg_per_m2="8 lb / 1000 sq ft"),
        rig=Rig(swath_m="5 ft", zones="together"),
    )
    plan = plan_yard(lot, choices)
    assert plan.lanes.passes[0].zones == ("front", "back") or plan.lanes.passes[0].zones == ("back", "front")
    assert {zone.name for zone in plan.evenness.zones} == {"front", "back"}
    apart = plan_yard(lot, Choices(seed=choices.seed, rig=Rig(swath_m="5 ft", zones="one by one")))
    # the same material lands, whichever way it is walked
    assert plan.evenness.hopper_kg == pytest.approx(apart.evenness.hopper_kg, rel=0.15)
