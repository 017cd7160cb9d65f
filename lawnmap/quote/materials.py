"""Lines for materials: packs as bought, or the amount used, at the price of the job or of the price book."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from math import isclose
from typing import TYPE_CHECKING

from lawnmap.errors import ChoiceError
from lawnmap.quote.lines import Charged, line, measured
from lawnmap.rates import buy

if TYPE_CHECKING:
    from lawnmap.quote.model import Line
    from lawnmap.quote.prices import MaterialPrice, Prices
    from lawnmap.quote.work import Work
    from lawnmap.rates import Material, PackCount
    from lawnmap.units import UnitSystem


def material_lines(work: Work, prices: Prices) -> list[Line]:
    """Return a line for each pack size of each material, or one for the amount used.

    Parameters
    ----------
    work : Work
        With the prescription.
    prices : Prices
        The price book.

    Raises
    ------
    ChoiceError
        If a material has no price: an offer that leaves it out would be short without a word.
    """
    found: list[Line] = []
    for material in work.prescription.materials:
        if material.total_kg > 0:
            found += _lines(material, prices, work.units)
    return found


def _lines(material: Material, prices: Prices, units: UnitSystem) -> list[Line]:
    entry = entry_of(material.name, prices)
    basis = basis_of(material, units)
    what = Charged("material", title(material.name), basis, material.name)
    per = entry.price if entry else None
    if prices.charge == "amount":
        if per is None or per.kind != "mass":
            raise unpriced(material.name, "by weight", f'price = "2.40 / {units.mass_unit}"')
        return [measured(prices, what, material.total_kg, per)]
    packs = material.packs or (buy(_need_kg(material), entry.packs) if entry else ())
    if not packs and per is not None and per.kind == "mass":
        return [measured(prices, what, _need_kg(material), per)]
    if not packs:
        raise unpriced(material.name, "", 'packs = [{ size = "50 lb", price = "96.00" }]')
    return [_pack_line(pack, what, prices, units) for pack in packs if pack.count]


def _pack_line(pack: PackCount, what: Charged, prices: Prices, units: UnitSystem) -> Line:
    entry = entry_of(what.material, prices)
    size = units.mass(pack.size_kg)
    named = replace(what, name=f"{what.name}, {size}", size_si=pack.size_kg)
    money = Decimal(pack.price) if pack.price is not None else _pack_price(pack, entry)
    if money is None and entry is not None and entry.price is not None and entry.price.kind == "mass":
        return measured(prices, named, pack.size_kg * pack.count, entry.price)
    if money is None:
        raise unpriced(
            what.material, f"for a pack of {size}", f'packs = [{{ size = "{size}", price = "96.00" }}]'
        )
    return line(prices, named, Decimal(pack.count), "pack", money)


def _pack_price(pack: PackCount, entry: MaterialPrice | None) -> Decimal | None:
    for priced in entry.packs if entry else ():
        if isclose(priced.size_kg, pack.size_kg, rel_tol=1e-4):
            found: Decimal | None = priced.price
            return found
    return None


def entry_of(name: str, prices: Prices) -> MaterialPrice | None:
    """Find a material in the book; the job's own entries come first.

    Parameters
    ----------
    name : str
        Its name as the plan has it.
    prices : Prices
        The price book.
    """
    wanted = name.casefold()
    return next((one for one in prices.materials if one.name.casefold() == wanted), None)


def unpriced(name: str, how: str, example: str) -> ChoiceError:
    """Say that a material has no price, and what to add where.

    Parameters
    ----------
    name : str
        Its name as the plan has it.
    how : str
        Which price is missing: ``"by weight"``; empty for any.
    example : str
        Keys to add.
    """
    return ChoiceError(
        f"{name} has no price {how}".rstrip(),
        where="[prices]",
        mend=f'add {example} under [[material]], name = "{name}", in the price book',
    )


def _need_kg(material: Material) -> float:
    return material.total_kg * (1 + material.allowance)


def basis_of(material: Material, units: UnitSystem) -> str:
    """Say how an amount came about: area times rate, zone by zone in the plan, and the allowance.

    Parameters
    ----------
    material : Material
        As prescribed.
    units : UnitSystem
        What to write it in.
    """
    area_m2 = sum(amount.area_m2 for amount in material.by_zone)
    rates = sorted({units.rate(amount.rate_kg_per_m2): amount.rate_kg_per_m2 for amount in material.by_zone}.items(),
                   key=lambda item: item[1])  # fmt: skip
    low, high = rates[0][0], rates[-1][0]
    at = high if len(rates) == 1 else f"{low.removesuffix(units.rate_unit).strip()} to {high}"
    text = f"{units.area(area_m2)} × {at} = {units.mass(material.total_kg)}"
    if material.allowance:
        text += f", with {100 * material.allowance:.3g} % allowance {units.mass(_need_kg(material))}"
    return text


def title(name: str) -> str:
    """Begin a name with a capital."""
    return name[:1].upper() + name[1:]
