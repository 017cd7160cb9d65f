"""What a lane plan is: passes of ordered lanes and headland loops, and the walk that joins them."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Literal

import numpy as np
from lazy_loader import load
from shapely.geometry import LineString, MultiPolygon, Polygon

if TYPE_CHECKING:
    import geopandas as gpd
    from numpy.typing import NDArray

    from lawnmap.lanes.detours import Walkway
    from lawnmap.lanes.labour import Labour
    from lawnmap.lanes.outing import Outing
    from lawnmap.lanes.refills import Refill
    from lawnmap.lanes.stakes import Stake
    from lawnmap.yard import Finding


geopandas = load("geopandas")  # slow to load, and only tables need it

LegKind = Literal["lane", "loop", "way"]


@dataclass(frozen=True, eq=False)
class Leg:
    """One stretch of the walk.

    Attributes
    ----------
    kind : str
        ``"lane"``, ``"loop"`` (a round) or ``"way"`` (gate shut).
    points : array, shape (n, 2) = [point, (east, north)]
        Where it goes, in walking direction. [m]
    number : int
        Number of the lane in walking order, or of the loop; 0 for a way. [count]
    """

    kind: LegKind
    points: NDArray[np.float64] = field(repr=False)
    number: int = 0

    @cached_property
    def length_m(self) -> float:
        """Its length. [m]"""
        step = self.points[1:] - self.points[:-1]
        return float(np.hypot(step[:, 0], step[:, 1]).sum())

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping of JSON values."""
        return {"kind": self.kind, "number": self.number, "points": self.points.round(4).tolist()}


@dataclass(frozen=True)
class Stretch:
    """The part of a leg that lies in one zone.

    Attributes
    ----------
    leg : int
        Index of the leg in its pass. [index]
    begin_m, end_m : float
        Where on the leg, from its beginning. [m]
    zone : str
        Name of the zone.
    """

    leg: int
    begin_m: float
    end_m: float
    zone: str

    @property
    def length_m(self) -> float:
        """Its length. [m]"""
        return self.end_m - self.begin_m


@dataclass(frozen=True)
class SettingChange:
    """Where the spreader is set anew on the way, and for what.

    Attributes
    ----------
    leg : int
        Index of the leg in its pass. [index]
    at_m : float
        Distance from the beginning of that leg, 0 for before it. [m]
    zone : str
        The zone that begins there.
    rate_kg_per_m2 : float
        What to set for, all passes together; 0 to shut the gate. [kg/m²]
    """

    leg: int
    at_m: float
    zone: str
    rate_kg_per_m2: float

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "leg": self.leg,
            "at_m": round(self.at_m, 2),
            "zone": self.zone,
            "rate_kg_per_m2": self.rate_kg_per_m2,
        }


@dataclass(frozen=True)
class Compared:
    """The same lawn worked zone by zone and in one go with the setting changed on the way.

    Attributes
    ----------
    together : bool
        Whether zones that touch are worked in one go.
    one_by_one_s, together_s : float
        Time for all that is put down, changes of the setting counted, and filling where there is a hopper. [s]
    one_by_one_m, together_m : float
        Walking for it. [m]
    changes : int
        How often the setting is changed on the way where zones are worked together. [count]
    """

    together: bool
    one_by_one_s: float
    together_s: float
    one_by_one_m: float
    together_m: float
    changes: int = 0

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "together": self.together,
            "one_by_one_s": self.one_by_one_s,
            "together_s": self.together_s,
            "one_by_one_m": self.one_by_one_m,
            "together_m": self.together_m,
            "changes": self.changes,
        }


