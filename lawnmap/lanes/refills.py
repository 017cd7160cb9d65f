"""Where to go back and fill the hopper: the split of a walk that costs the least walking and loading.

The order of the walk stays as it is. Stops are looked for at the ends of lanes and rounds, where another zone
begins, and within a lane only where it is longer than a fill reaches; the best set of stops is exact, by
dynamic programming over the places where one may stop. Ways to the refill point are worked out only for stops
that come into question: until then they count as no longer than they can be at least.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from time import perf_counter
from typing import TYPE_CHECKING

import numpy as np
import shapely

from lawnmap.errors import InputError
from lawnmap.lanes.detours import length_m
from lawnmap.lanes.labour import labour_on
from lawnmap.lanes.model import LanePlan, Leg, Pass, Stretch
from lawnmap.lanes.pieces import Ground, mover_on, open_ground, start_of
from lawnmap.measure import Takeoff

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from lawnmap.lanes.detours import Walkway
    from lawnmap.lanes.rig import Rig


@dataclass(frozen=True, eq=False)
class Refill:
    """One filling of the hopper and what it is used for.

    Attributes
    ----------
    number : int
        Which filling, the one before the start included. [count]
    after_leg : int
        Index of the leg after which one walks to fill; -1 before the start. [index]
    after_m : float
        How far along that leg, where a leg is longer than a fill reaches; else its length. [m]
    work_length_m : float
        Lanes and rounds that the filling is used on. [m]
    share : float
        What to load, as a share of what the whole pass takes. [1]
    there, back : array, shape (n, 2)
        Ways to the refill point and back to work; empty before the first start. [m]
    detour_m : float
        Walking added by going there and back. [m]
    load_kg : float or None
        What to load; None until the product is known. [kg]
    """

    number: int
    after_leg: int
    after_m: float
    work_length_m: float
    share: float
    there: NDArray[np.float64] = field(repr=False)
    back: NDArray[np.float64] = field(repr=False)
    detour_m: float
    load_kg: float | None = None

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping of JSON values."""
        return {
            "number": self.number,
            "after_leg": self.after_leg,
            "after_m": self.after_m,
            "work_length_m": self.work_length_m,
            "share": self.share,
            "load_kg": self.load_kg,
            "detour_m": self.detour_m,
            "there": self.there.round(4).tolist(),
            "back": self.back.round(4).tolist(),
        }


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


def depot_of(plan: LanePlan, ground: Ground | Takeoff, rig: Rig) -> Depot:
    """Return the refill point of a yard: its landmark of that kind, else the place where the walk begins.

    Parameters
    ----------
    plan : LanePlan
        The walk.
    ground : Polygon, MultiPolygon or Takeoff
        What it was laid over. [m]
    rig : Rig
        What is pushed or towed, and how.
    """
    walkway = plan.walkway
    if walkway is None:
        walkway = mover_on(open_ground(ground) if isinstance(ground, Takeoff) else ground, rig).walkway
    walkway.deadline_s = perf_counter() + rig.time_cap_s
    marks = ground.yard.landmarks if isinstance(ground, Takeoff) else ()
    taps = [mark.shape.centroid for mark in marks if mark.kind == "refill"]
    place = shapely.get_coordinates(taps[0])[0] if taps else start_of(ground, rig, walkway)[0]
    if place is None:
        place = next((single.legs[0].points[0] for single in plan.passes if single.legs), np.zeros(2))
    return Depot(np.asarray(place), walkway, rig.refill_s * rig.speed_m_per_s)


def with_refills(
    plan: LanePlan, ground: Ground | Takeoff, rig: Rig, fill_m2: Mapping[str, float]
) -> LanePlan:
    """Return a plan with its hopper fillings, their walking and loading counted in its times.

    Parameters
    ----------
    plan : LanePlan
        Lanes laid by `lay`.
    ground : Polygon, MultiPolygon or Takeoff
        What they were laid over; a yard's landmark of kind "refill" is where the hopper is filled, else the
        place where the walk begins. [m]
    rig : Rig
        What is pushed or towed, and how.
    fill_m2 : mapping of str to float
        Ground that one filling does at the rate of one pass, by zone; none is needed for a zone that gets
        nothing. [m²]
    """
    depot = depot_of(plan, ground, rig)
    if any(not area > 0 for area in fill_m2.values()):
        raise InputError("a filling that does 0 m of work reaches nowhere", mend="check hopper and rate")
    passes: list[Pass] = []
    before = None
    for single in plan.passes:
        uses = {zone: single.swath_m / fill_m2[zone] for zone in single.zones if zone in fill_m2}
        filled = fill_pass(single, uses, depot, rig, before)
        before = filled.legs[-1].points[-1] if filled.refills else before
        passes.append(filled)
    return replace(plan, passes=tuple(passes), labour=labour_on(passes, rig))


