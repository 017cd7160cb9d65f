"""Lanes put into the order of a short walk, blocked ways between them counted at their true length."""

from __future__ import annotations

from dataclasses import dataclass
from time import perf_counter
from typing import TYPE_CHECKING, Final

import numpy as np

from lawnmap.lanes.exact import FEW, shortest_order
from lawnmap.lanes.movement import Mover
from lawnmap.lanes.order import Tour, go_nearest, join_nearest, neighbours

if TYPE_CHECKING:
    from numpy.typing import NDArray

_GUESS: Final = 1.5  # a blocked way is taken to be this much longer until it is worked out
_SHAKES: Final = 40  # random exchanges tried
_ROUNDS: Final = 6  # how often blocked ways in the walk are worked out and the order mended
_ROUNDABOUT: Final = 1.1  # a walk longer than its guess by this factor is built anew on better guesses
_SPREAD_MOST: Final = 600  # lane ends up to which better guesses are affordable
_EXACT_ROUNDS: Final = 20  # how often ways are worked out for an order that is to be the very shortest
_RESTARTED: Final = 30  # lanes up to which more beginnings are tried
_RESTARTS: Final = 10  # how many
_LARGEST: Final = 4000  # lanes up to which all ways are kept in one table


@dataclass(frozen=True, eq=False)
class Walk:
    """Lanes in order.

    Attributes
    ----------
    order : array, shape (n,)
        Number of each lane, in walking order. [index]
    lanes : array, shape (n, 2, 2)
        Lanes in walking order and direction. [m]
    ways_m : float
        Length of the ways between lanes. [m]
    capped : bool
        Whether the time cap cut the search short.
    """

    order: NDArray[np.intp]
    lanes: NDArray[np.float64]
    ways_m: float
    capped: bool


