"""The straight strips that a lane plan lays: where each begins and ends and what it leaves per metre."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

import numpy as np
import shapely

from lawnmap.errors import InputError, nearest

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray
    from shapely.geometry import MultiPolygon, Polygon

    from lawnmap.evenness.pattern import Pattern
    from lawnmap.lanes import LanePlan, Pass

_BESIDE: Final = 0.75
"""A headland loop this many swaths from an edge, or nearer, runs along it. [1]"""


@dataclass(frozen=True)
class LaneEnds:
    """How a lane begins and ends on the ground.

    Attributes
    ----------
    open_late_m : float
        How far the spreader goes after the gate is opened until material lands. [m]
    shut_late_m : float
        How far it still lands after the gate is shut. [m]
    feather_m : float
        Half of the length over which the rate rises at a lane end: a rotary throws to the front and
        to the back as well. [m]
    """

    open_late_m: float = 0.0
    shut_late_m: float = 0.0
    feather_m: float = 0.0


SHARP: Final = LaneEnds()
"""Lanes that begin and end at once."""


@dataclass(frozen=True, eq=False)
class Strips:
    """Straight strips with the gate open.

    Attributes
    ----------
    start_m, end_m : array, shape (n, 2) = [east, north]
        Ends of each in walking direction. [m]
    mass_kg_per_m : array, shape (n,)
        What leaves the hopper along each. [kg/m]
    kind : array, shape (n,)
        Which of the patterns each has.
    patterns : tuple of Pattern
        The throw of the spreader, and those cut short by a shield.
    feather_m : float
        See `LaneEnds`. [m]
    """

    start_m: NDArray[np.float64] = field(repr=False)
    end_m: NDArray[np.float64] = field(repr=False)
    mass_kg_per_m: NDArray[np.float64] = field(repr=False)
    kind: NDArray[np.int64] = field(repr=False)
    patterns: tuple[Pattern, ...]
    feather_m: float = 0.0

    @property
    def length_m(self) -> NDArray[np.float64]:
        """Length of each strip. [m]"""
        length: NDArray[np.float64] = np.hypot(*(self.end_m - self.start_m).T)
        return length

    @property
    def hopper_kg(self) -> float:
        """What leaves the hopper along all of them. [kg]"""
        return float(self.length_m @ self.mass_kg_per_m)

    @property
    def reach_m(self) -> float:
        """How far from a strip anything can land. [m]"""
        return max(pattern.reach_m for pattern in self.patterns) + self.feather_m

    @property
    def main_direction_deg(self) -> float:
        """Direction, or the one square to it, that most of the length goes in. [°]"""
        run = self.end_m - self.start_m
        angle = np.degrees(np.arctan2(run[:, 1], run[:, 0])) % 90
        names, group = np.unique(angle.round(4) % 90, return_inverse=True)
        best = int(np.argmax(np.bincount(group, self.length_m)))
        # the mean of the group around its name keeps the digits that the rounding took
        return float(names[best] + np.mean((angle[group == best] - names[best] + 45) % 90 - 45))


def strips_of(
    lane_plan: LanePlan,
    pattern: Pattern,
    *,
    rates: Mapping[str, float] | None = None,
    ends: LaneEnds | None = None,
    shield: Polygon | MultiPolygon | None = None,
) -> Strips:
    """Return the strips of a lane plan.

    A pass lays its share of the zone's rate: rate × swath ÷ passes leaves the hopper per metre, so
    that lanes one swath apart add up to the rate.

    Parameters
    ----------
    lane_plan : LanePlan
        The lanes.
    pattern : Pattern
        What the spreader leaves across one swath.
    rates : mapping of str to float, optional
        Product per area by zone, all passes together; 1 everywhere if left out. [kg/m²]
    ends : LaneEnds, optional
        How lanes begin and end; sharp ends if left out.
    shield : Polygon or MultiPolygon, optional
        Ground at whose edge a side shield is held on the headland loops; no shield if left out. [m]
    """
    ends = ends or SHARP
    collected = _Collector(pattern)
    for single in lane_plan.passes:
        mass = _rate(single, rates) / single.count * single.swath_m
        if mass > 0:
            collected.add(*_lanes(single, ends), mass)
            for loop in single.loops:
                start, end = _segments(np.asarray(loop.coords)[:, :2])
                collected.add(start, end, mass, shield=shield, swath_m=single.swath_m)
    return collected.strips(ends.feather_m)


def _rate(single: Pass, rates: Mapping[str, float] | None) -> float:
    if rates is None:
        return 1.0
    if single.zone not in rates:
        raise InputError(
            f'no rate is given for the zone "{single.zone}"',
            mend=nearest(single.zone, rates) if rates else "give one rate per zone",
        )
    rate = rates[single.zone]
    if not (rate >= 0 and np.isfinite(rate)):
        raise InputError(f'a rate of {rate:g} for the zone "{single.zone}" is not possible')
    return rate


def _lanes(single: Pass, ends: LaneEnds) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Lanes moved by the delay of the gate; a lane over before the gate lets anything through is dropped."""
    start, end = single.lanes[:, 0], single.lanes[:, 1]
    run = end - start
    length = np.hypot(run[:, 0], run[:, 1])
    keep = length > max(0.0, ends.open_late_m - ends.shut_late_m) + 1e-9
    start, end, unit = start[keep], end[keep], run[keep] / length[keep, None]
    return start + unit * ends.open_late_m, end + unit * ends.shut_late_m


