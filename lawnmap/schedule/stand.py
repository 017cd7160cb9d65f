"""What the grasses that are sown mean for the calendar: when they are up, which season suits them, how late."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from lawnmap.rates.rows import select
from lawnmap.schedule.days import Hemisphere, is_between, named
from lawnmap.schedule.intervals import WARM_SEASON, Interval, germination, interval

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lawnmap.rates import Source


@dataclass(frozen=True)
class Stand:
    """The grasses of one sowing.

    Attributes
    ----------
    days : dict
        Days to germination of each grass.
    unknown : tuple of str
        Grasses that no table names; they count as most turfgrasses do.
    main : str
        The grass with the largest share.
    """

    days: dict[str, Interval]
    unknown: tuple[str, ...]
    main: str

    @property
    def slowest(self) -> str:
        """The grass that is up last."""
        return max(self.days, key=lambda name: (self.days[name].high, self.days[name].typical))

    @property
    def sprouts(self) -> Interval:
        """Days to germination of the grass that usually takes longest."""
        return max(self.days.values(), key=lambda found: found.typical)

    @property
    def first_days(self) -> int:
        """Days until the first seedlings may be seen. [day]"""
        return min(found.low for found in self.days.values())

    @property
    def kind(self) -> str:
        """``"warm-season"`` if all of it is, else ``"cool-season"``."""
        return "warm-season" if set(self.days) <= set(WARM_SEASON) else "cool-season"

    def last_seeding(self, frost: date) -> tuple[date, int, Source]:
        """Return the last sensible day to sow the main grass, counted back from the first frost.

        Parameters
        ----------
        frost : date
            First frost to expect.

        Returns
        -------
        tuple of (date, int, Source)
            The day, the days between it and the frost, and where they come from.
        """
        if self.kind == "warm-season":
            needed = interval("warm-season", "seeding before frost")
            days = needed.typical
        else:
            needed = interval("cool-season", "growth before frost")
            days = needed.typical + self.days[self.main].typical
        return frost - timedelta(days=days), days, needed.source

    def soil_words(self) -> tuple[tuple[str, Source], ...]:
        """Say how warm publications want the soil, for each grass that they name, or for its kind."""
        found = {name: select("soil_temperatures", name) for name in self.days}
        if self.kind == "warm-season" and not any(found.values()):
            found = {"warm-season grass": select("soil_temperatures", "warm-season grasses")}
        return tuple(
            (f"Soil for {name}: {_degrees(row.low, row.high)}.", row.source)
            for name, rows in found.items()
            for row in rows
        )

    def window(self, use: str, hemisphere: Hemisphere) -> tuple[tuple[int, int], tuple[int, int]] | None:
        """Return the part of the year that publications name for sowing it, all of them together.

        Parameters
        ----------
        use : str
            ``"best"`` or ``"second best"``.
        hemisphere : str
            Where it shall hold.

        Returns
        -------
        tuple or None
            Month and day of both ends.
        """
        ends = [(row.low, row.high) for row in select("seeding_days", self.kind, use)]
        lows = [low for low, _ in ends if low is not None]
        highs = [high for _, high in ends if high is not None]
        return (named(min(lows), hemisphere), named(max(highs), hemisphere)) if lows else None

    def window_sources(self, use: str) -> tuple[Source, ...]:
        """Return the publications that name such a part of the year.

        Parameters
        ----------
        use : str
            ``"best"`` or ``"second best"``.
        """
        return tuple(row.source for row in select("seeding_days", self.kind, use))

    def suits(self, day: date, hemisphere: Hemisphere) -> str:
        """Return ``"best"`` or ``"second best"`` for a day in such a part of the year, else nothing.

        Parameters
        ----------
        day : date
            When it would be sown.
        hemisphere : str
            Where.
        """
        for use in ("best", "second best"):
            ends = self.window(use, hemisphere)
            if ends and is_between(day, *ends):
                return use
        return ""


def stand_of(species: Mapping[str, float]) -> Stand:
    """Look every grass up.

    Parameters
    ----------
    species : mapping
        Share of each, by the names of the tables; without any, what holds for most turfgrasses.
    """
    found = {name: germination(name) for name in species}
    if not found:
        return Stand({"grass": germination("")[0]}, (), "grass")
    return Stand(
        {name: days for name, (days, _) in found.items()},
        tuple(name for name, (_, known) in found.items() if not known),
        max(species, key=species.__getitem__),
    )


def _degrees(low_f: float | None, high_f: float | None) -> str:
    """Write a range that is published in degrees Fahrenheit, with Celsius beside it; one figure is the least."""
    assert low_f is not None
    assert high_f is not None
    low_c, high_c = ((degree - 32) / 1.8 for degree in (low_f, high_f))
    if low_f == high_f:
        return f"{low_f:g} °F ({low_c:.0f} °C) or warmer"
    return f"{low_f:g} to {high_f:g} °F ({low_c:.0f} to {high_c:.0f} °C)"
