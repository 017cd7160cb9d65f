"""Three small drawings of a throw as SVG: the throw itself, neighbours added up, variation against spacing."""

from __future__ import annotations

import os
import tempfile
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Final
from xml.etree.ElementTree import Element, SubElement, tostring

import numpy as np

from lawnmap.errors import OutputError
from lawnmap.evenness.overlap import CV_LIMIT, Way, cv_curve, overlap
from lawnmap.units import US, convert

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from lawnmap.evenness.pattern import Pattern
    from lawnmap.evenness.throw import ThrowReport
    from lawnmap.units import UnitSystem

_WIDE: Final = 300
_HIGH: Final = 200
_LEFT: Final = 46
_RIGHT: Final = 12
_TOP: Final = 30
_BOTTOM: Final = 40
_INK: Final = "currentColor"
_LINE: Final = "#2f6f9f"
_FAINT: Final = "#9aa3b2"
_WARN: Final = "#b35806"


def _blank() -> Element:
    size = {"viewBox": f"0 0 {_WIDE} {_HIGH}", "width": f"{_WIDE}", "height": f"{_HIGH}", "role": "img"}
    return Element("svg", size | {"font-family": "sans-serif", "font-size": "11", "fill": _INK})


@dataclass(frozen=True)
class _Panel:
    """One drawing with its two axes; lengths in the user's unit."""

    title: str
    across: tuple[float, float]
    up: tuple[float, float]
    below: str
    beside: str
    root: Element = field(default_factory=_blank, repr=False)

    def at(self, across: NDArray[np.float64], up: NDArray[np.float64]) -> NDArray[np.float64]:
        """Turn values into places on the drawing."""
        wide, high = _WIDE - _LEFT - _RIGHT, _HIGH - _TOP - _BOTTOM
        return np.column_stack(
            [
                _LEFT + (across - self.across[0]) / (self.across[1] - self.across[0]) * wide,
                _HIGH - _BOTTOM - (up - self.up[0]) / (self.up[1] - self.up[0]) * high,
            ]
        )

    def line(
        self,
        across: NDArray[np.float64],
        up: NDArray[np.float64],
        colour: str,
        *,
        dash: str = "",
        on: Element | None = None,
    ) -> None:
        """A curve, on the drawing or on its inner part."""
        points = " ".join(f"{a:.1f},{b:.1f}" for a, b in self.at(across, up))
        style = {"fill": "none", "stroke": colour, "stroke-width": "2"}
        parent = self.root if on is None else on
        SubElement(
            parent, "polyline", {"points": points} | style | ({"stroke-dasharray": dash} if dash else {})
        )

    def inner(self) -> Element:
        """A part that is cut off at the axes."""
        wide, high = _WIDE - _LEFT - _RIGHT, _HIGH - _TOP - _BOTTOM
        place = {"x": f"{_LEFT}", "y": f"{_TOP}", "width": f"{wide}", "height": f"{high}"}
        return SubElement(self.root, "svg", place | {"viewBox": f"{_LEFT} {_TOP} {wide} {high}"})

    def upright(self, across: float, colour: str) -> None:
        """A dashed line from top to bottom."""
        self.line(np.full(2, across), np.array(self.up), colour, dash="4 4")

    def level(self, up: float, colour: str) -> None:
        """A dashed line from side to side."""
        self.line(np.array(self.across), np.full(2, up), colour, dash="4 4")

    def dot(self, across: float, up: float, colour: str) -> None:
        """A point."""
        right, down = self.at(np.array([across]), np.array([up]))[0]
        SubElement(self.root, "circle", {"cx": f"{right:.1f}", "cy": f"{down:.1f}", "r": "4", "fill": colour})

    def frame(self, says: str) -> None:
        """What it says in words, title, axes, their ticks and names."""
        SubElement(self.root, "title").text = says
        right, foot = _WIDE - _RIGHT, _HIGH - _BOTTOM
        self._text(self.title, _LEFT, 18, {"font-size": "13", "font-weight": "bold"})
        SubElement(
            self.root, "path", {"d": f"M{_LEFT},{_TOP} V{foot} H{right}", "fill": "none", "stroke": _INK}
        )
        self._text(self.below, (_LEFT + right) / 2, _HIGH - 6, {"text-anchor": "middle"})
        for value in _ticks(*self.across):
            place = float(self.at(np.array([value]), np.array([self.up[0]]))[0, 0])
            self._text(f"{value:g}", place, foot + 15, {"text-anchor": "middle"})
            SubElement(self.root, "path", {"d": f"M{place:.1f},{foot} v4", "stroke": _INK})
        for value in _ticks(*self.up):
            place = float(self.at(np.array([self.across[0]]), np.array([value]))[0, 1])
            self._text(f"{value:g}", _LEFT - 7, place + 4, {"text-anchor": "end"})
            SubElement(self.root, "path", {"d": f"M{_LEFT},{place:.1f} h-4", "stroke": _INK})
        turn = f"rotate(-90 {_LEFT - 34} {(_TOP + foot) / 2})"
        self._text(self.beside, _LEFT - 34, (_TOP + foot) / 2, {"text-anchor": "middle", "transform": turn})

    def _text(self, text: str, right: float, down: float, style: dict[str, str]) -> None:
        SubElement(self.root, "text", {"x": f"{right:.1f}", "y": f"{down:.1f}"} | style).text = text


