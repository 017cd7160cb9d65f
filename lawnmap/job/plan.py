"""The job from top to bottom: read, measure, prescribe, lay lanes, load; nothing of its own."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Final

from lawnmap.contact import compare
from lawnmap.errors import FileError, FindingsError
from lawnmap.evenness import CELL_M, score
from lawnmap.job.carry import carried_materials, carry
from lawnmap.job.cautions import cautions
from lawnmap.job.choices import JOB_FILE, Choices, read_choices
from lawnmap.job.model import Plan
from lawnmap.job.walk import loads_of, walk
from lawnmap.lanes import LanePlan, split_by_zone
from lawnmap.measure import take_off
from lawnmap.survey import read
from lawnmap.units import SYSTEMS
from lawnmap.yard import Yard

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lawnmap.contact import Comparison
    from lawnmap.evenness import Evenness
    from lawnmap.measure import Takeoff
    from lawnmap.rates import Prescription
    from lawnmap.yard import Finding


_CELLS_TO_A_SWATH: Final = 10
"""Fine enough for every share to stay within a percent of that on cells of three inches (measured). [count]"""


def plan(source: Yard | str | Path, choices: Choices | None = None, *, strict: bool = False) -> Plan:
    """Plan one yard.

    Parameters
    ----------
    source : Yard, str or Path
        A yard, a yard file, a ``job.toml`` or the folder that holds one.
    choices : Choices, optional
        What to do; the job file's own where `source` is one, else the defaults.
    strict : bool
        Whether a finding that is a doubt is an error.

    Returns
    -------
    Plan
        Everything worked out, ready for `lawnmap.write`.

    Raises
    ------
    InputError
        With one sentence that says what is wrong, where, and how to mend it.
    """
    yard, choices = open_job(source, choices)
    return plan_yard(yard, choices, strict=strict)


def open_job(source: Yard | str | Path, choices: Choices | None = None) -> tuple[Yard, Choices]:
    """Return the yard and the choices of a job, whatever way it was named.

    Parameters
    ----------
    source : Yard, str or Path
        A yard, a yard file, a ``job.toml`` or the folder that holds one.
    choices : Choices, optional
        What to do, if not what the job file says.

    Raises
    ------
    InputError
        Where a file cannot be read.
    """
    if isinstance(source, Yard):
        return source, choices or Choices()
    path = Path(source)
    if path.is_dir() or path.suffix.lower() == ".toml":
        choices = choices or read_choices(path)
        if not choices.source.file:
            folder = path if path.is_dir() else path.parent
            raise FileError(
                "the yard file is not named",
                where=f"{folder / JOB_FILE}, [yard]",
                mend='add file = "yard.geojson"',
            )
        return read(choices.folder / choices.source.file, source=choices.source), choices
    choices = choices or Choices()
    return read(path, source=choices.source), choices


def plan_yard(yard: Yard, choices: Choices, *, strict: bool = False) -> Plan:
    """Plan a yard that has been read; see `plan`.

    Parameters
    ----------
    yard : Yard
        The yard.
    choices : Choices
        What to do.
    strict : bool
        Whether a finding that is a doubt is an error.
    """
    left_out, rig, units = choices.general.leave_out, choices.rig, SYSTEMS[choices.general.units]
    carried = carry(yard, choices)
    takeoff = take_off(carried.yard, choices.ground)
    refuse_findings(takeoff.findings, strict=strict)
    materials = carried_materials(takeoff, choices, carried)
    prescription = materials.prescription
    lanes = LanePlan(()) if "lanes" in left_out else walk(takeoff, prescription, rig)
    result = Plan(
        name=choices.general.name or yard.name,
        units=units,
        takeoff=takeoff,
        prescription=prescription,
        loads=loads_of(prescription, lanes, rig),
        lanes=lanes,
        evenness=_evenness(takeoff, prescription, lanes, choices),
        defaults=choices.defaults(),
        cautions=cautions(takeoff, prescription, materials.sprays, materials.covers),
        notes=choices.general.notes,
        imagery=choices.general.imagery,
        sprays=materials.sprays,
        covers=materials.covers,
        contact=_contact(takeoff, prescription, choices),
        record=carried.tally,
    )
    refuse_findings(result.findings, strict=strict)
    return result


def _contact(takeoff: Takeoff, prescription: Prescription, choices: Choices) -> Comparison | None:
    """Compare the ways to bring seed into the soil where any goes, if the job file asks for it."""
    if choices.contact is None:
        return None
    sown = {amount.zone for one in prescription.materials if one.kind == "seed" for amount in one.by_zone}
    zones = tuple(zone for zone in takeoff.zones if zone.name in sown)
    return compare(
        replace(takeoff, zones=zones),
        choices.contact,
        choices.rig,
        topdress=choices.topdress,
        straw=choices.straw,
        units=SYSTEMS[choices.general.units],
    )


def _evenness(
    takeoff: Takeoff, prescription: Prescription, lanes: LanePlan, choices: Choices
) -> Evenness | None:
    """Add up what really lands, for the first product: seed, where there is any."""
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


def refuse_findings(findings: Iterable[Finding], *, strict: bool) -> None:
    """Turn doubts into an error where the user asked for none; notes pass.

    Parameters
    ----------
    findings : iterable of Finding
        What was found so far.
    strict : bool
        Whether to refuse.

    Raises
    ------
    FindingsError
        With the first doubt and the number of the others.
    """
    found = [one for one in findings if one.severity == "doubt"]
    if strict and found:
        more = f" (and {len(found) - 1} more)" if len(found) > 1 else ""
        raise FindingsError(f"{found[0]}{more}", mend="mend the source, or leave out --strict")
