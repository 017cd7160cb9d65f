"""What the measuring of one yard has to tell: the findings of the room."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Final

import shapely

from lawnmap.units import METRIC, US, write
from lawnmap.yard import finding

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lawnmap.measure.ground import Ground
    from lawnmap.measure.model import ZoneArea
    from lawnmap.yard import Finding, Yard

_SLIVER_M2: Final = 0.01
"""Overlaps up to a hand's breadth square are slips of the pen: counted once all the same, but not told. [m²]"""

_DOUBTFUL: Final = 0.2
_NAMED: Final = 3


def both(area_m2: float) -> str:
    """Write an area in square metres and square feet. [m²]"""
    return f"{METRIC.area(area_m2)} ({US.area(area_m2)})"


def remarks(
    yard: Yard,
    zones: Sequence[ZoneArea],
    *,
    lost_m2: Sequence[float],
    outside: Sequence[str],
    assumed_sigma_m: float | None,
    ground: Ground,
) -> list[Finding]:
    """Return the findings of measuring one yard.

    Parameters
    ----------
    yard : Yard
        What was measured.
    zones : sequence of ZoneArea
        What came of it.
    lost_m2 : sequence of float
        Ground that each zone lost to earlier zones. [m²]
    outside : sequence of str
        Names of obstacles that have no ground in common with any zone.
    assumed_sigma_m : float or None
        Standard error of a corner's coordinate where it is a guess, else None. [m]
    ground : Ground
        How the ground was graded.
    """
    found: list[Finding] = []
    default_stated = "default_density" in ground.model_fields_set
    for number, (zone, overlap_m2) in enumerate(zip(zones, lost_m2, strict=True)):
        if overlap_m2 > _SLIVER_M2:
            found.append(_of_overlap(yard, number, overlap_m2))
        found += _of_zone(zone, default_stated=default_stated)
    found += [
        finding("obstacle-outside", "it lies outside every zone and takes nothing", f'obstacle "{name}"')
        for name in outside
    ]
    if assumed_sigma_m is not None:
        found.append(finding("vertex-accuracy-assumed", _assumed(assumed_sigma_m), f'yard "{yard.name}"'))
    if yard.water:
        found += _of_water(yard, ground)
    return found


@lru_cache(maxsize=1)  # the same words for every yard of a portfolio
def _assumed(sigma_m: float) -> str:
    return (
        f"no one says how well the corners were measured; {write(sigma_m, 'ft', 2)} "
        f"({write(sigma_m, 'm', 2)}) is taken, a guess"
    )


def _of_overlap(yard: Yard, number: int, overlap_m2: float) -> Finding:
    """Tell spots that lie wholly within a zone, which is how they are drawn, from zones that overlap."""
    zone = yard.zones[number]
    spots = [spot for spot in yard.zones[:number] if shapely.covers(zone.polygon, spot.polygon)]
    where = f'zone "{zone.name}"'
    spots_m2 = shapely.union_all([spot.polygon for spot in spots]).area
    if spots and abs(spots_m2 - overlap_m2) <= _SLIVER_M2:
        names = ", ".join(f'"{spot.name}"' for spot in spots[:_NAMED]) + (" and more" * (len(spots) > _NAMED))
        return finding("spot-within", f"{both(overlap_m2)} of it are {names}, counted there only", where)
    text = f"{both(overlap_m2)} of it belong to earlier zones and were counted there only"
    return finding("zones-overlap", text, where)


def _of_zone(zone: ZoneArea, *, default_stated: bool) -> Iterator[Finding]:
    where = f'zone "{zone.name}"'
    if zone.net_area_m2 <= 1e-9 * zone.gross_area_m2:
        text = f"obstacles or earlier zones cover all {both(zone.gross_area_m2)} of it"
        yield finding("zone-without-lawn", text, where)
    elif zone.net_area_se_m2 > _DOUBTFUL * zone.net_area_m2 and not zone.by_hand:
        text = f"its {both(zone.net_area_m2)} are known to ± {both(zone.net_area_se_m2)} only"
        yield finding("area-doubtful", text, where)
    if zone.density_from == "default" and not default_stated:
        yield finding("density-default", f"no density is given; it is taken as {zone.density}", where)


def _of_water(yard: Yard, ground: Ground) -> Iterator[Finding]:
    if "water_setback_m" in ground.model_fields_set:
        return
    for water in yard.water:
        if water.setback_m is None:
            text = (
                f"no setback is given; {write(ground.water_setback_m, 'ft')} "
                f"({write(ground.water_setback_m, 'm')}) is taken, and local ordinances differ"
            )
            yield finding("setback-assumed", text, f'water "{water.name}"')
