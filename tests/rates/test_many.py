"""Amounts for many yards at once are those of `prescribe`, yard by yard, to the last digit."""

from pathlib import Path

import pytest
from shapely.geometry import LineString, box

from lawnmap.errors import ChoiceError
from lawnmap.job import read_choices
from lawnmap.measure import Ground, take_off_many
from lawnmap.rates import Fertilizer, Product, Seed, prescribe, prescribe_many
from lawnmap.survey import read_all
from lawnmap.yard import Water, Yard, Zone

PORTFOLIO = Path(__file__).parents[2] / "sample_parcels" / "portfolio"
LIME = Product(name="lime", rate_kg_per_m2=0.2, on=("thin", "bare"), near_water=True)
LABELLED = Seed(species="tall fescue", purity=(0.975,), germination=(0.9,))
CASES = {
    "defaults": {"seed": Seed(), "fertilizer": Fertilizer()},
    "label and products": {"seed": LABELLED, "products": (LIME, LIME)},
    "own ceiling": {"fertilizer": Fertilizer(ceiling_kg_per_m2=0.01, on=("patchy",))},
    "nothing": {},
}


@pytest.fixture(scope="module")
def takeoffs():
    return take_off_many(read_all(PORTFOLIO / "yards.gpkg"), read_choices(PORTFOLIO).ground)


@pytest.mark.parametrize("choices", CASES.values(), ids=CASES)
def test_amounts_are_those_of_each_yard_alone(takeoffs, choices):
    many = prescribe_many(takeoffs, **choices)
    alone = [prescribe(takeoff, **choices) for takeoff in takeoffs]
    for number, material in enumerate(many.materials):
        singles = [one.materials[number] for one in alone]
        assert (material.name, material.kind) == (singles[0].name, singles[0].kind)
        assert material.by_yard(len(takeoffs)).tolist() == [one.total_kg for one in singles]
        zones = [amount for one in singles for amount in one.by_zone]
        assert material.area_m2.tolist() == [amount.area_m2 for amount in zones]
        assert material.rate_kg_per_m2.tolist() == [amount.rate_kg_per_m2 for amount in zones]
    for yard, one in enumerate(alone):
        assert {*many.findings, *many.by_yard.get(yard, ())} == set(one.findings)


def test_what_is_found_in_single_yards():
    full = Yard("full", (Zone("lawn", box(0, 0, 10, 10), "full"),))
    bank = Yard(
        "bank",
        (Zone("bank", box(0, 0, 10, 10), "thin"),),
        water=(Water("pond", LineString([(0, 0), (10, 0)])),),
    )
    takeoffs = take_off_many([full, bank], Ground(water_setback_m=20))
    many = prescribe_many(takeoffs, seed=Seed(), fertilizer=Fertilizer())
    assert [found.code for found in many.by_yard[0]] == ["nothing-to-seed"]
    assert [str(found) for found in many.by_yard[1]] == [
        str(found) for found in prescribe(takeoffs[1], fertilizer=Fertilizer()).findings
    ]


def test_a_product_for_zones_by_name_refuses_only_yards_without_them(takeoffs):
    name = takeoffs[0].zones[0].name
    lime = Product(name="lime", rate_kg_per_m2=0.2, zones=(name,))
    many = prescribe_many(takeoffs, products=(lime,))
    for yard, takeoff in enumerate(takeoffs):
        if yard in many.refused:
            with pytest.raises(ChoiceError, match=f'there is no zone "{name}"'):
                prescribe(takeoff, products=(lime,))
        else:
            total = prescribe(takeoff, products=(lime,)).materials[0].total_kg
            assert many.materials[0].by_yard(len(takeoffs))[yard] == total
    assert 0 < len(many.refused) < len(takeoffs)


def test_a_ceiling_refuses_all():
    with pytest.raises(ChoiceError, match="is above your ceiling"):
        prescribe_many([], fertilizer=Fertilizer(ceiling_kg_per_m2=1e-6))
