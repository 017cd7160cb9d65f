"""What waits for what: days of all steps from one day that stands, so that moving one moves the rest."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from graphlib import TopologicalSorter
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from lawnmap.rates import Source
    from lawnmap.schedule.dates import Hold


@dataclass(frozen=True)
class Wait:
    """One thing that a step waits for.

    Attributes
    ----------
    of : str
        Key of the earlier step.
    days : int
        Least time from it. [day]
    source : Source or None
        Where the time comes from; None for the plain order of the work.
    label : bool
        Whether the user's product label sets it, which is law.
    """

    of: str
    days: int
    source: Source | None = None
    label: bool = False


@dataclass(frozen=True)
class Node:
    """A step before it has a day.

    Attributes
    ----------
    key : str
        Its name.
    waits : tuple of Wait
        All that it waits for.
    is_work : bool
        Whether somebody does it, so that a hold can keep him from it.
    """

    key: str
    waits: tuple[Wait, ...] = ()
    is_work: bool = True


@dataclass(frozen=True)
class Placed:
    """The day of a step.

    Attributes
    ----------
    day : date
        When it is.
    bound : date
        First day that its waits allow, or the last one for what comes before the day that stands.
    fixed : bool
        Whether the user set it.
    held : Hold or None
        What moved it.
    """

    day: date
    bound: date
    fixed: bool = False
    held: Hold | None = None


def place(
    nodes: Iterable[Node], anchor: str, day: date, fixed: Mapping[str, date], holds: Iterable[Hold] = ()
) -> dict[str, Placed]:
    """Give every step its day.

    What the anchor waits for is placed backwards from it, as late as it may be; all else forwards, as
    early as it may be. A day that the user set stays, and whatever waits for it is counted from there.

    Parameters
    ----------
    nodes : iterable of Node
        The steps, without a circle among their waits.
    anchor : str
        Key of the step that everything is counted from.
    day : date
        Its day; a hold moves it on.
    fixed : mapping
        Days that the user set, by key.
    holds : iterable of Hold
        Days without work.

    Returns
    -------
    dict
        Day of each step, by key.
    """
    steps = {node.key: node for node in nodes}
    held = tuple(holds)
    order = tuple(
        TopologicalSorter({key: [w.of for w in n.waits] for key, n in steps.items()}).static_order()
    )
    before = _before(anchor, steps)
    moved, hold = _past(steps[anchor], day, held, forwards=True)
    placed = {anchor: Placed(moved, day, fixed=True, held=hold)}
    for key in reversed(order):
        if key in before:
            later = [
                placed[node.key].day - timedelta(days=wait.days)
                for node in steps.values()
                for wait in node.waits
                if wait.of == key and node.key in placed
            ]
            placed[key] = _settle(steps[key], min(later), fixed, held, forwards=False)
    for key in order:
        if key not in placed:
            earlier = [placed[wait.of].day + timedelta(days=wait.days) for wait in steps[key].waits]
            placed[key] = _settle(steps[key], max(earlier, default=moved), fixed, held, forwards=True)
    return placed


def _before(anchor: str, steps: Mapping[str, Node]) -> set[str]:
    """Keys of everything that a step waits for, directly or not."""
    found: set[str] = set()
    open_keys = [anchor]
    while open_keys:
        for wait in steps[open_keys.pop()].waits:
            if wait.of not in found:
                found.add(wait.of)
                open_keys.append(wait.of)
    return found


def _settle(
    node: Node, bound: date, fixed: Mapping[str, date], holds: tuple[Hold, ...], *, forwards: bool
) -> Placed:
    if node.key in fixed:
        return Placed(fixed[node.key], bound, fixed=True)
    day, hold = _past(node, bound, holds, forwards=forwards)
    return Placed(day, bound, held=hold)


def _past(node: Node, day: date, holds: tuple[Hold, ...], *, forwards: bool) -> tuple[date, Hold | None]:
    """Go on (or back) to a day that no hold covers, with the last hold that was in the way."""
    found: Hold | None = None
    step: Callable[[Hold], date] = (
        (lambda hold: hold.last + timedelta(days=1))
        if forwards
        else (lambda hold: hold.first - timedelta(days=1))
    )
    while node.is_work:
        hold = next((h for h in holds if h.first <= day <= h.last and _concerns(h, node.key)), None)
        if hold is None:
            break
        day, found = step(hold), hold
    return day, found


def _concerns(hold: Hold, key: str) -> bool:
    return not hold.steps or key in hold.steps or (key.startswith("spray") and "spray" in hold.steps)
