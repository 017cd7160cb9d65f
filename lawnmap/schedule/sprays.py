"""Steps for the sprays: every interval from the user's own label, counted from the event that it names."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from math import ceil
from typing import TYPE_CHECKING, Final

from lawnmap.rates import Source, Spray
from lawnmap.schedule.graph import Node, Wait
from lawnmap.schedule.intervals import DAY_S
from lawnmap.schedule.steps import Draft

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from lawnmap.schedule.dates import Dates

_EVENTS: Final = {
    "seeding": "seeding",
    "germination": "germination",
    "emergence": "emergence",
    "first mowing": "first_mow",
}

LABEL: Final = Source("product label", "as the user copied it", "interval", "label")

_LAW: Final = "The label is the law: its intervals, wind, rain and re-entry limits come before this day."
_CARE: Final = (
    "Local codes and licensed practice apply; keep children and pets off as long as the label says."
)


@dataclass(frozen=True)
class SprayDrafts:
    """The steps of all sprays.

    Attributes
    ----------
    drafts : tuple of Draft
        One for each application that has a day or an interval.
    fixed : dict
        Days that the user set, by key.
    seed_waits : tuple of Wait
        What the seed waits for.
    undated : tuple of str
        Names of sprays whose label interval is not given.
    """

    drafts: tuple[Draft, ...]
    fixed: dict[str, date]
    seed_waits: tuple[Wait, ...]
    undated: tuple[str, ...]


def spray_drafts(sprays: Sequence[Spray], dates: Dates, known: Iterable[str]) -> SprayDrafts:
    """Return the steps of all sprays.

    Parameters
    ----------
    sprays : sequence of Spray
        The user's ``[[spray]]`` sections; two may be of one product.
    dates : Dates
        The user's own days for them, by the name of the product.
    known : iterable of str
        Keys of the other steps.
    """
    found: list[Draft] = []
    days: dict[str, date] = {}
    seed_waits: list[Wait] = []
    undated: list[str] = []
    keys = set(known)
    for spray, called in zip(sprays, _told_apart([spray.name for spray in sprays]), strict=True):
        own = dates.sprays.get(spray.name, ())
        previous = ""
        for number in range(1, spray.applications + 1):
            key = f"spray {called} {number}"
            day = own[number - 1] if number <= len(own) else None
            waits = _spray_waits(spray, previous, day, dates.seeding)
            ahead = spray.seed_wait_s is not None and (
                day < dates.seeding if day else spray.wait_s is None and not previous
            )
            waits = [wait for wait in waits if wait.of in keys]
            if day is None and not waits and not ahead:
                undated.append(spray.name)
                break
            found.append(_spray_draft(spray, key, number, waits))
            if day:
                days[key] = day
            if ahead and spray.seed_wait_s is not None:
                seed_waits.append(Wait(key, ceil(spray.seed_wait_s / DAY_S), None, label=True))
            keys.add(key)
            previous = key
    return SprayDrafts(tuple(found), days, tuple(seed_waits), tuple(undated))


def _told_apart(names: Sequence[str]) -> list[str]:
    """Number the names that stand several times, from the second on."""
    return [
        f"{name} ({n})" if (n := names[: i + 1].count(name)) > 1 else name for i, name in enumerate(names)
    ]


def _spray_waits(spray: Spray, previous: str, day: date | None, seeding: date) -> list[Wait]:
    """From the event of the label, and from the application before."""
    waits = []
    if spray.wait_s is not None and not previous and not (day and day < seeding):
        waits.append(Wait(_EVENTS[spray.counted_from], ceil(spray.wait_s / DAY_S), None, label=True))
    if previous and spray.interval_s is not None:
        waits.append(Wait(previous, ceil(spray.interval_s / DAY_S), None, label=True))
    elif previous and day is None:
        return []  # nothing says how long after the one before
    return waits


def _spray_draft(spray: Spray, key: str, number: int, waits: list[Wait]) -> Draft:
    count = f" {number} of {spray.applications}" if spray.applications > 1 else ""
    return Draft(
        Node(key, tuple(waits)),
        f"Spray {spray.name}{count}",
        (_LAW,) if number > 1 else (_LAW, _CARE),
    )
