"""What came up: counts and covers after emergence, against what was sown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lawnmap.errors import nearest
from lawnmap.rates.rows import tables
from lawnmap.rates.species import seeds_per_kg
from lawnmap.record.entry import write_count
from lawnmap.record.model import Stand
from lawnmap.yard import DensityTable, finding, grade

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from lawnmap.rates import Seed
    from lawnmap.record.item import Planned
    from lawnmap.record.logfile import Line
    from lawnmap.record.spreading import Portion
    from lawnmap.units import UnitSystem
    from lawnmap.yard import Finding


def live_seeds_per_kg(seed: Seed) -> float | None:
    """Return how many live seeds a kilogram of the bag holds; None where the tables do not count one of its grasses.

    Without purity and germination from the label every seed is taken for a live one.

    Parameters
    ----------
    seed : Seed
        What is sown.

    Returns
    -------
    float or None
        Live seeds. [1/kg]
    """
    counts = [(share, seeds_per_kg(name)) for name, share in seed.blend.items()]
    if any(count is None for _, count in counts):
        return None
    pure = 1.0 if seed.live_share is None else seed.live_share
    return pure * sum(share * count.typical for share, count in counts if count)


def stands_of(
    planned: Planned,
    lines: Sequence[Line],
    parts: Sequence[Portion],
    table: DensityTable | None = None,
) -> tuple[Stand, ...]:
    """Return the last count or cover of every zone that has one.

    Parameters
    ----------
    planned : Planned
        What was to be done.
    lines : sequence of Line
        The log, by date.
    parts : sequence of Portion
        What was put down, in all years.
    table : DensityTable, optional
        Where each class of density begins.
    """
    per_kg = live_seeds_per_kg(planned.seed) if planned.seed else None
    found = []
    for zone in planned.takeoff.zones:
        mine = [
            line.entry
            for line in lines
            if line.entry.what == "stand" and (not line.entry.zones or zone.name in line.entry.zones)
        ]
        if not mine:
            continue
        covers = [entry.cover for entry in mine if entry.cover is not None]
        counts = [entry.plants_per_m2 for entry in mine if entry.plants_per_m2 is not None]
        cover = 100 * covers[-1] if covers else None
        found.append(
            Stand(
                zone=zone.name,
                day=mine[-1].day,
                cover_percent=cover,
                density=grade(cover, table) if cover is not None else "",
                density_planned=zone.density,
                plants_per_m2=counts[-1] if counts else None,
                mature=_mature(planned.units) if counts else "",
                seeds_per_m2=_sown(planned, parts, zone.name, mine[-1].day, per_kg),
            )
        )
    return tuple(found)


def _mature(units: UnitSystem) -> str:
    (row,) = tables()["stand_density"]
    low, high = row.range_si("count_per_area")
    counted = write_count(high, "plants", units)
    return f"a mature stand has {write_count(low, '', units).split()[0]} to {counted} ({row.source})"


def _sown(
    planned: Planned, parts: Sequence[Portion], zone: str, day: dt.date, per_kg: float | None
) -> float | None:
    """Live seeds per area before a count: those of the last year that the log has any, else as planned. [1/m²]"""
    item = next((item for item in planned.items if item.kind == "seed"), None)
    if item is None or per_kg is None:
        return None
    seeded = [
        part
        for part in parts
        if part.zone == zone
        and part.line.entry.material.casefold() == item.name.casefold()
        and part.line.entry.day <= day
    ]
    if seeded:
        last = seeded[-1].line.entry.day.year
        used = sum(part.used for part in seeded if part.line.entry.day.year == last)
        return per_kg * used / planned.zone_area_m2(zone)
    share = item.by_zone.get(zone)
    return per_kg * share.per_m2 * share.rounds if share else None


def stand_findings(planned: Planned, lines: Sequence[Line]) -> tuple[Finding, ...]:
    """Tell counts on zones that there are not.

    Parameters
    ----------
    planned : Planned
        What was to be done.
    lines : sequence of Line
        The log.
    """
    names = [zone.name for zone in planned.takeoff.zones]
    return tuple(
        finding(
            "log-zone-unknown", f'there is no zone "{name}" to count on; {nearest(name, names)}', line.where
        )
        for line in lines
        if line.entry.what == "stand"
        for name in line.entry.zones
        if name not in names
    )
