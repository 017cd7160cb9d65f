"""Three small drawings of a throw as SVG: the throw itself, neighbours added up, variation against spacing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final
from xml.sax.saxutils import escape

import numpy as np

from lawnmap.evenness.overlap import CV_LIMIT, Way, cv_curve, overlap
from lawnmap.units import US, convert

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from lawnmap.evenness.pattern import Pattern
    from lawnmap.units import UnitSystem

_WIDE: Final = 300
_HIGH: Final = 200
_LEFT: Final = 46
_RIGHT: Final = 12
_TOP: Final = 30
_BOTTOM: Final = 40
_LINE: Final = "#1b3358"
_FAINT: Final = "#9aa3b2"
_WARN: Final = "#b35806"
_INK: Final = "#1f2a24"


@dataclass(frozen=True)
class _Panel:
    """One drawing with its two axes; lengths in the user's unit."""

    number: int
    title: str
    across: tuple[float, float]
    up: tuple[float, float]
    below: str
    beside: str

    @property
    def left(self) -> float:
        return self.number * _WIDE + _LEFT

    def at(self, across: NDArray[np.float64], up: NDArray[np.float64]) -> NDArray[np.float64]:
        """Turn values into places on the drawing."""
        wide, high = _WIDE - _LEFT - _RIGHT, _HIGH - _TOP - _BOTTOM
        return np.column_stack(
            [
                self.left + (across - self.across[0]) / (self.across[1] - self.across[0]) * wide,
                _HIGH - _BOTTOM - (up - self.up[0]) / (self.up[1] - self.up[0]) * high,
            ]
        )

    def line(self, across: NDArray[np.float64], up: NDArray[np.float64], colour: str, style: str = "") -> str:
        """A curve."""
        points = " ".join(f"{a:.1f},{b:.1f}" for a, b in self.at(across, up))
        return f'<polyline points="{points}" fill="none" stroke="{colour}" stroke-width="2" {style}/>'

    def cut(self, drawn: str) -> str:
        """What lies within the axes; an inner picture cuts off the rest."""
        wide, high = _WIDE - _LEFT - _RIGHT, _HIGH - _TOP - _BOTTOM
        return (
            f'<svg x="{self.left}" y="{_TOP}" width="{wide}" height="{high}" '
            f'viewBox="{self.left} {_TOP} {wide} {high}">{drawn}</svg>'
        )

    def upright(self, across: float, colour: str) -> str:
        """A dashed line from top to bottom."""
        return self.line(np.full(2, across), np.array(self.up), colour, 'stroke-dasharray="4 4"')

    def level(self, up: float, colour: str) -> str:
        """A dashed line from side to side."""
        return self.line(np.array(self.across), np.full(2, up), colour, 'stroke-dasharray="4 4"')

    def frame(self) -> str:
        """Title, axes, their ticks and names."""
        right, foot = self.left + _WIDE - _LEFT - _RIGHT, _HIGH - _BOTTOM
        parts = [
            f'<text x="{self.left}" y="18" font-size="13" font-weight="bold">{escape(self.title)}</text>',
            f'<path d="M{self.left},{_TOP} V{foot} H{right}" fill="none" stroke="{_INK}"/>',
            f'<text x="{(self.left + right) / 2}" y="{_HIGH - 6}" text-anchor="middle">{escape(self.below)}</text>',
        ]
        for value in _ticks(*self.across):
            place = self.at(np.array([value]), np.array([self.up[0]]))[0]
            parts.append(
                f'<text x="{place[0]:.1f}" y="{foot + 15}" text-anchor="middle">{value:g}</text>'
                f'<path d="M{place[0]:.1f},{foot} v4" stroke="{_INK}"/>'
            )
        for value in _ticks(*self.up):
            place = self.at(np.array([self.across[0]]), np.array([value]))[0]
            parts.append(
                f'<text x="{self.left - 7}" y="{place[1] + 4:.1f}" text-anchor="end">{value:g}</text>'
                f'<path d="M{self.left},{place[1]:.1f} h-4" stroke="{_INK}"/>'
            )
        parts.append(
            f'<text x="{self.left - 34}" y="{(_TOP + foot) / 2}" text-anchor="middle" '
            f'transform="rotate(-90 {self.left - 34} {(_TOP + foot) / 2})">{escape(self.beside)}</text>'
        )
        return "".join(parts)


