"""The scene as vectors on a printed page: in colour, or in black with hatches for a field sheet."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np
import shapely
from reportlab.lib.colors import Color, HexColor, white
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import Flowable

from lawnmap.sheets.corners import fit_close, free_place
from lawnmap.sheets.palette import DENSITY, INK, WATER
from lawnmap.sheets.placing import FOOT_PX, MARGIN_PX, fit, lane_step, overlap, place_labels, scale_bar

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shapely.geometry.base import BaseGeometry

    from lawnmap.sheets.marks import Look, Scene
    from lawnmap.sheets.pdf import Sheet
    from lawnmap.sheets.placing import Box, Paper, Placed
    from lawnmap.units import UnitSystem

_EVEN_ODD: Final = 0
_ARROW_PX: Final = (34.0, 46.0)
_WORDS_PX: Final = (54.0, 32.0)  # "up is not north"
_FOOT_CLOSE_PX: Final = 56.0
_CLOSE: Final = ((0.0, 1.6), (0.0, 3.0), (26.0, 1.6), (_FOOT_CLOSE_PX, 1.6))
"""Room below the yard, and how much shorter the scale bar is, until it and the arrow find a corner. [px], [1]"""

_LEAST_PX: Final = 9.6  # of the type on a map without margins
_HATCHES: Final = {
    DENSITY["bare"]: (),
    DENSITY["thin"]: ((45.0, 14.0),),
    DENSITY["patchy"]: ((45.0, 7.0),),
    DENSITY["full"]: ((45.0, 9.0), (135.0, 9.0)),
    "hatch": ((90.0, 3.5),),
}
"""Colour to the hatches that stand for it in black: angle and distance of the lines. [°], [px]"""


@dataclass(frozen=True)
class MapStyle:
    """How a map is printed.

    Attributes
    ----------
    layers : frozenset of str
        Identifiers of the layers to show.
    pt_per_px : float
        Size of a pixel of the scene on the page: 0.75 for reading at a desk. [pt/px]
    black : bool
        Whether in black with hatches, for a printer without colour.
    close : bool
        Whether without margins, arrow and scale bar in a free corner, and without a legend.
    """

    layers: frozenset[str]
    pt_per_px: float = 0.75
    black: bool = False
    close: bool = False


GROUND: Final = frozenset({"zones", "setback", "obstacles", "water", "landmarks"})
"""Layers that say what is where, without the work."""


class MapPicture(Flowable):  # type: ignore[misc]  # reportlab has no types
    """The map as a block of a printed sheet.

    Parameters
    ----------
    scene : Scene
        What to draw.
    units : UnitSystem
        For the scale bar.
    sheet : Sheet
        Whose type the words are set in.
    size_pt : (float, float)
        Width, and greatest height. [pt]
    style : MapStyle
        What is shown, and how.
    """

    def __init__(
        self, scene: Scene, units: UnitSystem, sheet: Sheet, size_pt: tuple[float, float], style: MapStyle
    ) -> None:
        super().__init__()
        layers = tuple(layer for layer in scene.layers if layer.id in style.layers)
        labels = tuple(label for label in scene.labels if label.layer in style.layers)
        known = tuple(
            replace(label, lines=tuple(sheet.known(line) for line in label.lines)) for label in labels
        )
        self.scene = replace(scene, layers=layers, labels=known)
        self.units, self.sheet, self.face, self.style = units, sheet, sheet.face, style
        wide_px, tall_px = (side / style.pt_per_px for side in size_pt)
        self.places: tuple[Box, ...] = ()
        self._shorter = 1.0
        self.paper = self._close(wide_px, tall_px) if style.close else fit(self.scene, wide_px, tall_px)
        self.width = self.paper.width_px * style.pt_per_px
        self.height = self.paper.height_px * style.pt_per_px

    def draw(self) -> None:
        """Draw it; reportlab has put the origin at its foot."""
        if self.sheet.trying:
            return
        canvas = self.canv
        canvas.saveState()
        canvas.scale(self.style.pt_per_px, self.style.pt_per_px)
        canvas.setLineJoin(1)
        for layer in self.scene.layers:
            for mark in layer.marks:
                self._mark(mark.shape, mark.look)
        labels = place_labels(self.scene, self.paper)
        for placed in labels:
            self._label(placed)
        self._lane_numbers([placed.box for placed in labels])
        if self.style.close:
            arrow, bar = self.places
            self._scale_bar(bar[0] + 2, self._up(bar[3]) + 5)
            self._north(arrow[0] + (0 if self.scene.north_up else 16), self._up(arrow[1]) - 2)
        else:
            after = self._scale_bar(MARGIN_PX, FOOT_PX / 2)
            self._keys(after + 24, FOOT_PX / 2 - 1)
            self._north(self.paper.width_px - 40, FOOT_PX + MARGIN_PX - 6)  # below the yard, so never on it
        canvas.restoreState()

    def _close(self, wide_px: float, tall_px: float) -> Paper:
        """Fit the yard without margins, and find room for arrow and scale bar; below it, if there is none."""
        for foot_px, self._shorter in _CLOSE:
            paper = fit_close(self.scene, wide_px, tall_px, foot_px)
            found: list[Box] = []
            taken = [placed.box for placed in place_labels(self.scene, paper)]
            wide, words = self._bar(paper)
            arrow_px = _ARROW_PX if self.scene.north_up else _WORDS_PX
            for size in (arrow_px, (wide + 12 + stringWidth(words, self.face.regular, 11), 18.0)):
                place = free_place(self.scene, paper, size, [*taken, *found])
                found += [place] if place else []
            if len(found) == 2:
                self.places = tuple(found)
                return paper
        right, foot = paper.width_px - 2, paper.height_px
        self.places = ((right - 40, foot - 50, right, foot), (2.0, foot - 20, right - 42, foot - 2))
        return paper

    def _up(self, down: float) -> float:
        return self.paper.height_px - down

    def _mark(self, shape: BaseGeometry, look: Look) -> None:
        canvas = self.canv
        canvas.saveState()
        canvas.setLineWidth(look.width_px)
        canvas.setDash([float(length) for length in look.dash.split()] or [], 0)
        canvas.setStrokeColor(HexColor(INK if self.style.black else look.stroke or INK))
        if shape.geom_type == "Point":
            right, down = self.paper.at(np.array(shape.coords)[:, :2])[0]
            canvas.setFillColor(HexColor(look.fill))
            canvas.circle(right, self._up(down), look.radius_px, stroke=1, fill=1)
        elif look.fill:
            self._area(shape, look)
        else:
            canvas.drawPath(self._path(shape, closed=False), stroke=1, fill=0)
        canvas.restoreState()

    def _area(self, shape: BaseGeometry, look: Look) -> None:
        canvas, black = self.canv, self.style.black
        hatches = _HATCHES.get(look.fill, ()) if black or look.fill == "hatch" else ()
        hatched = look.fill in _HATCHES and (black or look.fill == "hatch")
        path = self._path(shape, closed=True)
        if hatched:
            self._hatch(path, shape, hatches)
        else:
            canvas.setFillColor(self._ink(look.fill))
            canvas.setFillAlpha(look.opacity)
            canvas.drawPath(path, stroke=0, fill=1, fillMode=_EVEN_ODD)
            canvas.setFillAlpha(1)
        if look.stroke:
            canvas.drawPath(path, stroke=1, fill=0)

    def _hatch(self, path: Any, shape: BaseGeometry, hatches: Iterable[tuple[float, float]]) -> None:
        """Rule lines over the box of a shape, clipped to it."""
        canvas = self.canv
        west, south, east, north = shape.bounds
        (left, top), (right, foot) = self.paper.at(np.array([(west, north), (east, south)]))
        middle = np.array([(left + right) / 2, self._up((top + foot) / 2)])
        half = float(np.hypot(right - left, foot - top)) / 2
        canvas.saveState()
        canvas.clipPath(path, stroke=0, fill=0, fillMode=_EVEN_ODD)
        canvas.setStrokeColor(Color(0.72, 0.72, 0.72) if self.style.black else HexColor(WATER))
        canvas.setLineWidth(0.6)
        canvas.setDash([], 0)
        for angle_deg, gap_px in hatches:
            along = np.array([np.cos(np.radians(angle_deg)), np.sin(np.radians(angle_deg))])
            aside = np.array([-along[1], along[0]])
            for offset in np.arange(-half, half, gap_px):
                start, end = middle + offset * aside - half * along, middle + offset * aside + half * along
                canvas.line(*start.tolist(), *end.tolist())
        canvas.restoreState()

    def _path(self, shape: BaseGeometry, *, closed: bool) -> Any:
        path = self.canv.beginPath()
        for part in shapely.get_parts(shape):
            lines = shapely.get_rings(part) if part.geom_type == "Polygon" else [part]
            for line in lines:
                corners = self.paper.at(shapely.get_coordinates(line)).round(2).tolist()
                path.moveTo(corners[0][0], self._up(corners[0][1]))
                for right, down in corners[1:]:
                    path.lineTo(right, self._up(down))
                if closed:
                    path.close()
        return path

    def _ink(self, colour: str) -> Color:
        """Return a colour, or in black its grey: lighter, so that words and lanes stand out."""
        found = HexColor(colour)
        if not self.style.black:
            return found
        luminance = 0.2126 * found.red + 0.7152 * found.green + 0.0722 * found.blue
        grey = 0.0 if luminance < 0.35 else min(1.0, 0.35 + 0.65 * luminance)
        return Color(grey, grey, grey)

    def _label(self, placed: Placed) -> None:
        canvas = self.canv
        left, top, right, foot = placed.box
        if placed.label.kind == "zone":
            canvas.saveState()
            canvas.setFillColor(white)
            canvas.setFillAlpha(0.85)
            canvas.roundRect(left, self._up(foot), right - left, foot - top, 4, stroke=0, fill=1)
            canvas.restoreState()
        for i, (line, (middle, base)) in enumerate(zip(placed.lines, placed.places, strict=True)):
            face = self.face.bold if i == 0 else self.face.regular
            size = placed.size_px - (2 if i else 0)
            wide = canvas.stringWidth(line, face, size)
            fits = min(size, size * (right - left) / wide) if wide else size
            self._haloed(line, middle, base, (face, max(fits, _LEAST_PX) if self.style.close else fits))

    def _haloed(self, text: str, middle: float, base: float, font: tuple[str, float]) -> None:
        """Write centred words with a white edge, so that they can be read on lines."""
        canvas = self.canv
        canvas.setDash([], 0)
        canvas.saveState()
        canvas.setStrokeColor(white)
        canvas.setLineWidth(2.4)
        canvas.setFont(*font)
        canvas.drawCentredString(middle, self._up(base), text, mode=1)
        canvas.restoreState()
        canvas.setFillColor(HexColor(INK))
        canvas.setFont(*font)
        canvas.drawCentredString(middle, self._up(base), text)

    def _lane_numbers(self, taken: list[Box]) -> None:
        """Number the lanes at their beginnings, but not on the words of a label or on another number."""
        shown = {layer.id for layer in self.scene.layers}
        size = 10.5 if self.style.close else 9.0
        for numbers in self.scene.lane_numbers:
            if numbers.layer in shown:
                step = lane_step(numbers.swath_m * self.paper.px_per_m)
                for i, (right, down) in enumerate(self.paper.at(numbers.starts).tolist(), 1):
                    wide, tall = 0.35 * size * len(str(i)), 0.45 * size
                    place = (right - wide, down - tall, right + wide, down + tall)
                    if (i == 1 or i % step == 0) and not any(overlap(place, box) for box in taken):
                        self._haloed(str(i), right, down + 0.36 * size, (self.face.bold, size))
                        taken = [*taken, place]

    def _bar(self, paper: Paper) -> tuple[float, str]:
        """Return how long the scale bar is, and what stands beside it. [px]"""
        wide, words = scale_bar(self.units, paper.px_per_m * self._shorter)
        return wide / self._shorter, words

    def _scale_bar(self, left: float, base: float) -> float:
        """Draw the bar, and return where its words end. [px]"""
        canvas = self.canv
        wide, words = self._bar(self.paper)
        canvas.setDash([], 0)
        canvas.setStrokeColor(HexColor(INK))
        canvas.setFillColor(HexColor(INK))
        canvas.setLineWidth(1)
        for i in range(4):
            canvas.rect(left + i * wide / 4, base, wide / 4, 4.5, stroke=1, fill=i % 2 == 0)
        canvas.setFont(self.face.regular, 11)
        canvas.drawString(left + wide + 8, base - 1, words)
        return left + wide + 8 + float(canvas.stringWidth(words, self.face.regular, 11))

    def _keys(self, left: float, base: float) -> None:
        """Tell what the fills of lawn and water stand for, as far as there is room."""
        canvas, size = self.canv, 10.0
        for look, words in self.keys:
            wide = canvas.stringWidth(words, self.face.regular, size)
            if left + 22 + wide > self.paper.width_px - 50:  # the arrow stands there
                return
            self._swatch(left, base - 1.5, look)
            canvas.setFillColor(HexColor(INK))
            canvas.setFont(self.face.regular, size)
            canvas.drawString(left + 22, base, words)
            left += 22 + wide + 14

    @property
    def keys(self) -> list[tuple[Look, str]]:
        """What the fills of lawn and water stand for."""
        return [key for layer in self.scene.layers if layer.id in {"zones", "setback"} for key in layer.keys]

    def _swatch(self, left: float, base: float, look: Look) -> None:
        paper = self.paper
        corners_m = [
            (paper.west_m + (right - MARGIN_PX) / paper.px_per_m,
             paper.north_m - (self._up(up) - MARGIN_PX) / paper.px_per_m)
            for right, up in ((left, base), (left + 17, base + 11))
        ]  # fmt: skip
        self._mark(shapely.box(*corners_m[0], *corners_m[1]), replace(look, dash=""))

    def _north(self, left: float, top: float) -> None:
        canvas = self.canv
        canvas.setFillColor(HexColor(INK))
        if not self.scene.north_up:
            canvas.setFont(self.face.regular, 10)
            for i, line in enumerate(("up is", "not north")):
                canvas.drawCentredString(left + 10, top - 12 - 13 * i, line)
            return
        arrow = canvas.beginPath()
        arrow.moveTo(left + 16, top)
        for right, down in ((25, 28), (16, 22), (7, 28)):
            arrow.lineTo(left + right, top - down)
        arrow.close()
        canvas.drawPath(arrow, stroke=0, fill=1)
        canvas.setFont(self.face.bold, 12)
        canvas.drawCentredString(left + 16, top - 41, "N")


class MapKeys(MapPicture):
    """The legend of a map in one line across the page, for maps that have none of their own.

    Parameters
    ----------
    scene : Scene
        What is drawn.
    units : UnitSystem
        Of the map.
    sheet : Sheet
        Whose type the words are set in.
    style : MapStyle
        Of the map.
    """

    def __init__(self, scene: Scene, units: UnitSystem, sheet: Sheet, style: MapStyle) -> None:
        super().__init__(
            scene, units, sheet, (sheet.width_pt + 50, sheet.width_pt), replace(style, close=False)
        )
        self.height = 16.0

    def draw(self) -> None:
        """Draw it; reportlab has put the origin at its foot."""
        self.canv.saveState()
        self.canv.scale(self.style.pt_per_px, self.style.pt_per_px)
        self._keys(1.0, 4.0)
        self.canv.restoreState()
