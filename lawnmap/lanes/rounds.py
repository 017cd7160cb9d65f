"""Headland rounds put into the walk: the edge first, an obstacle when the walk passes by."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely

from lawnmap.lanes.model import Leg
from lawnmap.lanes.movement import Mover

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray
    from shapely.geometry import LineString

    from lawnmap.lanes.joining import Walk

_STILL_M = 1e-9  # a way no longer than this is none
_TRIED = 6  # places where a round may be joined, cheapest first, whose ways are looked at


def legs_of(
    walk: Walk, loops: Sequence[LineString], mover: Mover, start: NDArray[np.float64] | None
) -> tuple[tuple[Leg, ...], Trouble]:
    """Return the whole walk in order, rounds included, and what is wrong with it.

    Every round is a closed line, so it may begin anywhere on it. Outer rounds are walked on reaching
    their piece of ground, so that there is a strip to turn on; the others where joining them adds least.

    Parameters
    ----------
    walk : Walk
        Lanes in order.
    loops : sequence of LineString
        Rounds. [m]
    mover : Mover
        What moves, and where it may.
    start : array, shape (2,), optional
        Where the walk begins. [m]
    """
    rows = [Leg("lane", lane, number) for number, lane in enumerate(walk.lanes, 1)]
    if not rows:
        rows = [Leg("loop", shapely.get_coordinates(loop), number) for number, loop in enumerate(loops, 1)]
    elif loops:
        rows = _with_rounds(walk.lanes, rows, loops, mover, start)
    return _with_ways(rows, mover, start)


def _with_rounds(
    lanes: NDArray[np.float64],
    rows: Sequence[Leg],
    loops: Sequence[LineString],
    mover: Mover,
    start: NDArray[np.float64] | None,
) -> list[Leg]:
    """Put each round in front of a lane, or behind the last, where that adds least."""
    before = np.concatenate([lanes[:1, 0] if start is None else start[None], lanes[:, 1]])
    after = np.concatenate([lanes[:, 0], lanes[-1:, 1]])
    places = np.concatenate([before, after])
    lines = np.array(loops, dtype=object)
    loop, place = _pairs(lines, places, after)
    along = shapely.line_locate_point(lines[loop], shapely.points(places[place]))
    touch = shapely.get_coordinates(shapely.line_interpolate_point(lines[loop], along))
    gap = place % len(before)
    there, back = (np.hypot(*(touch - side[gap]).T) for side in (before, after))
    there[gap == 0] *= start is not None  # the walk may begin and end anywhere
    back[gap == len(before) - 1] = 0.0
    added = there + back - np.hypot(*(after - before)[gap].T)
    chosen = _cheapest(loop, added, touch, (before[gap], after[gap]), mover)
    rounds: list[list[tuple[float, Leg]]] = [[] for _ in before]
    for pair in chosen:
        number = int(loop[pair])
        leg = Leg("loop", _begun_at(loops[number], float(along[pair])), number + 1)
        rounds[int(gap[pair])].append((float(there[pair]), leg))
    chains = [[leg for _, leg in sorted(found, key=lambda item: item[0])] for found in rounds]
    return [leg for chain, row in zip(chains, [*rows, None], strict=True) for leg in (*chain, row) if leg]


def _pairs(
    lines: NDArray[np.object_], places: NDArray[np.float64], after: NDArray[np.float64]
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return rounds with the places near them; an outer round with those where its ground is entered."""
    tree = shapely.STRtree(np.asarray(shapely.points(places)))
    (which, _), far = tree.query_nearest(lines, return_distance=True, all_matches=False)
    reach = np.zeros(len(lines))
    reach[which] = 4 * far + 0.5
    loop, place = tree.query(lines, predicate="dwithin", distance=reach)
    gaps = len(after)
    for number in np.flatnonzero(~shapely.is_ccw(lines)):  # `headland` gives outer rounds clockwise
        inside = shapely.contains_xy(shapely.Polygon(shapely.get_coordinates(lines[number])), after[:-1])
        if inside.any():
            gap = int(np.argmax(inside))
            others = loop != number
            loop = np.concatenate([loop[others], [number, number]])
            place = np.concatenate([place[others], [gap, gap + gaps]])
    return loop, place


def _cheapest(
    loop: NDArray[np.intp],
    added: NDArray[np.float64],
    touch: NDArray[np.float64],
    sides: tuple[NDArray[np.float64], NDArray[np.float64]],
    mover: Mover,
) -> list[int]:
    """Return for each round the pair that adds least, of the cheapest few one that is reached straight."""
    order = np.lexsort((added, loop))
    first = np.searchsorted(loop[order], loop[order])
    few = order[np.arange(len(order)) - first < _TRIED]
    clear = mover.walkway.clear(touch[few], sides[0][few]) & mover.walkway.clear(touch[few], sides[1][few])
    ranked = few[np.lexsort((added[few], ~clear, loop[few]))]
    return [int(pair) for pair in ranked[np.unique(loop[ranked], return_index=True)[1]]]


def _begun_at(loop: LineString, far_m: float) -> NDArray[np.float64]:
    """Return the points of a closed line, begun some way along it."""
    ring = shapely.get_coordinates(loop)
    begin = shapely.get_coordinates(shapely.line_interpolate_point(loop, far_m))
    gone = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(ring, axis=0).T))])[:-1]
    ahead, passed = ring[:-1][gone > far_m + 1e-9], ring[:-1][gone < far_m - 1e-9]
    return np.concatenate([begin, ahead, passed, begin])


@dataclass(frozen=True)
class Trouble:
    """What is wrong with the ways of a walk.

    Attributes
    ----------
    blind : int
        Ways that no open ground connects, drawn straight. [count]
    tight : int
        Turns that do not fit on the ground, drawn as if one turned on the spot. [count]
    """

    blind: int
    tight: int


def _with_ways(
    rows: Sequence[Leg], mover: Mover, start: NDArray[np.float64] | None
) -> tuple[tuple[Leg, ...], Trouble]:
    """Put the ways between legs."""
    before, after = list(rows[:-1]), list(rows[1:])
    legs = list(rows[:1])
    if start is not None and rows:
        toward = rows[0].points[0] - start
        before.insert(0, Leg("way", np.stack([start - toward, start])))
        after.insert(0, rows[0])
        legs = []
    origins = np.array([_pose(*leg.points[-2:]) for leg in before]).reshape(-1, 3)
    goals = np.array([_pose(leg.points[0], leg.points[1], begin=True) for leg in after]).reshape(-1, 3)
    ways, tight = mover.ways(origins, goals)
    blind = 0
    for leg, way, origin in zip(after, ways, origins[:, :2], strict=True):
        blind += way is None
        points = np.stack([origin, leg.points[0]]) if way is None else way
        if np.abs(points - points[0]).max() > _STILL_M:
            legs.append(Leg("way", points))
        legs.append(leg)
    return tuple(legs), Trouble(blind, tight)


def _pose(
    one: NDArray[np.float64], two: NDArray[np.float64], *, begin: bool = False
) -> tuple[float, float, float]:
    """Return place and heading at the end of a stretch, or at its beginning."""
    east, north = one if begin else two
    return float(east), float(north), float(np.arctan2(two[1] - one[1], two[0] - one[0]))
