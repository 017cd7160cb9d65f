"""The door for tape sheets: figures drawn with their exact areas, placed where they were measured to."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
import shapely
from shapely import Polygon
from shapely.affinity import rotate, translate

from lawnmap.errors import FileError, LawnmapError, QuantityError, ShapeError, nearest
from lawnmap.survey.arcs import TOLERANCE_M
from lawnmap.survey.codes import attributes_of
from lawnmap.survey.features import Feature, Sheet
from lawnmap.survey.ground import size_m, unit_key
from lawnmap.survey.tape import figures
from lawnmap.survey.tape.form import Entry, Form, read_form
from lawnmap.survey.tape.layout import fit_within, set_beside
from lawnmap.units import UNITS
from lawnmap.yard import Finding, finding

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from lawnmap.survey.source import Source

_ON_BASE: Final = ("offsets", "points", "ties")
_ROUND: Final = ("circle", "ellipse", "kidney", "radii")


def read_tape(text: str, source: Source) -> Sheet:
    """Read a tape sheet.

    Parameters
    ----------
    text : str
        The sheet, see `lawnmap.survey.tape.form`.
    source : Source
        Unit, where the sheet does not tell.

    Raises
    ------
    LawnmapError
        At the first line that makes no figure.
    """
    form = read_form(text)
    asked = unit_key(source.local_units, "[yard], local_units") if source.local_units else None
    unit = form.unit or asked
    if unit is None:
        raise QuantityError("the sheet does not tell its unit", mend='add a line "unit, ft"')
    if source.crs or source.scale_factor:
        raise FileError(
            "a tape sheet has no place on the earth", mend="leave out the CRS and the scale factor"
        )
    plot = _Plot(form, unit)
    features = plot.draw()
    sigma_m = form.accuracy * size_m(unit) if form.accuracy else None
    return Sheet(
        features,
        "tape sheet",
        unit=unit,
        findings=tuple(plot.findings),
        vertex_sigma_m=sigma_m,
        method="by tape, sure as the sheet states" if sigma_m else "by tape",
    )


class _Plot:
    """Every figure of one sheet on its way onto one plane."""

    def __init__(self, form: Form, unit: str) -> None:
        self.form, self.unit = form, UNITS[unit].name
        self.tolerance = TOLERANCE_M / size_m(unit)
        self.findings: list[Finding] = []
        self.shapes: dict[int, Polygon] = {}

    def draw(self) -> list[Feature]:
        entries = self.form.entries
        if self.form.stretch != 1:
            text = f"the tape was {self.form.stretch:.6g} times as long as it reads, so every length was multiplied by that"
            self.findings.append(finding("tape-corrected", text))
        loose: list[int] = []
        drawn: dict[int, Polygon] = {}
        for i, entry in enumerate(entries):
            try:
                drawn[i] = self._figure(entry)
                placed = self._placed(entry, drawn[i])
            except LawnmapError as fault:
                raise fault.at(f"line {entry.line}") from None
            if placed is None:
                loose.append(i)
            else:
                self.shapes[i] = placed
        self._lay_out(loose, drawn)
        return [self._feature(entry, self.shapes[i]) for i, entry in enumerate(entries)]

    def _feature(self, entry: Entry, shape: Polygon) -> Feature:
        attributes = attributes_of(entry.role, entry.name)
        if entry.density:
            attributes["density"] = entry.density
        return Feature(shape, attributes, f"line {entry.line}")

    def _figure(self, entry: Entry) -> Polygon:
        ring = _RINGS[entry.figure](self, entry)
        shape = Polygon(ring)
        if not shape.is_valid or not shape.area > 0:
            raise ShapeError(
                f"its {entry.figure} cross or enclose nothing", mend="measure them again, in order"
            )
        return shape

    def _placed(self, entry: Entry, shape: Polygon) -> Polygon | None:
        if entry.figure in _ON_BASE:
            return shape
        at = entry.words.get("at")
        if "tied" in entry.words:
            at = list(self._tie(entry, entry.words["tied"]))
        if at is None:
            return None
        if len(at) != 2:
            raise QuantityError("a place needs two numbers", mend='write "at 12 30" or "tied 30 40"')
        turned = entry.words.get("turned", [0.0])
        return translate(rotate(shape, turned[0] if turned else 0.0, origin=(0, 0)), at[0], at[1])

    def _lay_out(self, loose: list[int], drawn: dict[int, Polygon]) -> None:
        """Lawns without a place stand in a row; what is on a lawn goes where it fits, the largest first."""
        entries = self.form.entries
        for i in sorted(loose, key=lambda i: (entries[i].role[0] != "lawn", -drawn[i].area)):
            entry, where = entries[i], f"line {entries[i].line}"
            homes = self._homes(entry, where)
            if homes:
                self.shapes[i], home = self._fitted(drawn[i], homes, where)
                text = (
                    f'"{entry.name}" was put where it fits in "{home}": its area counts, its place does not'
                )
            else:
                self.shapes[i] = set_beside(drawn[i], list(self.shapes.values()))
                text = f'"{entry.name}" was drawn beside the others: its area is right, its place is not'
            self.findings.append(finding("laid-out", text, where))

    def _homes(self, entry: Entry, where: str) -> list[int]:
        """Lawns that an obstacle may be in, the largest first; none for what stands alone."""
        entries = self.form.entries
        lawns = [j for j in self.shapes if entries[j].role[0] == "lawn"]
        if entry.role[0] != "obstacle":
            return []
        if entry.within:
            named = [j for j in lawns if entries[j].name.lower() == entry.within.lower()]
            if not named:
                known = [entries[j].name for j in lawns]
                mend = nearest(entry.within, known) if known else "put it beside the lawns"
                raise ShapeError(f'there is no lawn "{entry.within}"', where=where, mend=mend)
            return named
        return sorted(lawns, key=lambda j: -self.shapes[j].area)

    def _fitted(self, shape: Polygon, homes: list[int], where: str) -> tuple[Polygon, str]:
        entries = self.form.entries
        taken = shapely.union_all([s for j, s in self.shapes.items() if entries[j].role[0] == "obstacle"])
        for home in homes:
            moved = fit_within(shape, shapely.difference(self.shapes[home], taken))
            if moved is not None:
                return moved, entries[home].name
        raise ShapeError(
            "no place is found for it within its lawn",
            where=where,
            mend='say where it is with "at 12 30" or "tied 30 40"',
        )

    def _tie(self, entry: Entry, pair: list[float]) -> NDArray[np.float64]:
        if self.form.base is None:
            raise ShapeError("ties need the distance between A and B", mend='add a line "base, 50"')
        if len(pair) != 2 or min(pair) <= 0:
            raise QuantityError("a tie needs two distances", mend="give those from A and from B: 30 40")
        angle = figures.tie_angle_deg(self.form.base, pair[0], pair[1])
        if not figures.WEAK_DEG <= angle <= 180 - figures.WEAK_DEG:
            text = (
                f"the ties {pair[0]:g} and {pair[1]:g} meet under {angle:.0f}°, which fixes their point badly"
            )
            self.findings.append(finding("weak-tie", text, f"line {entry.line}"))
        return figures.tie_point(self.form.base, pair[0], pair[1], behind="behind" in entry.words)

    def offsets(self, entry: Entry) -> NDArray[np.float64]:
        """Offsets joined by straight lines, closed by the baseline; Simpson's rule is told beside."""
        every = entry.words.get("every")
        if every is None:
            along, off = self._pairs(entry, 2).T
        else:
            off = np.array([value for row in entry.numbers for value in row])
            if len(every) != 1 or every[0] <= 0 or len(off) < 2:
                raise QuantityError(
                    "offsets need their interval", mend="write: offsets, every 10, 0, 12, 15, 0"
                )
            along = np.arange(len(off)) * every[0]
        if (np.diff(along) <= 0).any() or (off < 0).any() or not (off > 0).any():
            raise ShapeError(
                "distances must rise and offsets be on one side", mend='use "behind" for the other side'
            )
        text = f"area {figures.trapezoid_area(along, off):,.2f} square {self.unit} by trapezoids"
        if every is not None and len(off) > 2:
            text += f", {figures.simpson_area(every[0], off):,.2f} by Simpson's rule for a smooth edge; trapezoids are drawn"
        self.findings.append(finding("offset-area", text, f"line {entry.line}"))
        edge = np.column_stack([along, -off if "behind" in entry.words else off])
        ends = [np.array([[along[i], 0.0]]) for i in (0, -1)]
        ring = np.vstack([ends[0], edge, ends[1]])
        apart = np.append(True, (np.diff(ring, axis=0) != 0).any(axis=1))
        outline: NDArray[np.float64] = ring[apart]
        return outline

    def points(self, entry: Entry) -> NDArray[np.float64]:
        """Points along and off the baseline."""
        return self._pairs(entry, 3) * [1, -1 if "behind" in entry.words else 1]

    def ties(self, entry: Entry) -> NDArray[np.float64]:
        """Points by their distances from A and B."""
        return np.array([self._tie(entry, pair) for pair in self._pairs(entry, 3).tolist()])

    def _pairs(self, entry: Entry, least: int) -> NDArray[np.float64]:
        values = [value for row in entry.numbers for value in row]
        if len(values) % 2 or len(values) < 2 * least:
            raise QuantityError(
                f"{entry.figure} need {least} pairs of numbers or more", mend="write: 0 0, 10 12, 25 15"
            )
        return np.array(values).reshape(-1, 2)

    def _lengths(self, entry: Entry, count: int, *words: str) -> list[float]:
        """Measures of a plain figure, with or without their words."""
        said = [value for word in words for value in entry.words.get(word, [])]
        values = [*said, *(value for row in entry.numbers for value in row)]
        if len(values) != count or min(values) <= 0:
            raise QuantityError(
                f"a {entry.figure} needs {count} length{'s' if count > 1 else ''}",
                mend=f"give {_NEEDS[entry.figure]}",
            )
        return values

    def rectangle(self, entry: Entry) -> NDArray[np.float64]:
        """Length and width."""
        return figures.rectangle(*self._lengths(entry, 2, "length", "width"))

    def triangle(self, entry: Entry) -> NDArray[np.float64]:
        """Three sides, or a base with the height over it."""
        if "height" in entry.words:
            base, height = self._lengths(entry, 2, "base", "height")
            return np.array([[0.0, 0.0], [base, 0.0], [base / 2, height]])
        return figures.triangle(*self._lengths(entry, 3))

    def circle(self, entry: Entry) -> NDArray[np.float64]:
        """Diameter, radius, or a tape laid around."""
        scale = 2.0 if "radius" in entry.words else 1 / np.pi if "around" in entry.words else 1.0
        diameter = self._lengths(entry, 1, "diameter", "radius", "around")[0] * scale
        return figures.oval(diameter, diameter, self.tolerance)

    def ellipse(self, entry: Entry) -> NDArray[np.float64]:
        """Both full axes."""
        length, width = self._lengths(entry, 2, "length", "width")
        return figures.oval(length, width, self.tolerance)

    def kidney(self, entry: Entry) -> NDArray[np.float64]:
        """Length and the widths of both lobes, drawn as an ellipse of the same area."""
        length, one, other = self._lengths(entry, 3, "length", "widths")
        text = f"a kidney of {length:g} by {one:g} and {other:g} was drawn as an ellipse of its area, 0.45 (a + b) L"
        self.findings.append(finding("kidney-as-ellipse", text, f"line {entry.line}"))
        return figures.kidney(length, (one, other), self.tolerance)

    def radii(self, entry: Entry) -> NDArray[np.float64]:
        """Readings from an inside point."""
        values = [value for row in entry.numbers for value in row]
        if len(values) < 6 or min(values) <= 0:
            raise QuantityError("radii need six readings or more", mend="turn evenly and read again")
        far = np.array(values)
        right, taught = np.pi * np.mean(far**2), np.pi * np.mean(far) ** 2
        text = (
            f"area {right:,.1f} square {self.unit} by the mean of the squared radii; "
            f"the square of the mean radius would give {taught:,.1f}"
        )
        self.findings.append(finding("average-radius", text, f"line {entry.line}"))
        return figures.star(values)


_RINGS: Final[dict[str, Callable[[_Plot, Entry], NDArray[np.float64]]]] = {
    "offsets": _Plot.offsets,
    "points": _Plot.points,
    "ties": _Plot.ties,
    "rectangle": _Plot.rectangle,
    "triangle": _Plot.triangle,
    "circle": _Plot.circle,
    "ellipse": _Plot.ellipse,
    "kidney": _Plot.kidney,
    "radii": _Plot.radii,
}
_NEEDS: Final = {
    "rectangle": "length and width",
    "triangle": 'three sides, or "base 40, height 80"',
    "circle": '"diameter 20", "radius 10" or "around 62.8"',
    "ellipse": "length and width",
    "kidney": "length and two widths",
}
