"""The season from top to bottom: steps, their days, and what does not go together."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from types import MappingProxyType
from typing import TYPE_CHECKING

from lawnmap.errors import ChoiceError, nearest
from lawnmap.schedule.checks import check
from lawnmap.schedule.days import Hemisphere, month_day, named, next_on
from lawnmap.schedule.graph import Placed, Wait, place
from lawnmap.schedule.intervals import interval
from lawnmap.schedule.model import Season, Step, Waited
from lawnmap.schedule.sprays import LABEL, spray_drafts
from lawnmap.schedule.stand import Stand, stand_of
from lawnmap.schedule.steps import Draft, drafts, spring_draft
from lawnmap.units import write_day
from lawnmap.yard import finding

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lawnmap.measure import Takeoff
    from lawnmap.rates import Prescription, Source, Spray
    from lawnmap.schedule.dates import Dates
    from lawnmap.yard import Finding


def season(
    takeoff: Takeoff,
    prescription: Prescription,
    dates: Dates,
    *,
    species: Mapping[str, float] = MappingProxyType({}),
    sprays: Sequence[Spray] = (),
) -> Season:
    """Put every step of the season on a day.

    The seeding day stands. What the seed waits for is placed backwards from it, all else forwards by the
    intervals of the tables, of the user's labels and of the grasses sown. A day that the user gives stays,
    and what waits for it moves with it.

    Parameters
    ----------
    takeoff : Takeoff
        The measured yard: its place, and whether there is grass on what is sown.
    prescription : Prescription
        What goes down.
    dates : Dates
        The user's section.
    species : mapping
        Share of each grass that is sown, by the names of the tables.
    sprays : sequence of Spray
        The user's sprays.

    Returns
    -------
    Season
        Dated steps, and as findings all conflicts and assumptions.

    Raises
    ------
    ChoiceError
        For days of a spray that there is not.
    """
    _check_sprays(dates, sprays)
    stand = stand_of(species)
    half, assumed = _hemisphere(takeoff, dates)
    found = drafts(stand, prescription, dates, has_grass=_has_grass(takeoff, prescription))
    extra = spray_drafts(sprays, dates, [draft.node.key for draft in found])
    on_seeding = _on_seeding(stand, dates, half)
    everything = [_seeded(draft, extra.seed_waits, *on_seeding) for draft in found] + list(extra.drafts)
    fixed = dates.fixed | extra.fixed
    placed = place([draft.node for draft in everything], "seeding", dates.seeding, fixed, dates.holds)
    if "next_spring" not in dates.leave_out:
        everything.append(spring_draft())
        placed["next_spring"] = _spring(placed["emergence"].day, half, fixed.get("next_spring"))
    undated = [
        finding("spray-undated", "its label interval is not given, so it has no day in the calendar", name)
        for name in extra.undated
    ]
    whole = Season(
        steps=_in_order(everything, placed),
        seeding=placed["seeding"].day,
        last_seeding=stand.last_seeding(dates.first_frost)[0] if dates.first_frost else None,
        hemisphere=half,
        identity=dates.season or str(dates.seeding.year),
        revision=dates.revision,
    )
    conflicts = check(everything, placed, stand, dates, half)
    return replace(whole, findings=(*assumed, *conflicts, *undated))


def _check_sprays(dates: Dates, sprays: Sequence[Spray]) -> None:
    names = [spray.name for spray in sprays]
    for spray in sprays:
        own = len(dates.sprays.get(spray.name, ()))
        if own > spray.applications:
            raise ChoiceError(
                f"{own} days for {spray.applications} application(s) of {spray.name}",
                where="[dates], sprays",
                mend="set applications in its [[spray]] section: the yearly maximum is checked by it",
            )
    for name in dates.sprays:
        if name not in names:
            raise ChoiceError(
                f'there is no spray "{name}"',
                where="[dates], sprays",
                mend=nearest(name, names) if names else "add its [[spray]] section",
            )


def _hemisphere(takeoff: Takeoff, dates: Dates) -> tuple[Hemisphere, tuple[Finding, ...]]:
    if dates.hemisphere is not None:
        return dates.hemisphere, ()
    plane = takeoff.yard.plane
    if plane.georeferenced:
        return ("southern" if plane.latitude_deg < 0 else "northern"), ()
    text = "the yard has no place on the earth, so the seasons are those of the northern half"
    return "northern", (finding("hemisphere-assumed", text, "[dates], hemisphere"),)


def _has_grass(takeoff: Takeoff, prescription: Prescription) -> bool:
    """Whether any zone that gets seed has grass on it."""
    seeded = prescription.sown_zones
    return any(zone.name in seeded and zone.density != "bare" for zone in takeoff.zones)


def _seeded(
    draft: Draft, waits: tuple[Wait, ...], why: tuple[str, ...], sources: tuple[Source, ...]
) -> Draft:
    """Add to the seeding what sprays make it wait for, and what the calendar has to say of it."""
    if draft.node.key != "seeding":
        return draft
    node = replace(draft.node, waits=(*draft.node.waits, *waits))
    return replace(draft, node=node, why=(*why, *draft.why), sources=(*sources, *draft.sources))


def _spring(emergence: date, half: Hemisphere, own: date | None) -> Placed:
    """The first spring day that finds the grass up."""
    first = interval("next spring", "first day, northern half").typical
    bound = next_on(emergence, named(first, half))
    return Placed(own or bound, bound, own is not None)


def _in_order(everything: Sequence[Draft], placed: dict[str, Placed]) -> tuple[Step, ...]:
    """Every draft with its day; those of one day in the order of the work."""
    names = {draft.node.key: draft.name for draft in everything}
    steps = []
    for draft in everything:
        at = placed[draft.node.key]
        waits = tuple(
            Waited(
                wait.of,
                names[wait.of],
                wait.days,
                placed[wait.of].day + timedelta(days=wait.days),
                LABEL if wait.label else wait.source,
            )
            for wait in draft.node.waits
        )
        steps.append(
            Step(
                key=draft.node.key,
                name=draft.name,
                day=at.day,
                why=draft.why,
                waits=waits,
                sources=draft.sources,
                fixed=at.fixed,
                held_by=at.held.why if at.held else "",
            )
        )
    return tuple(sorted(steps, key=lambda step: step.day))


def _on_seeding(stand: Stand, dates: Dates, half: Hemisphere) -> tuple[tuple[str, ...], tuple[Source, ...]]:
    """The part of the year that suits the grass, the last sensible day, the soil; and who says so."""
    words: list[str] = []
    sources: list[Source] = []
    for use, name in (("best", "Best"), ("second best", "Second best")):
        ends = stand.window(use, half)
        if ends:
            words.append(f"{name} time for {stand.kind} grass: {month_day(ends[0])} to {month_day(ends[1])}.")
            sources += stand.window_sources(use)
    if dates.first_frost:
        last, days, source = stand.last_seeding(dates.first_frost)
        words.append(
            f"Last sensible day: {write_day(last)}, {days} days before the first frost on "
            f"{write_day(dates.first_frost)}."
        )
        sources.append(source)
    soil = stand.soil_words()
    return (*words, *(text for text, _ in soil)), (*sources, *(source for _, source in soil))
