"""Yards in, measured yards out: one pass over all of them on arrays, then one object for each."""

from __future__ import annotations

from itertools import repeat
from math import hypot
from typing import TYPE_CHECKING, Any, Final, NamedTuple

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon

from lawnmap.errors import InputError, ShapeError
from lawnmap.measure.geodesic import check_on_ellipsoid
from lawnmap.measure.ground import Ground
from lawnmap.measure.kernel import Cut, Pieces, cut, faulty
from lawnmap.measure.model import CutOut, Shape, Takeoff, ZoneArea
from lawnmap.measure.precision import area_errors
from lawnmap.measure.remarks import remarks
from lawnmap.measure.setback import unfed
from lawnmap.yard import Obstacle, grade

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from lawnmap.yard import Yard, Zone

ASSUMED_SIGMA_M: Final = 0.1524
"""Half a foot, a guess: about what a tape or a careful tracing of an aerial photograph gives. *from memory* [m]"""

_NOTHING: Final = Polygon()


def take_off(yard: Yard, ground: Ground | None = None) -> Takeoff:
    """Measure a yard: net area of every zone, what was cut out, how sure that is, and the check on the ellipsoid.

    Parameters
    ----------
    yard : Yard
        What to measure.
    ground : Ground, optional
        How to grade and measure what the yard leaves open.

    Raises
    ------
    ShapeError
        For an outline that crosses itself.
    InputError
        For a yard without a zone.

    Examples
    --------
    >>> from shapely.geometry import box
    >>> from lawnmap.yard import Obstacle, Yard, Zone
    >>> lot = Yard("Lot", (Zone("lawn", box(0, 0, 40, 25), "thin"),), (Obstacle("house", "house", box(5, 5, 15, 15)),))
    >>> take_off(lot).net_area_m2
    900.0
    """
    return check_on_ellipsoid(take_off_many([yard], ground)[0])


def take_off_many(yards: Iterable[Yard], ground: Ground | None = None) -> list[Takeoff]:
    """Measure any number of yards in one go, without the check on the ellipsoid.

    Parameters
    ----------
    yards : iterable of Yard
        What to measure, each on its own plane.
    ground : Ground, optional
        How to grade and measure what the yards leave open.

    Returns
    -------
    list of Takeoff
        In the order of the yards, the same as `take_off` gives, but with ``geodesic_area_m2`` None: that second
        figure costs more than the measuring; `check_on_ellipsoid` adds it.

    Raises
    ------
    ShapeError
        For an outline that crosses itself.
    InputError
        For a yard without a zone.
    """
    yards, ground = list(yards), ground or Ground()
    pieces = _flatten(yards)
    _refuse_crossed(yards, pieces)
    result = cut(pieces)
    sigmas = [_sigma(yard, ground) for yard in yards]
    zone_se_m2, yard_se_m2 = area_errors(pieces, result, np.array([sigma.value_m for sigma in sigmas]))
    rows = _rows(pieces, result, zone_se_m2, len(yards))
    taken = _taken(pieces, result, len(yards))
    return list(map(_build, yards, repeat(ground), sigmas, rows, taken, yard_se_m2.tolist()))


class _Sigma(NamedTuple):
    """Standard error of one coordinate of one corner, and where it comes from."""

    value_m: float
    source: str
    assumed: bool


class _ZoneRow(NamedTuple):
    """What the kernel found for one zone."""

    ground: Polygon | MultiPolygon
    gross_m2: float
    own_m2: float
    net_m2: float
    se_m2: float


def _flatten(yards: Sequence[Yard]) -> Pieces:
    for yard in yards:
        if not yard.zones:
            raise InputError(
                "there is no zone of lawn", where=f'yard "{yard.name}"', mend="give a polygon the role lawn"
            )
    owners = np.arange(len(yards))
    solids = [_solids(yard) for yard in yards]
    return Pieces(
        _array([zone.polygon for yard in yards for zone in yard.zones]),
        np.repeat(owners, [len(yard.zones) for yard in yards]),
        _array([solid.polygon for mine in solids for solid in mine]),
        np.repeat(owners, [len(mine) for mine in solids]),
    )


def _array(shapes: list[Any]) -> NDArray[Any]:
    array = np.empty(len(shapes), dtype=object)
    array[:] = shapes
    return array


def _solids(yard: Yard) -> Sequence[Obstacle]:
    """All that is not lawn: the obstacles, and water that is given as a whole and not as a bank."""
    if not yard.water:
        return yard.obstacles
    ponds = [
        Obstacle(water.name, "other", water.shape)
        for water in yard.water
        if isinstance(water.shape, Polygon | MultiPolygon)
    ]
    return (*yard.obstacles, *ponds)


