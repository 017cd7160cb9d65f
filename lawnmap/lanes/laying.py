"""Lanes laid over a lawn: every zone, every pass, in the order of the work."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
import shapely
from shapely.geometry import LineString, MultiPolygon, Polygon

from lawnmap.errors import ShapeError
from lawnmap.lanes.coverage import left_over
from lawnmap.lanes.detours import Walkway
from lawnmap.lanes.grids import Grid, Spacing, best_grids, grids_at
from lawnmap.lanes.headland import Headland, headland, polygons_of
from lawnmap.lanes.joining import Effort, join
from lawnmap.lanes.model import LanePlan, Leg, Pass
from lawnmap.lanes.rounds import legs_of
from lawnmap.measure import Takeoff
from lawnmap.yard import CROSSABLE, Finding, finding

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from lawnmap.lanes.rig import Rig

Ground = Polygon | MultiPolygon

_CLEARANCE: Final = 0.1  # how far ways keep from an edge, where lanes do as well [swaths]
_SMALLEST_M2: Final = 0.1
_TOUCH_M: Final = 1e-4  # without a round lanes end on the edge itself
_HAND_SHARE: Final = 0.002  # share of the ground from which spots left over are worth telling


@dataclass(frozen=True, eq=False)
class _Piece:
    """Ground that is worked as one, and where one may walk from part to part of it."""

    name: str
    ground: Ground
    walkway: Walkway


@dataclass(frozen=True, eq=False)
class _Task:
    """What one pass has to do."""

    grid: Grid
    edge: Headland
    number: int
    count: int


def lay(ground: Ground | Takeoff, rig: Rig) -> LanePlan:
    """Lay lanes over a lawn.

    Parameters
    ----------
    ground : Polygon, MultiPolygon or Takeoff
        Bare ground in metres, or a measured yard: every zone that is not done by hand is laid on its
        own, and drives and paths may be crossed between lanes. [m]
    rig : Rig
        What is pushed or towed, and how.

    Returns
    -------
    LanePlan
        All passes in the order of the work.

    Raises
    ------
    ShapeError
        Where the ground is empty or crosses itself.

    Examples
    --------
    >>> from shapely.geometry import box
    >>> from lawnmap.lanes import Rig
    >>> plan = lay(box(0, 0, 40, 20), Rig(swath_m=2, passes="one direction"))
    >>> len(plan.lanes), len(plan.loops), round(plan.passes[0].work_length_m, 6)
    (8, 1, 400.0)
    """
    found: list[Finding] = []
    passes: list[Pass] = []
    place: NDArray[np.float64] | None = None
    for piece in _pieces(ground, rig):
        for made in _passes(piece, rig, place, found):
            passes.append(made)
            if made.legs:
                place = made.legs[-1].points[-1]
    return LanePlan(tuple(passes), tuple(dict.fromkeys(found)))


def _pieces(ground: Ground | Takeoff, rig: Rig) -> list[_Piece]:
    if not isinstance(ground, Takeoff):
        return [_Piece("", _checked(ground), _walkway(ground, rig))]
    obstacles = ground.yard.obstacles
    crossable = [obstacle.polygon for obstacle in obstacles if obstacle.kind in CROSSABLE]
    solid = shapely.union_all([obstacle.polygon for obstacle in obstacles if obstacle.kind not in CROSSABLE])
    lawn = shapely.union_all([*(zone.ground for zone in ground.zones), *crossable])
    walkway = _walkway(polygons_of(shapely.difference(lawn, solid)), rig)
    return [
        _Piece(zone.name, zone.ground, walkway)
        for zone in ground.zones
        if not zone.by_hand and zone.ground.area > _SMALLEST_M2
    ]


def _checked(ground: Ground) -> Ground:
    if ground.is_empty or not ground.area > 0:
        raise ShapeError("there is no ground to lay lanes on", mend="give a polygon with an area")
    if not ground.is_valid:
        raise ShapeError(
            f"the outline crosses itself ({shapely.is_valid_reason(ground)})", mend="mend it in the source"
        )
    return ground


def _walkway(ground: Ground, rig: Rig) -> Walkway:
    return Walkway(ground, _CLEARANCE * rig.swath_m if rig.headland_loops else -_TOUCH_M)


def _passes(piece: _Piece, rig: Rig, place: NDArray[np.float64] | None, found: list[Finding]) -> list[Pass]:
    """Lay one or two passes over a piece; the second begins near the end of the first."""
    edge = headland(piece.ground, rig.swath_m, rig.headland_loops)
    spacing = Spacing(
        rig.swath_m, rig.lane_end if rig.headland_loops else 0.0, rig.turn_s * rig.speed_m_per_s
    )
    grids = _grids(edge.core, spacing, rig)
    made = []
    for number, grid in enumerate(grids, 1):
        one = _lay_pass(piece, rig, _Task(grid, edge, number, len(grids)), place, found)
        made.append(one)
        if one.legs:
            place = one.legs[-1].points[-1]
    _report(piece, made[0], rig, found)
    return made


def _grids(core: Ground, spacing: Spacing, rig: Rig) -> list[Grid]:
    """Return the grid of each pass."""
    count = 1 if rig.passes == "one direction" else 2
    if core.is_empty:
        return [Grid(0.0, 0.0, 0.0, np.empty((0, 2, 2)))] * count
    wanted = None if rig.direction == "best" else np.radians([float(rig.direction)])
    first = best_grids(core, spacing, wanted)[0]
    if count == 1:
        return [first]
    if rig.passes == "two directions":
        return [first, best_grids(core, spacing, np.array([first.angle_rad + np.pi / 2]))[0]]
    between = np.array([[first.angle_rad, first.offset_m + rig.swath_m / 2]])
    return [first, grids_at(core, between, spacing)[0]]


def _lay_pass(
    piece: _Piece, rig: Rig, task: _Task, place: NDArray[np.float64] | None, found: list[Finding]
) -> Pass:
    walk = join(task.grid.lanes, piece.walkway, place, Effort())
    legs, blind = legs_of(walk, task.edge.loops, piece.walkway, place)
    if blind:
        text = f"{blind} way{'s' if blind > 1 else ''} between lanes cross ground that may not be walked on"
        found.append(finding("no-way-through", text, _where(piece)))
    if walk.capped:
        found.append(
            finding("order-cut-short", f"{len(walk.lanes):,} lanes are too many to order well", _where(piece))
        )
    work = [leg for leg in legs if leg.kind != "way"]
    path_m = sum(leg.length_m for leg in legs)
    return Pass(
        zone=piece.name,
        number=task.number,
        count=task.count,
        direction_deg=float(np.degrees(task.grid.angle_rad) % 180),
        swath_m=rig.swath_m,
        lanes=walk.lanes,
        loops=task.edge.loops,
        walk=_line(legs),
        work_length_m=sum(leg.length_m for leg in work),
        path_length_m=path_m,
        time_s=path_m / rig.speed_m_per_s + max(len(work) - 1, 0) * rig.turn_s,
        by_hand=left_over(task.edge, walk.lanes, rig.swath_m),
        legs=legs,
    )


def _line(legs: tuple[Leg, ...]) -> LineString:
    """The walk as one line."""
    if not legs:
        return LineString()
    points = np.concatenate([leg.points for leg in legs])
    same = np.zeros(len(points), dtype=bool)
    same[1:] = (np.abs(np.diff(points, axis=0)) < 1e-9).all(axis=1)
    return LineString(points[~same])


def _report(piece: _Piece, first: Pass, rig: Rig, found: list[Finding]) -> None:
    """Tell what the lanes do not reach."""
    area = first.by_hand.area
    if not len(first.lanes) and not first.loops:
        text = f"the ground is narrower than the {rig.swath_m:.2f} m swath everywhere; all {area:.1f} m² go by hand"
        found.append(finding("narrower-than-swath", text, _where(piece)))
    elif area > _HAND_SHARE * piece.ground.area:
        text = f"corners and necks too narrow for the swath, {area:.1f} m² in all, are left to do by hand"
        found.append(finding("hand-spots", text, _where(piece)))


def _where(piece: _Piece) -> str:
    return f'zone "{piece.name}"' if piece.name else ""
