"""Every product put down in turn: on which passes, with which refills and settings, in what time."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, Final

from lawnmap.lanes.along import changes_along, lay_both_ways, may_join
from lawnmap.lanes.labour import Labour, labour_on, settings_changed
from lawnmap.lanes.laying import lay
from lawnmap.lanes.model import Compared
from lawnmap.lanes.refills import depot_of, fill_pass
from lawnmap.lanes.steps import Step, steps_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    import numpy as np
    from numpy.typing import NDArray

    from lawnmap.lanes.model import LanePlan, Pass
    from lawnmap.lanes.rig import Rig
    from lawnmap.lanes.stops import Depot
    from lawnmap.measure import Takeoff

_WORTH: Final = 0.9  # every change of the setting is a chance of error, so all together must save a tenth


@dataclass(frozen=True)
class Spread:
    """A product that is put down along the lanes.

    Attributes
    ----------
    product : str
        Its name.
    rates_kg_per_m2 : mapping of str to float
        Product per area by zone, all passes together. [kg/m²]
    amounts_kg : mapping of str to float
        What goes through the hopper by zone, all passes together. [kg]
    """

    product: str
    rates_kg_per_m2: Mapping[str, float]
    amounts_kg: Mapping[str, float]


@dataclass(frozen=True, eq=False)
class Outing:
    """One product put down.

    Attributes
    ----------
    product : str
        Its name; empty where nothing is put down.
    passes : tuple of Pass
        Those that it is walked on, with its refills and changes of setting.
    labour : Labour
        Where the time goes.
    rig : Rig
        What is pushed or towed, and how.
    rates_kg_per_m2 : mapping of str to float
        Product per area by zone, all passes together; empty without a product. [kg/m²]
    """

    product: str
    passes: tuple[Pass, ...] = field(repr=False)
    labour: Labour
    rig: Rig = field(repr=False)
    rates_kg_per_m2: Mapping[str, float] = field(default_factory=dict, repr=False)

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        """The walk lane by lane and round by round, with what comes before each."""
        return steps_of(self.passes, self.rig, self.rates_kg_per_m2)

    @property
    def path_length_m(self) -> float:
        """Length of the walk, ways to the refill point included. [m]"""
        return float(sum(single.path_length_m for single in self.passes))

    def loads_kg(self, zone: str, number: int) -> tuple[float, ...]:
        """Return the load of each filling for a pass over a zone; none where zones are worked together.

        Parameters
        ----------
        zone : str
            Name of the zone.
        number : int
            Which pass. [count]
        """
        return tuple(
            refill.load_kg
            for single in self.passes
            if (single.zone, single.number) == (zone, number)
            for refill in single.refills
            if refill.load_kg is not None
        )

    def to_dict(self) -> dict[str, object]:
        """Return refills, changes and times as a mapping of JSON values; lanes are those of the plan."""
        return {
            "product": self.product,
            "path_length_m": self.path_length_m,
            "labour": self.labour.to_dict(),
            "passes": [
                {
                    "zone": single.zone,
                    "number": single.number,
                    "path_length_m": single.path_length_m,
                    "time_s": single.time_s,
                    "refills": [refill.to_dict() for refill in single.refills],
                    "changes": [change.to_dict() for change in single.changes],
                }
                for single in self.passes
            ],
        }


def lay_for_products(takeoff: Takeoff, rig: Rig, spreads: Sequence[Spread]) -> LanePlan:
    """Lay a yard zone by zone or together: as the rig asks for, or together where that saves a tenth of the time.

    Parameters
    ----------
    takeoff : Takeoff
        A measured yard.
    rig : Rig
        What is pushed or towed, and how.
    spreads : sequence of Spread
        What will be put down: its filling and changes of setting count; without any every class of density
        counts as a setting of its own. Nothing is put down yet.

    Raises
    ------
    ChoiceError
        Where zones shall be worked together, each in a direction of its own.
    """
    if not may_join(takeoff, rig):
        return lay(takeoff, rig)
    both = lay_both_ways(takeoff, rig, [spread.rates_kg_per_m2 for spread in spreads])
    if not spreads:
        return both.chosen
    apart, whole = (put_down(plan, takeoff, rig, spreads) for plan in (both.by_zone, both.whole))
    (apart_s, apart_m), (whole_s, whole_m) = _spent(apart), _spent(whole)
    together = rig.zones == "together" or whole_s < _WORTH * apart_s
    changes = sum(settings_changed(single.changes) for outing in whole.outings for single in outing.passes)
    compared = Compared(together, apart_s, whole_s, apart_m, whole_m, changes)
    return replace(both.whole if together else both.by_zone, compared=compared)


def _spent(plan: LanePlan) -> tuple[float, float]:
    """Return time and walking of all outings. [s, m]"""
    return (
        sum(outing.labour.total_s for outing in plan.outings),
        sum(outing.path_length_m for outing in plan.outings),
    )


def put_down(plan: LanePlan, takeoff: Takeoff, rig: Rig, spreads: Sequence[Spread]) -> LanePlan:
    """Return a plan with one outing for each product; its own refills are those of the first.

    What a zone gets is shared out over the lanes by their length, so the loads of a pass add up to it.

    Parameters
    ----------
    plan : LanePlan
        Lanes on which nothing was put down so far.
    takeoff : Takeoff
        What they were laid for.
    rig : Rig
        What is pushed or towed, and how.
    spreads : sequence of Spread
        What is put down; without any, the one outing is the bare walk.
    """
    if not spreads or not plan.passes:
        bare = Outing("", plan.passes, labour_on(plan.passes, rig), rig)
        return replace(plan, outings=(bare,) if plan.passes else ())
    depot = depot_of(plan, takeoff, rig)
    outings = []
    first: dict[int, Pass] = {}
    for spread in spreads:
        before = None
        walked: dict[int, Pass] = {}
        for index, single in enumerate(plan.passes):
            filled = _filled(single, spread, depot, rig, before)
            if filled.refills:
                before = filled.legs[-1].points[-1]
                walked[index] = filled
        if not walked:  # the lanes reach none of the ground that gets it
            continue
        first = first or walked
        passes = tuple(walked.values())
        outings.append(Outing(spread.product, passes, labour_on(passes, rig), rig, spread.rates_kg_per_m2))
    kept = tuple(first.get(index, replace(single, changes=())) for index, single in enumerate(plan.passes))
    return replace(plan, passes=kept, outings=tuple(outings), labour=labour_on(kept, rig))


def _filled(single: Pass, spread: Spread, depot: Depot, rig: Rig, before: NDArray[np.float64] | None) -> Pass:
    """Return a pass with the loads of a product and the settings for it."""
    gone_m: dict[str, float] = {}
    for part in single.stretches:
        gone_m[part.zone] = gone_m.get(part.zone, 0.0) + part.length_m
    shares_kg = {
        zone: spread.amounts_kg[zone] / single.count
        for zone, length in gone_m.items()
        if length > 0 and spread.amounts_kg.get(zone, 0.0) > 0
    }
    uses = {zone: share / gone_m[zone] / rig.hopper_kg for zone, share in shares_kg.items()}
    filled = fill_pass(single, uses, depot, rig, before)
    if not filled.refills:
        return filled
    changes = changes_along(single, spread.rates_kg_per_m2)
    amount = sum(shares_kg.values())
    return replace(
        filled,
        refills=tuple(replace(refill, load_kg=refill.share * amount) for refill in filled.refills),
        changes=changes,
        time_s=filled.time_s + settings_changed(changes) * rig.setting_change_s,
    )
