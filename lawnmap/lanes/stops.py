"""At which places of a walk to stop, so that all stops together cost least.

The best set is exact, by dynamic programming over the places where one may stop. Ways to the refill point are
worked out only for stops that come into question: until then they count for no more than they are at least.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
import shapely

from lawnmap.lanes.detours import length_m

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from lawnmap.lanes.detours import Walkway
    from lawnmap.lanes.model import Leg, Stretch


@dataclass(frozen=True, eq=False)
class Depot:
    """Where the hopper is filled, and where one may walk to get there.

    Attributes
    ----------
    place : array, shape (2,)
        The refill point. [m]
    walkway : Walkway
        Where one may walk.
    stop_m : float
        What one stop costs besides walking, as walking: loading time × speed. [m]
    """

    place: NDArray[np.float64]
    walkway: Walkway
    stop_m: float = 0.0
    _known: dict[bytes, NDArray[np.float64]] = field(default_factory=dict, repr=False)

    def way_from(self, place: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the way from some place to the refill point, straight where no open ground leads there.

        Products are walked over the same lanes, so each way is asked for several times.

        Parameters
        ----------
        place : array, shape (2,)
            Where from. [m]
        """
        key = place.tobytes()
        if key not in self._known:
            way = self.walkway.way(place, self.place)
            self._known[key] = np.stack([place, self.place]) if way is None else way
        return self._known[key]


@dataclass(frozen=True, eq=False)
class Work:
    """The work cut into pieces that are not broken off.

    Attributes
    ----------
    leg : array, shape (n,)
        Leg of each. [index]
    until_m : array, shape (n,)
        Where on its leg each ends. [m]
    length_m, use : array, shape (n,)
        Its length, and the fillings that it uses up. [m, 1]
    begin, end : array, shape (n, 2)
        Where it begins and ends. [m]
    way_m : array, shape (n,)
        Walked before it since the one before, gate shut. [m]
    """

    leg: NDArray[np.intp]
    until_m: NDArray[np.float64]
    length_m: NDArray[np.float64]
    use: NDArray[np.float64]
    begin: NDArray[np.float64]
    end: NDArray[np.float64]
    way_m: NDArray[np.float64]


def work_of(legs: Sequence[Leg], spans: Sequence[tuple[Stretch, float]]) -> Work:
    """Cut the work so that no piece uses more than a filling.

    Parameters
    ----------
    legs : sequence of Leg
        The walk in order.
    spans : sequence of (Stretch, float)
        What is worked, and the fillings used up on each metre of it. [1/m]
    """
    parts = [part for part, _ in spans]
    used = np.array([part.length_m * each for part, each in spans])
    count = np.maximum(np.ceil(used - 1e-9), 1).astype(int)
    row = np.repeat(np.arange(len(parts)), count)
    step = np.arange(len(row)) - np.repeat(np.cumsum(count) - count, count)
    first = np.array([part.begin_m for part in parts])[row]
    each_m = np.array([part.length_m for part in parts])[row] / count[row]
    leg = np.array([part.leg for part in parts])[row]
    of_leg = np.repeat(np.arange(len(legs)), [len(item.points) for item in legs])
    lines = np.asarray(shapely.linestrings(np.concatenate([item.points for item in legs]), indices=of_leg))
    begin_m, until_m = first + step * each_m, first + (step + 1) * each_m
    begin, end = (
        shapely.get_coordinates(shapely.line_interpolate_point(lines[leg], marks))
        for marks in (begin_m, until_m)
    )
    gone = np.concatenate([[0.0], np.cumsum(shapely.length(lines))])[leg]
    way_m = gone + begin_m - np.concatenate([[0.0], (gone + until_m)[:-1]])
    return Work(leg, until_m, each_m, used[row] / count[row], begin, end, way_m)


