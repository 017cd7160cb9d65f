"""The passes over one piece of ground: rounds, lanes in their order, and what is left to the hand."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import permutations
from typing import TYPE_CHECKING, Final

import numpy as np
from shapely.geometry import LineString, MultiPolygon

from lawnmap.lanes.coverage import left_over
from lawnmap.lanes.direction import Spacing
from lawnmap.lanes.grids import Grid, best_grids, grids_at
from lawnmap.lanes.headland import Headland, headland
from lawnmap.lanes.joining import Joining, Walk
from lawnmap.lanes.model import Leg, Pass
from lawnmap.lanes.pieces import Ground, Piece
from lawnmap.lanes.rounds import Trouble, legs_of
from lawnmap.lanes.wings import wings_of
from lawnmap.units import METRIC, US
from lawnmap.yard import Finding, finding

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from lawnmap.lanes.rig import Rig

_HAND_SHARE: Final = 0.002  # share of the ground from which spots left over are worth telling


@dataclass(frozen=True, eq=False)
class Laid:
    """Passes over a piece, and what is to be said about them.

    Attributes
    ----------
    passes : tuple of Pass
        In walking order.
    findings : tuple of Finding
        What could not be reached or was assumed.
    place : array, shape (2,), or None
        Where the walk ends. [m]
    """

    passes: tuple[Pass, ...]
    findings: tuple[Finding, ...]
    place: NDArray[np.float64] | None

    @property
    def time_s(self) -> float:
        """Time for all of them. [s]"""
        return sum(single.time_s for single in self.passes)


def lay_piece(piece: Piece, rig: Rig, place: NDArray[np.float64] | None) -> Laid:
    """Lay one or two passes over a piece; the second begins near the end of the first.

    Parameters
    ----------
    piece : Piece
        The ground.
    rig : Rig
        What is pushed or towed, and how.
    place : array, shape (2,), optional
        Where the walk begins; else wherever suits. [m]
    """
    edge = headland(piece.ground, rig.swath_m, rig.rounds)
    best = _lay_parts(piece, rig, [edge], place)
    if piece.direction_rad is None and rig.passes != "two directions":
        found = wings_of(edge.core, _spacing(rig))
        for wings in permutations(found) if found else ():
            first = replace(edge, core=wings[0])
            others = [Headland((), wing, MultiPolygon()) for wing in wings[1:]]
            apart = _lay_parts(piece, rig, [first, *others], place)
            best = min(best, apart, key=lambda laid: laid.time_s)
    return replace(best, findings=(*best.findings, *_left_findings(piece, best.passes, rig)))


def _lay_parts(piece: Piece, rig: Rig, parts: Sequence[Headland], place: NDArray[np.float64] | None) -> Laid:
    """Lay every pass over every part of a piece."""
    count = 1 if rig.passes == "one direction" else 2
    made: list[Pass] = []
    found: list[Finding] = []
    first: list[Grid | None] = [None] * len(parts)
    for number in range(1, count + 1):
        for index, edge in enumerate(parts):
            grids = _grids(piece, edge.core, rig, first[index])
            tries = [Joining(each.lanes, piece.mover, place) for each in grids]
            costs = [_cost_m(each, joined, rig) for each, joined in zip(grids, tries, strict=True)]
            best = int(np.argmin(costs))
            first[index] = grids[best]
            tries[best].polish()
            walk = tries[best].walk()
            legs, trouble = legs_of(walk, edge.loops, piece.mover, place)
            found += _findings(piece, rig, walk, trouble)
            made.append(_pass(piece, rig, (number, count), (grids[best], edge, walk, legs)))
            place = legs[-1].points[-1] if legs else place
    return Laid(tuple(made), tuple(found), place)


def _spacing(rig: Rig) -> Spacing:
    """Return how lanes lie; without a round to turn on they must stop at the edge."""
    end = rig.lane_end if rig.rounds else 0.0
    return Spacing(rig.swath_m, end, rig.turn_s * rig.speed_m_per_s)


def _cost_m(grid: Grid, joined: Joining, rig: Rig) -> float:
    """Return the cost of a grid with the ways really walked between its lanes in place of one swath each."""
    return grid.cost_m - len(grid.lanes) * rig.swath_m + joined.ways_m


def _grids(piece: Piece, core: Ground, rig: Rig, first: Grid | None) -> list[Grid]:
    """Return the grids to try for a pass; the second depends on the first."""
    spacing = _spacing(rig)
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
        headland_m=rig.rounds * rig.swath_m,
        turn_depth_m=rig.turn_depth_m,
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


def _findings(piece: Piece, rig: Rig, walk: Walk, trouble: Trouble) -> list[Finding]:
    """Tell what is wrong with the walk."""
    found = []
    late = piece.mover.walkway.late
    if late or walk.capped:
        text = f"{len(walk.lanes):,} lanes among so many edges are too many to look long for their best order"
        if trouble.blind:
            text += f", and some ways are drawn straight across obstacles, {_times(trouble.blind)}"
        found.append(finding("order-cut-short", text, piece.where))
    elif trouble.blind:
        text = f"between lanes ground must be crossed that may not be walked on, {_times(trouble.blind)}"
        found.append(finding("no-way-through", text, piece.where))
    if trouble.tight:
        radius = f"{METRIC.width(piece.mover.radius_m)} ({US.width(piece.mover.radius_m)})"
        text = f"a turn of {radius} radius does not fit on the ground, {_times(trouble.tight)}"
        if rig.rounds < rig.rounds_needed:
            text += f": it reaches as far beyond the lane, for which {rig.rounds_needed} rounds leave room"
        found.append(finding("turn-does-not-fit", text, piece.where))
    return found


def _times(count: int) -> str:
    return "once" if count == 1 else f"{count} times"


def _left_findings(piece: Piece, passes: Sequence[Pass], rig: Rig) -> list[Finding]:
    """Tell what the lanes do not reach."""
    first = [single for single in passes if single.number == 1]
    area = sum(single.by_hand.area for single in first)
    both = f"{METRIC.area(area)} ({US.area(area)})"
    if not any(len(single.lanes) or single.loops for single in first):
        swath = f"{METRIC.width(rig.swath_m)} ({US.width(rig.swath_m)})"
        text = f"the ground is narrower than the swath of {swath} everywhere; all of it, {both}, goes by hand"
        return [finding("narrower-than-swath", text, piece.where)]
    if area > _HAND_SHARE * piece.ground.area:
        text = f"corners and necks too narrow for the swath, {both} in all, are left to do by hand"
        return [finding("hand-spots", text, piece.where)]
    return []
