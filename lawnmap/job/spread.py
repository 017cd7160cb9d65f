"""The spreader's part of a job: how evenly the lanes come out, and what to set the gate to."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lawnmap.evenness import CELL_M, fit_settings, score, zone_settings
from lawnmap.lanes import split_by_zone
from lawnmap.rates.hopper import PASSES
from lawnmap.units import SYSTEMS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lawnmap.evenness import Evenness, TestRun, ZoneSetting
    from lawnmap.job.choices import Choices
    from lawnmap.lanes import LanePlan
    from lawnmap.measure import Takeoff
    from lawnmap.rates import Prescription

_CELLS_TO_A_SWATH: Final = 10
"""Fine enough for every share to stay within a percent of that on cells of three inches (measured). [count]"""


def spread(
    takeoff: Takeoff, prescription: Prescription, lanes: LanePlan, choices: Choices
) -> Evenness | None:
    """Add up what really lands, for the first product: seed, where there is any.

    Parameters
    ----------
    takeoff : Takeoff
        The measured yard.
    prescription : Prescription
        What goes where.
    lanes : LanePlan
        Where to walk.
    choices : Choices
        What to do.

    Returns
    -------
    Evenness or None
        None without lanes, or without anything to spread.
    """
    if not prescription.materials or not lanes.passes:
        return None
    rates = {zone.name: 0.0 for zone in takeoff.zones}
    rates |= {amount.zone: amount.rate_kg_per_m2 for amount in prescription.materials[0].by_zone}
    lanes = split_by_zone(lanes, takeoff)
    if not any(rates[single.zone] > 0 and single.lane_count for single in lanes.passes):
        return None
    throwing = choices.spreader.throwing(choices.rig.swath_m, choices.folder)
    cell_m = max(CELL_M, choices.rig.swath_m / _CELLS_TO_A_SWATH)
    return score(lanes, takeoff, throwing, rates=rates, cell_m=cell_m)


def zone_gates(
    prescription: Prescription, choices: Choices, runs: Sequence[TestRun]
) -> tuple[ZoneSetting, ...]:
    """Return the gate setting for every zone's rate of the first product, one pass of it.

    Parameters
    ----------
    prescription : Prescription
        What goes where; spots done by hand need no setting.
    choices : Choices
        What to do.
    runs : sequence of TestRun
        Test runs with that product.
    """
    if not prescription.materials or not runs:
        return ()
    units = SYSTEMS[choices.general.units]
    rates = {one.zone: one.rate_kg_per_m2 for one in prescription.materials[0].by_zone if not one.by_hand}
    return zone_settings(fit_settings(runs, units=units), rates, PASSES[choices.rig.passes], units)