class Ways:
    """Ways to the refill point and back, worked out when asked for; until then bounded from below.

    No way is shorter than the straight line; nor than a known one by more than the way between the two
    places where one can walk straight from one to the other.

    Parameters
    ----------
    depot : Depot
        Where to fill.
    work : Work
        Between which pieces one may stop.
    before : array, shape (2,) or None
        Where one stands before the first; None for at the refill point. [m]
    """

    def __init__(self, depot: Depot, work: Work, before: NDArray[np.float64] | None) -> None:
        self.depot, self.work, self.begins_there = depot, work, before is None
        begin = work.begin[0] if before is None else before
        self.places = np.concatenate(
            [[begin], work.end[:-1], work.begin]
        )  # leave work there, take it up there
        self.least_m = np.hypot(*(self.places - depot.place).T)
        self.known: dict[int, NDArray[np.float64]] = {}

    @property
    def added_m(self) -> NDArray[np.float64]:
        """What a stop before each piece of work adds at least, loading counted as walking. [m]"""
        count = len(self.work.use)
        added = self.least_m[:count] + self.least_m[count:] - self.work.way_m + self.depot.stop_m
        added[0] = 0.0  # one always fills before the start
        return np.asarray(added)

    def look(self, stop: int) -> bool:
        """Work out the ways of a stop; tell whether anything new was learnt.

        Parameters
        ----------
        stop : int
            The piece of work before which one stops. [index]
        """
        if not stop:
            return False
        new = [place for place in (stop, stop + len(self.work.use)) if place not in self.known]
        for place in new:
            self._find(place)
        return bool(new)

    def _find(self, place: int) -> None:
        """Work out one way, and what follows from it for the others."""
        here = self.places[place]
        way = self.depot.way_from(here)
        far = length_m(way)
        self.known[place] = way
        if far > self.least_m[place] + 1e-6:
            apart = np.hypot(*(self.places - here).T)
            sees = self.depot.walkway.clear(np.broadcast_to(here, self.places.shape), self.places)
            bound = np.where(sees, far - apart, 0.0)
            open_to_doubt = np.ones(len(self.places), dtype=bool)
            open_to_doubt[list(self.known)] = False
            self.least_m = np.where(open_to_doubt, np.maximum(self.least_m, bound), self.least_m)
        self.least_m[place] = far

    def of(self, stop: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Return the way there and the way back; none before the first start.

        Parameters
        ----------
        stop : int
            The piece of work before which one stops. [index]
        """
        if not stop and self.begins_there:
            return np.empty((0, 2)), np.empty((0, 2))
        for place in (stop, stop + len(self.work.use)):
            if place not in self.known:
                self._find(place)
        return self.known[stop], self.known[stop + len(self.work.use)][::-1]

    def detour_m(self, stop: int) -> float:
        """Return what going there and back adds to the walk. [m]

        Parameters
        ----------
        stop : int
            The piece of work before which one stops. [index]
        """
        there, back = self.of(stop)
        return length_m(there) + length_m(back) - float(self.work.way_m[stop]) if len(there) else 0.0


def best_stops(use: NDArray[np.float64], ways: Ways) -> list[int]:
    """Return before which pieces to fill, 0 for the start, so that all stops together cost least.

    The costs are bounds from below, so stops that are best and whose ways are all known are best indeed.

    Parameters
    ----------
    use : array, shape (n,)
        Fillings that each piece of work uses up, none more than one. [1]
    ways : Ways
        What stops cost.
    """
    stops = cheapest_stops(use, ways.added_m)
    while sum(ways.look(stop) for stop in stops):  # every one of them is looked at
        stops = cheapest_stops(use, ways.added_m)
    return stops


def cheapest_stops(use: NDArray[np.float64], cost: NDArray[np.float64]) -> list[int]:
    """Return before which pieces of work to fill, 0 for the start, so that the stops cost least.

    Parameters
    ----------
    use : array, shape (n,)
        Fillings that each piece uses up, none more than one. [1]
    cost : array, shape (n,)
        What filling before each piece costs. [m]
    """
    count = len(use)
    done = np.concatenate([[0.0], np.cumsum(use)])
    firsts = np.searchsorted(done, done - 1 - 1e-9).tolist()
    least = np.full(count + 1, np.inf)
    least[0] = 0.0
    came = [0] * (count + 1)
    begun = np.full(count, np.inf)  # cost of all up to a filling before each piece
    for last in range(1, count + 1):
        begun[last - 1] = least[last - 1] + cost[last - 1]
        best = firsts[last] + int(np.argmin(begun[firsts[last] : last]))
        least[last], came[last] = begun[best], best
    stops: list[int] = []
    last = count
    while last > 0:
        last = came[last]
        stops.append(last)
    return stops[::-1]
