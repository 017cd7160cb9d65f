"""The prescription as a whole: one purchase, results as tables and JSON."""

import json

import pytest

from lawnmap.rates import Fertilizer, Seed, prescribe
from lawnmap.units import convert


def test_one_purchase_for_the_whole_job(lawn):
    """17.64 lb and 5 % are 18.522 lb: one 20 lb bag, not one bag for each zone."""
    plan = prescribe(lawn, seed=Seed(packs=["20 lb", "5 lb"]))
    (seed,) = plan.materials
    assert convert(seed.total_kg, "lb") == pytest.approx(17.64)
    assert [(convert(pack.size_kg, "lb"), pack.count) for pack in seed.packs] == [(pytest.approx(20), 1)]
    assert convert(seed.left_over_kg, "lb") == pytest.approx(20 - 17.64)


def test_no_packs_nothing_left_over(lawn):
    (seed,) = prescribe(lawn, seed=Seed(packs=())).materials
    assert seed.packs == ()
    assert seed.left_over_kg == 0


def test_nothing_wanted(lawn):
    assert prescribe(lawn).materials == ()


def test_the_slope_counts(takeoff, zone):
    """Amounts rest on the ground along the slope, not on what is seen from above."""
    whole = prescribe(takeoff(zone(area="1044 sq ft")), seed=Seed()).materials[0].total_kg
    assert convert(whole, "lb") == pytest.approx(7 * 1.044)


def test_results_are_json_and_a_table(lawn):
    plan = prescribe(lawn, seed=Seed(packs=[{"size": "20 lb", "price": 80}]), fertilizer=Fertilizer())
    read = json.loads(json.dumps(plan.to_dict()))
    assert read["materials"][0]["packs"][0]["price"] == "80"
    assert all(amount["source"] for material in read["materials"] for amount in material["by_zone"])
    frame = plan.to_frame()
    assert len(frame) == 4 + 5
    assert frame["amount_kg"].sum() == pytest.approx(sum(material.total_kg for material in plan.materials))


def test_every_amount_is_rate_times_area_with_a_source(lawn):
    for material in prescribe(lawn, seed=Seed(), fertilizer=Fertilizer()).materials:
        for amount in material.by_zone:
            assert amount.amount_kg == pytest.approx(amount.rate_kg_per_m2 * amount.area_m2)
            assert amount.low_kg_per_m2 <= amount.rate_kg_per_m2 <= amount.high_kg_per_m2
            assert amount.source.title
            assert amount.reason