def fill_pass(
    single: Pass,
    uses: Mapping[str, float],
    depot: Depot,
    rig: Rig,
    before: NDArray[np.float64] | None = None,
) -> Pass:
    """Return a pass with its fillings; the same pass where nothing is put down.

    Parameters
    ----------
    single : Pass
        The walk.
    uses : mapping of str to float
        Fillings used up on each metre of lane, by zone. [1/m]
    depot : Depot
        Where to fill.
    rig : Rig
        Speed and time for a filling.
    before : array, shape (2,), optional
        Where one stands when the hopper is filled for this pass: where the pass before ended; left out where
        one begins at the refill point. [m]
    """
    spans = [(part, uses[part.zone]) for part in single.stretches if uses.get(part.zone, 0.0) > 0]
    found = _split(single.legs, spans, depot, before)
    if not found:
        return single
    extra_m = sum(refill.detour_m for refill in found)
    return replace(
        single,
        refills=found,
        time_s=single.time_s + extra_m / rig.speed_m_per_s + len(found) * rig.refill_s,
        path_length_m=single.path_length_m + extra_m,
    )


def split_refills(legs: Sequence[Leg], reach_m: float, depot: Depot) -> tuple[Refill, ...]:
    """Split a walk into fillings.

    Parameters
    ----------
    legs : sequence of Leg
        The walk in order.
    reach_m : float
        Length of lanes and rounds that one filling does: what the hopper holds over rate and swath. [m]
    depot : Depot
        Where to fill.

    Returns
    -------
    tuple of Refill
        In order; the first is the filling before the start.

    Raises
    ------
    InputError
        Where a filling reaches nowhere.
    """
    if not reach_m > 0:
        raise InputError(
            f"a filling that does {reach_m:g} m of work reaches nowhere", mend="check hopper and rate"
        )
    whole = [Stretch(i, 0.0, leg.length_m, "") for i, leg in enumerate(legs) if leg.kind != "way"]
    return _split(legs, [(part, 1 / reach_m) for part in whole], depot, None)


@dataclass(frozen=True, eq=False)
class _Work:
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


def _work_of(legs: Sequence[Leg], spans: Sequence[tuple[Stretch, float]]) -> _Work:
    """Cut the work so that no piece uses more than a filling."""
    parts = [part for part, _ in spans]
    used = np.array([part.length_m * each for part, each in spans])
    count = np.maximum(np.ceil(used - 1e-9), 1).astype(int)
    row = np.repeat(np.arange(len(parts)), count)
    step = np.arange(len(row)) - np.repeat(np.cumsum(count) - count, count)
    first = np.array([part.begin_m for part in parts])[row]
    each_m = np.array([part.length_m for part in parts])[row] / count[row]
    leg = np.array([part.leg for part in parts])[row]
    lines = np.array([shapely.linestrings(item.points) for item in legs], dtype=object)
    begin_m, until_m = first + step * each_m, first + (step + 1) * each_m
    begin, end = (
        shapely.get_coordinates(shapely.line_interpolate_point(lines[leg], marks))
        for marks in (begin_m, until_m)
    )
    gone = np.concatenate([[0.0], np.cumsum(shapely.length(lines))])[leg]
    way_m = gone + begin_m - np.concatenate([[0.0], (gone + until_m)[:-1]])
    return _Work(leg, until_m, each_m, used[row] / count[row], begin, end, way_m)


def _split(
    legs: Sequence[Leg],
    spans: Sequence[tuple[Stretch, float]],
    depot: Depot,
    before: NDArray[np.float64] | None,
) -> tuple[Refill, ...]:
    """Split the work into fillings."""
    if not spans:
        return ()
    work = _work_of(legs, spans)
    ways = _Ways(depot, work, before)
    stops = _best_stops(work.use, ways)
    whole = float(work.use.sum())
    found = []
    for number, (first, last) in enumerate(zip(stops, [*stops[1:], len(work.use)], strict=True), 1):
        there, back = ways.of(first)
        found.append(
            Refill(
                number,
                int(work.leg[first - 1]) if first else -1,
                float(work.until_m[first - 1]) if first else 0.0,
                float(work.length_m[first:last].sum()),
                float(work.use[first:last].sum()) / whole,
                there,
                back,
                ways.detour_m(first),
            )
        )
    return tuple(found)


class _Ways:
    """Ways to the refill point and back, worked out when asked for; until then bounded from below.

    No way is shorter than the straight line; nor than a known one by more than the way between the two
    places where one can walk straight from one to the other.
    """

    def __init__(self, depot: Depot, work: _Work, before: NDArray[np.float64] | None) -> None:
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
        """Work out the ways of a stop; tell whether anything new was learnt."""
        if not stop:
            return False
        new = [place for place in (stop, stop + len(self.work.use)) if place not in self.known]
        for place in new:
            self._find(place)
        return bool(new)

    def _find(self, place: int) -> None:
        """Work out one way, and what follows from it for the others."""
        here, goal = self.places[place], self.depot.place
        way = self.depot.walkway.way(here, goal)
        way = np.stack([here, goal]) if way is None else way
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
        """Return the way there and the way back; none before the first start."""
        if not stop and self.begins_there:
            return np.empty((0, 2)), np.empty((0, 2))
        for place in (stop, stop + len(self.work.use)):
            if place not in self.known:
                self._find(place)
        return self.known[stop], self.known[stop + len(self.work.use)][::-1]

    def detour_m(self, stop: int) -> float:
        """Return what going there and back adds to the walk. [m]"""
        there, back = self.of(stop)
        return length_m(there) + length_m(back) - float(self.work.way_m[stop]) if len(there) else 0.0


def _best_stops(use: NDArray[np.float64], ways: _Ways) -> list[int]:
    """Return before which pieces to fill, 0 for the start, so that all stops together cost least.

    The costs are bounds from below, so stops that are best and whose ways are all known are best indeed.
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
