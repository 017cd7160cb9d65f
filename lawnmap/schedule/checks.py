"""What does not go together in a season: intervals broken, seeding too late, grasses that come up apart."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Final

from lawnmap.schedule.days import month_day
from lawnmap.yard import finding

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from lawnmap.schedule.dates import Dates
    from lawnmap.schedule.days import Hemisphere
    from lawnmap.schedule.graph import Placed
    from lawnmap.schedule.stand import Stand
    from lawnmap.schedule.steps import Draft
    from lawnmap.yard import Finding

APART_DAYS: Final = 7
"""Grasses whose germination ends further apart than this need to be told of. *common practice* [day]"""

_NEEDS_GROWTH: Final = ("emergence", "first_mow", "second_feed")


def check(
    drafts: Sequence[Draft], placed: Mapping[str, Placed], stand: Stand, dates: Dates, half: Hemisphere
) -> tuple[Finding, ...]:
    """Return everything in a season that does not go together.

    Parameters
    ----------
    drafts : sequence of Draft
        Its steps and what they wait for.
    placed : mapping
        Day of each.
    stand : Stand
        What is sown.
    dates : Dates
        The user's section.
    half : str
        Half of the earth.
    """
    return (
        *_out_of_order(drafts, placed),
        *_held(drafts, placed),
        *_too_late(placed, stand, dates),
        *_out_of_season(placed, stand, half),
        *_soil(placed, dates),
        *_after_frost(drafts, placed, dates),
        *_grasses(stand),
    )


def _out_of_order(drafts: Sequence[Draft], placed: Mapping[str, Placed]) -> Iterator[Finding]:
    """Steps that come before the end of something that they wait for; only a day of the user can do that."""
    names = {draft.node.key: draft.name for draft in drafts}
    for draft in drafts:
        for wait in draft.node.waits:
            day, start = placed[draft.node.key].day, placed[wait.of].day
            over = start + timedelta(days=wait.days)
            if day >= over:
                continue
            rule = f"{wait.days} days after" if wait.days else "after"
            text = (
                f'"{draft.name}" is set for {day}, but it must wait until {over}: {rule} '
                f'"{names[wait.of]}" ({start})'
            )
            if wait.label:
                yield finding("inside-label-interval", f"{text}, by the label", draft.name)
            else:
                yield finding("dates-out-of-order", text, draft.name)


def _held(drafts: Sequence[Draft], placed: Mapping[str, Placed]) -> Iterator[Finding]:
    for draft in drafts:
        at = placed[draft.node.key]
        if at.held:
            text = f'"{draft.name}" moved from {at.bound} to {at.day}: {at.held.why}'
            yield finding("held-up", text, "[dates], holds")


def _too_late(placed: Mapping[str, Placed], stand: Stand, dates: Dates) -> Iterator[Finding]:
    if dates.first_frost is None:
        return
    last, days, source = stand.last_seeding(dates.first_frost)
    day = placed["seeding"].day
    if day > last:
        text = (
            f"sowing on {day} is {(day - last).days} days too late: {stand.main} wants {days} days before the "
            f"first frost on {dates.first_frost} ({source.title}, {source.publisher})"
        )
        yield finding("seeding-too-late", text, "[dates], seeding")


def _out_of_season(placed: Mapping[str, Placed], stand: Stand, half: Hemisphere) -> Iterator[Finding]:
    day, best = placed["seeding"].day, stand.window("best", half)
    found = stand.suits(day, half)
    if found == "best" or best is None:
        return
    times = f"{month_day(best[0])} to {month_day(best[1])}"
    what = "is the second-best time" if found else "is out of season"
    text = f"{day} {what} for {stand.kind} grass on the {half} half of the earth; best is {times}"
    yield finding("seeding-second-best" if found else "seeding-out-of-season", text, "[dates], seeding")


def _soil(placed: Mapping[str, Placed], dates: Dates) -> Iterator[Finding]:
    seeding, up = placed["seeding"].day, placed["germination"].day
    if dates.soil_from and seeding < dates.soil_from:
        text = f"on {seeding} the soil is not yet as warm as you want it; that is from {dates.soil_from} on"
        yield finding("soil-outside-window", text, "[dates], soil_from")
    if dates.soil_until and up > dates.soil_until:
        text = (
            f"the seed needs until {up} to germinate, but the soil has the right warmth only until "
            f"{dates.soil_until}"
        )
        yield finding("soil-outside-window", text, "[dates], soil_until")


def _after_frost(drafts: Sequence[Draft], placed: Mapping[str, Placed], dates: Dates) -> Iterator[Finding]:
    """Steps of growing grass behind the frost, unless the seed itself was sown behind it."""
    frost = dates.first_frost
    if frost is None or placed["seeding"].day > frost:
        return
    for draft in drafts:
        day = placed[draft.node.key].day
        if draft.node.key in _NEEDS_GROWTH and day > frost:
            text = (
                f'"{draft.name}" falls on {day}, after the first frost on {frost}: see whether it still grows'
            )
            yield finding("after-first-frost", text, draft.name)


def _grasses(stand: Stand) -> Iterator[Finding]:
    for name in stand.unknown:
        days = stand.days[name]
        text = f"no table has the days to germination of {name}; {days.words()} is what most turfgrasses take"
        yield finding("germination-assumed", text, name)
    ends = {name: days.high for name, days in stand.days.items()}
    fast, slow = min(ends, key=ends.__getitem__), stand.slowest
    if ends[slow] - ends[fast] > APART_DAYS:
        text = (
            f"{fast} is up after {stand.days[fast].words()}, {slow} after {stand.days[slow].words()}: "
            f"keep the water on and count every wait from the last of them"
        )
        yield finding("grasses-come-up-apart", text, "[seed], species")