def draw_overlap(
    pattern: Pattern,
    spacing_m: float,
    *,
    way: Way = "back and forth",
    limit: float = CV_LIMIT,
    units: UnitSystem = US,
) -> str:
    """Draw a throw, its neighbours added up, and the variation for every spacing, as one SVG.

    Parameters
    ----------
    pattern : Pattern
        What one swath leaves.
    spacing_m : float
        Distance between lanes as planned. [m]
    way : str
        ``"back and forth"`` or ``"round and round"``.
    limit : float
        Most standard deviation over mean that is accepted. [1]
    units : UnitSystem
        What the user reads lengths in.
    """
    unit = units.width_unit
    body = (
        _throw(pattern, spacing_m, unit)
        + _sum(pattern, spacing_m, way, unit)
        + _curve(pattern, spacing_m, way, limit, unit)
    )
    found = overlap(pattern, spacing_m, way)
    says = (
        f"Throw, overlap and variation: lanes {units.width(spacing_m)} apart vary by {found.cv:.0%}, from "
        f"{found.lowest:.0%} to {found.highest:.0%} of the rate"
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {3 * _WIDE} {_HIGH}" width="{3 * _WIDE}" '
        f'height="{_HIGH}" role="img" font-family="sans-serif" font-size="11" fill="{_INK}">'
        f"<title>{escape(says)}</title>{body}</svg>"
    )


def _throw(pattern: Pattern, spacing_m: float, unit: str) -> str:
    """The throw over its own peak, with the half-rate points."""
    share = pattern.density_per_m / pattern.density_per_m.max()
    offset = np.array([convert(float(u), unit) for u in pattern.offset_m])
    reach = convert(max(pattern.reach_m, spacing_m / 2), unit) * 1.05
    panel = _Panel(
        0, "One swath", (-reach, reach), (0, 110), f"{unit} from the walking line", "% of the peak"
    )
    ends = np.concatenate([offset[:1], offset, offset[-1:]])
    parts = [panel.frame(), panel.level(50, _FAINT), panel.upright(0, _FAINT)]
    parts.append(panel.line(ends, 100 * np.concatenate([[0.0], share, [0.0]]), _LINE))
    for half in pattern.half_rate_m:
        place = panel.at(np.array([convert(half, unit)]), np.array([50.0]))[0]
        parts.append(f'<circle cx="{place[0]:.1f}" cy="{place[1]:.1f}" r="4" fill="{_WARN}"/>')
    return "".join(parts)


def _sum(pattern: Pattern, spacing_m: float, way: Way, unit: str) -> str:
    """The rate across four lanes, and each of them faintly."""
    found = overlap(pattern, spacing_m, way)
    period = found.offset_m[-1]
    count = 4 if way == "round and round" else 2
    offset = np.concatenate([found.offset_m + period * number for number in range(count)])
    wide = count * period
    panel = _Panel(
        1,
        f"Lanes {convert(spacing_m, unit):.3g} {unit} apart, CV {found.cv:.0%}",
        (0.0, convert(wide, unit)),
        (0.0, max(150.0, 110 * found.highest)),
        f"{unit} across the lanes",
        "% of the rate",
    )
    scale = convert(1.0, unit)
    lanes = []
    for lane in range(-2, round(wide / spacing_m) + 3):
        own = pattern.mirrored() if way == "back and forth" and lane % 2 else pattern
        place = np.concatenate([own.offset_m[:1], own.offset_m, own.offset_m[-1:]]) + lane * spacing_m
        rate = 100 * spacing_m * np.concatenate([[0.0], own.density_per_m, [0.0]])
        lanes.append(panel.line(place * scale, rate, _FAINT))
    whole = panel.line(offset * scale, 100 * np.tile(found.rate, count), _LINE)
    return panel.frame() + panel.level(100, _FAINT) + panel.cut("".join(lanes) + whole)


def _curve(pattern: Pattern, spacing_m: float, way: Way, limit: float, unit: str) -> str:
    """Variation against spacing, with the limit and the spacing as planned."""
    widest = max(1.8 * pattern.effective_swath_m, 1.15 * spacing_m)
    spacing = np.linspace(0.2 * pattern.effective_swath_m, widest, 121)
    variation = 100 * cv_curve(pattern, spacing, way)
    panel = _Panel(
        2,
        "Variation for every spacing",
        (0.0, convert(widest, unit)),
        (0.0, max(30.0, 1.1 * float(variation.max()))),
        f"{unit} between lanes",
        "CV, %",
    )
    return (
        panel.frame()
        + panel.level(100 * limit, _WARN)
        + panel.upright(convert(spacing_m, unit), _FAINT)
        + panel.line(spacing * convert(1.0, unit), variation, _LINE)
    )


def _ticks(low: float, high: float) -> list[float]:
    """Four to eight round values within an interval."""
    step = 10 ** np.floor(np.log10((high - low) / 4))
    for factor in (1, 2, 5, 10):
        if (high - low) / (factor * step) <= 7:
            step *= factor
            break
    first = np.ceil(low / step - 1e-9) * step
    return [round(float(v), 10) + 0.0 for v in np.arange(first, high + step * 1e-6, step)]
