"""The three ways to split a rate over the ground, scored for one throw."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import TYPE_CHECKING, Final

from lawnmap.evenness.overlap import Way, overlap
from lawnmap.evenness.steering import skipped_share, steered_cv

if TYPE_CHECKING:
    from lawnmap.evenness.pattern import Pattern
    from lawnmap.lanes.rig import Passes

SAYS: Final[dict[Passes, str]] = {
    "one direction": "Least walking. Stripes, if there are any, run the length of the lawn.",
    "two directions": (
        "Crossing passes turn stripes into a checkerboard and lower the variation by 29 %, but the leanest and "
        "the fattest spots stay as they were (LSU AgCenter, R. L. Parish, Avoid Right-angle Patterns with Rotary "
        "Spreaders, 2004). They do even out crooked walking and lane ends, and show a wrong setting half way. "
        "UMass Extension recommends them (Rotary Spreader Calibration Procedures, Figure 1)."
    ),
    "half spacing": (
        "Lanes half as far apart at half the rate even out a throw that is too narrow or too peaked better than "
        "crossing passes (Ohio State University Extension, Bulletin 817, b817_14). A flat-topped throw may come "
        "out worse: see the figure."
    ),
}
"""What each mode does, in words."""


@dataclass(frozen=True)
class ModeScore:
    """One way to split the rate.

    Attributes
    ----------
    mode : str
        As the rig's ``passes`` has it.
    cv : float
        Variation between lanes, walked dead straight. [1]
    lowest, highest : float
        Extremes of the rate over its mean. [1]
    steered_cv : float
        Variation with the lanes wandering. [1]
    skipped_share : float
        Ground that no lane reaches, with the lanes wandering. [1]
    walking : float
        Distance walked over that in one direction. [1]
    says : str
        What the mode does, in words.
    """

    mode: Passes
    cv: float
    lowest: float
    highest: float
    steered_cv: float
    skipped_share: float
    walking: float
    says: str

    def line(self) -> str:
        """Return the mode with its figures as one sentence."""
        return (
            f"{self.mode[0].upper()}{self.mode[1:]}: CV {self.cv:.0%}, from {self.lowest:.0%} to {self.highest:.0%} of "
            f"the rate; CV {self.steered_cv:.0%} with the wander; {self.walking:g} × the walking"
        )

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "mode": self.mode,
            "cv": self.cv,
            "lowest": self.lowest,
            "highest": self.highest,
            "steered_cv": self.steered_cv,
            "skipped_share": self.skipped_share,
            "walking": self.walking,
            "says": self.says,
        }


def score_modes(
    pattern: Pattern, spacing_m: float, *, wander_m: float = 0.0, way: Way = "back and forth"
) -> tuple[ModeScore, ...]:
    """Score the three modes for a throw, all at the same rate in the end.

    Crossing passes are independent of each other, so their variances add: the sum of two half rates
    varies by 1/√2 of one (derived here). Its extremes are where two lean, or two fat, strips cross.

    Parameters
    ----------
    pattern : Pattern
        What one swath leaves.
    spacing_m : float
        Distance between lanes in one direction. [m]
    wander_m : float
        Standard deviation of a lane from its line. [m]
    way : str
        ``"back and forth"`` or ``"round and round"``.

    Returns
    -------
    tuple of ModeScore
        One direction, two directions, half spacing.
    """
    one = overlap(pattern, spacing_m, way)
    half = overlap(pattern, spacing_m / 2, way)
    one_steered = steered_cv(pattern, spacing_m, wander_m, way)
    half_steered = steered_cv(pattern, spacing_m / 2, wander_m, way)
    missed = skipped_share(pattern, spacing_m, wander_m)
    missed_half = skipped_share(pattern, spacing_m / 2, wander_m)
    rows: tuple[tuple[Passes, float, float, float, float, float, float], ...] = (
        ("one direction", one.cv, one.lowest, one.highest, one_steered, missed, 1.0),
        ("two directions", one.cv / sqrt(2), one.lowest, one.highest, one_steered / sqrt(2), missed**2, 2.0),
        ("half spacing", half.cv, half.lowest, half.highest, half_steered, missed_half, 2.0),
    )
    return tuple(ModeScore(*row, says=SAYS[row[0]]) for row in rows)