def _segments(points: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    start, end = points[:-1], points[1:]
    keep = np.hypot(*(end - start).T) > 1e-9
    return start[keep], end[keep]


class _Collector:
    """Gathers strips, and draws the pattern that a shield leaves once for each distance to the edge."""

    def __init__(self, pattern: Pattern) -> None:
        self.patterns = [pattern]
        self.known: dict[tuple[str, float], int] = {}
        empty = np.empty((0, 2))
        self.rows = [(empty, empty, np.empty(0), np.empty(0, np.int64))]

    def add(
        self,
        start: NDArray[np.float64],
        end: NDArray[np.float64],
        mass_kg_per_m: float,
        *,
        shield: Polygon | MultiPolygon | None = None,
        swath_m: float = 0.0,
    ) -> None:
        kind = np.zeros(len(start), np.int64)
        if shield is not None and len(start):
            kind = self._kinds(start, end, shield, swath_m)
        self.rows.append((start, end, np.full(len(start), mass_kg_per_m), kind))

    def _kinds(
        self,
        start: NDArray[np.float64],
        end: NDArray[np.float64],
        ground: Polygon | MultiPolygon,
        swath_m: float,
    ) -> NDArray[np.int64]:
        middle = (start + end) / 2
        run = (end - start) / np.hypot(*(end - start).T)[:, None]
        to_the_right = np.column_stack([run[:, 1], -run[:, 0]])
        away = np.asarray(shapely.distance(shapely.points(middle), ground.boundary), dtype=float)
        step = 1.05 * away[:, None] * to_the_right
        shapely.prepare(ground)
        off_right = ~shapely.contains_xy(ground, middle + step)
        off_left = ~shapely.contains_xy(ground, middle - step)
        beside = away < _BESIDE * swath_m
        kinds = np.zeros(len(start), np.int64)
        for i in np.flatnonzero(beside & (off_left | off_right)):
            kinds[i] = self._kind("right" if off_right[i] else "left", round(float(away[i]), 2))
        return kinds

    def _kind(self, side: str, edge_m: float) -> int:
        key = (side, edge_m)
        if key not in self.known:
            plain = self.patterns[0]
            cut = plain.shielded(edge_m) if side == "right" else plain.mirrored().shielded(edge_m).mirrored()
            self.known[key] = len(self.patterns)
            self.patterns.append(cut)
        return self.known[key]

    def strips(self, feather_m: float) -> Strips:
        start, end, mass, kind = (np.concatenate(column) for column in zip(*self.rows, strict=True))
        if not len(start):
            raise InputError(
                "there is nothing to lay: no lane has any length or rate",
                mend="check the lanes and the rates",
            )
        return Strips(start, end, mass, kind, tuple(self.patterns), feather_m)
