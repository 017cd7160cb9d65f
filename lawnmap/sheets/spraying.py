"""The panel of the spraying day: what each zone and each tank gets, the year's total, how to rinse."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lawnmap.sheets.blocks import put_table, put_words
from lawnmap.sheets.elements import Element, put
from lawnmap.sheets.figures import Table

if TYPE_CHECKING:
    from lawnmap.job import Plan, SprayPlan
    from lawnmap.units import UnitSystem


_FILLING: Final = (
    "Half fill with clean water, add the product, fill to the mark and stir (common practice); where the label gives "
    "another order, follow it."
)


def spray_panel(main: Element, plan: Plan) -> None:
    """Put every spray of a plan, or nothing without any.

    Parameters
    ----------
    main : Element
        Where to put it.
    plan : Plan
        A finished plan.
    """
    if not plan.sprays:
        return
    box = put(main, "div", css="tables", attributes={"id": "spraying"})
    for table in spray_tables(plan):
        put_table(box, table)
    steps = tuple(dict.fromkeys(step for spray in plan.sprays for step in spray.rinsing))
    said = tuple(dict.fromkeys(line for spray in plan.sprays for line in spray.warnings))
    prose = put(main, "div", css="prose")
    put_words(prose, "Rinsing, before and after", steps, "rinsing")
    put_words(prose, "What extension services say", said, "warnings", "Your label decides.")


def spray_tables(plan: Plan) -> tuple[Table, ...]:
    """Return the tables of all sprays: by zone, by tank, by application.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    """
    found = []
    for spray in plan.sprays:
        found.append(_by_zone(plan, spray))
        found += tank_tables(plan, spray)
        found.append(_running_total(plan, spray))
    return tuple(table for table in found if table.rows)


def tank_tables(plan: Plan, spray: SprayPlan) -> tuple[Table, ...]:
    """Return the table of a spray's tanks: none where it goes into those of another, or nowhere.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    spray : SprayPlan
        One of its sprays.
    """
    is_first = spray is _first_in_tank(plan, spray)
    return (_by_tank(plan, spray),) if is_first and spray.tank_loads else ()


def spray_line(spray: SprayPlan, units: UnitSystem) -> str:
    """Write one spray in a line.

    Parameters
    ----------
    spray : SprayPlan
        What is sprayed.
    units : UnitSystem
        What to write it in.
    """
    name = f"{spray.name[:1].upper()}{spray.name[1:]}"
    if not spray.tanks:
        return f"{name}: nothing to spray"
    last = f", the last {units.volume(spray.last_tank_m3)}" if spray.last_tank_m3 and spray.full_tanks else ""
    tanks = f"{spray.tanks} tanks" if spray.tanks > 1 else "1 tank"
    return (
        f"{name}: {spray.product.write(units)} in {units.volume(spray.spray_m3)} of spray on "
        f"{units.area(spray.area_m2)}, {tanks} of {units.volume(spray.tank_m3)}{last}; "
        f"{_times(spray.applications)}, {100 * spray.used_share[-1]:.3g} % of the year's maximum"
    )


def _times(count: int) -> str:
    return f"{count} applications" if count > 1 else "1 application"


def _first_in_tank(plan: Plan, spray: SprayPlan) -> SprayPlan:
    """The spray whose table of tanks stands for all that share the tank."""
    return next(one for one in plan.sprays if one is spray or one.name in spray.mixed_with)


def _by_zone(plan: Plan, spray: SprayPlan) -> Table:
    units = plan.units
    numbers = {zone.name: i for i, zone in enumerate(plan.takeoff.zones)}
    passes = f", {spray.passes} passes over the same ground" if spray.passes > 1 else ""
    notes = [f"The sprayer puts down {units.volume_rate(spray.carrier_m)}{passes}."]
    first = _first_in_tank(plan, spray)
    if first is not spray:
        notes.append(f"It goes into the same tanks as {first.name}: see there.")
    notes += [f"Your label: {rule.rstrip('.')}." for rule in spray.rules]
    return Table(
        f"Spraying: {spray.name}, each application",
        ("Zone", "Area", "Spray", "Product"),
        tuple(
            (zone.zone, units.area(zone.area_m2), units.volume(zone.spray_m3), zone.product.write(units))
            for zone in spray.by_zone
        ),
        ("All zones", units.area(spray.area_m2), units.volume(spray.spray_m3), spray.product.write(units)),
        (*notes, *spray.notes),
        tuple(f"z{numbers[zone.zone]}" for zone in spray.by_zone),
    )


def _by_tank(plan: Plan, spray: SprayPlan) -> Table:
    units = plan.units
    partners = [one for one in plan.sprays if one.name in spray.mixed_with]
    together = [spray, *partners]
    notes = [_FILLING, "Mix the part tank last, and only as much as the ground that is left takes."]
    if partners:
        names = " and ".join(one.name for one in together)
        notes.append(f"{names} share a tank only because both labels say that they may.")
    rows = []
    for i, load in enumerate(spray.tank_loads):
        number = f"{load.first} to {load.last}, each" if load.count > 1 else str(load.first)
        part = ", part full" if load.spray_m3 < spray.tank_m3 * (1 - 1e-6) else ""
        products = (one.tank_loads[i].product.write(units) for one in together)
        rows.append((number + part, units.volume(load.spray_m3), *products, units.area(load.area_m2)))
    heads = [f"Product: {one.name}" for one in together] if partners else ["Product"]
    return Table(
        f"Tank by tank: {' + '.join(one.name for one in together)}",
        ("Tank", "Fill to", *heads, "Covers"),
        tuple(rows),
        notes=tuple(notes),
    )


def _running_total(plan: Plan, spray: SprayPlan) -> Table:
    units, first = plan.units, spray.running_total[0]
    return Table(
        f"Over the year: {spray.name}",
        ("No.", "The ground has then had", "Of the yearly maximum"),
        tuple(
            (str(number), total.write_rate(units, like=first), f"{100 * share:.3g} %")
            for number, (total, share) in enumerate(
                zip(spray.running_total, spray.used_share, strict=True), start=1
            )
        ),
        notes=(
            f"Your label allows {spray.yearly_maximum.write_rate(units, like=first)} in a year on the same ground.",
        ),
    )
