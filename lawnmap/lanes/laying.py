"""Lanes laid over a lawn: every zone, every pass, in the order of the work."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np
from shapely.geometry import LineString

from lawnmap.lanes.coverage import left_over
from lawnmap.lanes.direction import Spacing
from lawnmap.lanes.fixed import FixedPlaces, fixed_places
from lawnmap.lanes.grids import Grid, best_grids, grids_at
from lawnmap.lanes.headland import Headland, headland
from lawnmap.lanes.joining import Effort, Walk, join
from lawnmap.lanes.model import LanePlan, Leg, Pass
from lawnmap.lanes.pieces import Ground, Piece, pieces_of, start_of
from lawnmap.lanes.rounds import Trouble, legs_of
from lawnmap.lanes.stakes import Taping, stake_out
from lawnmap.measure import Takeoff
from lawnmap.units import METRIC, US
from lawnmap.yard import Finding, finding

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from lawnmap.lanes.rig import Rig

_HAND_SHARE: Final = 0.002  # share of the ground from which spots left over are worth telling


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
    return lay_pieces(pieces_of(ground, rig), ground, rig)


def lay_pieces(pieces: Sequence[Piece], ground: Ground | Takeoff, rig: Rig) -> LanePlan:
    """Lay lanes over pieces of ground, one after the other.

    Parameters
    ----------
    pieces : sequence of Piece
        What to work, in order.
    ground : Polygon, MultiPolygon or Takeoff
        Where they come from. [m]
    rig : Rig
        What is pushed or towed, and how.
    """
    if not pieces:
        return LanePlan(())
    place, found = start_of(ground, rig, pieces[0].mover.walkway)
    passes: list[Pass] = []
    for piece in pieces:
        for made in _passes(piece, rig, place, found):
            passes.append(made)
            if made.legs:
                place = made.legs[-1].points[-1]
    if isinstance(ground, Takeoff):
        passes, loose = _staked(passes, fixed_places(ground.yard), rig)
        found += loose
    return LanePlan(tuple(passes), tuple(dict.fromkeys(found)))


def _staked(passes: list[Pass], places: FixedPlaces, rig: Rig) -> tuple[list[Pass], list[Finding]]:
    """Set out the lanes, where the yard has anything to tape from; tell which stakes nothing fixes."""
    if len(places.points) < 2 and not places.walls:
        return passes, []
    taping = Taping(rig.stake_sigma_m, rig.stake_rounding_m, rig.tape_m)
    staked = [replace(made, stakes=stake_out(made, places, rig.stake_every, taping)) for made in passes]
    stakes = [stake for made in staked for stake in made.stakes]
    loose = sum(not stake.ties for stake in stakes)
    text = f"{loose} of {len(stakes)} stakes cannot be taped from any two corners or a wall"
    return staked, [finding("stake-without-ties", text)] if loose else []


def _passes(piece: Piece, rig: Rig, place: NDArray[np.float64] | None, found: list[Finding]) -> list[Pass]:
    """Lay one or two passes over a piece; the second begins near the end of the first."""
    edge = headland(piece.ground, rig.swath_m, rig.headland_loops)
    spacing = _spacing(rig)
    count = 1 if rig.passes == "one direction" else 2
    made: list[Pass] = []
    grid = None
    for number in range(1, count + 1):
        grids = _grids(piece, edge.core, spacing, (rig, grid))
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


def _spacing(rig: Rig) -> Spacing:
    """Return how lanes lie; without a round to turn on they must stop at the edge."""
    end = rig.lane_end if rig.headland_loops else 0.0
    return Spacing(rig.swath_m, end, rig.turn_s * rig.speed_m_per_s)


def _cost_m(grid: Grid, walk: Walk, spacing: Spacing) -> float:
    """Return the cost of a grid with the ways really walked between its lanes in place of one swath each."""
    return grid.cost_m - len(grid.lanes) * spacing.swath_m + walk.ways_m


def _grids(piece: Piece, core: Ground, spacing: Spacing, job: tuple[Rig, Grid | None]) -> list[Grid]:
    """Return the grids to try for a pass; the second depends on the first."""
    rig, first = job
    if core.is_empty:
        return [Grid(0.0, 0.0, 0.0, np.empty((0, 2, 2)))]
    if first is None:
        wanted = None if piece.direction_rad is None else np.array([piece.direction_rad])
        return best_grids(core, spacing, angles_rad=wanted, crosswise=rig.passes == "two directions")
    if rig.passes == "two directions":
        return best_grids(core, spacing, angles_rad=np.array([first.angle_rad + np.pi / 2]))
    between = np.array([[first.angle_rad, first.offset_m + rig.swath_m / 2]])
    return grids_at(core, between, spacing)


def _pass(
    piece: Piece,
    rig: Rig,
    number: tuple[int, int],
    parts: tuple[Grid, Headland, Walk, tuple[Leg, ...]],
) -> Pass:
    grid, edge, walk, legs = parts
    spacing = _spacing(rig)
    work = [leg.length_m for leg in legs if leg.kind != "way"]
    path_m = sum(leg.length_m for leg in legs)
    return Pass(
        zone=piece.name,
        number=number[0],
        count=number[1],
        direction_price=_price(piece, edge.core, spacing, grid) if number[0] == 1 else None,
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


def _price(piece: Piece, core: Ground, spacing: Spacing, grid: Grid) -> float | None:
    """Return how much more a stated direction costs than the best one, as a share; None for the best."""
    if piece.direction_rad is None or core.is_empty:
        return None
    return grid.cost_m / best_grids(core, spacing)[0].cost_m - 1


def _line(legs: tuple[Leg, ...]) -> LineString:
    """The walk as one line."""
    if not legs:
        return LineString()
    points = np.concatenate([leg.points for leg in legs])
    same = np.zeros(len(points), dtype=bool)
    same[1:] = (np.abs(np.diff(points, axis=0)) < 1e-9).all(axis=1)
    return LineString(points[~same])


def _findings(piece: Piece, walk: Walk, trouble: Trouble) -> list[Finding]:
    """Tell what is wrong with the walk."""
    found = []
    if trouble.blind:
        text = f"between lanes ground must be crossed that may not be walked on, {_times(trouble.blind)}"
        found.append(finding("no-way-through", text, piece.where))
    if trouble.tight:
        radius = piece.mover.radius_m
        text = f"a turn of {radius:.1f} m radius does not fit on the ground, {_times(trouble.tight)}"
        found.append(finding("turn-does-not-fit", text, piece.where))
    if walk.capped:
        text = f"{len(walk.lanes):,} lanes are too many to look long for their best order"
        found.append(finding("order-cut-short", text, piece.where))
    return found


def _times(count: int) -> str:
    return "once" if count == 1 else f"{count} times"


def _left_findings(piece: Piece, first: Pass, rig: Rig) -> list[Finding]:
    """Tell what the lanes do not reach."""
    area = first.by_hand.area
    both = f"{METRIC.area(area)} ({US.area(area)})"
    if not len(first.lanes) and not first.loops:
        swath = f"{METRIC.width(rig.swath_m)} ({US.width(rig.swath_m)})"
        text = f"the ground is narrower than the swath of {swath} everywhere; all of it, {both}, goes by hand"
        return [finding("narrower-than-swath", text, piece.where)]
    if area > _HAND_SHARE * piece.ground.area:
        text = f"corners and necks too narrow for the swath, {both} in all, are left to do by hand"
        return [finding("hand-spots", text, piece.where)]
    return []