class Joining:
    """Lanes being put into a short order: a fair one at once, a better one when asked for.

    Parameters
    ----------
    lanes : array, shape (n, 2, 2)
        Lanes. [m]
    mover : Mover
        What moves, and where it may.
    start : array, shape (2,), optional
        Where the walk begins; else wherever suits. [m]
    """

    def __init__(self, lanes: NDArray[np.float64], mover: Mover, start: NDArray[np.float64] | None) -> None:
        self._rank, turned = _rank(lanes)
        self._ends = (lanes[self._rank][:, ::-1] if turned else lanes[self._rank]).reshape(-1, 2)
        self._start = start
        self._search: _Search | None = None
        self._capped = len(lanes) > _LARGEST
        if len(lanes) > 1 and not self._capped:
            self._search = _Search(self._ends, mover, start)
            self._search.mend()

    @property
    def ways_m(self) -> float:
        """Length of the ways between lanes, in the order so far. [m]"""
        if self._search is not None:
            return self._search.tour.length_m
        walked = self._ends[self._sequence()].reshape(-1, 2, 2)
        return float(np.hypot(*(walked[1:, 0] - walked[:-1, 1]).T).sum())

    def polish(self) -> None:
        """Look for a better order."""
        if self._search is not None:
            self._search.restart()
            if not self._search.exact:
                self._search.tour.shake(_SHAKES, self._search.deadline_s)
                self._search.mend()
            self._capped = perf_counter() > self._search.deadline_s

    def walk(self) -> Walk:
        """Return the lanes in the order so far."""
        sequence = self._sequence()
        order = self._rank[np.array(sequence[::2], dtype=np.intp) // 2]
        return Walk(order, self._ends[sequence].reshape(-1, 2, 2), self.ways_m, self._capped)

    def _sequence(self) -> list[int]:
        """The ends in walking order."""
        if self._search is not None:
            return self._search.tour.ends[2:]
        if len(self._ends) == 2 and self._start is not None:
            far = np.hypot(*(self._ends - self._start).T)
            return [0, 1] if far[0] <= far[1] else [1, 0]
        return serpentine(self._ends.reshape(-1, 2, 2))


def join(lanes: NDArray[np.float64], mover: Mover, start: NDArray[np.float64] | None) -> Walk:
    """Put lanes into a short order.

    Parameters
    ----------
    lanes : array, shape (n, 2, 2)
        Lanes. [m]
    mover : Mover
        What moves, and where it may.
    start : array, shape (2,), optional
        Where the walk begins; else wherever suits. [m]
    """
    joining = Joining(lanes, mover, start)
    joining.polish()
    return joining.walk()


def _rank(lanes: NDArray[np.float64]) -> tuple[NDArray[np.intp], bool]:
    """Return an order of lanes that stays the same however the lawn is turned, so that its walk does too.

    Seen from the direction in which more of the lawn lies far to the right, lanes go from right to left;
    the second value tells whether that is against the direction of the lanes.
    """
    if not len(lanes):
        return np.empty(0, dtype=np.intp), False
    step = lanes[:, 1] - lanes[:, 0]
    length = np.hypot(step[:, 0], step[:, 1])
    along = step[np.argmax(length)] / max(float(length.max()), 1e-12)
    middle = lanes.mean(axis=1)
    frame = middle @ np.array([[along[0], -along[1]], [along[1], along[0]]])
    frame -= length @ frame / max(float(length.sum()), 1e-12)
    turned = bool(length @ frame[:, 1] ** 3 > 0)
    return np.lexsort((-frame if turned else frame).round(6).T), turned


def serpentine(lanes: NDArray[np.float64]) -> list[int]:
    """Return lanes strip by strip, to and fro: an order for more lanes than can be searched.

    Parameters
    ----------
    lanes : array, shape (n, 2, 2)
        Parallel lanes. [m]
    """
    if not len(lanes):
        return []
    longest = np.argmax(np.hypot(*(lanes[:, 1] - lanes[:, 0]).T))
    along = lanes[longest, 1] - lanes[longest, 0]
    along = along / max(float(np.hypot(*along)), 1e-12)
    across = (lanes[:, 0] @ np.array([-along[1], along[0]])).round(6)
    _, strip = np.unique(across, return_inverse=True)
    forth = strip % 2 == 0
    place = np.where(forth, 1, -1) * (lanes.mean(axis=1) @ along)
    order = np.lexsort((place, strip))
    backwards = ((lanes[order, 1] - lanes[order, 0]) @ along > 0) != forth[order]
    first = 2 * order + backwards
    return np.stack([first, first ^ 1], axis=1).reshape(-1).tolist()


class _Search:
    """A tour over lane ends whose blocked ways are worked out as it comes to use them."""

    def __init__(self, ends: NDArray[np.float64], mover: Mover, start: NDArray[np.float64] | None) -> None:
        self.ends, self.mover, self.deadline_s = ends, mover, mover.walkway.deadline_s
        self.cost = mover.table(ends, start)
        self.known = np.zeros((len(ends), len(ends)), dtype=bool)
        near = neighbours(self.cost)
        self.exact = len(ends) <= 2 * FEW and self._exact(near)
        if self.exact:
            return
        _guess_blocked(self.cost, near, ends, mover, self.known)
        self.tour = Tour(self.cost, near)
        _begin(self.tour, self.cost, near, ends, self.deadline_s)
        if _is_roundabout(self.tour, self.cost, ends, mover, self.known):
            _spread_ways(self.cost, self.known)
            near = neighbours(self.cost)
            self.tour = Tour(self.cost, near)
            _begin(self.tour, self.cost, near, ends, self.deadline_s)

    def _exact(self, near: NDArray[np.intp]) -> bool:
        """Find the shortest order there is; tell whether it was found in time.

        Straight ways are no longer than the true ones, so an order that is shortest while all ways in it are
        known is shortest indeed.
        """
        for _ in range(_EXACT_ROUNDS):
            order = shortest_order(self.cost)
            if not _work_out(order, self.cost, self.ends, self.mover, self.known):
                self.tour = Tour(self.cost, near)
                self.tour.take(order)
                return True
        return False

    def restart(self) -> None:
        """Try further beginnings, where lanes are so few that one false step weighs."""
        tour, count = self.tour, len(self.ends)
        if self.exact or count > 2 * _RESTARTED:
            return
        kept, length = tour.ends[2:], tour.length_m
        begins = np.argsort(_across(self.ends), kind="stable")[:: max(count // _RESTARTS, 1)]
        for begin in begins.tolist():
            tour.take(go_nearest(self.cost, begin))
            tour.improve(list(range(count)), self.deadline_s)
            self.mend()
            if tour.length_m < length - 1e-9:
                kept, length = tour.ends[2:], tour.length_m
        tour.take(kept)

    def mend(self) -> None:
        """Work out the blocked ways that the order uses, and improve it, until it uses no new ones."""
        tour = self.tour
        for _ in range(_ROUNDS):
            changed = _work_out(tour.ends[2:], self.cost, self.ends, self.mover, self.known)
            tour.improve(changed, self.deadline_s)
            while tour.begin_elsewhere():
                tour.improve([*tour.ends[2:4], tour.ends[-1]], self.deadline_s)
            if not changed:
                break


def _is_roundabout(
    tour: Tour,
    cost: NDArray[np.float64],
    ends: NDArray[np.float64],
    mover: Mover,
    known: NDArray[np.bool_],
) -> bool:
    """Whether some way in the walk proves much longer than its guess: then straight guesses mislead."""
    before = tour.length_m
    _work_out(tour.ends[2:], cost, ends, mover, known)
    return len(ends) <= _SPREAD_MOST and tour.length_m > _ROUNDABOUT * before


def _spread_ways(cost: NDArray[np.float64], known: NDArray[np.bool_]) -> None:
    """Replace guesses by the shortest chain of known ways and lanes (Floyd and Warshall's recurrence)."""
    count = len(cost) - 2
    chain = np.where(known, cost[:count, :count], np.inf)
    lane = np.arange(count)
    chain[lane, lane ^ 1] = cost[lane, lane ^ 1]
    chain[lane, lane] = 0.0
    for middle in range(count):
        np.minimum(chain, chain[:, middle, None] + chain[None, middle], out=chain)
    inner = cost[:count, :count]
    reached = np.isfinite(chain)
    inner[reached] = chain[reached]


def _begin(
    tour: Tour, cost: NDArray[np.float64], near: NDArray[np.intp], ends: NDArray[np.float64], deadline: float
) -> None:
    """Improve two walks that were built differently, and keep the shorter."""
    across = _across(ends)
    outermost = np.flatnonzero(across < across.min() + 1e-6)
    first = int(outermost[np.argmin(cost[-1, outermost])])
    kept, length = [], np.inf
    for walk in (join_nearest(cost, near), go_nearest(cost, first)):
        tour.take(walk)
        tour.improve(list(range(len(ends))), deadline)
        if tour.length_m < length:
            kept, length = tour.ends[2:], tour.length_m
    tour.take(kept)


def _across(ends: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the place of each end across the direction of the longest lane."""
    step = ends[1::2] - ends[::2]
    along = step[np.argmax(np.hypot(step[:, 0], step[:, 1]))]
    return np.asarray(ends @ np.array([-along[1], along[0]]) / max(float(np.hypot(*along)), 1e-12))


def _guess_blocked(
    cost: NDArray[np.float64],
    near: NDArray[np.intp],
    ends: NDArray[np.float64],
    mover: Mover,
    known: NDArray[np.bool_],
) -> None:
    """Make blocked ways between neighbours dearer, and note the others as known to be right."""
    count = len(ends)
    first = np.repeat(np.arange(count), near.shape[1])
    second = near[:count].reshape(-1)
    once = (first < second) | ~(near[second] == first[:, None]).any(axis=1)
    first, second = first[once], second[once]
    clear = mover.walkway.clear(ends[first], ends[second])
    known[first, second] = known[second, first] = clear
    first, second = first[~clear], second[~clear]
    cost[first, second] *= _GUESS
    cost[second, first] = cost[first, second]


def _work_out(
    sequence: list[int],
    cost: NDArray[np.float64],
    ends: NDArray[np.float64],
    mover: Mover,
    known: NDArray[np.bool_],
) -> list[int]:
    """Put the true length of the ways in a walk into the table; return the ends whose way changed."""
    walked = np.array(sequence, dtype=np.intp)
    first, second = walked[1:-1:2], walked[2::2]
    new = ~known[first, second]
    if not new.any():
        return []
    first, second = first[new], second[new]
    clear = mover.walkway.clear(ends[first], ends[second]).tolist()
    straight = mover.open_m(ends, first, second).tolist()
    far = float(np.ptp(ends, axis=0).sum())
    changed: list[int] = []
    for a, b, free, direct in zip(first.tolist(), second.tolist(), clear, straight, strict=True):
        if mover.walkway.late:
            break
        known[a, b] = known[b, a] = True
        true = direct if free else mover.true_m(ends, a, b)
        if true is None:
            true = direct + far  # no way through: only where nothing else is left
        if abs(true - cost[a, b]) > 1e-6:
            cost[a, b] = cost[b, a] = true
            changed += [a, b]
    return changed
