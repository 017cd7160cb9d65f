"""How a job stands to its log: the log held against the plan, and the plan that starts from the log."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

import lawnmap
from lawnmap.errors import ChoiceError, nearest
from lawnmap.job.materials import Materials, materials_of
from lawnmap.measure import take_off
from lawnmap.units import SYSTEMS

if TYPE_CHECKING:
    from collections.abc import Mapping
    from typing import Any

    from lawnmap.job.choices import Choices
    from lawnmap.measure import Takeoff
    from lawnmap.record import Entry, Log, Tally
    from lawnmap.yard import Yard


@dataclass(frozen=True)
class Carried:
    """What a plan takes over from the log.

    Attributes
    ----------
    yard : Yard
        The yard, its zones with the last cover of the log.
    log : Log or None
        What was done; None where the job file does not ask for it.
    tally : Tally or None
        The log held against the plan as it was before; None where the job file does not ask for it.
    """

    yard: Yard
    log: Log | None = field(default=None, repr=False)
    tally: Tally | None = None


def log_path(choices: Choices, yard_file: Path | None = None) -> Path:
    """Return where the log of a job is.

    Parameters
    ----------
    choices : Choices
        Of the job.
    yard_file : Path, optional
        The yard file, where there is no job file.
    """
    folder = yard_file.parent if yard_file else choices.folder
    return folder / (choices.record or lawnmap.record.Follow()).log


def carry(yard: Yard, choices: Choices) -> Carried:
    """Return what a plan starts from: the yard as it was read, or as the log says it came up.

    Parameters
    ----------
    yard : Yard
        As it was read.
    choices : Choices
        What to do; without ``[record]`` the log is not even opened.
    """
    if choices.record is None:
        return Carried(yard)
    log = lawnmap.record.read_log(log_path(choices))
    held = tally_job(yard, choices, log)
    return Carried(lawnmap.record.with_stand(yard, log) if choices.record.stand else yard, log, held)


def carried_materials(
    takeoff: Takeoff, choices: Choices, carried: Carried, *, stock: bool = True
) -> Materials:
    """Work out every material, with the stock and the doses of the log taken into account.

    Parameters
    ----------
    takeoff : Takeoff
        The measured yard.
    choices : Choices
        What to do.
    carried : Carried
        What the plan takes over from the log.
    stock : bool
        Whether what is in stock is used first; an offer charges it like a bag that is bought.

    Raises
    ------
    ChoiceError
        If a spray goes over its label with what the ground has had.
    """
    follow, log = choices.record, carried.log
    if follow is None or log is None:
        return materials_of(takeoff, choices)
    sprays = choices.sprays
    if follow.applied:
        sprays = lawnmap.record.with_applied(sprays, takeoff, log, follow.year or log.last_year)
    return materials_of(
        takeoff,
        choices,
        sprays=sprays,
        stock_kg=lawnmap.record.stock_of(log) if stock and follow.stock else None,
    )


def tally_job(yard: Yard, choices: Choices, log: Log) -> Tally:
    """Hold a log against the plan of a job, without laying any lanes.

    Parameters
    ----------
    yard : Yard
        The yard.
    choices : Choices
        What was to be done.
    log : Log
        What was really done.
    """
    takeoff = take_off(yard, choices.ground)
    materials = materials_of(takeoff, choices)
    left_out = choices.general.leave_out
    planned = lawnmap.record.Planned(
        takeoff=takeoff,
        items=lawnmap.record.items_of(
            materials.prescription, materials.sprays, materials.covers, passes=choices.rig.passes
        ),
        seed=None if "seed" in left_out else choices.seed,
        fertilizer=None if "fertilizer" in left_out else choices.fertilizer,
        sprays=choices.sprays,
        curve=choices.spreader.curve(),
        units=SYSTEMS[choices.general.units],
    )
    return lawnmap.record.tally(log, planned, choices.record, table=choices.ground.density_table)


def log_entry(yard: Yard, path: Path, values: Mapping[str, Any]) -> Entry:
    """Add an entry to the log of a yard.

    Parameters
    ----------
    yard : Yard
        The yard, whose zones are known.
    path : Path
        The log.
    values : mapping
        The entry by key, as a person writes it.

    Raises
    ------
    ChoiceError
        For an entry that makes no sense, or a zone that there is not; nothing is written then.
    """
    names = [zone.name for zone in yard.zones]
    for name in values.get("zones", ()):
        if name not in names:
            raise ChoiceError(f'there is no zone "{name}"', where="new entry", mend=nearest(name, names))
    return lawnmap.record.append_entry(path, values)
