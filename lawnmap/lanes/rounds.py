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
    lanes = [Leg("lane", lane, number) for number, lane in enumerate(walk.lanes, 1)]
    rows = list(lanes)
    for number, loop in enumerate(loops, 1):
        _insert(rows, loop, number, walkway, start)
    return _with_ways(rows, walkway, start)


def _insert(
    rows: list[Leg], loop: LineString, number: int, walkway: Walkway, start: NDArray[np.float64] | None
) -> None:
    """Put one round between two legs, where that adds least."""
    ring = shapely.get_coordinates(loop)
    origin = ring[0] if start is None else start
    if not rows:
        rows.append(Leg("loop", _begun_near(loop, origin), number))
        return
    before = np.array([origin, *(leg.points[-1] for leg in rows)])
    after = np.array([*(leg.points[0] for leg in rows), rows[-1].points[-1]])
    gaps = len(before)
    last = gaps
    if _clockwise_outer(loop):
        inside = shapely.contains_xy(shapely.Polygon(ring), after[:-1])
        last = int(np.argmax(inside)) + 1 if inside.any() else gaps
    places = np.concatenate([before, after])
    touch = shapely.get_coordinates(
        shapely.line_interpolate_point(loop, shapely.line_locate_point(loop, shapely.points(places)))
    ).reshape(2, gaps, 2)
    there = np.hypot(*(touch - before).transpose(2, 0, 1))
    back = np.hypot(*(touch - after).transpose(2, 0, 1))
    added = there + back - np.hypot(*(after - before).T)
    added[:, -1] = there[:, -1]  # behind the last leg there is no way on
    if start is None:
        added[:, 0] = back[:, 0]
    added[:, last:] = np.inf
    if _clockwise_outer(loop):
        added[:, : last - 1] = np.inf
    order = np.argsort(added, axis=None, kind="stable")[:_TRIED]
    which, gap = np.unravel_index(order, added.shape)
    clear = walkway.clear(touch[which, gap], before[gap]) & walkway.clear(touch[which, gap], after[gap])
    best = int(np.argmax(clear)) if clear.any() else 0
    rows.insert(int(gap[best]), Leg("loop", _begun_near(loop, touch[which[best], gap[best]]), number))


def _clockwise_outer(loop: LineString) -> bool:
    """Whether a round goes along an outer edge; `headland` gives those clockwise."""
    return not shapely.is_ccw(loop)


def _begun_near(loop: LineString, place: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the points of a closed line, begun at its nearest place."""
    ring = shapely.get_coordinates(loop)
    far = float(shapely.line_locate_point(loop, shapely.points(place)))
    begin = shapely.get_coordinates(shapely.line_interpolate_point(loop, far))
    gone = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(ring, axis=0).T))])
    ahead = ring[:-1][gone[:-1] > far + 1e-9]
    passed = ring[:-1][gone[:-1] < far - 1e-9]
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
