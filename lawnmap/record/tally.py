"""The log held against the plan, from top to bottom."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lawnmap.record.doses import (
    ceiling_findings,
    done_findings,
    dose_findings,
    interval_findings,
    nutrient_doses,
    spray_doses,
)
from lawnmap.record.entry import write_count
from lawnmap.record.follow import Follow
from lawnmap.record.model import Done, Tally
from lawnmap.record.rates import materials_of, overdone
from lawnmap.record.spreading import portions
from lawnmap.record.stands import stand_findings, stands_of

if TYPE_CHECKING:
    from lawnmap.record.entry import Entry
    from lawnmap.record.item import Planned
    from lawnmap.record.logfile import Log
    from lawnmap.units import UnitSystem
    from lawnmap.yard import DensityTable


def tally(
    log: Log, planned: Planned, follow: Follow | None = None, *, table: DensityTable | None = None
) -> Tally:
    """Hold a log against its plan.

    Real rates, doses and doubts are those of one year; stock and stands follow from the whole log.

    Parameters
    ----------
    log : Log
        What was really done.
    planned : Planned
        What was to be done.
    follow : Follow, optional
        The user's year and yearly limits.
    table : DensityTable, optional
        Where each class of density begins.

    Returns
    -------
    Tally
        Real rates, stock, yearly doses, stands, and what is wrong with any of it.
    """
    follow = follow or Follow()
    year = follow.year or log.last_year
    lines = tuple(line for line in log.lines if line.entry.day.year == year)
    parts, found = portions(planned, lines)
    ever, _ = portions(planned, log.lines)
    materials = materials_of(planned, log.lines, parts)
    doses = (*nutrient_doses(planned, parts, follow.limits), *spray_doses(planned, parts))
    return Tally(
        year=year,
        done=tuple(done_row(line.entry, planned.units) for line in log.lines),
        materials=materials,
        doses=doses,
        stands=stands_of(planned, log.lines, ever, table),
        findings=(
            *log.findings,
            *found,
            *overdone(planned, materials),
            *(dose_findings(doses, planned.units, year) if year else ()),
            *(interval_findings(planned, ever, year) if year else ()),
            *ceiling_findings(planned, parts),
            *done_findings(planned, parts),
            *stand_findings(planned, lines),
        ),
    )


def done_row(entry: Entry, units: UnitSystem) -> Done:
    """Write an entry as a row.

    Parameters
    ----------
    entry : Entry
        What was done.
    units : UnitSystem
        What to write it in.
    """
    how = []
    if entry.amount is not None:
        how.append(entry.amount.write(units))
    if entry.passes is not None:
        how.append(f"{entry.passes} pass{'es' if entry.passes > 1 else ''}")
    if entry.setting is not None:
        how.append(f"setting {entry.setting:g}")
    if entry.cover is not None:
        how.append(f"{100 * entry.cover:g} % cover")
    if entry.plants_per_m2 is not None:
        how.append(write_count(entry.plants_per_m2, "plants", units))
    how += [part for part in (entry.weather, entry.by and f"by {entry.by}", entry.note) if part]
    how += [f"photo {name}" for name in entry.photos]
    where = ", ".join(entry.zones)
    if entry.area_m2 is not None:
        where = ", ".join(part for part in (where, units.area(entry.area_m2)) if part)
    when = f"{entry.time}: " if entry.time else ""
    return Done(entry.day, entry.what, entry.material, where, when + ", ".join(how))
