"""Where to go back and fill the hopper: the split of a walk that costs the least walking and loading.

The order of the walk stays as it is. Stops are looked for at the ends of lanes and rounds, and within them
only where one is longer than a fill reaches; the best set of stops is exact, by dynamic programming over the
places where one may stop.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from lawnmap.errors import InputError
from lawnmap.lanes.detours import length_m
from lawnmap.lanes.model import LanePlan, Leg
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
        The same as a share of the whole pass: what to load of its amount. [1]
    there, back : array, shape (n, 2)
        Ways to the refill point and back to work; empty before the start. [m]
    detour_m : float
        Walking added by going there and back. [m]
    """

    number: int
    after_leg: int
    after_m: float
    work_length_m: float
    share: float
    there: NDArray[np.float64]
    back: NDArray[np.float64]
    detour_m: float

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping of JSON values."""
        return {
            "number": self.number,
            "after_leg": self.after_leg,
            "after_m": self.after_m,
            "work_length_m": self.work_length_m,
            "share": self.share,
            "detour_m": self.detour_m,
            "there": self.there.round(4).tolist(),
            "back": self.back.round(4).tolist(),
        }


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
        Ground that one filling does at the rate of one pass, by zone. [m²]
    """
    walkway = mover_on(open_ground(ground) if isinstance(ground, Takeoff) else ground, rig).walkway
    place, _ = start_of(ground, rig, walkway)
    passes = []
    for single in plan.passes:
        if single.zone in fill_m2 and single.legs:
            depot = single.legs[0].points[0] if place is None else place
            reach_m = fill_m2[single.zone] / single.swath_m
            stop_m = rig.refill_s * rig.speed_m_per_s
            found = split_refills(single.legs, reach_m, depot, walkway, stop_m)
            extra_m = sum(refill.detour_m for refill in found)
            time_s = single.time_s + extra_m / rig.speed_m_per_s + len(found) * rig.refill_s
            path_m = single.path_length_m + extra_m
            passes.append(replace(single, refills=found, time_s=time_s, path_length_m=path_m))
        else:
            passes.append(single)
    return replace(plan, passes=tuple(passes))


@dataclass(frozen=True, eq=False)
class _Stretch:
    """A piece of work that is not broken off: a lane, a round or a part of a long one."""

    leg: int
    way_m: float  # walked before it since the one before
    until_m: float
    length_m: float
    begin: NDArray[np.float64]
    end: NDArray[np.float64]


def split_refills(
    legs: Sequence[Leg],
    reach_m: float,
    depot: NDArray[np.float64],
    walkway: Walkway,
    stop_m: float = 0.0,
) -> tuple[Refill, ...]:
    """Split a walk into fillings.

    Parameters
    ----------
    legs : sequence of Leg
        The walk in order.
    reach_m : float
        Length of lanes and rounds that one filling does: what the hopper holds over rate and swath. [m]
    depot : array, shape (2,)
        The refill point. [m]
    walkway : Walkway
        Where one may walk.
    stop_m : float
        What one stop costs besides walking, as walking: loading time × speed. [m]

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
    stretches = _stretches(legs, reach_m)
    if not stretches:
        return ()
    ends = np.array([stretch.end for stretch in stretches])
    begins = np.array([stretch.begin for stretch in stretches])
    depots = np.broadcast_to(depot, ends.shape)
    there, back = walkway.ways(ends, depots), walkway.ways(depots, begins)
    out = [length_m(_drawn(way, end, depot)) for way, end in zip(there, ends, strict=True)]
    home = [length_m(_drawn(way, depot, begin)) for way, begin in zip(back, begins, strict=True)]
    direct = np.array([stretch.way_m for stretch in stretches[1:]])
    added = np.array(out[:-1]) + np.array(home[1:]) - direct + stop_m
    stops = _best_stops(np.array([stretch.length_m for stretch in stretches]), added, reach_m)
    whole = sum(stretch.length_m for stretch in stretches)
    found = []
    for number, (first, last) in enumerate(zip(stops, [*stops[1:], len(stretches)], strict=True), 1):
        work = sum(stretch.length_m for stretch in stretches[first:last])
        before = stretches[first - 1] if first else None
        to = _drawn(there[first - 1], ends[first - 1], depot) if first else np.empty((0, 2))
        again = _drawn(back[first], depot, begins[first]) if first else np.empty((0, 2))
        found.append(
            Refill(
                number,
                before.leg if before else -1,
                before.until_m if before else 0.0,
                work,
                work / whole,
                to,
                again,
                float(added[first - 1] - stop_m) if first else 0.0,
            )
        )
    return tuple(found)


def _drawn(
    way: NDArray[np.float64] | None, start: NDArray[np.float64], end: NDArray[np.float64]
) -> NDArray[np.float64]:
    """A way, or a straight line where no open ground leads there."""
    return np.stack([start, end]) if way is None else way


def _stretches(legs: Sequence[Leg], reach_m: float) -> list[_Stretch]:
    """Cut the work into stretches no longer than a filling reaches."""
    found: list[_Stretch] = []
    way_m = 0.0
    for index, leg in enumerate(legs):
        if leg.kind == "way":
            way_m += leg.length_m
            continue
        count = max(int(np.ceil(leg.length_m / reach_m - 1e-9)), 1)
        gone = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(leg.points, axis=0).T))])
        marks = np.linspace(0, gone[-1], count + 1)
        places = np.column_stack([np.interp(marks, gone, leg.points[:, axis]) for axis in (0, 1)])
        found += [
            _Stretch(
                index,
                0.0 if i else way_m,
                float(marks[i + 1]),
                float(gone[-1]) / count,
                places[i],
                places[i + 1],
            )
            for i in range(count)
        ]
        way_m = 0.0
    return found


def _best_stops(work: NDArray[np.float64], added: NDArray[np.float64], reach_m: float) -> list[int]:
    """Return before which stretches to fill, 0 for the start, so that all stops together cost least."""
    count = len(work)
    done = np.concatenate([[0.0], np.cumsum(work)])
    least = np.full(count + 1, np.inf)
    least[0] = 0.0
    came = np.zeros(count + 1, dtype=np.intp)
    cost = np.concatenate([[0.0], added])  # of beginning a filling before each stretch
    for last in range(1, count + 1):
        first = int(np.searchsorted(done, done[last] - reach_m - 1e-6))
        tried = least[first:last] + cost[first:last]
        best = int(np.argmin(tried))
        least[last], came[last] = tried[best], first + best
    stops: list[int] = []
    last = count
    while last > 0:
        last = int(came[last])
        stops.append(last)
    return stops[::-1]
