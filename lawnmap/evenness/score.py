"""Judge a lane plan before a seed is thrown: its deposit against the target, over all the ground."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import TYPE_CHECKING, Final

import numpy as np
import shapely

from lawnmap.evenness.deposit import lay_on
from lawnmap.evenness.grid import CELL_M, Grid, cover_part, grid_over
from lawnmap.evenness.model import OVER, UNDER, Evenness, ZoneEvenness
from lawnmap.evenness.overlap import CV_LIMIT, Lane, Way, overlap, overlap_of
from lawnmap.evenness.strips import SHARP, LaneEnds, Strips, strips_of
from lawnmap.evenness.target import Target, areas_of, surroundings, targets
from lawnmap.measure import Takeoff
from lawnmap.yard import finding

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray
    from shapely.geometry import MultiPolygon, Polygon

    from lawnmap.evenness.pattern import Pattern
    from lawnmap.lanes import LanePlan, Pass
    from lawnmap.yard import Finding

_OFF_LAWN: Final = 0.01
"""Share of the hopper on paving or water that is worth a word. [1]"""

BEYOND: Final = "beyond the lawn"


@dataclass(frozen=True)
class Throwing:
    """How the spreader throws: the same for the strips, the score and the advice.

    Attributes
    ----------
    pattern : Pattern
        What it leaves across one swath.
    ends : LaneEnds
        How lanes begin and end.
    shield : bool
        Whether a side shield is used on the headland loops.
    limit : float
        Most variation between lanes that the user accepts. [1]
    """

    pattern: Pattern
    ends: LaneEnds = SHARP
    shield: bool = False
    limit: float = CV_LIMIT


@dataclass
class _Tally:
    """Sums over the cells of one zone."""

    area: float = 0.0
    ratio: float = 0.0
    square: float = 0.0
    under: float = 0.0
    over: float = 0.0

    def add(self, ratio: NDArray[np.float64], share: NDArray[np.float64], cell_area_m2: float) -> None:
        self.area += float(share.sum()) * cell_area_m2
        weighted = ratio * share
        self.ratio += float(weighted.sum()) * cell_area_m2
        self.square += float(np.vdot(weighted, ratio)) * cell_area_m2
        self.under += float(share[ratio < UNDER].sum()) * cell_area_m2
        self.over += float(share[ratio > OVER].sum()) * cell_area_m2

    @property
    def cv(self) -> float:
        if self.area <= 0 or self.ratio <= 0:
            return 0.0
        mean = self.ratio / self.area
        return sqrt(max(0.0, self.square / self.area - mean**2)) / mean

    def __add__(self, other: _Tally) -> _Tally:
        return _Tally(
            self.area + other.area,
            self.ratio + other.ratio,
            self.square + other.square,
            self.under + other.under,
            self.over + other.over,
        )


def score(
    lane_plan: LanePlan,
    ground: Polygon | MultiPolygon | Takeoff,
    throwing: Throwing | Pattern,
    *,
    rates: Mapping[str, float] | None = None,
    cell_m: float = CELL_M,
) -> Evenness:
    """Add up a lane plan and measure how even it comes out.

    The ground is worked through in pieces of a million cells, so a site of any size fits in memory.

    Parameters
    ----------
    lane_plan : LanePlan
        The lanes.
    ground : Polygon, MultiPolygon or Takeoff
        What they were laid for. A take-off knows its zones and what lies around them. [m]
    throwing : Throwing or Pattern
        How the spreader throws; a bare pattern has sharp lane ends and no shield.
    rates : mapping of str to float, optional
        Product per area by zone, all passes together; 1 everywhere if left out. [kg/m²]
    cell_m : float
        Side of a cell. [m]
    """
    how = throwing if isinstance(throwing, Throwing) else Throwing(throwing)
    treated = targets(lane_plan, ground, rates)
    whole = areas_of([zone.ground for zone in ground.zones]) if isinstance(ground, Takeoff) else ground
    strips = strips_of(
        lane_plan, how.pattern, rates=rates, ends=how.ends, shield=whole if how.shield else None
    )
    around = surroundings(ground, treated)
    unfed = areas_of([zone.unfed for zone in ground.zones]) if isinstance(ground, Takeoff) else None
    grid = _grid(strips, treated, cell_m)
    tallies, landed, in_strip = _add_up(strips, grid, treated, around, unfed)
    zones = tuple(
        _zone(target, tally, interior(lane_plan, target.name, how.pattern))
        for target, tally in zip(treated, tallies, strict=True)
    )
    total = sum(tallies, _Tally())
    on_lawn = sum(tally.ratio * zone.rate_kg_per_m2 for tally, zone in zip(tallies, treated, strict=True))
    landed[BEYOND] = max(0.0, strips.hopper_kg - on_lawn - sum(landed.values()))
    result = Evenness(
        zones=zones,
        interior_cv=sum(zone.interior_cv * zone.area_m2 for zone in zones) / total.area,
        whole_cv=total.cv,
        under_share=total.under / total.area,
        over_share=total.over / total.area,
        hopper_kg=strips.hopper_kg,
        on_lawn_kg=on_lawn,
        off_lawn_kg=landed,
        water_strip_kg=in_strip,
        by_hand_area_m2=sum(target.by_hand_area_m2 for target in treated),
        cell_m=cell_m,
        findings=(),
    )
    return _with_findings(result, how.limit)


def _grid(strips: Strips, treated: Sequence[Target], cell_m: float) -> Grid:
    corners = [shapely.get_coordinates(target.ground.convex_hull) for target in treated]
    return grid_over(
        np.concatenate([strips.start_m, strips.end_m, *corners]),
        cell_m=cell_m,
        turn_deg=strips.main_direction_deg,
        margin_m=strips.reach_m + 2 * cell_m,
    )


def _add_up(
    strips: Strips,
    grid: Grid,
    treated: Sequence[Target],
    around: Mapping[str, Polygon | MultiPolygon],
    unfed: Polygon | MultiPolygon | None,
) -> tuple[list[_Tally], dict[str, float], float]:
    """Sums by zone, mass by kind of ground around, and mass in the strip along water."""
    tallies = [_Tally() for _ in treated]
    landed = dict.fromkeys(around, 0.0)
    in_strip = 0.0
    shares = np.array([target.rate_kg_per_m2 for target in treated])
    for _, _, tile in grid.tiles():
        rate = lay_on(strips, tile)
        for target, tally, own in zip(treated, tallies, shares, strict=True):
            place, share = cover_part(target.ground, tile)
            tally.add(rate[place] / own, share, tile.cell_area_m2)
        for kind, shape in around.items():
            landed[kind] += _mass(rate, shape, tile)
        if unfed is not None:
            in_strip += _mass(rate, unfed, tile)
    return tallies, landed, in_strip


def _mass(rate: NDArray[np.float64], shape: Polygon | MultiPolygon, tile: Grid) -> float:
    place, share = cover_part(shape, tile)
    return float((rate[place] * share).sum()) * tile.cell_area_m2


def _zone(target: Target, tally: _Tally, interior_cv: float) -> ZoneEvenness:
    area = tally.area or 1.0
    return ZoneEvenness(
        name=target.name,
        area_m2=tally.area,
        target_kg_per_m2=target.rate_kg_per_m2,
        mean_kg_per_m2=tally.ratio / area * target.rate_kg_per_m2,
        interior_cv=interior_cv,
        cv=tally.cv,
        under_share=tally.under / area,
        over_share=tally.over / area,
    )


def interior(lane_plan: LanePlan, zone: str, pattern: Pattern) -> float:
    """Return the variation between the lanes of a zone, in closed form.

    Passes that run the same way are added up where they lie, those that cross are independent: their
    variances add.

    Parameters
    ----------
    lane_plan : LanePlan
        The lanes.
    zone : str
        Name of the zone.
    pattern : Pattern
        What one swath leaves.

    Returns
    -------
    float
        Standard deviation over mean. [1]
    """
    groups: dict[float, list[Pass]] = {}
    for single in lane_plan.passes:
        if single.zone == zone:
            groups.setdefault(round(single.direction_deg % 180, 3) % 180, []).append(single)
    variance = 0.0
    for passes in groups.values():
        share = sum(1 / single.count for single in passes)
        variance += (share * _side_by_side(passes, pattern)) ** 2
    return sqrt(variance)


def _side_by_side(passes: Sequence[Pass], pattern: Pattern) -> float:
    """Variation of passes that run the same way, each lane where it lies."""
    spacing = passes[0].swath_m
    laid = [single for single in passes if len(single.lanes)]
    if not laid or any(abs(single.swath_m - spacing) > 1e-9 for single in passes):
        return overlap(pattern, spacing).cv
    turn = np.radians(passes[0].direction_deg)
    onward, to_right = np.array([np.cos(turn), np.sin(turn)]), np.array([np.sin(turn), -np.cos(turn)])
    lanes = []
    for single in laid:
        run = single.lanes[:, 1] - single.lanes[:, 0]
        longest = int(np.argmax(np.hypot(run[:, 0], run[:, 1])))
        at, back = float(single.lanes[longest, 0] @ to_right), bool(run[longest] @ onward < 0)
        other = back if way_of(single) == "round and round" else not back
        lanes += [Lane(at, back, 1 / single.count), Lane(at + spacing, other, 1 / single.count)]
    return overlap_of(pattern, lanes, 2 * spacing, spacing_m=spacing, way=way_of(laid[0])).cv


def way_of(single: Pass) -> Way:
    """Return whether the lanes of a pass are walked back and forth, or all one way.

    Parameters
    ----------
    single : Pass
        One time over the ground.
    """
    run = single.lanes[:, 1] - single.lanes[:, 0]
    if len(run) < 2:
        return "back and forth"
    onward = float(np.mean(run @ run[0] > 0))
    return "round and round" if onward > 0.9 else "back and forth"


def _with_findings(result: Evenness, limit: float) -> Evenness:
    found: list[Finding] = []
    if result.interior_cv > limit:
        found.append(
            finding(
                "lanes-too-far-apart",
                f"the rate varies by {result.interior_cv:.0%} from lane to lane, more than {limit:.0%}",
            )
        )
    hard = {kind: kg for kind, kg in result.off_lawn_kg.items() if kind not in {BEYOND, "other lawn", "bed"}}
    if sum(hard.values()) > _OFF_LAWN * result.hopper_kg:
        worst = max(hard, key=lambda kind: hard[kind])
        mend = (
            "what is in the water cannot be taken back, so shut the gate or use a shield there"
            if worst == "water"
            else "sweep it back on to the lawn"
        )
        found.append(
            finding(
                "material-off-lawn",
                f"{sum(hard.values()) / result.hopper_kg:.1%} of the material lands on hard ground or "
                f"water, most of it on the {worst}; {mend}",
            )
        )
    if result.water_strip_kg > 0:
        found.append(
            finding(
                "material-near-water",
                f"{result.water_strip_kg / result.hopper_kg:.1%} of the material lands within the setback of "
                "water; seed may, fertilizer must not",
            )
        )
    return Evenness(**{**vars(result), "findings": tuple(found)})
