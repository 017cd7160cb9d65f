"""Loads: every part gets its own rate, pass by pass, and the sum is kept."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lawnmap.errors import ChoiceError
from lawnmap.rates import Fertilizer, Product, Seed, load_hopper, prescribe
from lawnmap.rates.model import Material, Prescription, Source, ZoneAmount


def plan_of(amount_kg):
    amount = ZoneAmount(
        "a", 1.0, amount_kg, amount_kg, amount_kg, amount_kg, "", Source("own", "", "", "user")
    )
    return Prescription((Material("x", "product", amount_kg, (amount,)),))


@given(amount=st.floats(1e-3, 1e5), hopper=st.floats(0.5, 100), passes=st.integers(1, 4))
def test_nothing_is_lost(amount, hopper, passes):
    loads = load_hopper(plan_of(amount), hopper_kg=hopper, passes=passes)
    assert len(loads) == passes
    assert sum(load.fills * load.fill_kg for load in loads) == pytest.approx(amount)
    assert sum(load.rate_kg_per_m2 for load in loads) == pytest.approx(amount)
    for load in loads:
        assert load.fill_kg <= hopper * (1 + 1e-9)
        assert (load.fills - 1) * hopper < load.amount_kg * (1 + 1e-9)


def test_a_full_hopper_is_one_fill():
    (load,) = load_hopper(plan_of(22.6796185), hopper_kg=22.6796185)
    assert load.fills == 1


@pytest.mark.parametrize(
    ("passes", "count", "rate"), [("one direction", 1, 10), ("two directions", 2, 5), ("half spacing", 2, 5)]
)
def test_ways_to_split(passes, count, rate):
    """Half spacing walks twice, the second time between the lanes, with the spreader set to half the rate."""
    loads = load_hopper(plan_of(10.0), hopper_kg=50, passes=passes)
    assert len(loads) == count
    assert {load.rate_kg_per_m2 for load in loads} == {rate}
    assert sum(load.amount_kg for load in loads) == 10


def test_order_and_spots_by_hand(lawn):
    plan = prescribe(
        lawn,
        seed=Seed(),
        fertilizer=Fertilizer(),
        products=[Product(name="lime", rate="40 lb / 1000 sq ft", zones=["front"])],
    )
    loads = load_hopper(plan, hopper_kg=20, passes=2)
    assert {load.material for load in loads} == {"tall fescue", "18-24-12 fertilizer", "lime"}
    assert "spot" not in {load.zone for load in loads}
    assert [(load.pass_number, load.zone) for load in loads if load.material == "tall fescue"] == [
        (1, "slope"), (1, "back"), (1, "side"), (2, "slope"), (2, "back"), (2, "side"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("hopper", "passes", "says"),
    [
        (0, 1, "the hopper holds nothing"),
        (10, 0, "0 passes put nothing down"),
        (10, "two direction", 'did you mean "two directions"'),
    ],
)
def test_bad_input(hopper, passes, says):
    with pytest.raises(ChoiceError, match=says):
        load_hopper(plan_of(1.0), hopper_kg=hopper, passes=passes)
