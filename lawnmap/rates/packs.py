"""Packs to buy: the one purchase for the whole job, worked out in whole numbers."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import gcd
from typing import TYPE_CHECKING, Annotated, ClassVar, Final

from pydantic import AfterValidator, BeforeValidator

from lawnmap.choices import Mass, Section, choice
from lawnmap.errors import ChoiceError
from lawnmap.rates.model import PackCount

if TYPE_CHECKING:
    from collections.abc import Sequence

_GRAINS_PER_KG: Final = 10**8
"""The international pound is exactly 45,359,237 grains of 10 µg, so every pack of whole pounds is exact."""

_SLACK: Final = 100
"""A milligram short is not short: it is the rounding of an area, and buys no further bag. [grains]"""

_MOST: Final = 200_000
_MOST_SIZES: Final = 8


class Pack(Section):
    """One size that a product is sold in."""

    section: ClassVar[str] = "pack"

    size_kg: Mass = choice("size", ..., "Contents of one pack.", ge=0.001, le=100_000)
    price: Decimal | None = choice(
        "price", None, "Price of one pack, a plain number.", ge=0, decimal_places=4, max_digits=12
    )


def _listed(value: object) -> object:
    """Let ``"50 lb"`` stand for ``{ size = "50 lb" }``, and one pack for a list of one."""
    packs = value if isinstance(value, list | tuple) else (value,)
    return tuple(pack if isinstance(pack, dict | Pack) else {"size": pack} for pack in packs)


def _priced_alike(packs: tuple[Pack, ...]) -> tuple[Pack, ...]:
    if len({pack.price is None for pack in packs}) > 1:
        raise ChoiceError(
            "some packs have a price and some have none", mend="give every pack a price, or none"
        )
    if len(packs) > _MOST_SIZES:
        raise ChoiceError(f"{len(packs)} pack sizes are too many", mend=f"give at most {_MOST_SIZES}")
    return packs


Packs = Annotated[tuple[Pack, ...], BeforeValidator(_listed), AfterValidator(_priced_alike)]


def buy(need_kg: float, packs: Sequence[Pack]) -> tuple[PackCount, ...]:
    """Return the packs that cover a need.

    With prices the cheapest purchase, of equally cheap ones that with the least left over; without
    prices that with the least left over; then that of the fewest packs. Among all purchases the
    search may leave out those with many packs of a size *j* other than the best value *b*:
    ``s_b / gcd(s_b, s_j)`` packs of *j* weigh as much as some whole number of packs of *b*, which
    cost no more and are no more in number. What remains is tried completely (up to 200,000 sums;
    beyond that, odd sizes for a whole town, the smaller sizes are held to fewer packs).

    Parameters
    ----------
    need_kg : float
        What must be covered, allowance included. [kg]
    packs : sequence of Pack
        The sizes on sale.

    Returns
    -------
    tuple of PackCount
        Largest size first; sizes that are not bought are left out.

    Examples
    --------
    >>> [(round(pack.size_kg), pack.count) for pack in buy(61, [Pack(size="20 kg"), Pack(size="5 kg")])]
    [(20, 3), (5, 1)]
    """
    need = round(need_kg * _GRAINS_PER_KG) - _SLACK
    if need <= 0 or not packs:
        return ()
    packs = sorted(packs, key=lambda pack: (-pack.size_kg, pack.price or 0))
    sizes = [round(pack.size_kg * _GRAINS_PER_KG) for pack in packs]
    costs = _whole_costs(packs)
    best = min(range(len(packs)), key=lambda i: (Fraction(costs[i], sizes[i]), -sizes[i]))
    others = [i for i in range(len(packs)) if i != best]
    sums = {0: (0, 0, (0,) * len(packs))}
    for i in others:
        sums = _with_size(sums, i, (sizes, costs), (best, need))
    options = []
    for total, (cost, count, counts) in sums.items():
        more = max(0, -((total - need) // sizes[best]))
        whole = total + more * sizes[best]
        chosen = (*counts[:best], more, *counts[best + 1 :])
        options.append((cost + more * costs[best], whole, count + more, chosen))
    bought = min(options)[3]
    return tuple(
        PackCount(pack.size_kg, count, None if pack.price is None else str(pack.price))
        for pack, count in zip(packs, bought, strict=True)
        if count
    )


_Sums = dict[int, tuple[int, int, tuple[int, ...]]]


def _with_size(sums: _Sums, i: int, table: tuple[list[int], list[int]], goal: tuple[int, int]) -> _Sums:
    """Add up to as many packs of size `i` as can be of use; of equal sums the cheapest stays."""
    (sizes, costs), (best, need) = table, goal
    most = min(sizes[best] // gcd(sizes[best], sizes[i]) - 1, _MOST // len(sums))
    found: _Sums = {}
    for total, (cost, count, counts) in sums.items():
        useful = max(0, -((total - need) // sizes[i]))
        for n in range(min(most, useful) + 1):
            weight = total + n * sizes[i]
            option = (cost + n * costs[i], count + n, (*counts[:i], n, *counts[i + 1 :]))
            if weight not in found or option < found[weight]:
                found[weight] = option
    return found


def _whole_costs(packs: Sequence[Pack]) -> list[int]:
    """Prices as whole numbers of their smallest decimal place; all nothing where there are no prices."""
    return [int((pack.price or Decimal(0)).scaleb(4)) for pack in packs]
