"""How one gets from the end of one stretch of work to the beginning of the next, on foot or on wheels."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
import shapely

from lawnmap.lanes.detours import Walkway, length_m
from lawnmap.lanes.turns import fishtail_length_m, shortest_turns, turn_points

if TYPE_CHECKING:
    from numpy.typing import NDArray

_NEAR: Final = 24  # ends for which the turn is worked out beforehand


@dataclass(frozen=True, eq=False)
class Mover:
    """What moves, and where it may.

    Attributes
    ----------
    walkway : Walkway
        Ground that may be crossed.
    radius_m : float
        Least turning radius; 0 for what turns on the spot. [m]
    reverse : bool
        Whether a turn may contain one move in reverse.
    """

    walkway: Walkway
    radius_m: float = 0.0
    reverse: bool = False

    def table(self, ends: NDArray[np.float64], start: NDArray[np.float64] | None) -> NDArray[np.float64]:
        """Return the length of the open way between all lane ends, and from the start; the finish is free.

        Parameters
        ----------
        ends : array, shape (2n, 2)
            Ends of lanes; those of lane i are 2i and 2i + 1. [m]
        start : array, shape (2,), optional
            Where the walk begins. [m]

        Returns
        -------
        array, shape (2n + 2, 2n + 2)
            Lengths; the last two rows are those of finish and start. [m]
        """
        count = len(ends)
        cost = np.zeros((count + 2, count + 2))
        inner = cost[:count, :count]
        np.hypot(ends[:, None, 0] - ends[None, :, 0], ends[:, None, 1] - ends[None, :, 1], out=inner)
        if self.radius_m:
            self._add_turns(inner, ends)
        if start is not None:
            cost[-1, :count] = cost[:count, -1] = np.hypot(*(ends - start).T)
        return cost.round(6)  # so that equal ways are equal however the lawn is turned

    def _add_turns(self, cost: NDArray[np.float64], ends: NDArray[np.float64]) -> None:
        """Replace straight lengths by turns where ends are near each other; add a full turn elsewhere."""
        few = min(_NEAR, len(ends) - 1)
        near = np.argpartition(cost, few, axis=1)[:, : few + 1]
        first, second = np.repeat(np.arange(len(ends)), few + 1), near.reshape(-1)
        other = first < second
        first, second = first[other], second[other]
        cost += 2 * np.pi * self.radius_m
        cost[first, second] = cost[second, first] = self.open_m(ends, first, second)

    def open_m(
        self, ends: NDArray[np.float64], one: NDArray[np.intp], two: NDArray[np.intp]
    ) -> NDArray[np.float64]:
        """Return the length of the way over open ground between pairs of lane ends.

        Parameters
        ----------
        ends : array, shape (2n, 2)
            Ends of lanes. [m]
        one, two : array, shape (m,)
            Which. [index]
        """
        if not self.radius_m:
            return np.asarray(np.hypot(*(ends[two] - ends[one]).T))
        out = _outward(ends)
        return self.direct_m(
            np.column_stack([ends[one], out[one]]), np.column_stack([ends[two], out[two] + np.pi])
        )

    def direct_m(self, start: NDArray[np.float64], end: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the length of the way between poses over open ground.

        Parameters
        ----------
        start, end : array, shape (n, 3) = [east, north, heading]
            Poses. [m, m, rad]
        """
        if not self.radius_m:
            return np.asarray(np.hypot(*(end - start)[:, :2].T))
        forward = shortest_turns(start, end, self.radius_m)[0]
        if not self.reverse:
            return forward
        offset, lag = _beside(start, end)
        back = fishtail_length_m(0.0, self.radius_m) - offset + np.abs(lag)
        return np.where(self._may_fishtail(start, end, offset), np.minimum(forward, back), forward)

    def _may_fishtail(
        self, start: NDArray[np.float64], end: NDArray[np.float64], offset: NDArray[np.float64]
    ) -> NDArray[np.bool_]:
        opposite = np.cos(start[:, 2] - end[:, 2]) < -1 + 1e-6
        return np.asarray(opposite & (offset < 2 * self.radius_m))

    def true_m(self, ends: NDArray[np.float64], one: int, two: int) -> float | None:
        """Return the length of the way between two lane ends round what blocks it; None without one.

        Parameters
        ----------
        ends : array, shape (2n, 2)
            Ends of lanes. [m]
        one, two : int
            Which two. [index]
        """
        way = self.walkway.way(ends[one], ends[two])
        if way is None:
            return None
        return max(length_m(way), float(self.open_m(ends, np.array([one]), np.array([two]))[0]))

    def ways(
        self, start: NDArray[np.float64], end: NDArray[np.float64]
    ) -> tuple[list[NDArray[np.float64] | None], int]:
        """Return the ways between poses as points, and how many turns do not fit on the ground.

        Parameters
        ----------
        start, end : array, shape (n, 3) = [east, north, heading]
            Poses. [m, m, rad]
        """
        walked = self.walkway.ways(start[:, :2], end[:, :2])
        if not self.radius_m or not len(start):
            return walked, 0
        _, word, parts = shortest_turns(start, end, self.radius_m)
        turns = [turn_points(start[i], int(word[i]), parts[i], self.radius_m) for i in range(len(start))]
        if self.reverse:
            offset, lag = _beside(start, end)
            for i in np.flatnonzero(self._may_fishtail(start, end, offset)).tolist():
                back = _fishtail_points(start[i], end[i], float(lag[i]), self.radius_m)
                if length_m(back) < length_m(turns[i]):
                    turns[i] = back
        lines = [shapely.LineString(turn) for turn in turns]
        fits = np.asarray(shapely.covers(self.walkway.free, lines), dtype=bool)
        chosen = [turn if fit else way for turn, way, fit in zip(turns, walked, fits.tolist(), strict=True)]
        return chosen, int((~fits).sum())


def _outward(ends: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the heading with which one leaves a lane at each of its ends. [rad]"""
    index = np.arange(len(ends))
    step = ends - ends[index ^ 1]
    return np.asarray(np.arctan2(step[:, 1], step[:, 0]))


def _beside(
    start: NDArray[np.float64], end: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return how far the second pose lies to the side of the first, and how far ahead."""
    step = (end - start)[:, :2]
    ahead = np.stack([np.cos(start[:, 2]), np.sin(start[:, 2])], axis=1)
    lag = (step * ahead).sum(axis=1)
    side = step[:, 1] * ahead[:, 0] - step[:, 0] * ahead[:, 1]
    return np.abs(side), lag


def _fishtail_points(
    start: NDArray[np.float64], end: NDArray[np.float64], lag: float, radius_m: float
) -> NDArray[np.float64]:
    """Return points of a quarter turn, a move in reverse and a quarter turn."""
    ahead = np.array([np.cos(start[2]), np.sin(start[2])])
    step = end[:2] - start[:2] - lag * ahead
    side = step / max(float(np.hypot(*step)), 1e-12)
    origin = start[:2] + max(lag, 0.0) * ahead
    angle = np.radians(np.arange(0, 91, 15))[:, None]
    first = origin + radius_m * (np.sin(angle) * ahead + (1 - np.cos(angle)) * side)
    last = origin + step + radius_m * (np.cos(angle) * ahead - (1 - np.sin(angle)) * side)
    return np.concatenate([start[None, :2], first, last, end[None, :2]])
