"""All that a throw says before any lawn: its swath, how lanes of it add up, and which spacing to walk."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from lawnmap.evenness.advice import SpacingAdvice, advise_spacing
from lawnmap.evenness.chart import overlap_figures
from lawnmap.evenness.modes import ModeScore, score_modes
from lawnmap.evenness.overlap import CV_LIMIT, Overlap, SpacingBand, Way, overlap, widest_spacing
from lawnmap.units import US

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

    from lawnmap.evenness.pattern import Pattern
    from lawnmap.units import UnitSystem
    from lawnmap.yard import Finding


@dataclass(frozen=True, eq=False)
class ThrowReport:
    """What a throw says about itself and about the lanes.

    Attributes
    ----------
    pattern : Pattern
        What one swath leaves.
    laid : Overlap
        Its lanes side by side at the spacing as planned.
    band : SpacingBand
        The spacings that keep within the limit.
    modes : tuple of ModeScore
        The three ways to split a rate.
    spacing : SpacingAdvice
        Which spacing it wants.
    wander_m : float
        How far a lane strays from its line, as a standard deviation. [m]
    findings : tuple of Finding
        What the user should know about the test.
    """

    pattern: Pattern = field(repr=False)
    laid: Overlap = field(repr=False)
    band: SpacingBand
    modes: tuple[ModeScore, ...] = field(repr=False)
    spacing: SpacingAdvice
    wander_m: float
    findings: tuple[Finding, ...] = ()

    def lines(self, units: UnitSystem = US) -> tuple[str, ...]:
        """Return the report as plain lines, one fact each.

        Parameters
        ----------
        units : UnitSystem
            What the user reads lengths in.
        """
        throw, laid, band = self.pattern, self.laid, self.band
        side = "right" if throw.centre_m > 0 else "left"
        share = max(throw.left_share, 1 - throw.left_share)
        at = (
            f"{units.width(abs(throw.centre_m))} {side} of the walking line, where {share:.0%} lands"
            if abs(throw.centre_m) > 1e-3 * throw.width_m
            else "on the walking line"
        )
        down = (
            f", and so does every spacing down to {units.width(band.narrowest_m)}" if band.narrowest_m else ""
        )
        steered = f"; CV {self.spacing.steered_cv:.0%} with a wander of {units.width(self.wander_m)}"
        extremes = f"from {laid.lowest:.0%} to {laid.highest:.0%} of the rate"
        return (
            f"Throw ({throw.shape}): {units.width(throw.width_m)} wide, its middle {at}",
            f"Effective swath, between the two points of half the rate: {units.width(throw.effective_swath_m)}",
            f"Lanes {units.width(laid.spacing_m)} apart, {laid.way}: CV {laid.cv:.0%}, {extremes}{steered if self.wander_m else ''}",
            f"Widest spacing within a CV of {band.limit:.0%}: {units.width(band.widest_m)}{down}",
            "CV is the standard deviation of all the ground, not of a sample, over its mean",
            *(f"Advice: {line}" for line in self.spacing.says),
        )

    def figures(self, units: UnitSystem = US) -> tuple[Element, Element, Element]:
        """Return the throw, its neighbours added up and the variation for every spacing as ``svg`` elements.

        Parameters
        ----------
        units : UnitSystem
            What the user reads lengths in.
        """
        laid = self.laid
        return overlap_figures(self.pattern, laid.spacing_m, way=laid.way, limit=self.band.limit, units=units)

    def to_dict(self) -> dict[str, object]:
        """Return the report as a mapping of JSON values."""
        return {
            **self.pattern.to_dict(),
            "laid": self.laid.to_dict(),
            "band": self.band.to_dict(),
            "modes": [mode.to_dict() for mode in self.modes],
            "spacing": self.spacing.to_dict(),
            "wander_m": self.wander_m,
            "findings": [one.to_dict() for one in self.findings],
        }


def report_throw(
    pattern: Pattern,
    spacing_m: float | None = None,
    *,
    wander_m: float = 0.0,
    limit: float = CV_LIMIT,
    way: Way = "back and forth",
    units: UnitSystem = US,
) -> ThrowReport:
    """Work out all that a throw says.

    Parameters
    ----------
    pattern : Pattern
        What one swath leaves.
    spacing_m : float, optional
        Distance between lanes as planned; the effective swath if left out. [m]
    wander_m : float
        Standard deviation of a lane from its line. [m]
    limit : float
        Most standard deviation over mean that is accepted. [1]
    way : str
        ``"back and forth"`` or ``"round and round"``.
    units : UnitSystem
        What the user reads lengths in.

    Examples
    --------
    >>> from lawnmap.evenness.shapes import triangle
    >>> report_throw(triangle(2.0), 3.0).lines()[2]
    'Lanes 9.84 ft apart, back and forth: CV 25%, from 75% to 150% of the rate'
    """
    at_m = pattern.effective_swath_m if spacing_m is None else spacing_m
    return ThrowReport(
        pattern=pattern,
        laid=overlap(pattern, at_m, way),
        band=widest_spacing(pattern, limit, way),
        modes=score_modes(pattern, at_m, wander_m=wander_m, way=way),
        spacing=advise_spacing(pattern, at_m, wander_m=wander_m, limit=limit, way=way, units=units),
        wander_m=wander_m,
    )
