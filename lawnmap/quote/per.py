"""Prices as a person writes them, an amount of money per unit: ``"48.00 / h"``, ``"12.50 / 1000 sq ft"``."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Annotated, Final

from pydantic import BeforeValidator

from lawnmap.errors import ChoiceError, QuantityError
from lawnmap.quote.money import counted
from lawnmap.units import parse

_EXAMPLES: Final = {
    "time": "48.00 / h",
    "length": "0.90 / mi",
    "mass": "2.40 / lb",
    "area": "12.50 / 1000 sq ft",
    "volume": "38.00 / cu yd",
}
_MEASURES: Final = ("area", "volume", "mass", "time", "length")
_MOST: Final = Decimal(10) ** 9


@dataclass(frozen=True)
class UnitPrice:
    """An amount of money for so much of something.

    Attributes
    ----------
    amount : Decimal
        The price. [currency]
    unit : str
        For what, as the user wrote it: ``"h"``, ``"1000 sq ft"``.
    kind : str
        What the unit measures: ``"time"``, ``"length"``, ``"mass"``, ``"area"`` or ``"volume"``.
    size_si : float
        How large that is. [SI unit of the kind]
    """

    amount: Decimal
    unit: str
    kind: str
    size_si: float

    def count(self, value_si: float) -> Decimal:
        """Return how many of the unit a measured value is, to two decimals. [SI unit of the kind] to [1]"""
        return counted(value_si / self.size_si)


def read_money(text: object) -> Decimal:
    """Read an amount of money, a plain number that is not below nothing.

    Parameters
    ----------
    text : object
        As written: ``"1,250.00"``, ``48``.

    Raises
    ------
    ChoiceError
        If it is none.
    """
    text = text.strip() if isinstance(text, str) else text
    try:
        amount = Decimal(str(text).replace(",", ""))
    except InvalidOperation:
        amount = Decimal("NaN")
    if isinstance(text, bool) or not amount.is_finite():
        raise ChoiceError(
            f"{text!r} is no amount of money", mend='write a plain number, "48.00" for instance'
        )
    if amount < 0:
        raise ChoiceError(f"the price {text} is below nothing", mend="give a price of 0 or more")
    if amount > _MOST:
        raise ChoiceError(f"the price {text} is too large", mend="check where the decimal point is")
    return amount


def read_price(value: object, kinds: tuple[str, ...]) -> UnitPrice:
    """Read a price per unit.

    Parameters
    ----------
    value : object
        As written, or one that was read.
    kinds : tuple of str
        What it may be per; the first one is shown as an example.

    Raises
    ------
    QuantityError
        Without a unit, or with one of the wrong kind.
    ChoiceError
        If the amount is no price.
    """
    if isinstance(value, UnitPrice):
        return value
    money, stroke, unit = str(value).partition("/")
    mend = f'write what it is for, "{_EXAMPLES[kinds[0]]}" for instance'
    if not stroke or not unit.strip():
        raise QuantityError(f"the price {value} says no unit", mend=mend)
    amount = read_money(money)
    words = " ".join(unit.split())
    for kind in kinds:
        try:
            size = parse(words if words[0].isdigit() else f"1 {words}", kind)
        except QuantityError:
            continue
        if size > 0:
            return UnitPrice(amount, words, kind, size)
    raise QuantityError(f'a price per "{words}" is of the wrong kind', mend=mend)


def _per(*kinds: str) -> BeforeValidator:
    return BeforeValidator(lambda value: None if value is None else read_price(value, kinds))


def read_either(value: object) -> object:
    """Read a price per unit, or an amount for the lot.

    Parameters
    ----------
    value : object
        As written, or one that was read.
    """
    return (
        read_price(value, _MEASURES)
        if "/" in str(value) or isinstance(value, UnitPrice)
        else read_money(value)
    )


Amount = Annotated[Decimal, BeforeValidator(read_money)]
PerHour = Annotated[UnitPrice, _per("time")]
PerDistance = Annotated[UnitPrice, _per("length")]
PerArea = Annotated[UnitPrice, _per("area")]
PerAmount = Annotated[UnitPrice, _per("mass", "volume")]
PerMeasureOrLot = Annotated[UnitPrice | Decimal, BeforeValidator(read_either)]
