"""Packs: the purchase is proven against trying every purchase."""

from decimal import Decimal
from itertools import product
from math import ceil

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lawnmap.errors import ChoiceError
from lawnmap.rates import Pack, Seed, buy


def pairs(bought):
    return [(round(pack.size_kg, 6), pack.count) for pack in bought]


def try_all(need, sizes, prices):
    """Every purchase worth a thought: cost, left over, packs; sizes and need in whole grams."""
    counts = product(*(range(ceil(need / size) + 1) for size in sizes))
    return min(
        (sum(n * p for n, p in zip(c, prices, strict=True)), weight, sum(c))
        for c in counts
        if (weight := sum(n * s for n, s in zip(c, sizes, strict=True))) >= need
    )


grams = st.integers(1, 60)


@settings(max_examples=300, deadline=None)
@given(
    need=st.integers(1, 240),
    sizes=st.lists(grams.filter(lambda size: size >= 8), min_size=1, max_size=3),
    cents=st.lists(st.integers(0, 5000), min_size=3, max_size=3),
    priced=st.booleans(),
)
def test_no_purchase_is_better(need, sizes, cents, priced):
    prices = [Decimal(price) / 100 if priced else None for price in cents[: len(sizes)]]
    packs = [Pack(size_kg=size / 1000, price=price) for size, price in zip(sizes, prices, strict=True)]
    bought = buy(need / 1000, packs)
    found = (
        sum(Decimal(pack.price or 0) * pack.count for pack in bought),
        round(sum(pack.size_kg * pack.count for pack in bought) * 1000),
        sum(pack.count for pack in bought),
    )
    assert found == try_all(need, sizes, [price or 0 for price in prices])


def test_whole_pounds_are_exact():
    """A hundred pounds is two bags of fifty, not three for a rounding in kilograms."""
    assert [pack.count for pack in buy(45.359237, [Pack(size="50 lb")])] == [2]
    assert [pack.count for pack in buy(4535.9237, [Pack(size="1 lb")])] == [10_000]


def test_a_hundredth_of_a_pound_more_buys_another():
    assert sum(pack.count for pack in buy(45.364, [Pack(size="50 lb")])) == 3


def test_cheaper_may_leave_more_over():
    packs = Seed(packs=[{"size": "50 lb", "price": "100"}, {"size": "5 lb", "price": "25"}]).packs
    assert pairs(buy(25, packs)) == [(22.679619, 1), (2.267962, 2)]
    assert pairs(buy(33, packs)) == [(22.679619, 2)]  # 5 × 25 would be dearer than a second large bag


def test_a_town():
    """A thousand tonnes: whole bags, covered, nothing that could be left in the shop."""
    packs = [Pack(size="50 lb"), Pack(size="25 lb"), Pack(size="10 lb"), Pack(size="5 lb")]
    bought = buy(1e6, packs)
    whole = sum(pack.size_kg * pack.count for pack in bought)
    assert 0 <= whole - 1e6 < packs[-1].size_kg
    assert sum(pack.count for pack in bought) <= 44_095


def test_odd_sizes_for_a_town_still_cover():
    packs = [Pack(size="50 lb"), Pack(size="10 kg"), Pack(size="7.3 lb")]
    whole = sum(pack.size_kg * pack.count for pack in buy(1e6, packs))
    assert 0 <= whole - 1e6 < 1e-3


def test_nothing_to_buy():
    assert buy(0, [Pack(size="1 kg")]) == ()
    assert buy(3, []) == ()


def test_prices_are_decimal():
    (bought,) = buy(1, [Pack(size="1 kg", price=0.1)])
    assert bought.price == "0.1"


@pytest.mark.parametrize(
    ("packs", "says"),
    [
        (["50 lb", {"size": "25 lb", "price": 40}], "some packs have a price and some have none"),
        (["50"], "has no unit"),
        (["50 ft"], "is a quantity of length, not of weight"),
        ([50], "50 has no unit"),
        (["0 lb"], "is not possible; it must be at least 0.0022 lb"),
        ([{"size": "50 lb", "cost": 3}], 'no key "cost"'),
        ([f"{n} lb" for n in range(1, 10)], "9 pack sizes are too many"),
    ],
)
def test_bad_packs(packs, says):
    with pytest.raises(ChoiceError, match=says):
        Seed.read({"packs": packs}, file="job.toml")