@dataclass(frozen=True, eq=False)
class Pass:
    """One time over one piece of ground.

    Attributes
    ----------
    zone : str
        Name of the zone, empty for bare ground; of zones that are worked together all names, with " + ".
    number, count : int
        Which pass of how many over that zone. [count]
    direction_deg : float
        Direction of the lanes, counter-clockwise from east. [°]
    swath_m : float
        Spacing of the lanes. [m]
    lanes : array, shape (n, 2, 2) = [lane, start or end, (east, north)]
        Lanes in walking order and direction. [m]
    loops : tuple of LineString
        Headland rings: those along the edge are walked before the lanes, those round an obstacle when
        the walk comes by. [m]
    walk : LineString
        The whole path: loops, lanes and the ways between them. [m]
    work_length_m : float
        Length with the gate open: lanes and loops. [m]
    path_length_m : float
        Length of the whole path. [m]
    time_s : float
        Time for it at the rig's speed, turns counted. [s]
    by_hand : Polygon or MultiPolygon
        Ground that the lanes do not reach: corners and necks. [m]
    legs : tuple of Leg
        The walk in order: loops, lanes and the ways between.
    direction_price : float or None
        How much more walking and turning a stated direction takes than the best, as a share. [1]
    stakes : tuple of Stake
        Where to set stakes, in order; none for bare ground.
    refills : tuple of Refill
        Where to go and fill the hopper; none until the rate is known.
    changes : tuple of SettingChange
        Where to set the spreader anew; only where zones are worked together.
    parts : tuple of Stretch
        Which zone each stretch of the walk lies in; only where zones are worked together.
    aims : tuple of str
        For each lane what stands in line beyond its end, to walk towards; empty words where nothing does.
    headland_m, turn_depth_m : float
        Depth of the rounds together, and how far a U turn of the machine reaches beyond a lane. [m]
    """

    zone: str
    number: int
    count: int
    direction_deg: float
    swath_m: float
    lanes: NDArray[np.float64] = field(repr=False)
    loops: tuple[LineString, ...] = field(repr=False)
    walk: LineString = field(repr=False)
    work_length_m: float
    path_length_m: float
    time_s: float
    by_hand: Polygon | MultiPolygon = field(repr=False)
    legs: tuple[Leg, ...] = field(default=(), repr=False)
    direction_price: float | None = None
    stakes: tuple[Stake, ...] = field(default=(), repr=False)
    refills: tuple[Refill, ...] = field(default=(), repr=False)
    changes: tuple[SettingChange, ...] = field(default=(), repr=False)
    parts: tuple[Stretch, ...] = field(default=(), repr=False)
    aims: tuple[str, ...] = field(default=(), repr=False)
    headland_m: float = 0.0
    turn_depth_m: float = 0.0

    @property
    def stretches(self) -> tuple[Stretch, ...]:
        """The walk with the gate open, zone by zone, in order."""
        return self.parts or tuple(
            Stretch(index, 0.0, leg.length_m, self.zone)
            for index, leg in enumerate(self.legs)
            if leg.kind != "way"
        )

    @property
    def zones(self) -> tuple[str, ...]:
        """Names of the zones that it goes over."""
        return tuple(dict.fromkeys(part.zone for part in self.parts)) or (self.zone,)

    @property
    def lane_count(self) -> int:
        """How many lanes there are. [count]"""
        return len(self.lanes)

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping of JSON values."""
        return {
            "zone": self.zone,
            "number": self.number,
            "count": self.count,
            "direction_deg": self.direction_deg,
            "direction_price": self.direction_price,
            "swath_m": self.swath_m,
            "headland_m": self.headland_m,
            "turn_depth_m": self.turn_depth_m,
            "lane_count": self.lane_count,
            "work_length_m": self.work_length_m,
            "path_length_m": self.path_length_m,
            "time_s": self.time_s,
            "by_hand_area_m2": self.by_hand.area,
            "loops": [np.asarray(loop.coords)[:, :2].round(4).tolist() for loop in self.loops],
            "lanes": self.lanes.round(4).tolist(),
            "legs": [leg.to_dict() for leg in self.legs],
            "stakes": [stake.to_dict() for stake in self.stakes],
            "refills": [refill.to_dict() for refill in self.refills],
            "changes": [change.to_dict() for change in self.changes],
            "aims": list(self.aims),
        }


@dataclass(frozen=True, eq=False)
class LanePlan:
    """All passes of a job, in the order they are walked.

    Attributes
    ----------
    passes : tuple of Pass
        In walking order.
    findings : tuple of Finding
        What could not be reached or was assumed.
    labour : Labour or None
        Where the time of going over it once goes, refills of the first product counted.
    outings : tuple of Outing
        For each product that is put down the passes it is walked on, its refills and its time.
    compared : Compared or None
        Zone by zone against all in one go, where zones touch and both were tried.
    walkway : Walkway or None
        Where one may walk, as it was worked out; later ways are found on it sooner.
    """

    passes: tuple[Pass, ...]
    findings: tuple[Finding, ...] = ()
    labour: Labour | None = None
    outings: tuple[Outing, ...] = ()
    compared: Compared | None = None
    walkway: Walkway | None = field(default=None, repr=False)

    @property
    def lanes(self) -> NDArray[np.float64]:
        """All lanes in walking order and direction, shape (n, 2, 2). [m]"""
        return np.concatenate([np.empty((0, 2, 2)), *(single.lanes for single in self.passes)])

    @property
    def loops(self) -> tuple[LineString, ...]:
        """All headland rings. [m]"""
        return tuple(loop for single in self.passes for loop in single.loops)

    @property
    def walk(self) -> LineString:
        """The whole path as one line; straight from the end of one pass to the start of the next. [m]"""
        points = [np.asarray(single.walk.coords)[:, :2] for single in self.passes if not single.walk.is_empty]
        return LineString(np.concatenate(points)) if points else LineString()

    @property
    def path_length_m(self) -> float:
        """Length of all passes. [m]"""
        return float(sum(single.path_length_m for single in self.passes))

    @property
    def time_s(self) -> float:
        """Time for all passes. [s]"""
        return float(sum(single.time_s for single in self.passes))

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping of JSON values."""
        return {
            "path_length_m": self.path_length_m,
            "time_s": self.time_s,
            "labour": self.labour.to_dict() if self.labour else None,
            "compared": self.compared.to_dict() if self.compared else None,
            "passes": [single.to_dict() for single in self.passes],
            "outings": [outing.to_dict() for outing in self.outings],
            "findings": [finding.to_dict() for finding in self.findings],
        }

    def to_frame(self) -> gpd.GeoDataFrame:
        """Return the walk as a table, one row per leg in order, with its line in metres on the yard's plane."""
        return frame_of(self)


def frame_of(plan: LanePlan) -> gpd.GeoDataFrame:
    """Return the walk of a plan as a table.

    Parameters
    ----------
    plan : LanePlan
        All passes.

    Returns
    -------
    GeoDataFrame
        Columns ``step``, ``zone``, ``pass_number``, ``kind``, ``number``, ``length_m``, ``fill_before`` (the
        number of the filling made before the leg or on it, 0 for none) and geometry. [m]
    """
    rows: list[dict[str, object]] = []
    lines = []
    for single in plan.passes:
        fills = {max(refill.after_leg, -1): refill.number for refill in reversed(single.refills)}
        for index, leg in enumerate(single.legs):
            rows.append(
                {
                    "step": len(rows) + 1,
                    "zone": single.zone,
                    "pass_number": single.number,
                    "kind": leg.kind,
                    "number": leg.number,
                    "length_m": leg.length_m,
                    "fill_before": fills.get(index - 1, 0),
                }
            )
            lines.append(LineString(leg.points))
    columns = ["step", "zone", "pass_number", "kind", "number", "length_m", "fill_before"]
    return geopandas.GeoDataFrame(rows, columns=columns, geometry=lines)
