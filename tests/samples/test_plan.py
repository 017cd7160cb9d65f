"""Each sample is planned from its job file, whole, as a user would."""

import json
import shutil

import pytest

import lawnmap

SAMPLE_NAMES = ("contractor", "homeowner", "portfolio")


@pytest.fixture(scope="module", params=SAMPLE_NAMES)
def planned(request, samples):
    return request.param, lawnmap.plan(samples / request.param)


def test_every_zone_that_needs_seed_gets_it(planned):
    _, plan = planned
    seed = next(material for material in plan.prescription.materials if material.kind == "seed")
    assert {amount.zone for amount in seed.by_zone if amount.amount_kg > 0} == {
        zone.name for zone in plan.takeoff.zones if zone.density != "full"
    }


def test_packs_cover_the_amount(planned):
    _, plan = planned
    for material in plan.prescription.materials:
        bought = sum(pack.size_kg * pack.count for pack in material.packs)
        assert bought >= material.total_kg * (1 + material.allowance) - 1e-9
        assert material.left_over_kg == pytest.approx(bought - material.total_kg)


def test_loads_put_down_what_was_prescribed(planned):
    _, plan = planned
    for material in plan.prescription.materials:
        loaded = sum(load.amount_kg for load in plan.loads if load.material == material.name)
        spread = sum(amount.amount_kg for amount in material.by_zone if not amount.by_hand)
        assert loaded == pytest.approx(spread)


def test_loads_and_lanes_count_the_same_passes(planned):
    """The contractor's sample goes in two directions, the homeowner's at half spacing."""
    _, plan = planned
    walked = {(zone, single.number, single.count) for single in plan.lanes.passes for zone in single.zones}
    for material in plan.prescription.materials:
        loads = [load for load in plan.loads if load.material == material.name]
        zones = {load.zone for load in loads}
        assert {(load.zone, load.pass_number, load.pass_count) for load in loads} == {
            one for one in walked if one[0] in zones
        }
        rates = {amount.zone: amount.rate_kg_per_m2 for amount in material.by_zone}
        for load in loads:
            assert load.rate_kg_per_m2 * load.pass_count == pytest.approx(rates[load.zone])


def test_lanes_are_as_many_as_the_ground_needs(planned):
    """Gates open over at least the net area: lanes at swath spacing times their number of passes."""
    _, plan = planned
    for single in plan.lanes.passes:
        area_m2 = sum(zone.net_area_m2 for zone in plan.takeoff.zones if zone.name in single.zones)
        assert single.work_length_m * single.swath_m >= 0.85 * (area_m2 - single.by_hand.area)
        assert single.path_length_m >= single.work_length_m * (1 - 1e-9)


def test_folder_holds_the_four_files(planned, tmp_path):
    _, plan = planned
    page = lawnmap.write(plan, tmp_path / "plan")
    assert page == tmp_path / "plan" / "map.html"
    assert {path.name for path in page.parent.iterdir()} >= {
        "map.html",
        "areas.csv",
        "plan.json",
        "yard.gpkg",
    }
    told = json.loads((page.parent / "plan.json").read_text("utf-8"))
    assert told["takeoff"]["net_area_m2"] == plan.takeoff.net_area_m2


def test_yard_file_alone_is_planned_on_defaults(samples, tmp_path):
    path = shutil.copy(samples / "homeowner" / "yard.geojson", tmp_path)
    plan = lawnmap.plan(path)
    assert plan.takeoff.net_area_m2 == pytest.approx(lawnmap.plan(samples / "homeowner").takeoff.net_area_m2)
    assert plan.defaults
