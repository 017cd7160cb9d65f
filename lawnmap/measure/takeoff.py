"""Yards in, measured yards out: one pass over all of them on arrays, then one object for each."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from math import hypot
from typing import TYPE_CHECKING, Any, Final, Self

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon

from lawnmap.errors import InputError, ShapeError
from lawnmap.measure.geodesic import check_on_ellipsoid
from lawnmap.measure.ground import Ground
from lawnmap.measure.kernel import Cut, Pieces, cut
from lawnmap.measure.model import CutOut, Shape, Takeoff, ZoneArea
from lawnmap.measure.precision import area_errors
from lawnmap.measure.remarks import remarks
from lawnmap.measure.setback import unfed
from lawnmap.yard import Obstacle, grade
from lawnmap.yard.many import collector_paused

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from lawnmap.yard import Yard, Zone

ASSUMED_SIGMA_M: Final = 0.1524
"""Half a foot, a guess: about what a tape or a careful tracing of an aerial photograph gives. *from memory* [m]"""

_AT_A_TIME: Final = 1500
"""Yards whose arrays stay near the processor: a hundred thousand at once take half as long again. [count]"""

_GUESS: Final = "a guess: no one stated it"
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
    with collector_paused():
        return [
            takeoff
            for first in range(0, len(yards), _AT_A_TIME)
            for takeoff in _measure(yards[first : first + _AT_A_TIME], ground)
        ]


def _measure(yards: Sequence[Yard], ground: Ground) -> list[Takeoff]:
    pieces = _flatten(yards)
    result = cut(pieces, partial(_refuse, yards, pieces))
    sigmas_m = np.array([_sigma(yard, ground)[0] for yard in yards])
    zone_se_m2, yard_se_m2 = area_errors(pieces, result, sigmas_m)
    table = _Table.of(pieces, result, zone_se_m2, yard_se_m2)
    return [_build(yard, ground, table, number) for number, yard in enumerate(yards)]


@dataclass(frozen=True, eq=False)
class _Table:
    """What was found, as plain lists: yard by yard those of its zones and of its cut-outs.

    Lists of numbers and no object per row, because with thousands of yards the making of short-lived objects
    takes longer than the geometry.
    """

    ground: list[Shape]
    gross_m2: list[float]
    own_m2: list[float]
    net_m2: list[float]
    zone_se_m2: list[float]
    yard_se_m2: list[float]
    zone_from: list[int]
    pair_from: list[int]
    pair_zone: list[int]
    pair_obstacle: list[int]
    pair_m2: list[float]

    @classmethod
    def of(
        cls, pieces: Pieces, result: Cut, zone_se_m2: NDArray[np.float64], yard_se_m2: NDArray[np.float64]
    ) -> Self:
        """Turn arrays into lists; zones and obstacles of the pairs are counted within their yard."""
        owner = pieces.zone_owner[result.pair_zone]
        edges = np.arange(len(yard_se_m2) + 1)
        columns = (
            result.net,
            result.gross_m2,
            result.own_m2,
            result.net_m2,
            zone_se_m2,
            yard_se_m2,
            np.searchsorted(pieces.zone_owner, edges),
            np.searchsorted(owner, edges),
            result.pair_zone - np.searchsorted(pieces.zone_owner, owner),
            result.pair_obstacle - np.searchsorted(pieces.obstacle_owner, owner),
            result.pair_m2,
        )
        return cls(*(column.tolist() for column in columns))


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


def _refuse(
    yards: Sequence[Yard], pieces: Pieces, zones: NDArray[np.int64], obstacles: NDArray[np.int64]
) -> None:
    """Raise for the first outline that is no simple one: its area would be wrong without a word."""
    if zones.size:
        place, owners, shapes = int(zones[0]), pieces.zone_owner, pieces.zones
    else:
        place, owners, shapes = int(obstacles[0]), pieces.obstacle_owner, pieces.obstacles
    yard = yards[owners[place]]
    number = place - int(np.searchsorted(owners, owners[place]))
    name = f'zone "{yard.zones[number].name}"' if zones.size else f'obstacle "{_solids(yard)[number].name}"'
    raise ShapeError(
        f"the outline is not simple ({shapely.is_valid_reason(shapes[place]).lower()}, metres east and north)",
        where=f'yard "{yard.name}", {name}',
        mend="draw it so that it does not cross or touch itself",
    )


def _sigma(yard: Yard, ground: Ground) -> tuple[float, str]:
    """Standard error of one coordinate of one corner, and where it comes from."""
    if ground.vertex_accuracy_m is not None:
        return ground.vertex_accuracy_m, "stated in [ground], vertex_accuracy"
    stated = yard.origin.vertex_sigma_m
    if stated is not None:
        return stated, yard.origin.method or "stated by the yard file"
    return ASSUMED_SIGMA_M, _GUESS


def _build(yard: Yard, ground: Ground, table: _Table, number: int) -> Takeoff:
    first, last = table.zone_from[number : number + 2]
    strips = unfed(yard, ground, table.ground[first:last]) if yard.water else [_NOTHING] * (last - first)
    zones = tuple(
        [
            _zone_area(zone, strip, ground, table, row)
            for row, zone, strip in zip(range(first, last), yard.zones, strips, strict=True)
        ]
    )
    solids, pairs = _solids(yard), range(*table.pair_from[number : number + 2])
    cutouts = [
        _cutout(solids[table.pair_obstacle[pair]], zones[table.pair_zone[pair]], table.pair_m2[pair])
        for pair in pairs
        if table.pair_m2[pair] > 0
    ]
    hit = {table.pair_obstacle[pair] for pair in pairs}
    sigma_m, source = _sigma(yard, ground)
    found = remarks(
        yard,
        zones,
        lost_m2=[table.gross_m2[row] - table.own_m2[row] for row in range(first, last)],
        outside=[item.name for place, item in enumerate(yard.obstacles) if place not in hit],
        assumed_sigma_m=sigma_m if source is _GUESS else None,
        ground=ground,
    )
    return Takeoff(
        yard=yard,
        zones=zones,
        cutouts=tuple(cutouts),
        gross_area_m2=sum(table.own_m2[first:last]),
        net_area_m2=sum(table.net_m2[first:last]),
        net_area_se_m2=table.yard_se_m2[number],
        geodesic_area_m2=None,
        vertex_sigma_m=sigma_m,
        vertex_sigma_from=source,
        findings=(*yard.findings, *found),
    )


def _cutout(solid: Obstacle, zone: ZoneArea, area_m2: float) -> CutOut:
    return CutOut(solid.name, solid.kind, zone.name, area_m2)


def _zone_area(zone: Zone, strip: Shape, ground: Ground, table: _Table, row: int) -> ZoneArea:
    density, source = zone.density, "stated"
    if density is None and zone.cover_percent is not None:
        density, source = grade(zone.cover_percent, ground.density_table), "cover"
    elif density is None:
        density, source = ground.default_density, "default"
    net_m2 = table.net_m2[row]
    steep = hypot(1.0, zone.slope_percent / 100)  # 1 / cos of the angle whose tangent is the slope
    return ZoneArea(
        name=zone.name,
        density=density,
        density_from=source,
        cover_percent=zone.cover_percent,
        slope_percent=zone.slope_percent,
        gross_area_m2=table.gross_m2[row],
        net_area_m2=net_m2,
        net_area_se_m2=table.zone_se_m2[row],
        surface_area_m2=net_m2 * steep,
        unfed_area_m2=strip.area * steep,
        by_hand=density == "bare" and 0 < net_m2 <= ground.hand_spot_m2,
        ground=table.ground[row],
        unfed=strip,
    )
