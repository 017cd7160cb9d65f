"""The walk told step by step: which lane comes next, how one gets there, what to set and load before it."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from lawnmap.lanes.detours import length_m

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from lawnmap.lanes.model import LegKind, Pass, SettingChange
    from lawnmap.lanes.refills import Refill
    from lawnmap.lanes.rig import Rig


@dataclass(frozen=True)
class Setting:
    """What the spreader is set for from some place on.

    Attributes
    ----------
    at_m : float
        Distance from the beginning of the lane or round. [m]
    rate_kg_per_m2 : float
        What one pass is to lay; 0 with the gate shut. [kg/m²]
    zone : str
        The zone that begins there.
    """

    at_m: float
    rate_kg_per_m2: float
    zone: str = ""


@dataclass(frozen=True, eq=False)
class Step:
    """One lane or round, with all that comes before it.

    Attributes
    ----------
    number : int
        Which step of the walk. [count]
    zone : str
        Name of the zone, or of all zones that are worked together.
    pass_number, pass_count : int
        Which pass of how many. [count]
    kind : str
        ``"lane"`` or ``"loop"``.
    lane : int
        Number of the lane in walking order, or of the round. [count]
    lane_count : int
        How many lanes, or rounds, the pass has. [count]
    points : array, shape (n, 2)
        Where it goes. [m]
    way : array, shape (n, 2)
        How one gets there, by the refill point where the hopper is filled before; may be empty. [m]
    time_s : float
        Time for way, turn, filling, changes and work. [s]
    settings : tuple of Setting
        What to set for; more than one where the setting changes on the lane; none without a product.
    fills : tuple of Refill
        Fillings before this step or on it.
    aim : str
        What stands in line beyond the end of the lane; empty where nothing does.
    refill_after : bool
        Whether one goes to fill the hopper after it.
    """

    number: int
    zone: str
    pass_number: int
    pass_count: int
    kind: LegKind
    lane: int
    lane_count: int
    points: NDArray[np.float64] = field(repr=False)
    way: NDArray[np.float64] = field(repr=False)
    time_s: float
    settings: tuple[Setting, ...] = ()
    fills: tuple[Refill, ...] = ()
    aim: str = ""
    refill_after: bool = False

    @property
    def length_m(self) -> float:
        """Length of the lane or round. [m]"""
        return length_m(self.points)

    @property
    def way_m(self) -> float:
        """Length of the way to it. [m]"""
        return length_m(self.way) if len(self.way) else 0.0

    @property
    def load_kg(self) -> float | None:
        """What is loaded before this step or on it; None for nothing. [kg]"""
        loads = [fill.load_kg for fill in self.fills if fill.load_kg is not None]
        return sum(loads) if loads else None


def steps_of(passes: Sequence[Pass], rig: Rig, rates: Mapping[str, float]) -> tuple[Step, ...]:
    """Tell a walk step by step.

    Parameters
    ----------
    passes : sequence of Pass
        As one product is walked, with its refills and changes.
    rig : Rig
        Speed and times.
    rates : mapping of str to float
        Product per area by zone, all passes together; empty without a product. [kg/m²]
    """
    found: list[Step] = []
    for single in passes:
        found += _of_pass(single, rig, rates, len(found))
    fills = [bool(step.fills) for step in found[1:]]
    return tuple(
        replace(step, refill_after=after)
        for step, after in zip(found, [*fills, False][: len(found)], strict=True)
    )


def _of_pass(single: Pass, rig: Rig, rates: Mapping[str, float], done: int) -> list[Step]:
    """Tell one pass."""
    before, inside = _fills(single)
    stops = _stops(single.changes)
    counts = {kind: sum(leg.kind == kind for leg in single.legs) for kind in ("lane", "loop")}
    found: list[Step] = []
    ways: list[NDArray[np.float64]] = []
    for index, leg in enumerate(single.legs):
        if leg.kind == "way":
            ways.append(leg.points)
            continue
        fills = (*before.get(index, ()), *inside.get(index, ()))
        walked_m = leg.length_m + sum(length_m(way) for way in ways) + sum(fill.detour_m for fill in fills)
        time_s = walked_m / rig.speed_m_per_s + len(fills) * rig.refill_s
        time_s += stops.get(index, 0) * rig.setting_change_s + (rig.turn_s if found else 0.0)
        found.append(
            Step(
                done + len(found) + 1,
                single.zone,
                single.number,
                single.count,
                leg.kind,
                leg.number,
                counts[leg.kind],
                leg.points,
                _way(before.get(index, ()), ways),
                time_s,
                _settings(single, index, rates),
                fills,
                single.aims[leg.number - 1] if single.aims and leg.kind == "lane" else "",
            )
        )
        ways = []
    return found


def _fills(single: Pass) -> tuple[dict[int, list[Refill]], dict[int, list[Refill]]]:
    """Return the fillings before each leg, and those on it."""
    work = [index for index, leg in enumerate(single.legs) if leg.kind != "way"]
    before: dict[int, list[Refill]] = {}
    inside: dict[int, list[Refill]] = {}
    for fill in single.refills:
        leg = fill.after_leg
        later = [index for index in work if index > leg]
        if later and (leg < 0 or fill.after_m > single.legs[leg].length_m - 1e-6):
            before.setdefault(later[0], []).append(fill)
        else:
            inside.setdefault(leg, []).append(fill)
    return before, inside


def _stops(changes: Sequence[SettingChange]) -> dict[int, int]:
    """Return how often one stops on each leg to set the spreader, counted as `settings_changed` does."""
    found: dict[int, int] = {}
    set_for = 0.0
    for change in changes:
        if change.rate_kg_per_m2 > 0:
            new = set_for not in (0.0, change.rate_kg_per_m2)
            found[change.leg] = found.get(change.leg, 0) + new
            set_for = change.rate_kg_per_m2
    return found


def _way(fills: Sequence[Refill], ways: Sequence[NDArray[np.float64]]) -> NDArray[np.float64]:
    """Return the way to a leg: by the refill point where the hopper is filled before it."""
    parts = [part for fill in fills for part in (fill.there, fill.back) if len(part)] or list(ways)
    return np.concatenate(parts) if parts else np.empty((0, 2))


def _settings(single: Pass, index: int, rates: Mapping[str, float]) -> tuple[Setting, ...]:
    """Return what to set for on a leg."""
    if not rates:
        return ()
    if not single.parts:
        return (Setting(0.0, rates.get(single.zone, 0.0) / single.count, single.zone),)
    found: list[Setting] = []
    for part in single.parts:
        rate = rates.get(part.zone, 0.0) / single.count
        if part.leg == index and not (found and found[-1].rate_kg_per_m2 == rate):
            found.append(Setting(part.begin_m, rate, part.zone))
    return tuple(found)
