"""The job from top to bottom: read, measure, prescribe, lay lanes, load; nothing of its own."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import lawnmap
from lawnmap.errors import FileError, FindingsError
from lawnmap.job.carry import carried_materials, carry
from lawnmap.job.cautions import cautions
from lawnmap.job.choices import JOB_FILE, Choices, read_choices
from lawnmap.job.contact import contact_of
from lawnmap.job.materials import materials_of
from lawnmap.job.model import Plan
from lawnmap.job.offers import offers
from lawnmap.job.spread import spread, zone_gates
from lawnmap.job.walk import lay_for, loads_of, walk_on
from lawnmap.lanes import LanePlan
from lawnmap.measure import take_off
from lawnmap.survey import read
from lawnmap.units import SYSTEMS
from lawnmap.yard import Yard

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from lawnmap.evenness import TestRun, ZoneSetting
    from lawnmap.job.carry import Carried
    from lawnmap.job.materials import Materials
    from lawnmap.measure import Takeoff
    from lawnmap.quote import Quote, Work
    from lawnmap.rates import Prescription
    from lawnmap.schedule import Season, Watering
    from lawnmap.yard import Finding


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
    carried = carry(yard, choices)
    takeoff = take_off(carried.yard, choices.ground)
    refuse_findings(takeoff.findings, strict=strict)
    materials = carried_materials(takeoff, choices, carried)
    laid = _lay(takeoff, choices, materials)
    prescription = materials.prescription
    lanes = walk_on(laid, takeoff, prescription, choices.rig)
    calendar = _season(takeoff, prescription, choices)
    result = Plan(
        name=choices.general.name or yard.name,
        units=SYSTEMS[choices.general.units],
        takeoff=takeoff,
        prescription=prescription,
        loads=loads_of(prescription, lanes, choices.rig),
        lanes=lanes,
        evenness=spread(takeoff, prescription, lanes, choices),
        defaults=choices.defaults(),
        cautions=cautions(takeoff, prescription, materials.sprays, materials.covers),
        notes=choices.general.notes,
        imagery=choices.general.imagery,
        paper=choices.general.paper,
        font=choices.folder / choices.general.font if choices.general.font else None,
        sprays=materials.sprays,
        covers=materials.covers,
        contact=contact_of(takeoff, prescription, choices),
        record=carried.tally,
        season=calendar,
        watering=_watering(takeoff, prescription, choices, calendar),
        quote=_quote(takeoff, choices, carried, materials, (laid, lanes)),
    )
    refuse_findings(result.findings, strict=strict)
    return result


def _lay(takeoff: Takeoff, choices: Choices, materials: Materials) -> LanePlan:
    """Lay the lanes, where they are not left out."""
    if "lanes" in choices.general.leave_out:
        return LanePlan(())
    return lay_for(takeoff, materials.prescription, choices.rig)


def _quote(
    takeoff: Takeoff,
    choices: Choices,
    carried: Carried,
    materials: Materials,
    lanes: tuple[LanePlan, LanePlan],
) -> Quote | None:
    """Price the job, where it has prices; its lanes are given as laid and as walked."""
    if choices.prices is None:
        return None
    laid, walked = lanes

    def again(other: Choices) -> Work:
        """Work out an option; with the same rig it is walked on the lanes of the job, so that offers compare."""
        what = carried_materials(takeoff, other, carried, stock=False)
        asked = [("lanes" in one.general.leave_out, one.rig) for one in (other, choices)]
        ways = laid if asked[0] == asked[1] else _lay(takeoff, other, what)
        return _work(takeoff, other, what, walk_on(ways, takeoff, what.prescription, other.rig))

    return offers(_charged(_work(takeoff, choices, materials, walked), choices, carried), choices, again)


def _work(takeoff: Takeoff, choices: Choices, materials: Materials, lanes: LanePlan) -> Work:
    return lawnmap.quote.Work(
        takeoff,
        materials.prescription,
        lanes,
        SYSTEMS[choices.general.units],
        materials.sprays,
        materials.covers,
    )


def _charged(work: Work, choices: Choices, carried: Carried) -> Work:
    """Return the work as it is offered: material out of stock is charged like any other."""
    if carried.tally is None:
        return work
    bought = carried_materials(work.takeoff, choices, carried, stock=False)
    return replace(work, prescription=bought.prescription)


def _season(takeoff: Takeoff, prescription: Prescription, choices: Choices) -> Season | None:
    if choices.dates is None:
        return None
    sown = {} if "seed" in choices.general.leave_out else choices.seed.blend
    return lawnmap.schedule.season(takeoff, prescription, choices.dates, species=sown, sprays=choices.sprays)


def _watering(
    takeoff: Takeoff, prescription: Prescription, choices: Choices, calendar: Season | None
) -> Watering | None:
    if not choices.stations and choices.water is None:
        return None
    sown = prescription.sown_zones or None  # without seed, whatever there is to water
    return lawnmap.schedule.irrigate(takeoff, choices.stations, choices.water, calendar, sown)


def settings_of(source: str | Path, runs: Sequence[TestRun] = ()) -> tuple[ZoneSetting, ...]:
    """Return the gate setting for every zone of a job, without laying a lane.

    Parameters
    ----------
    source : str or Path
        A yard file, a ``job.toml`` or the folder that holds one.
    runs : sequence of TestRun
        Test runs with the first product; those of the job file if left out.
    """
    yard, choices = open_job(source)
    prescription = materials_of(take_off(yard, choices.ground), choices).prescription
    return zone_gates(prescription, choices, runs or choices.spreader.runs)


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
