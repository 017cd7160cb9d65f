"""One line of an offer: quantity times price, rounded, with what is put on it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING

from lawnmap.quote.model import Line

if TYPE_CHECKING:
    from lawnmap.quote.per import UnitPrice
    from lawnmap.quote.prices import Kind, Prices


def share(fraction: float) -> Decimal:
    """Return a share as the decimal number that the user wrote. [1]

    Examples
    --------
    >>> share(0.07), share(0.1 + 0.2)
    (Decimal('0.07'), Decimal('0.3'))
    """
    return Decimal(f"{fraction:.12g}")


@dataclass(frozen=True)
class Charged:
    """What is counted on a line.

    Attributes
    ----------
    kind, name, basis : str
        As in `Line`.
    material : str
        Name of the material, on its lines.
    size_si : float
        As in `Line`. [SI unit of what is counted]
    """

    kind: Kind
    name: str
    basis: str
    material: str = ""
    size_si: float = 0.0


def line(prices: Prices, what: Charged, quantity: Decimal, unit: str, unit_price: Decimal) -> Line:
    """Work out one line.

    Parameters
    ----------
    prices : Prices
        Rounding, and markup or margin.
    what : Charged
        What it is.
    quantity : Decimal
        How much. [unit]
    unit : str
        Of what.
    unit_price : Decimal
        Price of one. [currency]
    """
    cost = prices.money.rounded(quantity * unit_price)
    price = prices.money.rounded(with_gain(prices, what.kind, cost))
    return Line(
        what.kind, what.name, what.basis, quantity, unit, unit_price, cost, price, what.material, what.size_si
    )


def with_gain(prices: Prices, kind: Kind, cost: Decimal) -> Decimal:
    """Return the price that a cost becomes: cost × (1 + markup), or cost ÷ (1 − margin). [currency]

    Parameters
    ----------
    prices : Prices
        With markup, margin or neither.
    kind : str
        Kind of line.
    cost : Decimal
        The cost. [currency]
    """
    if kind not in prices.marked_up:
        return cost
    if prices.markup is not None:
        return cost * (1 + share(prices.markup))
    if prices.margin is not None:
        return cost / (1 - share(prices.margin))
    return cost


def measured(prices: Prices, what: Charged, value_si: float, per: UnitPrice) -> Line:
    """Work out a line of something measured.

    Parameters
    ----------
    prices : Prices
        Rounding, and markup or margin.
    what : Charged
        What it is.
    value_si : float
        How much. [SI unit of the price's kind]
    per : UnitPrice
        What a unit of it costs.
    """
    return line(prices, replace(what, size_si=per.size_si), per.count(value_si), per.unit, per.amount)
