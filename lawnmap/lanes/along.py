"""Zones of different density on one lawn: worked one by one, or in one go with the setting changed on the way."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Final

import numpy as np
import shapely
from shapely.geometry import LineString

from lawnmap.errors import ChoiceError
from lawnmap.lanes.headland import polygons_of
from lawnmap.lanes.labour import labour_on, settings_changed
from lawnmap.lanes.laying import lay, lay_pieces
from lawnmap.lanes.model import Compared, LanePlan, Pass, SettingChange, Stretch
from lawnmap.lanes.pieces import joined_pieces, touching_zones

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from lawnmap.lanes.model import Leg
    from lawnmap.lanes.rig import Rig
    from lawnmap.measure import Takeoff, ZoneArea

_LEAST_M: Final = 1e-3  # what is shorter lays nothing
_SHORTEST: Final = 0.5  # a stretch shorter than this many swaths keeps the setting of the one before


@dataclass(frozen=True, eq=False)
class BothWays:
    """The same lawn worked zone by zone and as a whole.

    Attributes
    ----------
    by_zone : LanePlan
        Every zone on its own, at one setting.
    whole : LanePlan
        Zones that touch as one ground; its stretches tell where each zone begins.
    compared : Compared
        Time and walking of both.
    """

    by_zone: LanePlan = field(repr=False)
    whole: LanePlan = field(repr=False)
    compared: Compared

    @property
    def chosen(self) -> LanePlan:
        """The one asked for, or the one that takes less time; zone by zone where they are equal."""
        plan = self.whole if self.compared.together else self.by_zone
        return replace(plan, compared=self.compared)


def may_join(takeoff: Takeoff, rig: Rig) -> bool:
    """Tell whether zones may be worked together: some touch, and nothing that was asked for stands against it.

    Parameters
    ----------
    takeoff : Takeoff
        A measured yard.
    rig : Rig
        What is pushed or towed, and how.

    Raises
    ------
    ChoiceError
        Where zones shall be worked together, each in a direction of its own.
    """
    if rig.zones == "together" and rig.zone_directions:
        raise ChoiceError(
            "zones that are worked together cannot have directions of their own",
            where="[rig], zone_directions",
            mend='leave it out, or set zones = "one by one"',
        )
    if rig.zones == "one by one" or rig.zone_directions:
        return False
    return any(len(zones) > 1 for zones in touching_zones(takeoff))


def lay_both_ways(takeoff: Takeoff, rig: Rig, rates: Sequence[Mapping[str, float]] = ()) -> BothWays:
    """Lay a yard zone by zone, and as a whole with the setting changed along the lanes.

    Parameters
    ----------
    takeoff : Takeoff
        A measured yard.
    rig : Rig
        What is pushed or towed, and how.
    rates : sequence of mapping of str to float
        For each product its rate by zone: each is walked once, over the passes whose zones get any.
        Left out, one product of which every class of density gets another rate. [kg/m²]
    """
    zones = [zone for group in touching_zones(takeoff) for zone in group]
    classes = sorted({zone.density for zone in zones})
    rates = rates or [{zone.name: 1.0 + classes.index(zone.density) for zone in zones}]
    by_zone, laid = lay(takeoff, rig), lay_pieces(joined_pieces(takeoff, rig), takeoff, rig)
    named = {zone.name: zone for zone in zones}
    shared = tuple(
        single
        if single.zone in named
        else replace(single, parts=stretches_along(single.legs, zones, _SHORTEST * single.swath_m))
        for single in laid.passes
    )
    passes = tuple(replace(single, changes=changes_along(single, rates[0])) for single in shared)
    whole = replace(laid, passes=passes, labour=labour_on(passes, rig))
    (one_s, one_m), (all_s, all_m) = (_spent(plan, rig, rates) for plan in (by_zone, whole))
    together = rig.zones == "together" or (rig.zones == "quicker" and all_s < one_s)
    return BothWays(by_zone, whole, Compared(together, one_s, all_s, one_m, all_m))


def _spent(plan: LanePlan, rig: Rig, rates: Sequence[Mapping[str, float]]) -> tuple[float, float]:
    """Return time and walking for putting all products down. [s, m]"""
    time_s = path_m = 0.0
    for rate in rates:
        for single in plan.passes:
            if any(rate.get(zone, 0.0) > 0 for zone in single.zones):
                stops = settings_changed(changes_along(single, rate))
                time_s += single.time_s + stops * rig.setting_change_s
                path_m += single.path_length_m
    return time_s, path_m


def changes_along(single: Pass, rates: Mapping[str, float]) -> tuple[SettingChange, ...]:
    """Return where the setting changes along a pass; the first entry is the setting to begin with.

    Parameters
    ----------
    single : Pass
        Over zones that are worked together; of any other nothing changes.
    rates : mapping of str to float
        Product per area by zone. [kg/m²]
    """
    found: list[SettingChange] = []
    for part in single.parts:
        rate = rates.get(part.zone, 0.0)
        if not found or found[-1].rate_kg_per_m2 != rate:
            found.append(SettingChange(part.leg, part.begin_m, part.zone, rate))
    return tuple(found)


def stretches_along(legs: Sequence[Leg], zones: Sequence[ZoneArea], shortest_m: float) -> tuple[Stretch, ...]:
    """Return which zone each stretch of a walk lies in.

    Parameters
    ----------
    legs : sequence of Leg
        The walk in order.
    zones : sequence of ZoneArea
        Zones with their grounds.
    shortest_m : float
        Stretches shorter than this are added to the one before. [m]
    """
    work = [index for index, leg in enumerate(legs) if leg.kind != "way"]
    if not work:
        return ()
    lines = np.array([LineString(legs[index].points) for index in work], dtype=object)
    grounds = np.array([zone.ground for zone in zones], dtype=object)
    cuts, owner = shapely.get_coordinates(
        shapely.intersection(lines, shapely.union_all(shapely.boundary(grounds))), return_index=True
    )
    marks = shapely.line_locate_point(lines[owner], shapely.points(cuts))
    whole_m = shapely.length(lines)
    bounds = [
        _marks(marks[owner == row], float(length), shortest_m) for row, length in enumerate(whole_m.tolist())
    ]
    rows = np.repeat(np.arange(len(work)), [len(bound) - 1 for bound in bounds])
    begins, ends = (np.concatenate([bound[which] for bound in bounds]) for which in (np.s_[:-1], np.s_[1:]))
    middles = shapely.line_interpolate_point(lines[rows], (begins + ends) / 2)
    nearest = np.argmin(shapely.distance(grounds[:, None], middles[None]), axis=0)
    found: list[Stretch] = []
    for row, begin, end, zone in zip(
        rows.tolist(), begins.tolist(), ends.tolist(), nearest.tolist(), strict=True
    ):
        stretch = Stretch(work[row], begin, end, zones[zone].name)
        before = found[-1] if found else None
        if before and (before.leg, before.zone) == (stretch.leg, stretch.zone):
            found[-1] = replace(before, end_m=end)
        else:
            found.append(stretch)
    return tuple(found)


def _marks(marks: NDArray[np.float64], length_m: float, shortest_m: float) -> NDArray[np.float64]:
    """Return where a leg is cut, both its ends among them, no stretch shorter than asked."""
    kept = [0.0]
    for mark in np.unique(marks.round(3)).tolist():
        if mark - kept[-1] >= shortest_m and length_m - mark >= shortest_m:
            kept.append(mark)
    return np.array([*kept, length_m])


def split_by_zone(plan: LanePlan, takeoff: Takeoff) -> LanePlan:
    """Return the same lanes as passes over one zone each, lanes and rounds cut where another zone begins.

    Parameters
    ----------
    plan : LanePlan
        Lanes of any kind.
    takeoff : Takeoff
        What they were laid for.
    """
    if not any(single.parts for single in plan.passes):
        return plan
    grounds = {zone.name: zone.ground for zone in takeoff.zones}
    passes: list[Pass] = []
    for single in plan.passes:
        if not single.parts:
            passes.append(single)
            continue
        for zone in single.zones:
            pieces: dict[str, list[NDArray[np.float64]]] = {"lane": [], "loop": []}
            for part in single.parts:
                if part.zone == zone and part.length_m > _LEAST_M:
                    leg = single.legs[part.leg]
                    pieces[leg.kind].append(cut_out(leg.points, part.begin_m, part.end_m))
            passes.append(
                replace(
                    single,
                    zone=zone,
                    lanes=np.array(pieces["lane"]).reshape(-1, 2, 2),
                    loops=tuple(LineString(points) for points in pieces["loop"]),
                    by_hand=polygons_of(single.by_hand.intersection(grounds[zone])),
                    parts=(),
                )
            )
    return replace(plan, passes=tuple(passes))


def cut_out(points: NDArray[np.float64], begin_m: float, end_m: float) -> NDArray[np.float64]:
    """Return the part of a line between two distances from its beginning.

    Parameters
    ----------
    points : array, shape (n, 2)
        The line. [m]
    begin_m, end_m : float
        Where it is cut. [m]
    """
    gone = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    inside = points[(gone > begin_m + _LEAST_M) & (gone < end_m - _LEAST_M)]
    ends = np.column_stack([np.interp([begin_m, end_m], gone, points[:, axis]) for axis in (0, 1)])
    return np.concatenate([ends[:1], inside, ends[1:]])
