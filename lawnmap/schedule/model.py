"""What a season is: dated steps in order, each with what it waits for and where that comes from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lawnmap.rates import Source
    from lawnmap.schedule.days import Hemisphere
    from lawnmap.yard import Finding


@dataclass(frozen=True)
class Waited:
    """One thing that a step waits for, in words.

    Attributes
    ----------
    of : str
        Key of the earlier step.
    name : str
        What that step is called.
    days : int
        Least time from it. [day]
    over : date
        Day on which it is over.
    source : Source or None
        Where the time comes from; None for the plain order of the work.
    """

    of: str
    name: str
    days: int
    over: date
    source: Source | None

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "of": self.of,
            "days": self.days,
            "over": self.over.isoformat(),
            "source": str(self.source) if self.source else None,
            "source_row": self.source.to_dict() if self.source else None,
        }


@dataclass(frozen=True)
class Step:
    """One thing to do, or to look for, on a day.

    Attributes
    ----------
    key : str
        Stable name: ``"first_mow"``, ``"spray siduron 2"``.
    name : str
        What it is called.
    day : date
        When.
    why : tuple of str
        What to know about it, in sentences.
    waits : tuple of Waited
        What it waits for.
    sources : tuple of Source
        Where its rules in words come from.
    fixed : bool
        Whether the user set the day.
    held_by : str
        What moved it, in the user's words; empty if nothing did.
    """

    key: str
    name: str
    day: date
    why: tuple[str, ...] = ()
    waits: tuple[Waited, ...] = ()
    sources: tuple[Source, ...] = ()
    fixed: bool = False
    held_by: str = ""

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "key": self.key,
            "name": self.name,
            "day": self.day.isoformat(),
            "why": list(self.why),
            "waits": [wait.to_dict() for wait in self.waits],
            "sources": [str(source) for source in self.sources],
            "fixed": self.fixed,
            "held_by": self.held_by,
        }


@dataclass(frozen=True)
class Season:
    """The weeks from the soil test to the next spring.

    Attributes
    ----------
    steps : tuple of Step
        In the order of their days.
    seeding : date
        Day on which the seed goes down, holds counted in.
    last_seeding : date or None
        Last sensible day for it, counted back from the first frost; None without a frost.
    hemisphere : str
        Which half of the earth.
    identity : str
        What tells this season from other seasons of the same job, in a calendar.
    revision : int
        How often the user has renewed it. [count]
    findings : tuple of Finding
        Conflicts and assumptions.
    """

    steps: tuple[Step, ...]
    seeding: date
    last_seeding: date | None
    hemisphere: Hemisphere
    identity: str
    revision: int
    findings: tuple[Finding, ...] = ()

    def step(self, key: str) -> Step | None:
        """Return one step, or None if it is not part of the season.

        Parameters
        ----------
        key : str
            Its stable name.
        """
        return next((step for step in self.steps if step.key == key), None)

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping of JSON values; days as RFC 3339 writes them."""
        return {
            "seeding": self.seeding.isoformat(),
            "last_seeding": self.last_seeding.isoformat() if self.last_seeding else None,
            "hemisphere": self.hemisphere,
            "identity": self.identity,
            "revision": self.revision,
            "steps": [step.to_dict() for step in self.steps],
            "findings": [finding.to_dict() for finding in self.findings],
        }
