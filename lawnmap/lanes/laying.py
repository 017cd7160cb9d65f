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
from lawnmap.lanes.direction import Spacing
from lawnmap.lanes.grids import Grid, best_grids, grids_at
from lawnmap.lanes.headland import Headland, headland, polygons_of
from lawnmap.lanes.joining import Effort, Walk, join
from lawnmap.lanes.model import LanePlan, Leg, Pass
from lawnmap.lanes.movement import Mover
from lawnmap.lanes.rounds import Trouble, legs_of
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
    mover: Mover


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
        return [_Piece("", _checked(ground), _mover(ground, rig))]
    obstacles = ground.yard.obstacles
    crossable = [obstacle.polygon for obstacle in obstacles if obstacle.kind in CROSSABLE]
    solid = shapely.union_all([obstacle.polygon for obstacle in obstacles if obstacle.kind not in CROSSABLE])
    lawn = shapely.union_all([*(zone.ground for zone in ground.zones), *crossable])
    mover = _mover(polygons_of(shapely.difference(lawn, solid)), rig)
    return [
        _Piece(zone.name, zone.ground, mover)
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


def _mover(ground: Ground, rig: Rig) -> Mover:
    walkway = Walkway(ground, _CLEARANCE * rig.swath_m if rig.headland_loops else -_TOUCH_M)
    towed = rig.machine == "tow-behind"
    return Mover(walkway, rig.turning_radius_m if towed else 0.0, reverse=towed and rig.reverse)


def _passes(piece: _Piece, rig: Rig, place: NDArray[np.float64] | None, found: list[Finding]) -> list[Pass]:
    """Lay one or two passes over a piece; the second begins near the end of the first."""
    edge = headland(piece.ground, rig.swath_m, rig.headland_loops)
    spacing = Spacing(
        rig.swath_m, rig.lane_end if rig.headland_loops else 0.0, rig.turn_s * rig.speed_m_per_s
    )
    count = 1 if rig.passes == "one direction" else 2
    made: list[Pass] = []
    grid = None
    for number in range(1, count + 1):
        grids = _grids(edge.core, spacing, rig, grid)
        walks = [join(each.lanes, piece.mover, place, Effort()) for each in grids]
        costs = [_cost_m(each, walk, spacing) for each, walk in zip(grids, walks, strict=True)]
        best = int(np.argmin(costs))
        grid = grids[best]
        legs, trouble = legs_of(walks[best], edge.loops, piece.mover, place)
        found += _findings(piece, walks[best], trouble)
        made.append(_pass(piece, rig, (number, count), (grid, edge, walks[best], legs)))
        place = legs[-1].points[-1] if legs else place
    found += _left_findings(piece, made[0], rig)
    return made


def _cost_m(grid: Grid, walk: Walk, spacing: Spacing) -> float:
    """Return the cost of a grid with the ways really walked between its lanes in place of one swath each."""
    return grid.cost_m - len(grid.lanes) * spacing.swath_m + walk.ways_m


def _grids(core: Ground, spacing: Spacing, rig: Rig, first: Grid | None) -> list[Grid]:
    """Return the grids to try for a pass; the second depends on the first."""
    if core.is_empty:
        return [Grid(0.0, 0.0, 0.0, np.empty((0, 2, 2)))]
    if first is None:
        wanted = None if rig.direction == "best" else np.radians([float(rig.direction)])
        return best_grids(core, spacing, angles_rad=wanted, crosswise=rig.passes == "two directions")
    if rig.passes == "two directions":
        return best_grids(core, spacing, angles_rad=np.array([first.angle_rad + np.pi / 2]))
    between = np.array([[first.angle_rad, first.offset_m + rig.swath_m / 2]])
    return grids_at(core, between, spacing)


def _pass(
    piece: _Piece,
    rig: Rig,
    number: tuple[int, int],
    parts: tuple[Grid, Headland, Walk, tuple[Leg, ...]],
) -> Pass:
    grid, edge, walk, legs = parts
    work = [leg.length_m for leg in legs if leg.kind != "way"]
    path_m = sum(leg.length_m for leg in legs)
    return Pass(
        zone=piece.name,
        number=number[0],
        count=number[1],
        direction_deg=float(np.degrees(grid.angle_rad) % 180),
        swath_m=rig.swath_m,
        lanes=walk.lanes,
        loops=edge.loops,
        walk=_line(legs),
        work_length_m=sum(work),
        path_length_m=path_m,
        time_s=path_m / rig.speed_m_per_s + max(len(work) - 1, 0) * rig.turn_s,
        by_hand=left_over(edge, walk.lanes, rig.swath_m),
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


def _findings(piece: _Piece, walk: Walk, trouble: Trouble) -> list[Finding]:
    """Tell what is wrong with the walk."""
    found = []
    if trouble.blind:
        text = f"between lanes ground must be crossed that may not be walked on, {_times(trouble.blind)}"
        found.append(finding("no-way-through", text, _where(piece)))
    if trouble.tight:
        radius = piece.mover.radius_m
        text = f"a turn of {radius:.1f} m radius does not fit on the ground, {_times(trouble.tight)}"
        found.append(finding("turn-does-not-fit", text, _where(piece)))
    if walk.capped:
        text = f"{len(walk.lanes):,} lanes are too many to look long for their best order"
        found.append(finding("order-cut-short", text, _where(piece)))
    return found


def _times(count: int) -> str:
    return "once" if count == 1 else f"{count} times"


def _left_findings(piece: _Piece, first: Pass, rig: Rig) -> list[Finding]:
    """Tell what the lanes do not reach."""
    area = first.by_hand.area
    if not len(first.lanes) and not first.loops:
        text = f"the ground is narrower than the {rig.swath_m:.2f} m swath everywhere; all {area:.1f} m² go by hand"
        return [finding("narrower-than-swath", text, _where(piece))]
    if area > _HAND_SHARE * piece.ground.area:
        text = f"corners and necks too narrow for the swath, {area:.1f} m² in all, are left to do by hand"
        return [finding("hand-spots", text, _where(piece))]
    return []


def _where(piece: _Piece) -> str:
    return f'zone "{piece.name}"' if piece.name else ""
