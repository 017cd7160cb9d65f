"""Published ways to find what a spreader lays: catch, known area, trays; and whether it is near enough."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lawnmap.errors import InputError
from lawnmap.evenness.settings import TOLERANCE
from lawnmap.units import US, UnitSystem
from lawnmap.yard import finding

if TYPE_CHECKING:
    from lawnmap.evenness.catch import CatchTest
    from lawnmap.yard import Finding


@dataclass(frozen=True)
class Check:
    """A rate that was laid, against the one that was wanted.

    Attributes
    ----------
    rate_kg_per_m2 : float
        Laid. [kg/m²]
    wanted_kg_per_m2 : float
        Wanted. [kg/m²]
    low_kg_per_m2, high_kg_per_m2 : float
        The band that passes. [kg/m²]
    """

    rate_kg_per_m2: float
    wanted_kg_per_m2: float
    low_kg_per_m2: float
    high_kg_per_m2: float

    @property
    def ratio(self) -> float:
        """Laid over wanted. [1]"""
        return self.rate_kg_per_m2 / self.wanted_kg_per_m2

    @property
    def passes(self) -> bool:
        """Whether it is within the band."""
        return self.low_kg_per_m2 <= self.rate_kg_per_m2 <= self.high_kg_per_m2

    def line(self, units: UnitSystem = US) -> str:
        """Return the check as one sentence.

        Parameters
        ----------
        units : UnitSystem
            What the user reads rates in.
        """
        verdict = "inside" if self.passes else "outside"
        return (
            f"Laid {units.rate(self.rate_kg_per_m2)} where {units.rate(self.wanted_kg_per_m2)} was wanted: {verdict} "
            f"the band from {units.rate(self.low_kg_per_m2)} to {units.rate(self.high_kg_per_m2)}"
        )

    def findings(self) -> tuple[Finding, ...]:
        """Return a finding if it is outside the band."""
        if self.passes:
            return ()
        word = "over" if self.ratio > 1 else "under"
        text = f"the run laid {abs(self.ratio - 1):.0%} {word} the rate that was wanted"
        return (finding("rate-out-of-tolerance", text),)

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "rate_kg_per_m2": self.rate_kg_per_m2,
            "wanted_kg_per_m2": self.wanted_kg_per_m2,
            "low_kg_per_m2": self.low_kg_per_m2,
            "high_kg_per_m2": self.high_kg_per_m2,
            "ratio": self.ratio,
            "passes": self.passes,
        }


def check_rate(rate_kg_per_m2: float, wanted_kg_per_m2: float, tolerance: float = TOLERANCE) -> Check:
    """Compare a rate with the one wanted: within ± 5 % the spreader is calibrated.

    Parameters
    ----------
    rate_kg_per_m2 : float
        Laid. [kg/m²]
    wanted_kg_per_m2 : float
        Wanted. [kg/m²]
    tolerance : float
        Half the band that passes; see `lawnmap.evenness.settings.TOLERANCE` for its source. [1]
    """
    if wanted_kg_per_m2 <= 0:
        raise InputError("the rate that is wanted is nothing", mend="give the rate of the label or the plan")
    return Check(
        rate_kg_per_m2,
        wanted_kg_per_m2,
        wanted_kg_per_m2 * (1 - tolerance),
        wanted_kg_per_m2 * (1 + tolerance),
    )


def rate_from_area(used_kg: float, area_m2: float) -> float:
    """Return the rate of a catch or of a known area.

    Caught in a pan under a drop spreader over a course (Consumer Reports, *How to calibrate a drop
    spreader*, 2006), or gone from the hopper over a course of known area (University of Georgia Center
    for Urban Agriculture, *Calibrating Your Spreader*, steps 3-5).

    Parameters
    ----------
    used_kg : float
        Caught or used. [kg]
    area_m2 : float
        Course length times swath. [m²]

    Examples
    --------
    >>> round(rate_from_area(0.5, 50), 3)
    0.01
    """
    if not area_m2 > 0:
        raise InputError(f"an area of {area_m2:g} m² has no rate", mend="give course length times swath")
    if used_kg < 0:
        raise InputError(f"{used_kg:g} kg cannot have been used", mend="weigh the hopper before and after")
    return used_kg / area_m2


def course_length(swath_m: float, area_m2: float) -> float:
    """Return how long a course must be to make a known area.

    University of Georgia, as `rate_from_area`: 1,000 square feet over the swath, so that pounds used
    are pounds per 1,000 square feet.

    Parameters
    ----------
    swath_m : float
        Effective swath. [m]
    area_m2 : float
        Area to make, 1,000 square feet for instance. [m²]

    Returns
    -------
    float
        Length of the course. [m]
    """
    if not (swath_m > 0 and area_m2 > 0):
        raise InputError("a course needs a swath and an area above zero", mend="measure the swath first")
    return area_m2 / swath_m


def rate_from_trays(
    test: CatchTest, *, tray_area_m2: float, spacing_m: float, passes: int = 1, weight_kg: float = 1.0
) -> float:
    """Return the rate that lanes at a spacing lay, from the trays alone.

    Derived here: a pass lays the sum of the trays × tray spacing ÷ tray area per metre of its length,
    and each metre of width gets that over the distance between lanes.

    Parameters
    ----------
    test : CatchTest
        With what every tray weighed.
    tray_area_m2 : float
        Opening of one tray. [m²]
    spacing_m : float
        Distance between lanes. [m]
    passes : int
        How often the spreader went over the trays in each run. [count]
    weight_kg : float
        Unit of the weights: 0.001 where they are grams. [kg]
    """
    if not (tray_area_m2 > 0 and spacing_m > 0 and passes > 0):
        raise InputError(
            "trays, spacing and passes must be above zero", where=test.where, mend="measure a tray"
        )
    caught = float(test.runs.sum(axis=1).mean())
    return weight_kg * caught / passes * test.spacing_m / tray_area_m2 / spacing_m
