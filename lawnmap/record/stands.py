"""What came up: counts and covers after emergence, against what was sown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lawnmap.errors import nearest
from lawnmap.rates.species import seeds_per_kg
from lawnmap.record.model import MaterialReal, Stand
from lawnmap.yard import DensityTable, finding, grade

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lawnmap.rates import Seed
    from lawnmap.record.item import Planned
    from lawnmap.record.logfile import Line
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
    materials: Sequence[MaterialReal],
    table: DensityTable | None = None,
) -> tuple[Stand, ...]:
    """Return the last count or cover of every zone that has one.

    Parameters
    ----------
    planned : Planned
        What was to be done.
    lines : sequence of Line
        The log, by date.
    materials : sequence of MaterialReal
        What was really used.
    table : DensityTable, optional
        Where each class of density begins.
    """
    sown = _sown(planned, materials)
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
                seeds_per_m2=sown.get(zone.name),
            )
        )
    return tuple(found)


def _sown(planned: Planned, materials: Sequence[MaterialReal]) -> dict[str, float]:
    """Live seeds per area of each zone: as logged where it was, else as planned. [1/m²]"""
    seed = planned.seed
    item = next((item for item in planned.items if item.kind == "seed"), None)
    per_kg = live_seeds_per_kg(seed) if seed else None
    if item is None or per_kg is None:
        return {}
    kg_per_m2 = {name: share.per_m2 * share.rounds for name, share in item.by_zone.items()}
    for material in materials:
        if material.name == item.name:
            logged = {
                zone.zone: zone.used.value / planned.zone_area_m2(zone.zone)
                for zone in material.by_zone
                if zone.used.value and not zone.rest_m2
            }
            kg_per_m2 |= logged
    return {name: rate * per_kg for name, rate in kg_per_m2.items()}


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
