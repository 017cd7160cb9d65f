"""What goes on the lawn: every product for every zone, summed up and bought once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lawnmap.rates.feeding import feed, feed_findings, feed_notes
from lawnmap.rates.ground import ground_for
from lawnmap.rates.model import Material, Prescription, Source, ZoneAmount
from lawnmap.rates.packs import buy
from lawnmap.rates.sowing import seed_findings, seed_notes, sow
from lawnmap.units import US, UnitSystem

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lawnmap.measure import Takeoff
    from lawnmap.rates.fertilizer import Fertilizer
    from lawnmap.rates.packs import Pack
    from lawnmap.rates.product import Product
    from lawnmap.rates.seed import Seed
    from lawnmap.yard import Finding


def prescribe(
    takeoff: Takeoff,
    *,
    seed: Seed | None = None,
    fertilizer: Fertilizer | None = None,
    products: Sequence[Product] = (),
    stock_kg: Mapping[str, float] | None = None,
    units: UnitSystem = US,
) -> Prescription:
    """Turn areas by density into amounts and packs.

    Parameters
    ----------
    takeoff : Takeoff
        The measured yard; amounts are worked out on the ground along the slope.
    seed : Seed, optional
        What is sown; none if left out.
    fertilizer : Fertilizer, optional
        What is fed; none if left out.
    products : sequence of Product
        Further granular products.
    stock_kg : mapping, optional
        What is there already, by the plain name of the product; it is used before anything is bought. [kg]
    units : UnitSystem
        Units of the sentences.

    Returns
    -------
    Prescription
        Every amount with its reason and the source of its rate.

    Raises
    ------
    ChoiceError
        For a zone that there is not, or more nitrogen than the user's ceiling.
    """
    materials: list[Material] = []
    found: list[Finding] = []
    stock = stock_kg or {}
    if seed is not None:
        amounts = sow(takeoff, seed, units)
        materials.append(_material((seed.name, "seed"), amounts, seed, seed_notes(seed, units), stock))
        found += seed_findings(seed, amounts, units)
    if fertilizer is not None:
        amounts = feed(takeoff, fertilizer, units)
        name = f"{fertilizer.grade} fertilizer"
        notes = feed_notes(takeoff, fertilizer, units)
        materials.append(_material((name, "fertilizer"), amounts, fertilizer, notes, stock))
        found += feed_findings(takeoff, fertilizer, units)
    for product in products:
        amounts = _spread(takeoff, product, units)
        materials.append(_material((product.name, "product"), amounts, product, (), stock))
    return Prescription(tuple(materials), tuple(found))


def _material(
    name_and_kind: tuple[str, str],
    amounts: tuple[ZoneAmount, ...],
    choices: Seed | Fertilizer | Product,
    notes: tuple[str, ...],
    stock_kg: Mapping[str, float],
) -> Material:
    """Sum the zones up and buy once for the whole job."""
    packs: tuple[Pack, ...] = choices.packs
    total = sum(amount.amount_kg for amount in amounts)
    stock = stock_kg.get(name_and_kind[0].casefold(), 0.0)
    bought = buy(total * (1 + choices.allowance) - stock, packs)
    return Material(
        name=name_and_kind[0],
        kind=name_and_kind[1],
        total_kg=total,
        by_zone=amounts,
        allowance=choices.allowance,
        packs=bought,
        left_over_kg=stock + sum(pack.size_kg * pack.count for pack in bought) - total
        if bought or stock > total
        else 0.0,
        notes=notes,
        in_stock_kg=stock,
    )


def _spread(takeoff: Takeoff, product: Product, units: UnitSystem) -> tuple[ZoneAmount, ...]:
    """One further product, at the user's rate, on the zones that the user names."""
    where = f'[[product]] "{product.name}", zones'
    rate, amounts = product.rate_kg_per_m2, []
    for zone, area in ground_for(
        takeoff, product.on, product.zones, near_water=product.near_water, where=where
    ):
        amounts.append(
            ZoneAmount(
                zone=zone.name,
                area_m2=area,
                rate_kg_per_m2=rate,
                low_kg_per_m2=rate,
                high_kg_per_m2=rate,
                amount_kg=rate * area,
                reason=f"{units.rate(rate)} (your own)",
                source=Source("your own rate", "", f'[[product]] "{product.name}", rate', "user"),
                by_hand=zone.by_hand,
            )
        )
    return tuple(amounts)
