"""Rounding by the two rules of commerce, prices per unit, shares that stay exact."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lawnmap.errors import ChoiceError, QuantityError
from lawnmap.quote import Money
from lawnmap.quote.lines import share
from lawnmap.quote.money import counted
from lawnmap.quote.per import read_money, read_price

CENTS = st.decimals(min_value=0, max_value=10**7, places=4)


@pytest.mark.parametrize(
    ("amount", "half_up", "half_even"),
    [  # IEEE 754-2019, 4.3: round to nearest, ties away from zero and ties to even
        ("2.345", "2.35", "2.34"),
        ("2.355", "2.36", "2.36"),
        ("2.3449", "2.34", "2.34"),
        ("0.005", "0.01", "0.00"),
        ("1.005", "1.01", "1.00"),
    ],
)
def test_half_a_cent(amount, half_up, half_even):
    assert Money(rule="half up").rounded(Decimal(amount)) == Decimal(half_up)
    assert Money(rule="half even").rounded(Decimal(amount)) == Decimal(half_even)


@pytest.mark.parametrize(("places", "written"), [(0, "1,235"), (2, "1,234.50"), (3, "1,234.500")])
def test_a_currency_has_its_own_places(places, written):
    # ISO 4217: the yen has no minor unit, the dollar hundredths, the Bahraini dinar thousandths
    assert Money("JPY", places).write(Decimal("1234.5")) == written


@given(CENTS)
def test_rounding_is_off_by_half_a_cent_at_most(amount):
    assert abs(Money().rounded(amount) - amount) <= Decimal("0.005")


@given(st.integers(0, 2000))
def test_a_percentage_stays_what_was_written(per_mille):
    assert share(per_mille / 1000) == Decimal(per_mille) / 1000


def test_quantities_are_those_that_are_printed():
    assert counted(1.005) == Decimal("1.01")
    assert counted(1 / 3) == Decimal("0.33")


@pytest.mark.parametrize(
    ("text", "value_si", "count"),
    [
        ("48.00 / h", 5400, "1.50"),
        ("0.02 / sq ft", 92.90304, "1000.00"),  # 1000 sq ft, NIST Handbook 44
        ("12.50/1000 sq ft", 92.90304, "1.00"),
        ("2.40 / lb", 4.5359237, "10.00"),
        ("0.90 / mi", 16093.44, "10.00"),
        ("38 / cu yd", 0.764554857984, "1.00"),
        ("15 / 100 m2", 250, "2.50"),
    ],
)
def test_a_price_is_per_a_unit(text, value_si, count):
    kinds = ("time", "area", "mass", "length", "volume")
    assert read_price(text, kinds).count(value_si) == Decimal(count)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("48", r'the price 48 says no unit; write what it is for, "48\.00 / h" for instance'),
        ("48 /", r"the price 48 / says no unit"),
        ("48 / sq ft", r'a price per "sq ft" is of the wrong kind; write what it is for, "48\.00 / h"'),
        ("48 / fortnight", r'a price per "fortnight" is of the wrong kind'),
        ("48 / 0 h", r'a price per "0 h" is of the wrong kind'),
    ],
)
def test_a_price_without_its_unit_is_refused(text, says):
    with pytest.raises(QuantityError, match=says):
        read_price(text, ("time",))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("-3", r"the price -3 is below nothing; give a price of 0 or more"),
        ("free", r"'free' is no amount of money; write a plain number"),
        ("NaN", r"'NaN' is no amount of money"),
        ("inf", r"'inf' is no amount of money"),
        (True, r"True is no amount of money"),
        ("1e12", r"the price 1e12 is too large; check where the decimal point is"),
    ],
)
def test_what_is_no_money_is_refused(text, says):
    with pytest.raises(ChoiceError, match=says):
        read_money(text)
