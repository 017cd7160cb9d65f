"""How long each thing takes, from the cited tables: germination by species, waits between the steps."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING, Final

from lawnmap.rates.rows import combine, select
from lawnmap.rates.species import FINE_FESCUES

if TYPE_CHECKING:
    from lawnmap.rates import Source

DAY_S: Final = 86400.0
ANY_GRASS: Final = "most turfgrasses"
WARM_SEASON: Final = ("bermudagrass", "zoysiagrass", "buffalograss", "centipedegrass", "bahiagrass")
"""Grasses that grow in the heat; all others of the tables are cool-season grasses (UC Guide to Healthy
Lawns, University of California Statewide IPM Program, the list of warm-season grasses)."""


@dataclass(frozen=True)
class Interval:
    """A number of days and where it comes from.

    Attributes
    ----------
    low, typical, high : int
        Least, usual and most; the usual one is rounded up. [day]
    source, latest : Source
        The row nearest to the usual figure, and the one that gives most.
    """

    low: int
    typical: int
    high: int
    source: Source
    latest: Source

    def words(self) -> str:
        """Write the range as people say it: ``14 days``, ``5 to 10 days``."""
        if self.low == self.high:
            return f"{self.low} day{'' if self.low == 1 else 's'}"
        return f"{self.low} to {self.high} days"


def interval(item: str, use: str, table: str = "intervals") -> Interval:
    """Return what a table says about one wait.

    Parameters
    ----------
    item, use, table : str
        Names of the item, what the figure is for, and the table.
    """
    rows = select(table, item, use)
    found = combine(rows, "time")
    low, typical, high = (ceil(round(value / DAY_S, 6)) for value in (found.low, found.typical, found.high))
    latest = max(rows, key=lambda row: row.high or 0)
    return Interval(low, typical, high, found.nearest.source, latest.source)


def germination(species: str) -> tuple[Interval, bool]:
    """Return the days to germination of one grass, and whether a table names it.

    Parameters
    ----------
    species : str
        Name as the tables have it.

    Returns
    -------
    tuple of (Interval, bool)
        For a grass that no table names, what holds for most turfgrasses.
    """
    for name in (species, *(FINE_FESCUES if species == "fine fescue" or species in FINE_FESCUES else ())):
        if select("germination", name, ""):
            return interval(name, "", "germination"), True
    return interval(ANY_GRASS, "", "germination"), False


def advice(item: str, use: str = "how") -> tuple[tuple[str, Source], ...]:
    """Return the rules in words that a table has on one step, each with its source.

    Parameters
    ----------
    item, use : str
        The step, and which kind of rule.
    """
    return tuple((row.text, row.source) for row in select("intervals", item, use))
