"""Lines for what is laid over the seed and for what is sprayed: the material, and the work of it by area."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from lawnmap.quote.lines import Charged, line, measured
from lawnmap.quote.materials import entry_of, title, unpriced

if TYPE_CHECKING:
    from lawnmap.quote.model import Line
    from lawnmap.quote.prices import Prices
    from lawnmap.quote.work import Work
    from lawnmap.rates import Cover, SprayPlan
    from lawnmap.units import UnitSystem


def cover_lines(work: Work, prices: Prices) -> list[Line]:
    """Return the lines for topdressing and straw.

    Parameters
    ----------
    work : Work
        With the covers.
    prices : Prices
        The price book.

    Raises
    ------
    ChoiceError
        If one has no price.
    """
    found: list[Line] = []
    for cover in work.covers:
        if not cover.total:
            continue
        found.append(_cover_line(cover, prices, work.units))
        if prices.laying is not None and prices.labour_flat is None:
            what = Charged("labour", f"Laying {cover.name}", work.units.area(cover.area_m2))
            found.append(measured(prices, what, cover.area_m2, prices.laying))
    return found


def _cover_line(cover: Cover, prices: Prices, units: UnitSystem) -> Line:
    entry = entry_of(cover.name, prices)
    what = Charged("material", title(cover.name), f"{units.area(cover.area_m2)}: {cover.reason}", cover.name)
    if entry is not None and entry.each is not None and cover.buy is not None:
        return line(prices, what, Decimal(cover.buy), "bale" if cover.kind == "straw" else "bag", entry.each)
    per = entry.price if entry else None
    if per is not None and per.kind == "volume" and cover.kind == "topdressing":
        return measured(prices, what, cover.total, per)
    if per is not None and per.kind == "mass" and cover.weight_kg is not None:
        return measured(prices, what, cover.weight_kg, per)
    if cover.kind == "straw" or (entry is not None and entry.each is not None):
        raise unpriced(cover.name, "", 'each = "8.50"')
    raise unpriced(cover.name, "by volume", f'price = "38.00 / {units.bulk_unit}"')


def spray_lines(work: Work, prices: Prices) -> list[Line]:
    """Return the lines for sprays: the product of all applications that are planned, and the work by area.

    Parameters
    ----------
    work : Work
        With the sprays.
    prices : Prices
        The price book.

    Raises
    ------
    ChoiceError
        If a product has no price.
    """
    found: list[Line] = []
    for spray in work.sprays:
        if not spray.area_m2:
            continue
        found.append(_spray_line(spray, prices, work.units))
        gone_over = spray.area_m2 * spray.applications
        if prices.spraying is not None and prices.labour_flat is None:
            basis = f"{work.units.area(spray.area_m2)}, {_times(spray.applications)}"
            what = Charged("labour", f"Spraying {spray.name}", basis)
            found.append(measured(prices, what, gone_over, prices.spraying))
    return found


def _spray_line(spray: SprayPlan, prices: Prices, units: UnitSystem) -> Line:
    entry = entry_of(spray.name, prices)
    per = entry.price if entry else None
    if per is None or per.kind != spray.product.measure:
        example = "60.00 / gal" if spray.product.measure == "volume" else "40.00 / lb"
        raise unpriced(
            spray.name,
            f"by {'volume' if spray.product.measure == 'volume' else 'weight'}",
            f'price = "{example}"',
        )
    basis = f"{spray.product.write(units)} on {units.area(spray.area_m2)}, {_times(spray.applications)}"
    what = Charged("material", title(spray.name), basis, spray.name)
    return measured(prices, what, spray.product.value * spray.applications, per)


def _times(count: int) -> str:
    return "once" if count == 1 else f"{count} times"
