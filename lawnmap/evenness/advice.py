"""What to change, ranked by what each change would reach on this lawn with this throw."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING, Final

from lawnmap.errors import LawnmapError
from lawnmap.evenness.model import Evenness
from lawnmap.evenness.overlap import CV_LIMIT, Way, overlap, widest_spacing
from lawnmap.evenness.score import Throwing, score
from lawnmap.evenness.steering import absorbing_spacing, skipped_share, steered_cv
from lawnmap.lanes import LanePlan, Rig, lay, split_by_zone
from lawnmap.measure import Takeoff
from lawnmap.units import US

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from shapely.geometry import MultiPolygon, Polygon

    from lawnmap.evenness.pattern import Pattern
    from lawnmap.units import UnitSystem

_WORTH: Final = 0.005
"""A change that reaches less than half a part in a hundred is not worth a word. [1]"""

_COARSE_M: Final = 0.15
_CELLS_TO_A_SWATH: Final = 10
"""Cells fine enough to tell one plan from another. [m, count]"""


@dataclass(frozen=True)
class Advice:
    """One thing to change.

    Attributes
    ----------
    change : str
        What to do, in words.
    cv : float
        Variation over the whole lawn that it reaches. [1]
    outside_share : float
        Ground under 75 % or over 125 % of its target. [1]
    off_lawn_share : float
        Material that lands off the lawn. [1]
    path_length_m : float
        How far there is to walk. [m]
    now : bool
        Whether this is the plan as it is, for comparison.
    """

    change: str
    cv: float
    outside_share: float
    off_lawn_share: float
    path_length_m: float
    now: bool = False

    def line(self, units: UnitSystem = US) -> str:
        """Return the row as one sentence.

        Parameters
        ----------
        units : UnitSystem
            What the user reads lengths in.
        """
        return (
            f"{self.change}: CV {self.cv:.0%}, {self.outside_share:.0%} of the lawn outside 75 to 125 %, "
            f"{self.off_lawn_share:.1%} off the lawn, {units.length(self.path_length_m)} to walk"
        )

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "change": self.change,
            "cv": self.cv,
            "outside_share": self.outside_share,
            "off_lawn_share": self.off_lawn_share,
            "path_length_m": self.path_length_m,
            "now": self.now,
        }


def advise(
    ground: Polygon | MultiPolygon | Takeoff,
    rig: Rig,
    throwing: Throwing,
    *,
    rates: Mapping[str, float] | None = None,
    laying: Callable[[Rig], LanePlan] | None = None,
    units: UnitSystem = US,
) -> tuple[Advice, ...]:
    """Lay and score the lawn as planned and with one thing changed at a time, best first.

    The order is that of the ground outside 75 to 125 % of its target and the material off the lawn,
    added up: both are what shows. Changes that bring no more than half a part in a hundred over the
    plan as it is are left out, and those that throw more off the lawn than it does stand last: local
    codes want nothing on hard ground (City of Lake Mary, Florida, code on fertilizer, for one).

    Parameters
    ----------
    ground : Polygon, MultiPolygon or Takeoff
        The lawn. [m]
    rig : Rig
        How the lanes are laid now.
    throwing : Throwing
        How the spreader throws.
    rates : mapping of str to float, optional
        Product per area by zone. [kg/m²]
    laying : callable, optional
        What lays the lanes for a rig, if not `lawnmap.lanes.lay`.
    units : UnitSystem
        What the user reads lengths in.

    Returns
    -------
    tuple of Advice
        The plan as it is stands among them.
    """
    found = []
    laid = laying or partial(lay, ground)
    own = laid(rig)
    for change, other, how in _changes(rig, throwing, units):
        try:
            plan = own if other is rig else laid(other)
            alone = split_by_zone(plan, ground) if isinstance(ground, Takeoff) else plan
            result = score(
                alone, ground, how, rates=rates, cell_m=max(_COARSE_M, rig.swath_m / _CELLS_TO_A_SWATH)
            )
        except LawnmapError:
            if other is rig and how is throwing:
                raise  # the plan as it is must be possible; a change need not be
            continue
        found.append(_row(change, result, plan))
    now = replace(found[0], now=True)
    better = [row for row in found[1:] if _cost(row) < _cost(now) - _WORTH]
    most = now.off_lawn_share + _WORTH
    return tuple(sorted([now, *better], key=lambda row: (row.off_lawn_share > most, _cost(row))))


def _cost(row: Advice) -> float:
    return row.outside_share + row.off_lawn_share


def _row(change: str, result: Evenness, plan: LanePlan) -> Advice:
    return Advice(change, result.whole_cv, result.outside_share, result.off_lawn_share, plan.path_length_m)


def _changes(rig: Rig, throwing: Throwing, units: UnitSystem) -> list[tuple[str, Rig, Throwing]]:
    """The plan as it is, then every single change."""
    rows = [("as planned", rig, throwing)]
    if not throwing.shield and rig.headland_loops:
        rows.append(("use a side shield on the headland loops", rig, replace(throwing, shield=True)))
    for loops in (0, 1, 2):
        if loops != rig.headland_loops:
            shape = f"{loops} headland loop{'s' * (loops != 1)}"
            rows.append((f"lay {shape}", rig.model_copy(update={"headland_loops": loops}), throwing))
    if not throwing.shield and not rig.headland_loops:
        looped = rig.model_copy(update={"headland_loops": 1})
        rows.append(("lay 1 headland loop, with a side shield", looped, replace(throwing, shield=True)))
    rows += [
        (f"walk {passes}", rig.model_copy(update={"passes": passes}), throwing)
        for passes in ("one direction", "two directions", "half spacing")
        if passes != rig.passes
    ]
    for lane_end in (0.0, 0.5):
        if lane_end != rig.lane_end:
            where = "where their middle meets the edge" if not lane_end else "half way to full cover"
            rows.append((f"stop lanes {where}", rig.model_copy(update={"lane_end": lane_end}), throwing))
    swath = throwing.pattern.effective_swath_m
    if abs(swath - rig.swath_m) > 0.02 * rig.swath_m:
        closer = rig.model_copy(update={"swath_m": swath})
        rows.append((f"lay lanes {units.width(swath)} apart, the effective swath", closer, throwing))
    return rows


@dataclass(frozen=True)
class SpacingAdvice:
    """What a throw says about the spacing, without any lawn.

    Attributes
    ----------
    spacing_m : float
        As planned. [m]
    cv : float
        Variation at it, lanes dead straight. [1]
    steered_cv : float
        With the lanes wandering. [1]
    skipped_share : float
        Ground that no lane reaches then. [1]
    effective_swath_m : float
        Distance between the half-rate points. [m]
    widest_m : float
        Widest spacing under the limit, lanes dead straight. [m]
    absorbing_m : float
        Spacing that absorbs the wander. [m]
    round_and_round_cv : float
        Variation if every lane were walked the same way. [1]
    says : tuple of str
        What follows, in plain sentences, most pressing first.
    """

    spacing_m: float
    cv: float
    steered_cv: float
    skipped_share: float
    effective_swath_m: float
    widest_m: float
    absorbing_m: float
    round_and_round_cv: float
    says: tuple[str, ...]

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {**vars(self), "says": list(self.says)}


def advise_spacing(
    pattern: Pattern,
    spacing_m: float,
    *,
    wander_m: float,
    limit: float = CV_LIMIT,
    way: Way = "back and forth",
    units: UnitSystem = US,
) -> SpacingAdvice:
    """Say which spacing a throw wants, and which way of walking.

    Parameters
    ----------
    pattern : Pattern
        What one swath leaves.
    spacing_m : float
        Distance between lanes as planned. [m]
    wander_m : float
        Standard deviation of a lane from its line. [m]
    limit : float
        Most standard deviation over mean that is accepted. [1]
    way : str
        How the lanes are walked, ``"back and forth"`` or ``"round and round"``.
    units : UnitSystem
        What the user reads lengths in.
    """
    straight = overlap(pattern, spacing_m, way).cv
    one_way = overlap(pattern, spacing_m, "round and round").cv
    steered = steered_cv(pattern, spacing_m, wander_m, way)
    missed = skipped_share(pattern, spacing_m, wander_m)
    widest = widest_spacing(pattern, limit, way).widest_m
    absorbing = absorbing_spacing(pattern, wander_m, limit, way)
    says = []
    if straight > limit:
        says.append(
            f"lanes {units.width(spacing_m)} apart vary by {straight:.0%}; {units.width(widest)} keeps them within {limit:.0%}"
        )
    if one_way < straight - _WORTH:
        says.append(
            f"the throw is lopsided: walked round and round it varies by {one_way:.0%}, back and forth by "
            f"{straight:.0%}"
        )
    if absorbing.by == "misses" and missed > absorbing.skipped_share:
        says.append(
            f"with a wander of {units.width(wander_m)}, {missed:.0%} of the ground gets nothing; overlap the lanes to "
            f"{units.width(absorbing.spacing_m)}"
        )
    elif absorbing.by == "variation" and steered > limit and wander_m > 0:
        says.append(
            f"with a wander of {units.width(wander_m)} the lanes vary by {steered:.0%}; {units.width(absorbing.spacing_m)} "
            "absorbs it"
        )
    if not says:
        says.append(f"lanes {units.width(spacing_m)} apart suit this throw")
    return SpacingAdvice(
        spacing_m,
        straight,
        steered,
        missed,
        pattern.effective_swath_m,
        widest,
        absorbing.spacing_m,
        one_way,
        tuple(says),
    )