def overlap_figures(
    pattern: Pattern,
    spacing_m: float,
    *,
    way: Way = "back and forth",
    limit: float = CV_LIMIT,
    units: UnitSystem = US,
) -> tuple[Element, Element, Element]:
    """Draw a throw, its neighbours added up, and the variation for every spacing, each as an ``svg`` element.

    Text and axes take the colour of their surroundings.

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
    return (
        _throw(pattern, spacing_m, units),
        _sum(pattern, spacing_m, way, units),
        _curve(pattern, spacing_m, way, limit, units.width_unit),
    )


def draw_overlap(
    pattern: Pattern,
    spacing_m: float,
    *,
    way: Way = "back and forth",
    limit: float = CV_LIMIT,
    units: UnitSystem = US,
) -> str:
    """Draw the three side by side as one SVG file; see `overlap_figures`.

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
    found = overlap(pattern, spacing_m, way)
    size = {"viewBox": f"0 0 {3 * _WIDE} {_HIGH}", "width": f"{3 * _WIDE}", "height": f"{_HIGH}"}
    root = Element(
        "svg", {"xmlns": "http://www.w3.org/2000/svg"} | size | {"role": "img", "color": "#1f2a24"}
    )
    SubElement(root, "title").text = (
        f"Throw, overlap and variation: lanes {units.width(spacing_m)} apart vary by {found.cv:.0%}, from "
        f"{found.lowest:.0%} to {found.highest:.0%} of the rate"
    )
    SubElement(root, "rect", {"width": "100%", "height": "100%", "fill": "#ffffff"})
    for number, figure in enumerate(overlap_figures(pattern, spacing_m, way=way, limit=limit, units=units)):
        figure.set("x", f"{number * _WIDE}")
        root.append(figure)
    return tostring(root, encoding="unicode")


def write_overlap(report: ThrowReport, path: Path, *, units: UnitSystem = US) -> None:
    """Write the three drawings of a report as an SVG file, whole or not at all.

    Parameters
    ----------
    report : ThrowReport
        What to draw.
    path : Path
        A name that ends in ``.svg``.
    units : UnitSystem
        What the user reads lengths in.

    Raises
    ------
    OutputError
        If it is no SVG file by its name, or cannot be written.
    """
    if path.suffix.lower() != ".svg":
        raise OutputError("the plot is an SVG file", where=str(path), mend="give a name that ends in .svg")
    laid = report.laid
    text = draw_overlap(report.pattern, laid.spacing_m, way=laid.way, limit=report.band.limit, units=units)
    try:
        with tempfile.TemporaryDirectory(dir=path.parent, prefix=".lawnmap-") as folder:
            new = Path(folder) / "plot.svg"
            with new.open("w", encoding="utf-8", newline="\n") as stream:
                stream.write(text + "\n")
                stream.flush()
                os.fsync(stream.fileno())
            new.replace(path)
    except OSError as fault:
        raise OutputError(
            f"the plot cannot be written ({fault.strerror or fault})",
            where=str(path),
            mend="choose another folder",
        ) from fault


