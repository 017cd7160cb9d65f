"""What was really done, in lines for a terminal and as a panel of the map page."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lawnmap.sheets.blocks import put_table
from lawnmap.sheets.elements import Element, put
from lawnmap.sheets.figures import Table

if TYPE_CHECKING:
    from lawnmap.job import Dose, MaterialReal, Plan, Stand, Tally, ZoneReal
    from lawnmap.units import UnitSystem


_AS_PLANNED: Final = 0.005  # what rounds to 100 %


def log_brief(tally: Tally, units: UnitSystem) -> str:
    """Write what follows from a log in a few lines.

    Parameters
    ----------
    tally : Tally
        The log held against its plan.
    units : UnitSystem
        What to write it in.
    """
    if not tally.done:
        return 'The log is empty; "lawnmap log JOB add" begins it.'
    count = len(tally.done)
    lines = [f"{count} entr{'ies' if count > 1 else 'y'} in the log, the last of {tally.done[-1].day}"]
    for material in tally.materials:
        lines += ["", *_material(material, units)]
    if tally.doses:
        lines += ["", f"What the ground has had in {tally.year}"]
        zones = dict.fromkeys(dose.zone for dose in tally.doses)
        lines += [
            f"  {zone}: " + "; ".join(_dose(dose, units) for dose in tally.doses if dose.zone == zone)
            for zone in zones
        ]
    if tally.stands:
        lines += ["", "What came up"]
        lines += [f"  {stand.zone}, {stand.day}: {_stand(stand, units)}" for stand in tally.stands]
    return "\n".join(lines)


def _material(material: MaterialReal, units: UnitSystem) -> list[str]:
    name = f"{material.name[:1].upper()}{material.name[1:]}"
    head = f"{name}: {material.used.write(units, material.kind)} used"
    return [
        f"{head}{_stock(material, units)}",
        *(f"  {zone.zone}: {_zone(material, zone, units)}" for zone in material.by_zone),
    ]


def _stock(material: MaterialReal, units: UnitSystem) -> str:
    if material.bought is None or material.left is None:
        return ", no purchase in the log"
    return f" of {material.bought.write(units, material.kind)} bought, {material.left.write(units, material.kind)} left"


def _zone(material: MaterialReal, zone: ZoneReal, units: UnitSystem) -> str:
    """One zone in a line: what it got, and what to do on the rest."""
    real, planned = zone.rates(units, material.kind)
    parts = []
    if not zone.done_m2:
        parts.append("not done yet")
    elif zone.ratio is None:
        parts.append(f"{zone.used.write(units, material.kind)} where none was planned")
    elif abs(zone.ratio - 1) < _AS_PLANNED:
        parts.append(f"{zone.used.write(units, material.kind)} as planned")
    else:
        word = "application" if material.kind == "spray" else "pass"
        each = f" in each {word}" if zone.rounds > 1 else ""
        parts.append(
            f"{zone.used.write(units, material.kind)} where {zone.planned.write(units, material.kind)} was planned "
            f"({zone.ratio:.0%}): {real} instead of {planned}{each}"
        )
    if zone.rest_m2:
        parts.append(_rest(material, zone, units))
    return "; ".join(parts)


def _rest(material: MaterialReal, zone: ZoneReal, units: UnitSystem) -> str:
    still = zone.still.write(units, material.kind)
    if zone.setting_for_rest is not None:
        return f"set the gate to {zone.setting_for_rest:.1f} for the rest, which needs {still} ({zone.setting_note})"
    return f"the rest needs {still}" + (f" ({zone.setting_note})" if zone.setting_note else "")


def _dose(dose: Dose, units: UnitSystem) -> str:
    had, limit = dose.amounts(units)
    allowed = f", {100 * dose.share:.3g} % of the {limit} allowed" if dose.share is not None else ""
    return f"{had} of {dose.name}{allowed}"


def _stand(stand: Stand, units: UnitSystem) -> str:
    parts = []
    plants, seeds = stand.counts(units)
    if stand.cover_percent is not None:
        parts.append(f"{stand.cover_percent:g} % cover, {stand.density} (planned as {stand.density_planned})")
    if plants:
        sown = f", old ones among them; {seeds} were sown" if seeds else ""
        parts.append(plants + (f", {stand.emerged:.0%} of {seeds}" if stand.emerged is not None else sown))
        parts.append(stand.mature)
    return "; ".join(parts)


def log_panel(main: Element, plan: Plan) -> None:
    """Put what was really done, or nothing where the job does not ask for it.

    Parameters
    ----------
    main : Element
        Where to put it.
    plan : Plan
        A finished plan.
    """
    if plan.record is None or not plan.record.done:
        return
    box = put(main, "div", css="tables", attributes={"id": "log"})
    for table in log_tables(plan.record, plan.units):
        put_table(box, table)


def log_tables(tally: Tally, units: UnitSystem) -> tuple[Table, ...]:
    """Return the tables of a log: entries, real rates, stock, doses, stands.

    Parameters
    ----------
    tally : Tally
        The log held against its plan.
    units : UnitSystem
        What to write it in.
    """
    found = (
        Table(
            "What was really done",
            ("Date", "What", "Material", "Where", "How"),
            tuple((str(one.day), one.what, one.material, one.where, one.how) for one in tally.done),
        ),
        _real_table(tally, units),
        _stock_table(tally, units),
        _dose_table(tally, units),
        _stand_table(tally, units),
    )
    return tuple(table for table in found if table.rows)


def _real_table(tally: Tally, units: UnitSystem) -> Table:
    rows = []
    for material in tally.materials:
        for zone in material.by_zone:
            if zone.done_m2:
                rest = _rest(material, zone, units) if zone.rest_m2 else "done"
                planned = zone.planned.write(units, material.kind) if zone.ratio is not None else "none"
                share = f" ({zone.ratio:.0%})" if zone.ratio is not None else ""
                rows.append(
                    (zone.zone, material.name, zone.used.write(units, material.kind) + share, planned, rest)
                )
    title = f"Used against planned, {tally.year}"
    return Table(title, ("Zone", "Material", "Used", "Planned there", "The rest"), tuple(rows))


def _stock_table(tally: Tally, units: UnitSystem) -> Table:
    return Table(
        "What is left",
        ("Material", "Bought", "Used", "Left"),
        tuple(
            (
                material.name,
                material.bought.write(units, material.kind),
                material.used.write(units, material.kind),
                material.left.write(units, material.kind),
            )
            for material in tally.materials
            if material.bought and material.left
        ),
    )


def _dose_table(tally: Tally, units: UnitSystem) -> Table:
    names = tuple(dict.fromkeys(dose.name for dose in tally.doses))
    zones = tuple(dict.fromkeys(dose.zone for dose in tally.doses))
    cells = {(dose.zone, dose.name): dose for dose in tally.doses}
    limits = {
        f"{dose.name}: {dose.amounts(units)[1]} are allowed in a year." for dose in tally.doses if dose.limit
    }
    return Table(
        f"What the ground has had in {tally.year}",
        ("Zone", *names),
        tuple(
            (zone, *(_had(cells[zone, name], units) if (zone, name) in cells else "" for name in names))
            for zone in zones
        ),
        notes=(*sorted(limits), "Sprays of different days are taken to lie on the same ground."),
    )


def _had(dose: Dose, units: UnitSystem) -> str:
    share = f" ({100 * dose.share:.3g} % of the limit)" if dose.share is not None else ""
    return f"{dose.amounts(units)[0]}{share}"


def _stand_table(tally: Tally, units: UnitSystem) -> Table:
    rows = []
    for stand in tally.stands:
        plants, seeds = stand.counts(units)
        share = f" ({stand.emerged:.0%} of the seeds)" if stand.emerged is not None else ""
        cover = f"{stand.cover_percent:g} %, {stand.density}" if stand.cover_percent is not None else ""
        rows.append((stand.zone, str(stand.day), stand.density_planned, cover, plants + share, seeds))
    mature = tuple(dict.fromkeys(stand.mature for stand in tally.stands if stand.mature))
    return Table(
        "What came up",
        ("Zone", "Counted on", "Planned as", "Cover", "Plants", "Sown"),
        tuple(rows),
        notes=tuple(f"{line[:1].upper()}{line[1:]}." for line in mature),
    )
