"""The order in which lanes are walked, and from which end: a short tour through fixed pieces.

Every lane must be walked once from one end to the other, so only the ways between them can be saved. The
tour is built by joining nearest free ends and improved by reversing stretches (2-opt; G. A. Croes,
Operations Research 6, 1958) and moving runs of lanes (I. Or, thesis, Northwestern University, 1976), with
neighbour lists and a work list as in J. L. Bentley, ORSA Journal on Computing 4, 1992; small random
exchanges of neighbouring runs, each undone if nothing is gained, take it out of poor optima.
"""

from __future__ import annotations

from collections import deque
from time import perf_counter
from typing import TYPE_CHECKING, Final

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

NEIGHBOURS: Final = 8
_RUN: Final = 3  # longest run of lanes that is moved at once
_TINY: Final = 1e-7


class Tour:
    """A walk through pieces 0 … n - 1, whose ends are numbered 2i and 2i + 1.

    Piece n is where the walk begins and ends: its end 2n is the finish, 2n + 1 the start.

    Parameters
    ----------
    cost : array, shape (2n + 2, 2n + 2)
        Length of the way from each end to each other one, symmetric. [m]
    near : array, shape (2n + 2, k)
        For each end the nearest other ends, nearest first. [index]
    """

    def __init__(self, cost: NDArray[np.float64], near: NDArray[np.intp]) -> None:
        self.cost = [memoryview(row) for row in np.ascontiguousarray(cost)]  # read faster than an array
        self.near: list[list[int]] = near.tolist()
        self.count = len(cost) // 2 - 1
        self.ends: list[int] = []
        self.place: list[int] = [0] * len(cost)

    def take(self, ends: list[int]) -> None:
        """Take a walk, given as the ends in walking order, the home piece left out."""
        self.ends = [2 * self.count, 2 * self.count + 1, *ends]
        self._renumber(0, len(self.ends))

    def _renumber(self, first: int, last: int) -> None:
        place = self.place
        for position, end in enumerate(self.ends[first:last], first):
            place[end] = position

    @property
    def length_m(self) -> float:
        """Length of all ways between pieces. [m]"""
        ends, cost = self.ends, self.cost
        return (
            sum([cost[a][b] for a, b in zip(ends[1:-1:2], ends[2::2], strict=True)]) + cost[ends[-1]][ends[0]]
        )

    def improve(self, work: list[int], deadline_s: float) -> float:
        """Improve the walk around some ends until nothing more is found.

        Parameters
        ----------
        work : list of int
            The ends to begin with. [index]
        deadline_s : float
            When to stop, on `time.perf_counter`. [s]

        Returns
        -------
        float
            How much shorter the walk became. [m]
        """
        queue, waiting = deque(work), set(work)
        gained, steps = 0.0, 0
        while queue:
            steps += 1
            if not steps % 64 and perf_counter() > deadline_s:
                break
            end = queue.popleft()
            waiting.discard(end)
            gain, touched = self._reverse(end)
            if not touched:
                gain, touched = self._move(end)
            if touched:
                gained += gain
                for other in (*touched, end):
                    if other not in waiting:
                        waiting.add(other)
                        queue.append(other)
        return gained

    def _reverse(self, end: int) -> tuple[float, tuple[int, ...]]:
        """Replace the way at an end and one other by two shorter ones, walking the part between backwards."""
        cost, ends, place, size = self.cost, self.ends, self.place, len(self.ends)
        here = place[end]
        leaving = here % 2
        beyond = ends[(here + 1) % size] if leaving else ends[here - 1]
        from_end = cost[end]
        now = from_end[beyond]
        for other in self.near[end]:
            saved = now - from_end[other]
            if saved <= _TINY:
                break
            there = place[other]
            if there % 2 != leaving:
                continue
            partner = ends[(there + 1) % size] if leaving else ends[there - 1]
            gain = saved + cost[other][partner] - cost[beyond][partner]
            if gain > _TINY:
                first, last = (here, there) if here < there else (there, here)
                first, last = (first + 1, last + 1) if leaving else (first, last)
                self._flip(first, last)
                return gain, (beyond, other, partner)
        return 0.0, ()

    def _flip(self, first: int, last: int) -> None:
        """Walk positions first … last - 1 backwards; the home piece stays in front."""
        if first == 0:  # the part that holds home: turn the other part round instead
            first, last = last, len(self.ends)
        self.ends[first:last] = self.ends[first:last][::-1]
        self._renumber(first, last)

    def _move(self, end: int) -> tuple[float, tuple[int, ...]]:
        """Move a run of lanes that begins or ends here next to a nearby end, either way round."""
        cost, ends, place, size = self.cost, self.ends, self.place, len(self.ends)
        here = place[end]
        if here < 2:
            return 0.0, ()
        near, from_end = self.near[end], cost[end]
        least = from_end[near[0]] + _TINY
        if here % 2:
            outward, by, stretch = -1, ends[here + 1 - size], range(here - 1, max(here - 1 - 2 * _RUN, 1), -2)
        else:
            outward, by, stretch = (
                1 - size,
                ends[here - 1],
                range(here + 1, min(here + 1 + 2 * _RUN, size), 2),
            )
        near_way, from_by = from_end[by], cost[by]
        for there_far in stretch:  # where the run ends that begins here
            far, beyond = ends[there_far], ends[there_far + outward]
            freed = near_way + cost[far][beyond] - from_by[beyond]
            if freed <= least:
                continue
            first, last = (there_far, here + 1) if here % 2 else (here, there_far + 1)
            for other in near:
                saved = freed - from_end[other]
                if saved <= _TINY:
                    break
                there = place[other]
                if first <= there < last:
                    continue
                partner = ends[(there + 1) % size] if there % 2 else ends[there - 1]
                if other in (by, beyond) and partner in (end, far):
                    continue
                gain = saved - cost[far][partner] + cost[other][partner]
                if gain > _TINY:
                    after_place = there if there % 2 else there - 1  # the run goes behind this position
                    forward = here % 2 != there % 2
                    self._insert(first, last, after_place % size, forward=forward)
                    return gain, (far, *((beyond, by) if here % 2 else (by, beyond)), other, partner)
        return 0.0, ()

    def _insert(self, first: int, last: int, behind: int, *, forward: bool) -> None:
        """Take positions first … last - 1 out and put them behind another position."""
        ends = self.ends
        run = ends[first:last] if forward else ends[first:last][::-1]
        if behind < first:
            ends[behind + 1 : last] = run + ends[behind + 1 : first]
            self._renumber(behind + 1, last)
        else:
            ends[first : behind + 1] = ends[last : behind + 1] + run
            self._renumber(first, behind + 1)

    def begin_elsewhere(self) -> float:
        """Close the walk to a ring and open it at its longest way, if that is shorter. [m]"""
        ends, cost, size = self.ends, self.cost, len(self.ends)
        last, home, start, first = ends[-1], ends[0], ends[1], ends[2]
        now = cost[last][home] + cost[start][first] - cost[last][first]
        to_home, from_start = cost[home], cost[start]
        best, place = _TINY, 0
        for here in range(3, size - 1, 2):
            a, b = ends[here], ends[here + 1]
            gain = now + cost[a][b] - to_home[a] - from_start[b]
            if gain > best:
                best, place = gain, here
        if not place:
            return 0.0
        self.ends = [*ends[:2], *ends[place + 1 :], *ends[2 : place + 1]]
        self._renumber(2, size)
        return best

    def shake(self, rounds: int, deadline_s: float, seed: int = 0) -> None:
        """Exchange two neighbouring runs at random, improve, and keep the walk if it became shorter.

        Parameters
        ----------
        rounds : int
            How often. [count]
        deadline_s : float
            When to stop, on `time.perf_counter`. [s]
        seed : int
            Makes the same plan every time. [1]
        """
        if self.count < 4:
            return
        random = np.random.default_rng(seed)
        spans = random.random((rounds, 3))
        longest = min(self.count // 3, 12)
        for first, second, start in spans.tolist():
            if perf_counter() > deadline_s:
                return
            one, two = 1 + int(first * longest), 1 + int(second * longest)
            begin = 2 + 2 * int(start * (self.count - one - two + 1))
            self._exchange(begin, begin + 2 * one, begin + 2 * (one + two), deadline_s)

    def _exchange(self, begin: int, middle: int, end: int, deadline_s: float) -> None:
        ends, cost, size = self.ends, self.cost, len(self.ends)
        kept = ends[:]
        a, b, c, d, e, f = (ends[i % size] for i in (begin - 1, begin, middle - 1, middle, end - 1, end))
        change = cost[a][d] + cost[e][b] + cost[c][f] - cost[a][b] - cost[c][d] - cost[e][f]
        ends[begin:end] = ends[middle:end] + ends[begin:middle]
        self._renumber(begin, end)
        if change - self.improve([a, b, c, d, e, f], deadline_s) > -_TINY:
            self.ends = kept
            self._renumber(0, size)


def neighbours(cost: NDArray[np.float64], count: int = NEIGHBOURS) -> NDArray[np.intp]:
    """Return for each end the nearest ends of other pieces, nearest first.

    Parameters
    ----------
    cost : array, shape (2n + 2, 2n + 2)
        Length of every way. [m]
    count : int
        How many. [count]
    """
    masked = cost.copy()
    index = np.arange(len(cost))
    masked[index, index] = masked[index, index ^ 1] = np.inf
    masked[:, -2:] = np.inf
    count = min(count, max(len(cost) - 4, 1))
    near = np.argpartition(masked, count - 1, axis=1)[:, :count]
    rank = np.take_along_axis(masked, near, axis=1).argsort(axis=1, kind="stable")
    return np.take_along_axis(near, rank, axis=1)


def join_nearest(cost: NDArray[np.float64], near: NDArray[np.intp]) -> list[int]:
    """Build a walk by joining the two nearest free ends again and again.

    Parameters
    ----------
    cost : array, shape (2n + 2, 2n + 2)
        Length of every way. [m]
    near : array, shape (2n + 2, k)
        Nearest ends. [index]

    Returns
    -------
    list of int
        The ends in walking order. [index]
    """
    count = len(cost) // 2 - 1
    joined = [-1] * (2 * count)
    other = [end ^ 1 for end in range(2 * count)]  # the far end of the chain that an end closes
    ends = np.repeat(np.arange(2 * count), near.shape[1])
    nexts = near[: 2 * count].reshape(-1)
    mask = ends < nexts
    mask |= ~(near[nexts] == ends[:, None]).any(axis=1)
    ends, nexts = ends[mask], nexts[mask]
    order = np.argsort(cost[ends, nexts], kind="stable")
    for a, b in zip(ends[order].tolist(), nexts[order].tolist(), strict=True):
        if joined[a] < 0 and joined[b] < 0 and other[a] != b:
            _join(a, b, joined, other)
    _join_rest(cost, joined, other)
    return _unroll(cost, joined)


def _join(a: int, b: int, joined: list[int], other: list[int]) -> None:
    joined[a], joined[b] = b, a
    far_a, far_b = other[a], other[b]
    other[far_a], other[far_b] = far_b, far_a


def _join_rest(cost: NDArray[np.float64], joined: list[int], other: list[int]) -> None:
    """Join what chains are left, nearest first."""
    free = [end for end, to in enumerate(joined) if to < 0]
    if len(free) <= 2:
        return
    part = cost[np.ix_(free, free)]
    for place in np.argsort(part, axis=None, kind="stable").tolist():
        i, j = divmod(place, len(free))
        a, b = free[i], free[j]
        if a != b and joined[a] < 0 and joined[b] < 0 and other[a] != b:
            _join(a, b, joined, other)


def _unroll(cost: NDArray[np.float64], joined: list[int]) -> list[int]:
    """Walk the one chain from the free end that is nearer to the start."""
    free = [end for end, to in enumerate(joined) if to < 0]
    end = min(free, key=lambda place: cost[-1, place])
    ends: list[int] = []
    while end >= 0:
        ends += [end, end ^ 1]
        end = joined[end ^ 1]
    return ends


def go_nearest(cost: NDArray[np.float64], begin: int) -> list[int]:
    """Build a walk by always going on to the nearest piece.

    Parameters
    ----------
    cost : array, shape (2n + 2, 2n + 2)
        Length of every way. [m]
    begin : int
        The end to begin at. [index]

    Returns
    -------
    list of int
        The ends in walking order. [index]
    """
    count = len(cost) - 2
    gone = np.zeros(count)
    rows = list(cost[:count, :count])
    ends: list[int] = []
    end = begin
    for _ in range(count // 2):
        ends += [end, end ^ 1]
        gone[end] = gone[end ^ 1] = np.inf
        end = int((rows[end ^ 1] + gone).argmin())
    return ends