def _throw(pattern: Pattern, spacing_m: float, units: UnitSystem) -> Element:
    """The throw over its own peak, with the half-rate points."""
    unit = units.width_unit
    share = pattern.density_per_m / pattern.density_per_m.max()
    offset = np.array([convert(float(u), unit) for u in pattern.offset_m])
    reach = convert(max(pattern.reach_m, spacing_m / 2), unit) * 1.05
    panel = _Panel("One swath", (-reach, reach), (0, 110), f"{unit} from the walking line", "% of the peak")
    panel.frame(f"One swath: half-rate points {units.width(pattern.effective_swath_m)} apart")
    panel.level(50, _FAINT)
    panel.upright(0, _FAINT)
    ends = np.concatenate([offset[:1], offset, offset[-1:]])
    panel.line(ends, 100 * np.concatenate([[0.0], share, [0.0]]), _LINE)
    for half in pattern.half_rate_m:
        panel.dot(convert(half, unit), 50.0, _WARN)
    return panel.root


def _sum(pattern: Pattern, spacing_m: float, way: Way, units: UnitSystem) -> Element:
    """The rate across four lanes, and each of them faintly."""
    unit = units.width_unit
    found = overlap(pattern, spacing_m, way)
    period = found.offset_m[-1]
    count = 4 if way == "round and round" else 2
    offset = np.concatenate([found.offset_m + period * number for number in range(count)])
    wide = count * period
    panel = _Panel(
        f"Lanes {convert(spacing_m, unit):.3g} {unit} apart, CV {found.cv:.0%}",
        (0.0, convert(wide, unit)),
        (0.0, max(150.0, 110 * found.highest)),
        f"{unit} across the lanes",
        "% of the rate",
    )
    panel.frame(
        f"Lanes {units.width(spacing_m)} apart: from {found.lowest:.0%} to {found.highest:.0%} of the rate"
    )
    panel.level(100, _FAINT)
    scale = convert(1.0, unit)
    within = panel.inner()
    for lane in range(-2, round(wide / spacing_m) + 3):
        own = pattern.mirrored() if way == "back and forth" and lane % 2 else pattern
        place = np.concatenate([own.offset_m[:1], own.offset_m, own.offset_m[-1:]]) + lane * spacing_m
        rate = 100 * spacing_m * np.concatenate([[0.0], own.density_per_m, [0.0]])
        panel.line(place * scale, rate, _FAINT, on=within)
    panel.line(offset * scale, 100 * np.tile(found.rate, count), _LINE, on=within)
    return panel.root


def _curve(pattern: Pattern, spacing_m: float, way: Way, limit: float, unit: str) -> Element:
    """Variation against spacing, with the limit and the spacing as planned."""
    widest = max(1.8 * pattern.effective_swath_m, 1.15 * spacing_m)
    spacing = np.linspace(0.2 * pattern.effective_swath_m, widest, 121)
    variation = 100 * cv_curve(pattern, spacing, way)
    panel = _Panel(
        "Variation for every spacing",
        (0.0, convert(widest, unit)),
        (0.0, max(30.0, 1.1 * float(variation.max()))),
        f"{unit} between lanes",
        "CV, %",
    )
    panel.frame(f"Variation for every spacing; the dashed line is the limit of {limit:.0%}")
    panel.level(100 * limit, _WARN)
    panel.upright(convert(spacing_m, unit), _FAINT)
    panel.line(spacing * convert(1.0, unit), variation, _LINE)
    return panel.root


def _ticks(low: float, high: float) -> list[float]:
    """Four to eight round values within an interval."""
    step = 10 ** np.floor(np.log10((high - low) / 4))
    for factor in (1, 2, 5, 10):
        if (high - low) / (factor * step) <= 7:
            step *= factor
            break
    first = np.ceil(low / step - 1e-9) * step
    return [round(float(v), 10) + 0.0 for v in np.arange(first, high + step * 1e-6, step)]
