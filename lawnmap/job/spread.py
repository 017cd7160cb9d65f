"""The spreader's part of a job: how evenly the lanes come out, and what to set the gate to."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt
from typing import TYPE_CHECKING, Final

from lawnmap.errors import InputError
from lawnmap.evenness import (
    CELL_M,
    advise,
    fit_settings,
    layer,
    report_throw,
    score,
    untested,
    zone_settings,
)
from lawnmap.job.walk import walk
from lawnmap.lanes import split_by_zone
from lawnmap.rates.hopper import PASSES
from lawnmap.units import SYSTEMS
from lawnmap.yard import finding

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lawnmap.evenness import Advice, Evenness, TestRun, Throwing, ThrowReport, ZoneSetting
    from lawnmap.job.choices import Choices
    from lawnmap.lanes import LanePlan, Rig
    from lawnmap.measure import Takeoff
    from lawnmap.rates import Prescription
    from lawnmap.yard import Finding

_CELLS_TO_A_SWATH: Final = 10
"""Fine enough for every share to stay within a percent of that on cells of three inches (measured). [count]"""

_PICTURE_CELLS: Final = 300_000
"""More would make the map page heavy, and on a screen nobody could tell them apart. [count]"""


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
        None without lanes, without anything to spread, or where it is left out.
    """
    if "evenness" in choices.general.leave_out or not prescription.materials or not lanes.passes:
        return None
    rates = {zone.name: 0.0 for zone in takeoff.zones}
    rates |= {amount.zone: amount.rate_kg_per_m2 for amount in prescription.materials[0].by_zone}
    lanes = split_by_zone(lanes, takeoff)
    if not any(rates[single.zone] > 0 and single.lane_count for single in lanes.passes):
        return None
    spreader, rig = choices.spreader, choices.rig
    throwing = spreader.throwing(rig.swath_m, choices.folder)
    cell_m = max(CELL_M, rig.swath_m / _CELLS_TO_A_SWATH)
    result = score(lanes, takeoff, throwing, rates=rates, cell_m=cell_m)
    throw, doubts = _throw(throwing, choices)
    settings = zone_gates(prescription, choices, spreader.runs)
    return replace(
        result,
        material=prescription.materials[0].name,
        throw=throw,
        layer=layer(lanes, takeoff, throwing, rates=rates, cell_m=_picture_cell_m(takeoff, cell_m)),
        settings=settings,
        advice=_advice(takeoff, prescription, throwing, rates, choices) if spreader.wants_advice else (),
        raster=spreader.raster,
        findings=(*result.findings, *spreader.findings(choices.folder), *doubts, *untested(settings)),
    )


def _advice(
    takeoff: Takeoff,
    prescription: Prescription,
    throwing: Throwing,
    rates: Mapping[str, float],
    choices: Choices,
) -> tuple[Advice, ...]:
    def laying(rig: Rig) -> LanePlan:
        return walk(takeoff, prescription, rig)

    units = SYSTEMS[choices.general.units]
    return advise(takeoff, choices.rig, throwing, rates=rates, laying=laying, units=units)


def _throw(throwing: Throwing, choices: Choices) -> tuple[ThrowReport | None, tuple[Finding, ...]]:
    """What the throw says, or a finding where it is so uneven that no spacing keeps the limit."""
    spreader = choices.spreader
    try:
        report = report_throw(
            throwing.pattern,
            choices.rig.swath_m,
            wander_m=spreader.wander_m,
            limit=spreader.cv_limit,
            way=spreader.way,
            units=SYSTEMS[choices.general.units],
        )
    except InputError as fault:
        return None, (finding("no-even-spacing", fault.what, "[spreader]"),)
    return report, ()


def _picture_cell_m(takeoff: Takeoff, cell_m: float) -> float:
    """Cells large enough for a picture that a page can carry, whatever the size of the site. [m]"""
    bounds = [zone.ground.bounds for zone in takeoff.zones if zone.ground.area]
    west, south = (min(one[side] for one in bounds) for side in (0, 1))
    east, north = (max(one[side] for one in bounds) for side in (2, 3))
    return max(cell_m, sqrt((east - west) * (north - south) / _PICTURE_CELLS))


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