def _refuse_crossed(yards: Sequence[Yard], pieces: Pieces) -> None:
    """Raise for the first outline that is no simple one: its area would be wrong without a word."""
    zones, obstacles = faulty(pieces)
    if zones.size:
        place, owner, shapes = int(zones[0]), pieces.zone_owner, pieces.zones
        yard = yards[owner[place]]
        part = yard.zones[place - int(np.searchsorted(owner, owner[place]))]
        name = f'zone "{part.name}"'
    elif obstacles.size:
        place, owner, shapes = int(obstacles[0]), pieces.obstacle_owner, pieces.obstacles
        yard = yards[owner[place]]
        name = f'obstacle "{_solids(yard)[place - int(np.searchsorted(owner, owner[place]))].name}"'
    else:
        return
    raise ShapeError(
        f"the outline is not simple ({shapely.is_valid_reason(shapes[place]).lower()}, metres east and north)",
        where=f'yard "{yard.name}", {name}',
        mend="draw it so that it does not cross or touch itself",
    )


def _sigma(yard: Yard, ground: Ground) -> _Sigma:
    if ground.vertex_accuracy_m is not None:
        return _Sigma(ground.vertex_accuracy_m, "stated in [ground], vertex_accuracy", assumed=False)
    stated = yard.origin.vertex_sigma_m
    if stated is not None:
        return _Sigma(stated, yard.origin.method or "stated by the yard file", assumed=False)
    return _Sigma(ASSUMED_SIGMA_M, "a guess: no one stated it", assumed=True)


def _rows(pieces: Pieces, result: Cut, se_m2: NDArray[np.float64], count: int) -> list[list[_ZoneRow]]:
    """What was found for the zones, yard by yard."""
    columns = (result.gross_m2, result.own_m2, result.net_m2, se_m2)
    rows: list[list[_ZoneRow]] = [[] for _ in range(count)]
    for owner, shape, *figures in zip(
        pieces.zone_owner.tolist(), result.net, *(column.tolist() for column in columns), strict=True
    ):
        rows[owner].append(_ZoneRow(shape, *figures))
    return rows


def _taken(pieces: Pieces, result: Cut, count: int) -> list[list[tuple[int, int, float]]]:
    """Which obstacle takes how much of which zone, both counted within their yard, yard by yard."""
    yard = pieces.zone_owner[result.pair_zone]
    zone = result.pair_zone - np.searchsorted(pieces.zone_owner, yard)
    obstacle = result.pair_obstacle - np.searchsorted(pieces.obstacle_owner, yard)
    taken: list[list[tuple[int, int, float]]] = [[] for _ in range(count)]
    for owner, *triple in zip(
        yard.tolist(), zone.tolist(), obstacle.tolist(), result.pair_m2.tolist(), strict=True
    ):
        taken[owner].append(tuple(triple))
    return taken


def _build(
    yard: Yard,
    ground: Ground,
    sigma: _Sigma,
    rows: list[_ZoneRow],
    taken: list[tuple[int, int, float]],
    se_m2: float,
) -> Takeoff:
    strips = unfed(yard, ground, [row.ground for row in rows]) if yard.water else [_NOTHING] * len(rows)
    zones = tuple(map(_zone_area, yard.zones, rows, strips, repeat(ground)))
    solids = _solids(yard)
    cutouts = tuple(
        CutOut(solids[obstacle].name, solids[obstacle].kind, zones[zone].name, area_m2)
        for zone, obstacle, area_m2 in taken
        if area_m2 > 0
    )
    hit = {obstacle for _, obstacle, _ in taken}
    outside = [item.name for place, item in enumerate(yard.obstacles) if place not in hit]
    found = remarks(
        yard,
        zones,
        overlaps_m2=[row.gross_m2 - row.own_m2 for row in rows],
        outside=outside,
        assumed_sigma_m=sigma.value_m if sigma.assumed else None,
        ground=ground,
    )
    return Takeoff(
        yard=yard,
        zones=zones,
        cutouts=cutouts,
        gross_area_m2=sum(row.own_m2 for row in rows),
        net_area_m2=sum(row.net_m2 for row in rows),
        net_area_se_m2=se_m2,
        geodesic_area_m2=None,
        vertex_sigma_m=sigma.value_m,
        vertex_sigma_from=sigma.source,
        findings=(*yard.findings, *found),
    )


def _zone_area(zone: Zone, row: _ZoneRow, strip: Shape, ground: Ground) -> ZoneArea:
    density, source = zone.density, "stated"
    if density is None and zone.cover_percent is not None:
        density, source = grade(zone.cover_percent, ground.density_table), "cover"
    elif density is None:
        density, source = ground.default_density, "default"
    steep = hypot(1.0, zone.slope_percent / 100)  # 1 / cos of the angle whose tangent is the slope
    return ZoneArea(
        name=zone.name,
        density=density,
        density_from=source,
        cover_percent=zone.cover_percent,
        slope_percent=zone.slope_percent,
        gross_area_m2=row.gross_m2,
        net_area_m2=row.net_m2,
        net_area_se_m2=row.se_m2,
        surface_area_m2=row.net_m2 * steep,
        unfed_area_m2=strip.area * steep,
        by_hand=density == "bare" and 0 < row.net_m2 <= ground.hand_spot_m2,
        ground=row.ground,
        unfed=strip,
    )
