"""Where to go back and fill the hopper: the split of a walk that costs the least walking and loading.

The order of the walk stays as it is. Stops are looked for at the ends of lanes and rounds, where another zone
begins, and within a lane only where it is longer than a fill reaches; the best set of stops is exact.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from time import perf_counter
from typing import TYPE_CHECKING

import numpy as np
import shapely

from lawnmap.errors import InputError
from lawnmap.lanes.labour import labour_on
from lawnmap.lanes.model import LanePlan, Leg, Pass, Stretch
from lawnmap.lanes.pieces import Ground, mover_on, open_ground, start_of
from lawnmap.lanes.stops import Depot, Ways, best_stops, work_of
from lawnmap.measure import Takeoff

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

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


def _split(
    legs: Sequence[Leg],
    spans: Sequence[tuple[Stretch, float]],
    depot: Depot,
    before: NDArray[np.float64] | None,
) -> tuple[Refill, ...]:
    """Split the work into fillings."""
    if not spans:
        return ()
    work = work_of(legs, spans)
    ways = Ways(depot, work, before)
    stops = best_stops(work.use, ways)
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
