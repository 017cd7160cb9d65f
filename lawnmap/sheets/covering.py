"""The panel of what is laid over the seed: topdressing by volume, straw by the bale."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lawnmap.sheets.blocks import put_table
from lawnmap.sheets.elements import Element, put
from lawnmap.sheets.figures import Table
from lawnmap.units import figure

if TYPE_CHECKING:
    from lawnmap.job import Cover, Plan
    from lawnmap.units import UnitSystem


def cover_panel(main: Element, plan: Plan) -> None:
    """Put what is laid over the seed, or nothing without any.

    Parameters
    ----------
    main : Element
        Where to put it.
    plan : Plan
        A finished plan.
    """
    if plan.covers:
        box = put(main, "div", css="tables", attributes={"id": "covering"})
        for cover in plan.covers:
            put_table(box, cover_table(plan, cover))


def cover_line(cover: Cover, units: UnitSystem) -> str:
    """Write one material in a line.

    Parameters
    ----------
    cover : Cover
        What is laid over the seed.
    units : UnitSystem
        What to write it in.
    """
    name = f"{cover.name[:1].upper()}{cover.name[1:]}"
    packs = f"; {buying(cover, units)}" if buying(cover, units) else ""
    return f"{name}: {cover_amount(cover, cover.total, units)}{packs}"


def cover_amount(cover: Cover, amount: float, units: UnitSystem) -> str:
    """Write so much of a material: cubic yards, or cubic metres and litres; or bales.

    Parameters
    ----------
    cover : Cover
        What is laid over the seed.
    amount : float
        How much of it. [m³ or count]
    units : UnitSystem
        What to write it in.
    """
    if cover.kind != "topdressing":
        return f"{figure(amount)} bales"
    litres = f" ({units.volume(amount)})" if units.name == "metric" else ""
    return f"{units.bulk(amount)}{litres}"


def buying(cover: Cover, units: UnitSystem) -> str:
    """Write what to fetch: bags or bales, loads, weight; the allowance is in it.

    Parameters
    ----------
    cover : Cover
        What is laid over the seed.
    units : UnitSystem
        What to write it in.
    """
    pack = "bale" if cover.kind == "straw" else "bag or bale"
    parts = []
    if cover.buy is not None:
        parts.append(f"buy {_counted(cover.buy, pack)}")
    if cover.loads is not None:
        parts.append(_counted(cover.loads, "load"))
    if cover.weight_kg is not None:
        parts.append(f"{units.mass(cover.weight_kg)} to carry")
    return ", ".join(parts)


def _counted(count: int, word: str) -> str:
    plural = {"bag or bale": "bags or bales"}.get(word, f"{word}s")
    return f"{count} {word if count == 1 else plural}"


def cover_table(plan: Plan, cover: Cover) -> Table:
    """Return the table of one material.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    cover : Cover
        What is laid over the seed.
    """
    units = plan.units
    numbers = {zone.name: i for i, zone in enumerate(plan.takeoff.zones)}
    bought = buying(cover, units)
    return Table(
        f"{cover.name[:1].upper()}{cover.name[1:]} over the seed",
        ("Zone", "Area", "Amount"),
        tuple(
            (zone.zone, units.area(zone.area_m2), cover_amount(cover, zone.amount, units))
            for zone in cover.by_zone
        ),
        ("All zones", units.area(cover.area_m2), cover_amount(cover, cover.total, units)),
        (
            f"{cover.reason[:1].upper()}{cover.reason[1:]}.",
            *((f"{bought[:1].upper()}{bought[1:]}, allowance included.",) if bought else ()),
            f"Source: {cover.source}.",
        ),
        tuple(f"z{numbers[zone.zone]}" for zone in cover.by_zone),
    )
