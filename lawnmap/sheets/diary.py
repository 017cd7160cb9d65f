"""The season for a calendar program: one all-day entry for each step, with an identity that stays.

Written as RFC 5545 asks (B. Desruisseaux, *Internet Calendaring and Scheduling Core Object
Specification*, 2009): a calendar that imports the file again renews its entries instead of adding to
them, because each step keeps its UID.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING, Final
from uuid import NAMESPACE_URL, uuid5

from lazy_loader import load

from lawnmap.sheets.elements import plain
from lawnmap.sheets.timetable import minutes, phase_line, wait_line
from lawnmap.units import UnitSystem

if TYPE_CHECKING:
    from pathlib import Path

    from icalendar import Calendar

    from lawnmap.job import Phase, Plan, Season
    from lawnmap.job import SeasonStep as Step

icalendar = load("icalendar")  # slow to load, and only a plan with a calendar needs it

NAME: Final = "season.ics"
_PRODUCT: Final = "-//lawnmap//season//EN"


def write_diary(plan: Plan, path: Path) -> None:
    """Write ``season.ics``.

    Parameters
    ----------
    plan : Plan
        A finished plan with a season.
    path : Path
        Of the file.
    """
    path.write_bytes(diary(plan))


def diary(plan: Plan) -> bytes:
    """Return the text of ``season.ics``; the same plan gives the same bytes.

    Parameters
    ----------
    plan : Plan
        A finished plan with a season.
    """
    season = plan.season
    assert season is not None
    book = icalendar.Calendar()
    book.add("prodid", _PRODUCT)
    book.add("version", "2.0")
    book.add("calscale", "GREGORIAN")
    book.add("name", _one_line(plan.name))
    for step in season.steps:
        _add(book, plan, season, _entry(step))
    for phase in plan.watering.phases if plan.watering else ():
        if phase.first and phase.last:
            _add(book, plan, season, _water(phase, plan.units))
    text: bytes = book.to_ical()
    return text


_Entry = tuple[str, str, date, date, str, str]
"""Key, title, first day, last day, text and category of one entry."""


def _entry(step: Step) -> _Entry:
    lines = list(step.why)
    lines += [f"Wait: {wait_line(wait)}{f' ({wait.source})' if wait.source else ''}" for wait in step.waits]
    lines += [f"Source: {source}" for source in step.sources]
    lines += [f"Moved by: {step.held_by}"] if step.held_by else []
    return step.key, step.name, step.day, step.day, "\n".join(lines), "LAWN"


def _water(phase: Phase, units: UnitSystem) -> _Entry:
    assert phase.first is not None
    assert phase.last is not None
    lines = [phase_line(phase, units)]
    lines += [f"{run.station}: {minutes(run.run_s)}, starts {', '.join(run.starts)}" for run in phase.runs]
    lines.append("Skip a run when rain has done it.")
    title = f"Water: {phase.name[:1].lower()}{phase.name[1:]}"
    return f"water {phase.key}", title, phase.first, phase.last, "\n".join(lines), "WATER"


def _add(book: Calendar, plan: Plan, season: Season, entry: _Entry) -> None:
    key, title, first, last, text, category = entry
    event = icalendar.Event()
    event.add("uid", f"{uuid5(NAMESPACE_URL, _identity(plan, season, key))}")
    # no clock is read: the stamp stays with the season, and grows with the user's revision
    event.add("dtstamp", datetime(season.seeding.year, 1, 1, tzinfo=UTC) + timedelta(hours=season.revision))
    event.add("sequence", season.revision)
    event.add("dtstart", first)
    event.add("dtend", last + timedelta(days=1))  # the end is the day after the last (RFC 5545, 3.6.1)
    event.add("summary", _one_line(f"{plan.name}: {title}"))
    event.add("description", plain(text))
    event.add("categories", [category])
    event.add("transp", "TRANSPARENT")
    book.add_component(event)


def _identity(plan: Plan, season: Season, key: str) -> str:
    """What tells one step of one season of one job from all others."""
    return f"lawnmap\n{plan.name}\n{plan.yard.name}\n{season.identity}\n{key}"


def _one_line(text: str) -> str:
    return plain(" ".join(text.split()))
