"""The season and its watering in words: rows for the page, lines for the calendar and the brief."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lawnmap.sheets.figures import Table
from lawnmap.units import duration, figure, write, write_day

if TYPE_CHECKING:
    from lawnmap.job import Phase, Plan, Source, Waited
    from lawnmap.job import SeasonStep as Step
    from lawnmap.units import UnitSystem

_TOLD: Final = ("seeding", "first_mow", "second_feed")


def minutes(run_s: float) -> str:
    """Write the length of a run in minutes. [s]"""
    return f"{figure(run_s / 60)} min"


def wait_line(wait: Waited) -> str:
    """Say what a step waits for and how long."""
    if not wait.days:
        return f"not before {wait.name}"
    return f"{wait.days} day{'' if wait.days == 1 else 's'} after {wait.name}"


def phase_line(phase: Phase, units: UnitSystem) -> str:
    """Say how a phase is watered, in one line."""
    rounds = f"{phase.runs_per_day} round{'' if phase.runs_per_day == 1 else 's'} of {duration(phase.round_s)} a day"
    days = "" if phase.days_per_week == 7 else f" on {phase.days_per_week} days a week"
    cost = f", {phase.cost_per_week} a week" if phase.cost_per_week else ""
    return f"{rounds}{days}, {units.volume(phase.volume_m3_per_week)} a week{cost}"


def brief_lines(plan: Plan) -> list[str]:
    """Return the days and the water that matter most, for a terminal."""
    lines = []
    if plan.season:
        told = [step for key in _TOLD if (step := plan.season.step(key))]
        lines.append("Calendar: " + ", ".join(f"{step.name.lower()} {write_day(step.day)}" for step in told))
    if plan.watering and plan.watering.phases:
        first = plan.watering.phases[0]
        lines.append(
            f"Water {first.name[:1].lower()}{first.name[1:]}: {phase_line(first, plan.units)}, less what rain gives"
        )
    return lines


def season_table(plan: Plan) -> Table | None:
    """Return the dated steps with what to know, what they wait for, and numbered sources."""
    if plan.season is None:
        return None
    sources: dict[str, int] = {}
    rows = tuple(_step_row(step, sources) for step in plan.season.steps)
    notes = [f"[{number}] {text}" for text, number in sources.items()]
    return Table(
        "The season, day by day",
        ("Day", "Step", "To know", "Waits for", "Notes"),
        rows,
        notes=("Move a day in [dates] of the job file, and the rest moves with it.", *notes),
    )


def _step_row(step: Step, sources: dict[str, int]) -> tuple[str, ...]:
    day = write_day(step.day).replace(" ", "\u00a0")  # a day is not broken over two lines
    if step.held_by:
        day += f" (moved: {step.held_by})"
    elif step.fixed:
        day += " (your day)"
    waits = [wait for wait in step.waits if wait.days] or step.waits
    found = [wait.source for wait in waits if wait.source] + list(step.sources)
    return (
        day,
        step.name,
        " ".join(step.why),
        "; ".join(wait_line(wait) for wait in waits),
        _references({_number(source, sources) for source in found}),
    )


def _references(numbers: set[int]) -> str:
    """Write numbers of notes, three and more in a row as a range: ``[2] [5–9]``."""
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return " ".join(
        f"[{run[0]}–{run[-1]}]" if len(run) > 2 else " ".join(f"[{number}]" for number in run) for run in runs
    )


def _number(source: Source, sources: dict[str, int]) -> int:
    return sources.setdefault(str(source), len(sources) + 1)


def phase_table(plan: Plan) -> Table | None:
    """Return how each phase is watered."""
    if plan.watering is None or not plan.watering.phases:
        return None
    units = plan.units
    rows = tuple(
        (
            phase.name,
            f"{write_day(phase.first)} to {write_day(phase.last)}"
            if phase.first and phase.last
            else f"{phase.days} days",
            units.depth(phase.depth_m),
            (f"{phase.runs_per_day} a day" if phase.runs_per_day else "none fits")
            + ("" if phase.days_per_week == 7 else f", {' and '.join(phase.weekdays)}"),
            ", ".join(phase.runs[0].starts),
            duration(phase.round_s),
            units.volume(phase.volume_m3_per_week),
            phase.cost_per_week or "",
        )
        for phase in plan.watering.phases
    )
    told = dict.fromkeys(f"{source}" for phase in plan.watering.phases for source in phase.sources)
    return Table(
        "Water, phase by phase",
        (
            "Phase",
            "When",
            "One run gives",
            "Rounds",
            "Start at",
            "A round takes",
            "Water a week",
            "Cost a week",
        ),
        rows,
        notes=(
            "Rain counts: skip a run that it has done. Stop a run where water stands or runs off, and go on later.",
            _custom_line(plan),
            *((f"Depths and runs: {'; '.join(told)}.",) if told else ()),
        ),
    )


def _custom_line(plan: Plan) -> str:
    """The common practice beside the plan."""
    assert plan.watering is not None
    custom, units = plan.watering.custom, plan.units
    depths = sorted(custom.depth_m_per_day.values())
    span = units.depth(depths[0])
    if units.depth(depths[-1]) != span:
        span += f" to {units.depth(depths[-1])}"
    return (
        f"Ten minutes three times a day on every station (common practice, no source) would put down {span} a day "
        f"and take {units.volume(custom.volume_m3_per_week)} a week."
    )


def station_table(plan: Plan) -> Table | None:
    """Return what each station puts down, and its minutes in every phase."""
    if plan.watering is None:
        return None
    units, phases = plan.units, plan.watering.phases
    rate = "in/h" if units.name == "us" else "mm/h"
    runs = [{run.station: minutes(run.run_s) for run in phase.runs} for phase in phases]
    rows = []
    for i, station in enumerate(plan.watering.stations):
        even = "not tested" if station.low_quarter is None else f"{figure(100 * station.low_quarter)} %"
        rows.append(
            (
                f"{i + 1}. {station.name}",
                ", ".join(station.zones),
                write(station.precipitation_m_per_s, rate),
                even,
                f"× {figure(station.multiplier)}",
                *(told.get(station.name, "no seed here") for told in runs),
            )
        )
    return Table(
        "Stations, in the order in which they run",
        ("Station", "Zones", "Puts down", "Low quarter", "Longer by", *(phase.name for phase in phases)),
        tuple(rows),
    )
