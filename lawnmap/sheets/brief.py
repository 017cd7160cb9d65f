"""The result in a few lines of text, for a terminal or a message."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lawnmap.sheets.contacting import contact_lines
from lawnmap.sheets.covering import cover_line
from lawnmap.sheets.pricing import quote_lines
from lawnmap.sheets.spraying import spray_line
from lawnmap.sheets.timetable import brief_lines
from lawnmap.units import duration, figure

if TYPE_CHECKING:
    from lawnmap.job import Material, Plan, Takeoff
    from lawnmap.units import UnitSystem


def brief(plan: Plan) -> str:
    """Write the few lines that a user needs first.

    Parameters
    ----------
    plan : Plan
        A finished plan.

    Returns
    -------
    str
        Areas, what to buy, what to load, how far to walk.
    """
    lines = [plan.name, "", areas_text(plan.takeoff, plan.units), ""]
    for material in plan.prescription.materials:
        lines += _material(material, plan.units)
    lines += [cover_line(cover, plan.units) for cover in plan.covers]
    if plan.contact:
        lines += contact_lines(plan.contact)
    lines += [spray_line(spray, plan.units) for spray in plan.sprays]
    lines += quote_lines(plan)
    calendar = brief_lines(plan)
    lines += ["", *calendar] if calendar else []
    if plan.lanes.passes:
        lines += ["", _lanes(plan)]
    if plan.evenness:
        line = plan.evenness.line()
        lines.append(f"{line[0].upper()}{line[1:]}, {plan.evenness.rests_on}")
        lines += [f"Gate: {one.line(plan.units)}" for one in plan.evenness.settings]
        if plan.evenness.best:
            lines.append(f"Advice: {plan.evenness.best.line(plan.units)}")
    return "\n".join(lines)


def areas_text(takeoff: Takeoff, units: UnitSystem) -> str:
    """Write the areas of a take-off as a small table.

    Parameters
    ----------
    takeoff : Takeoff
        A measured yard.
    units : UnitSystem
        What to write them in.
    """
    rows = [(zone.name, zone.density, units.area(zone.net_area_m2), units.area_error(zone.net_area_se_m2))
            for zone in takeoff.zones]  # fmt: skip
    rows.append(("Net lawn", "", units.area(takeoff.net_area_m2), units.area_error(takeoff.net_area_se_m2)))
    width = max(len(row[0]) for row in rows)
    amount = max(len(row[2]) for row in rows)
    table = [
        f"{name:<{width}}  {density:<6}  {area:>{amount}}  {error}" for name, density, area, error in rows
    ]
    cut: dict[str, float] = {}
    for cutout in takeoff.cutouts:
        cut[cutout.kind] = cut.get(cutout.kind, 0.0) + cutout.area_m2
    taken = ", ".join(
        f"{kind} {units.area(area)}" for kind, area in sorted(cut.items(), key=lambda item: -item[1])
    )
    table.append(f"{units.land(takeoff.net_area_m2)}, out of {units.area(takeoff.gross_area_m2)} within the outlines"
                 + (f", less {taken}" if taken else ""))  # fmt: skip
    return "\n".join(table)


def _material(material: Material, units: UnitSystem) -> list[str]:
    packs = " + ".join(f"{pack.count} × {units.mass(pack.size_kg)}" for pack in material.packs)
    stock = f"; {units.mass(material.in_stock_kg)} in stock" if material.in_stock_kg else ""
    buy = f"; buy {packs}, {units.mass(material.left_over_kg)} left over" if packs else ""
    lines = [f"{material.name[:1].upper()}{material.name[1:]}: {units.mass(material.total_kg)}{stock}{buy}"]
    lines += [
        f"  {amount.zone}: {units.mass(amount.amount_kg)}{' by hand' if amount.by_hand else ''}"
        f" at {units.rate(amount.rate_kg_per_m2)}"
        for amount in material.by_zone
    ]
    return lines


def _lanes(plan: Plan) -> str:
    units, outings = plan.units, plan.lanes.outings
    lanes = sum(single.lane_count for single in plan.lanes.passes)
    once = (
        f"Lanes: {lanes} at {units.width(plan.lanes.passes[0].swath_m)}, "
        f"{units.length(plan.lanes.path_length_m)} to walk, {duration(plan.lanes.time_s)}"
        f" ({figure(len(plan.lanes.passes))} passes)"
    )
    if len(outings) < 2:
        return once
    time_s = sum(outing.labour.total_s for outing in outings)
    walked_m = sum(outing.path_length_m for outing in outings)
    return f"{once}; {units.length(walked_m)} and {duration(time_s)} for all {len(outings)} products"
