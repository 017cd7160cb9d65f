"""Headland rounds put into the walk: the edge first, an obstacle when the walk passes by."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from lawnmap.lanes.detours import Walkway
from lawnmap.lanes.model import Leg

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray
    from shapely.geometry import LineString

    from lawnmap.lanes.joining import Walk

_TRIED = 6  # places where a round may be joined, cheapest first, whose ways are looked at


def legs_of(
    walk: Walk, loops: Sequence[LineString], walkway: Walkway, start: NDArray[np.float64] | None
) -> tuple[tuple[Leg, ...], int]:
    """Return the whole walk in order, rounds included, and how many of its ways have no open ground.

    Every round is a closed line, so it may begin anywhere on it. Outer rounds are walked on reaching
    their piece of ground, so that there is a strip to turn on; the others where joining them adds least.

    Parameters
    ----------
    walk : Walk
        Lanes in order.
    loops : sequence of LineString
        Rounds. [m]
    walkway : Walkway
        Where one may walk between them.
    start : array, shape (2,), optional
        Where the walk begins. [m]
    """
    rows = [Leg("lane", lane, number) for number, lane in enumerate(walk.lanes, 1)]
    if not rows:
        rows = [Leg("loop", shapely.get_coordinates(loop), number) for number, loop in enumerate(loops, 1)]
    elif loops:
        rows = _with_rounds(walk.lanes, rows, loops, walkway, start)
    return _with_ways(rows, walkway, start)


def _with_rounds(
    lanes: NDArray[np.float64],
    rows: Sequence[Leg],
    loops: Sequence[LineString],
    walkway: Walkway,
    start: NDArray[np.float64] | None,
) -> list[Leg]:
    """Put each round in front of a lane, or behind the last, where that adds least."""
    before = np.concatenate([lanes[:1, 0] if start is None else start[None], lanes[:, 1]])
    after = np.concatenate([lanes[:, 0], lanes[-1:, 1]])
    straight = np.hypot(*(after - before).T)
    places = shapely.points(np.stack([before, after], axis=1))  # gap, side
    lines = np.array(loops, dtype=object)[:, None, None]
    along = shapely.line_locate_point(lines, places)
    touch = shapely.get_coordinates(shapely.line_interpolate_point(lines, along)).reshape(*along.shape, 2)
    there = np.hypot(*np.moveaxis(touch - before[:, None], -1, 0))
    back = np.hypot(*np.moveaxis(touch - after[:, None], -1, 0))
    there[:, 0] *= start is not None  # the walk may begin and end anywhere
    back[:, -1] = 0.0
    added = there + back - straight[:, None]
    _hold_outer(added, loops, after)
    gaps: list[list[tuple[float, Leg]]] = [[] for _ in before]
    for number, loop in enumerate(loops):
        gap, side = _cheapest(added[number], touch[number], before, after, walkway)
        leg = Leg("loop", _begun_at(loop, float(along[number, gap, side])), number + 1)
        gaps[gap].append((float(there[number, gap, side]), leg))
    chains = [[leg for _, leg in sorted(found, key=lambda pair: pair[0])] for found in gaps]
    return [leg for chain, row in zip(chains, [*rows, None], strict=True) for leg in (*chain, row) if leg]


def _hold_outer(added: NDArray[np.float64], loops: Sequence[LineString], after: NDArray[np.float64]) -> None:
    """Let outer rounds be walked only on reaching their piece of ground."""
    for number, loop in enumerate(loops):
        if not shapely.is_ccw(loop):  # `headland` gives outer rounds clockwise
            inside = shapely.contains_xy(shapely.Polygon(shapely.get_coordinates(loop)), after[:-1])
            if inside.any():
                gap = int(np.argmax(inside))
                added[number, :gap] = added[number, gap + 1 :] = np.inf


def _cheapest(
    added: NDArray[np.float64],
    touch: NDArray[np.float64],
    before: NDArray[np.float64],
    after: NDArray[np.float64],
    walkway: Walkway,
) -> tuple[int, int]:
    """Return the gap, and the side of it, where a round adds least and can be reached straight."""
    order = np.argsort(added, axis=None, kind="stable")[:_TRIED]
    gaps, sides = np.divmod(order, 2)
    place = touch[gaps, sides]
    clear = walkway.clear(np.concatenate([place, place]), np.concatenate([before[gaps], after[gaps]]))
    best = int(np.argmax(clear[: len(order)] & clear[len(order) :]))
    return int(gaps[best]), int(sides[best])


def _begun_at(loop: LineString, far_m: float) -> NDArray[np.float64]:
    """Return the points of a closed line, begun some way along it."""
    ring = shapely.get_coordinates(loop)
    begin = shapely.get_coordinates(shapely.line_interpolate_point(loop, far_m))
    gone = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(ring, axis=0).T))])[:-1]
    ahead, passed = ring[:-1][gone > far_m + 1e-9], ring[:-1][gone < far_m - 1e-9]
    return np.concatenate([begin, ahead, passed, begin])


def _with_ways(
    rows: Sequence[Leg], walkway: Walkway, start: NDArray[np.float64] | None
) -> tuple[tuple[Leg, ...], int]:
    """Put the ways between legs."""
    legs = rows[:1]
    blind = 0
    if start is not None:
        legs, blind = _linked(walkway, [Leg("way", start[None])], rows[:1])
    more, blocked = _linked(walkway, rows[:-1], rows[1:])
    return (*legs, *more), blind + blocked


def _linked(walkway: Walkway, before: Sequence[Leg], after: Sequence[Leg]) -> tuple[list[Leg], int]:
    """Return each leg of `after` behind the way to it from its fellow in `before`."""
    origins = np.array([leg.points[-1] for leg in before]).reshape(-1, 2)
    goals = np.array([leg.points[0] for leg in after]).reshape(-1, 2)
    legs: list[Leg] = []
    blind = 0
    for leg, way, origin in zip(after, walkway.ways(origins, goals), origins, strict=True):
        blind += way is None
        points = np.stack([origin, leg.points[0]]) if way is None else way
        if np.hypot(*(points[-1] - points[0])) > 1e-9:
            legs.append(Leg("way", points))
        legs.append(leg)
    return legs, blind
