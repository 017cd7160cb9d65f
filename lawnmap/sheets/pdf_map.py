"""The scene as vectors on a printed page: in colour, or in black with hatches for a field sheet."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np
import shapely
from reportlab.lib.colors import Color, HexColor, white
from reportlab.platypus import Flowable

from lawnmap.sheets.palette import DENSITY, INK, WATER
from lawnmap.sheets.placing import FOOT_PX, MARGIN_PX, fit, lane_step, place_labels, scale_bar

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shapely.geometry.base import BaseGeometry

    from lawnmap.sheets.marks import Look, Scene
    from lawnmap.sheets.pdf import Sheet
    from lawnmap.sheets.placing import Box, Paper, Placed
    from lawnmap.units import UnitSystem

_EVEN_ODD: Final = 0
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
    """

    layers: frozenset[str]
    pt_per_px: float = 0.75
    black: bool = False


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
        self.paper: Paper = fit(self.scene, *(side / style.pt_per_px for side in size_pt))
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
        self._scale_bar()
        self._north()
        canvas.restoreState()

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
            room = right - left
            self._haloed(line, middle, base, (face, size if wide <= room else size * room / wide))

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
        """Number the lanes at their beginnings, but not on the words of a label."""
        shown = {layer.id for layer in self.scene.layers}
        for numbers in self.scene.lane_numbers:
            if numbers.layer in shown:
                step = lane_step(numbers.swath_m * self.paper.px_per_m)
                for i, (right, down) in enumerate(self.paper.at(numbers.starts).tolist(), 1):
                    covered = any(
                        box[0] - 6 < right < box[2] + 6 and box[1] - 4 < down < box[3] + 4 for box in taken
                    )
                    if (i == 1 or i % step == 0) and not covered:
                        self._haloed(str(i), right, down + 3, (self.face.bold, 9.0))

    def _scale_bar(self) -> None:
        canvas = self.canv
        wide, words = scale_bar(self.units, self.paper.px_per_m)
        base = FOOT_PX / 2
        canvas.setDash([], 0)
        canvas.setStrokeColor(HexColor(INK))
        canvas.setFillColor(HexColor(INK))
        canvas.setLineWidth(1)
        for i in range(4):
            canvas.rect(MARGIN_PX + i * wide / 4, base, wide / 4, 4.5, stroke=1, fill=i % 2 == 0)
        canvas.setFont(self.face.regular, 11)
        canvas.drawString(MARGIN_PX + wide + 8, base - 1, words)
        self._keys(MARGIN_PX + wide + 8 + canvas.stringWidth(words, self.face.regular, 11) + 24, base - 1)

    def _keys(self, left: float, base: float) -> None:
        """Tell what the fills of lawn and water stand for, as far as there is room."""
        canvas, size = self.canv, 10.0
        for layer in self.scene.layers:
            for look, words in layer.keys if layer.id in {"zones", "setback"} else ():
                wide = canvas.stringWidth(words, self.face.regular, size)
                if left + 22 + wide > self.paper.width_px - 50:  # the arrow stands there
                    return
                self._swatch(left, base - 1.5, look)
                canvas.setFillColor(HexColor(INK))
                canvas.setFont(self.face.regular, size)
                canvas.drawString(left + 22, base, words)
                left += 22 + wide + 14

    def _swatch(self, left: float, base: float, look: Look) -> None:
        paper = self.paper
        corners_m = [
            (paper.west_m + (right - MARGIN_PX) / paper.px_per_m,
             paper.north_m - (self._up(up) - MARGIN_PX) / paper.px_per_m)
            for right, up in ((left, base), (left + 17, base + 11))
        ]  # fmt: skip
        self._mark(shapely.box(*corners_m[0], *corners_m[1]), replace(look, dash=""))

    def _north(self) -> None:
        canvas = self.canv
        left, top = self.paper.width_px - 40, FOOT_PX + MARGIN_PX - 6  # below the yard, so never on it
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
