"""How thin a stand is: four plain classes, and the percent cover each begins at."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from lawnmap.errors import ChoiceError

DENSITIES: Final = ("bare", "thin", "patchy", "full")
"""From the poorest stand to the best."""


@dataclass(frozen=True)
class DensityTable:
    """Percent of ground covered by desirable grass at which each class begins.

    The line at 50 % follows the extension services that put renovation near half weeds or dead
    ground (University of Maryland Extension; University of Minnesota Extension, 30 to 50 %). The
    lines at 15 % and 80 % are ours: no publication gives them. *common practice*

    Attributes
    ----------
    thin_percent, patchy_percent, full_percent : float
        Least cover of each class. Below ``thin_percent`` the ground is bare. [%]
    """

    thin_percent: float = 15.0
    patchy_percent: float = 50.0
    full_percent: float = 80.0

    def __post_init__(self) -> None:
        if not 0 < self.thin_percent < self.patchy_percent < self.full_percent <= 100:
            raise ChoiceError(
                f"the cover table {self.thin_percent:g}, {self.patchy_percent:g}, {self.full_percent:g} % "
                "does not rise",
                mend="give three rising percentages between 0 and 100",
            )


def grade(cover_percent: float, table: DensityTable | None = None) -> str:
    """Return the density class of a percent cover.

    Parameters
    ----------
    cover_percent : float
        Ground covered by desirable grass. [%]
    table : DensityTable, optional
        Where each class begins.

    Examples
    --------
    >>> grade(10), grade(50), grade(79.9), grade(100)
    ('bare', 'patchy', 'patchy', 'full')
    """
    table = table or DensityTable()
    if cover_percent < table.thin_percent:
        return "bare"
    if cover_percent < table.patchy_percent:
        return "thin"
    return "patchy" if cover_percent < table.full_percent else "full"
