"""Run times: depth over precipitation rate, made longer for dry spots, laid into the hours that are allowed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil
from statistics import median
from typing import TYPE_CHECKING, Final

from lawnmap.errors import ChoiceError
from lawnmap.rates.rows import combine, select
from lawnmap.schedule.clock import lay_rounds
from lawnmap.schedule.intervals import interval
from lawnmap.schedule.stations import Served, serve
from lawnmap.schedule.water import WEEKDAYS, Water
from lawnmap.schedule.watering import Custom, Phase, StationRun, Watering
from lawnmap.units import duration
from lawnmap.yard import finding

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Sequence

    from lawnmap.measure import Takeoff
    from lawnmap.rates import Source
    from lawnmap.schedule.model import Season
    from lawnmap.schedule.water import Station
    from lawnmap.yard import Finding

CUSTOM_RUN_S: Final = 600.0
CUSTOM_RUNS: Final = 3
"""Ten minutes three times a day: what people are told to do, from no publication. *common practice* [s, count]"""

_MINUTE_S: Final = 60.0


def run_time(depth_m: float, precipitation_m_per_s: float, multiplier: float = 1.0) -> float:
    """Return how long water must run for a depth. [s]

    Parameters
    ----------
    depth_m : float
        Depth wanted. [m]
    precipitation_m_per_s : float
        Mean depth that lands in a second. [m/s]
    multiplier : float
        How many times longer for dry spots or losses. [1]

    Examples
    --------
    >>> round(run_time(0.01, 0.02 / 3600) / 60)
    30
    """
    return depth_m / precipitation_m_per_s * multiplier


@dataclass(frozen=True)
class _Wanted:
    """A phase before it is laid into hours: runs on each of so many days a week."""

    key: str
    name: str
    depth_m: float
    runs_per_day: int
    days_per_week: int
    sources: tuple[Source, ...]
    first: date | None = None
    days: int = 0


def irrigate(
    takeoff: Takeoff,
    stations: Sequence[Station],
    water: Water | None = None,
    season: Season | None = None,
    sown: Collection[str] | None = None,
) -> Watering:
    """Work out how long to run each station, when, with how much water.

    Parameters
    ----------
    takeoff : Takeoff
        The measured yard.
    stations : sequence of Station
        The user's ``[[station]]`` sections, in the order in which they run.
    water : Water, optional
        The user's ``[water]`` section, else its defaults.
    season : Season, optional
        Gives the phases their days; without it they have lengths only.
    sown : collection of str, optional
        Names of the zones that get seed; stations that water none of them do not run for it. All zones if
        left out.

    Returns
    -------
    Watering
        Minutes, starts, litres and cost by phase, and what is not possible as findings.

    Raises
    ------
    ChoiceError
        Without a station, or for a zone that there is not.
    """
    if not stations:
        raise ChoiceError(
            "no station says what waters which zone", where="[water]", mend="add a [[station]] section"
        )
    water = water or Water()
    served, doubts = serve(takeoff, stations, water.even_out)
    needed = tuple(one for one in served if sown is None or set(one.zones) & set(sown))
    phases, found = [], [*doubts, *_over_limit(served, water), *_idle(served, needed)]
    for wanted in _phases(water, season) if needed else ():
        phase, problems = _lay(wanted, needed, water)
        phases.append(phase)
        found += problems
    custom = Custom(
        CUSTOM_RUN_S,
        CUSTOM_RUNS,
        {one.name: CUSTOM_RUNS * CUSTOM_RUN_S * one.precipitation_m_per_s for one in needed},
        sum(7 * CUSTOM_RUNS * CUSTOM_RUN_S * one.flow_m3_per_s for one in needed),
    )
    return Watering(served, tuple(phases), custom, tuple(found))


def _phases(water: Water, season: Season | None) -> Iterator[_Wanted]:
    """The phases that have any days."""
    own = (
        _daily("germination", "Until all seed is up", water.germination_depth_m, water.germination_runs),
        _daily(
            "establishment",
            "From then to the first mowing",
            water.establishment_depth_m,
            water.establishment_runs,
        ),
        _weaning(water),
    )
    for wanted in own:
        first, days = _span(wanted.key, season)
        if days > 0:
            yield replace(wanted, first=first, days=days)


def _span(key: str, season: Season | None) -> tuple[date | None, int]:
    """First day and length of a phase: by the calendar, or by the tables where there is none."""
    weaning = interval("weaning", "after first mow").typical
    light = interval("light watering", "after seeding").typical
    if season is None:
        return None, {
            "germination": light,
            "establishment": interval("first mow", "after germination").typical,
            "weaning": weaning,
        }[key]
    days = {step.key: step.day for step in season.steps}
    sown, up = days["seeding"], max(days["emergence"], days["seeding"] + timedelta(days=1))
    mown = max(days["first_mow"], up)
    return {
        "germination": (sown, (up - sown).days),
        "establishment": (up, (mown - up).days),
        "weaning": (mown, weaning),
    }[key]


def _daily(key: str, name: str, own_depth_m: float | None, own_runs: int | None) -> _Wanted:
    depth_m, depth_from = _depth(key, "each run", own_depth_m)
    runs, runs_from = _count(key, "each day", own_runs)
    return _Wanted(key, name, depth_m, runs, 7, (*depth_from, *runs_from))


def _weaning(water: Water) -> _Wanted:
    """A depth a week, given on a few days."""
    depth_m, depth_from = _depth("weaning", "each week", water.weaning_depth_m)
    runs, runs_from = _count("weaning", "each week", water.weaning_runs)
    days = min(runs, len(set(water.days)))
    return _Wanted("weaning", "After the first mowing", depth_m / days, 1, days, (*depth_from, *runs_from))


def _depth(item: str, use: str, own_m: float | None) -> tuple[float, tuple[Source, ...]]:
    if own_m is not None:
        return own_m, ()
    found = combine(select("watering_depths", item, use), "depth")
    return found.typical, (found.nearest.source,)


def _count(item: str, use: str, own: int | None) -> tuple[int, tuple[Source, ...]]:
    """The middle of what the sources say, and all of them."""
    if own is not None:
        return own, ()
    rows = select("watering_runs", item, use)
    middles = [(row.low + row.high) / 2 for row in rows if row.low is not None and row.high is not None]
    return round(median(middles)), tuple(row.source for row in rows)


def _lay(wanted: _Wanted, served: Sequence[Served], water: Water) -> tuple[Phase, list[Finding]]:
    """Give every run its time of day."""
    lengths = [
        _MINUTE_S
        * max(1, ceil(run_time(wanted.depth_m, one.precipitation_m_per_s, one.multiplier) / _MINUTE_S - 1e-6))
        for one in served
    ]
    round_s = sum(lengths) + water.between_s * (len(served) - 1)
    rounds = lay_rounds(water.hours, lengths, water.between_s, wanted.runs_per_day)
    weekdays = _spread(water.days, wanted.days_per_week)
    runs = [
        StationRun(
            one.name,
            lengths[i],
            lengths[i] * one.precipitation_m_per_s,
            lengths[i] * one.flow_m3_per_s,
            tuple(starts[i] for starts in rounds),
        )
        for i, one in enumerate(served)
    ]
    weekly_m3 = len(weekdays) * len(rounds) * sum(run.volume_m3 for run in runs)
    phase = Phase(
        key=wanted.key,
        name=wanted.name,
        first=wanted.first,
        last=wanted.first + timedelta(days=wanted.days - 1) if wanted.first else None,
        days=wanted.days,
        depth_m=wanted.depth_m,
        runs_per_day=len(rounds),
        days_per_week=len(weekdays),
        weekdays=weekdays,
        sources=wanted.sources,
        runs=tuple(runs),
        round_s=round_s,
        volume_m3_per_week=weekly_m3,
        cost_per_week=f"{float(water.price_per_m3) * weekly_m3:.2f}"
        if water.price_per_m3 is not None
        else None,
    )
    return phase, list(_impossible(wanted, phase, round_s))


def _spread(days: Iterable[str], count: int) -> tuple[str, ...]:
    """So many of the days that are allowed, as far apart as may be."""
    allowed = [day for day in WEEKDAYS if day in set(days)]
    count = min(count, len(allowed))
    return tuple(allowed[k * len(allowed) // count] for k in range(count))


def _impossible(wanted: _Wanted, phase: Phase, round_s: float) -> Iterator[Finding]:
    if phase.runs_per_day < wanted.runs_per_day:
        text = (
            f"{wanted.runs_per_day} round{'s' if wanted.runs_per_day > 1 else ''} of {duration(round_s)} a day "
            f"do{'' if wanted.runs_per_day > 1 else 'es'} not fit into the hours that are allowed; "
            f"{phase.runs_per_day or 'none'} do{'es' if phase.runs_per_day == 1 else ''}"
        )
        yield finding("watering-does-not-fit", text, phase.name)
    if phase.days_per_week < wanted.days_per_week:
        text = (
            f"seed must not dry out, but water is allowed on {phase.days_per_week} days a week only: "
            "ask for leave for a new lawn, or sow when it rains"
        )
        yield finding("watering-days-too-few", text, phase.name)


def _idle(served: Sequence[Served], needed: Sequence[Served]) -> Iterator[Finding]:
    for one in served:
        if one not in needed:
            text = (
                f'"{one.name}" waters nothing that is sown, so it has no runs here; run it as you always do'
            )
            yield finding("station-without-seed", text, one.name)


def _over_limit(served: Sequence[Served], water: Water) -> Iterator[Finding]:
    limit = water.flow_limit_m3_per_s
    for one in served:
        if limit is not None and one.flow_m3_per_s > limit * (1 + 1e-9):
            text = (
                f'"{one.name}" draws {one.flow_m3_per_s / limit:.2f} times what the supply gives: it will throw '
                "short; split it, or fit smaller nozzles"
            )
            yield finding("flow-over-limit", text, one.name)
