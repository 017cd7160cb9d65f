"""The scene as one still SVG picture: for print, for pages without scripts, for notebooks."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final
from xml.etree.ElementTree import tostring

import numpy as np
import shapely

from lawnmap.sheets.elements import Element, put
from lawnmap.sheets.marks import Image, Label, Look, Scene
from lawnmap.sheets.palette import INK, WATER, WHITE
from lawnmap.sheets.scene import compose
from lawnmap.units import convert

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

    from lawnmap.job import Plan
    from lawnmap.units import UnitSystem

_MARGIN_PX: Final = 28
_FOOT_PX: Final = 34  # the strip with the scale bar
_LETTER: Final = 0.56  # mean width of a letter over the size of the type, sans serif
_TALL: Final = 1.4  # height of a line over the size of the type
_SIZE_PX: Final = {"zone": 13.0, "landmark": 11.0, "obstacle": 11.0}
_NUMBER_GAP_PX: Final = 22.0

Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class _Paper:
    """Where metres of the yard lie on the picture."""

    west_m: float
    north_m: float
    px_per_m: float

    def at(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Turn [east, north] into [right, down]. [m] to [px]"""
        return (points - (self.west_m, self.north_m)) * (self.px_per_m, -self.px_per_m) + _MARGIN_PX


def draw_picture(plan: Plan, width_px: float = 1000.0) -> str:
    """Draw the map of a plan as a standalone SVG file.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    width_px : float
        Width of the picture; its height follows. [px]
    """
    scene = compose(plan)
    # a picture that nobody can switch on would only make the file heavy
    shown = tuple(layer for layer in scene.layers if layer.shown or not layer.image)
    root = picture(replace(scene, layers=shown), plan.units, width_px)
    root.set("xmlns", "http://www.w3.org/2000/svg")
    return tostring(root, encoding="unicode") + "\n"


def picture(scene: Scene, units: UnitSystem, width_px: float = 1000.0, height_px: float = 0.0) -> Element:
    """Draw a scene as an ``svg`` element.

    Parameters
    ----------
    scene : Scene
        What to draw.
    units : UnitSystem
        For the scale bar.
    width_px : float
        Width of the picture. [px]
    height_px : float
        Greatest height; 0 for as tall as the yard needs, up to 1.2 times the width. [px]
    """
    west, south, east, north = scene.bounds
    most_px = (height_px or 1.2 * width_px) - 2 * _MARGIN_PX - _FOOT_PX
    wide_m, tall_m = max(east - west, 0.1), max(north - south, 0.1)
    scale = min((width_px - 2 * _MARGIN_PX) / wide_m, most_px / tall_m)
    spare_m = ((width_px - 2 * _MARGIN_PX) / scale - wide_m) / 2
    paper = _Paper(west - spare_m, north, scale)
    height = tall_m * scale + 2 * _MARGIN_PX + _FOOT_PX
    root = Element(
        "svg",
        {
            "viewBox": f"0 0 {width_px:.0f} {height:.0f}",
            "role": "img",
            "aria-label": "Map of the yard",
            "font-family": "system-ui, sans-serif",
        },
    )
    hatch(root, "still-hatch")
    for layer in scene.layers:
        group = put(
            root, "g", attributes={"data-layer": layer.id} | ({} if layer.shown else {"display": "none"})
        )
        if layer.image:
            _lay(group, layer.image, paper)
        for mark in layer.marks:
            _draw(group, mark.shape, mark.look, paper)
    _write_labels(root, scene, paper, width_px)
    _write_lane_numbers(root, scene, paper)
    _scale_bar(root, units, paper, height)
    north_arrow(put(root, "g", attributes={"transform": f"translate({width_px - 44:.0f} 12)"}), scene)
    return root


def hatch(root: Element, name: str) -> None:
    """Define the stripes of the setback under a name."""
    area = {
        "id": name,
        "width": "8",
        "height": "8",
        "patternUnits": "userSpaceOnUse",
        "patternTransform": "rotate(45)",
    }
    pattern = put(put(root, "defs"), "pattern", attributes=area)
    put(
        pattern,
        "line",
        attributes={"x1": "0", "y1": "0", "x2": "0", "y2": "8", "stroke": WATER, "stroke-width": "2.4"},
    )


def look_attributes(look: Look, hatch_name: str) -> dict[str, str]:
    """Return a look as SVG presentation attributes."""
    fill = f"url(#{hatch_name})" if look.fill == "hatch" else look.fill or "none"
    found = {
        "fill": fill,
        "fill-opacity": f"{look.opacity:g}",
        "fill-rule": "evenodd",
        "stroke": look.stroke or "none",
    }
    found |= {"stroke-width": f"{look.width_px:g}", "stroke-linejoin": "round"}
    return found | ({"stroke-dasharray": look.dash} if look.dash else {})


def _lay(parent: Element, image: Image, paper: _Paper) -> None:
    west, south, east, north = image.bounds
    (left, top), (right, foot) = paper.at(np.array([[west, north], [east, south]]))
    place = {"x": left, "y": top, "width": right - left, "height": foot - top}
    style = {"href": image.address, "preserveAspectRatio": "none", "image-rendering": "pixelated"}
    put(parent, "image", attributes={key: f"{value:.2f}" for key, value in place.items()} | style)


def _draw(parent: Element, shape: BaseGeometry, look: Look, paper: _Paper) -> None:
    found = look_attributes(look, "still-hatch")
    if shape.geom_type == "Point":
        right, down = paper.at(np.array(shape.coords)[:, :2])[0]
        put(
            parent,
            "circle",
            attributes=found | {"cx": f"{right:.1f}", "cy": f"{down:.1f}", "r": f"{look.radius_px:g}"},
        )
        return
    path = "".join(_path(part, paper) for part in shapely.get_parts(shape))
    put(parent, "path", attributes=found | {"d": path})


def _path(part: BaseGeometry, paper: _Paper) -> str:
    is_area = part.geom_type == "Polygon"
    lines = shapely.get_rings(part) if is_area else [part]
    text = ""
    for line in lines:
        corners = paper.at(shapely.get_coordinates(line))
        text += (
            "M" + "L".join(f"{right:.1f} {down:.1f}" for right, down in corners) + ("Z" if is_area else "")
        )
    return text


def _write_labels(root: Element, scene: Scene, paper: _Paper, width_px: float) -> None:
    """Write each label where it fits; what does not fit is said shorter or not at all."""
    places = paper.at(np.array([[label.east_m, label.north_m] for label in scene.labels]).reshape(-1, 2))
    taken: list[Box] = [
        (right - 6, down - 6, right + 6, down + 6)
        for label, (right, down) in zip(scene.labels, places, strict=True)
        if label.kind == "landmark"
    ]
    for label, (right, down) in zip(scene.labels, places, strict=True):
        for lines, box in _choices(label, right, down, paper.px_per_m):
            if box[0] > 0 and box[2] < width_px and not any(_overlap(box, other) for other in taken):
                taken.append(box)
                if label.kind == "zone":
                    _plate(root, box)
                _write(root, label, lines, box)
                break


def _choices(
    label: Label, right: float, down: float, px_per_m: float
) -> Iterator[tuple[tuple[str, ...], Box]]:
    """Give what a label may say and the room that takes, the best first."""
    size = _SIZE_PX[label.kind]
    pad = 4.0 if label.kind == "zone" else 0.0
    for lines in (label.lines, label.lines[:1], (label.short,)):
        wide = max(len(line) for line in lines) * size * _LETTER + 2 * pad
        half = len(lines) * size * _TALL / 2
        if label.kind == "landmark":
            yield lines, (right + 9, down - half, right + 9 + wide, down + half)
            yield lines, (right - 9 - wide, down - half, right - 9, down + half)
            return
        if wide <= label.room_m * px_per_m - 6 or lines == (label.short,) != ("",):
            yield lines, (right - wide / 2, down - half, right + wide / 2, down + half)


def _overlap(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _plate(root: Element, box: Box) -> None:
    """Lay a light plate under a zone's name, so that it can be read on lanes and on dark green."""
    left, top, right, foot = box
    put(root, "rect", attributes={
        "x": f"{left:.1f}", "y": f"{top:.1f}", "width": f"{right - left:.1f}", "height": f"{foot - top:.1f}",
        "rx": "5", "fill": WHITE, "fill-opacity": "0.8", "data-layer": "zones",
    })  # fmt: skip


def _write(root: Element, label: Label, lines: tuple[str, ...], box: Box) -> None:
    size = _SIZE_PX[label.kind]
    middle, first = (box[0] + box[2]) / 2, box[1] + 0.5 * size * _TALL + 0.35 * size
    group = put(root, "g", attributes={"data-layer": label.layer})
    for i, line in enumerate(lines):
        put(group, "text", line, attributes={
            "x": f"{middle:.1f}", "y": f"{first + i * size * _TALL:.1f}",
            "font-size": f"{size if i == 0 else size - 2:g}", "font-weight": "600" if i == 0 else "400",
            "text-anchor": "middle", "fill": INK, "stroke": WHITE, "stroke-width": "3", "paint-order": "stroke",
            "stroke-linejoin": "round",
        })  # fmt: skip


def _write_lane_numbers(root: Element, scene: Scene, paper: _Paper) -> None:
    shown = {layer.id: layer for layer in scene.layers}
    for numbers in scene.lane_numbers:
        step = lane_step(numbers.swath_m * paper.px_per_m)
        group = put(
            root, "g", attributes={"data-layer": numbers.layer, "font-size": "9", "text-anchor": "middle"}
        )
        if not shown[numbers.layer].shown:
            group.set("display", "none")
        for i, (right, down) in enumerate(paper.at(numbers.starts), 1):
            if i == 1 or i % step == 0:
                place = {"x": f"{right:.1f}", "y": f"{down + 3:.1f}", "fill": INK, "stroke": WHITE}
                put(group, "text", str(i), attributes=place | {"stroke-width": "3", "paint-order": "stroke"})


def lane_step(lane_gap_px: float) -> int:
    """Say which lanes carry their number, so that numbers do not crowd: every one, fifth, tenth …

    Parameters
    ----------
    lane_gap_px : float
        Distance of neighbouring lanes. [px]
    """
    return next((step for step in (1, 5, 10, 20, 50) if step * lane_gap_px >= _NUMBER_GAP_PX), 100)


def _scale_bar(root: Element, units: UnitSystem, paper: _Paper, height_px: float) -> None:
    length = round_length(float(convert(150 / paper.px_per_m, units.length_unit)))
    wide = length / float(convert(1.0, units.length_unit)) * paper.px_per_m
    down = height_px - 16
    group = put(root, "g", attributes={"fill": "none", "stroke": INK, "stroke-width": "1.5"})
    put(group, "path", attributes={"d": f"M{_MARGIN_PX} {down - 6}v6h{wide:.1f}v-6"})
    text = {"x": f"{_MARGIN_PX + wide + 8:.1f}", "y": f"{down:.0f}", "font-size": "12", "fill": INK}
    put(root, "text", f"{length:g} {units.length_unit}", attributes=text)


def round_length(longest: float) -> float:
    """Return the greatest of 1, 2, 5, 10, 20 … that is not longer.

    Parameters
    ----------
    longest : float
        A length in any unit. [1]

    Examples
    --------
    >>> round_length(73.0), round_length(0.3)
    (50.0, 0.2)
    """
    power = 10.0 ** np.floor(np.log10(longest))
    return float(max(step * power for step in (1, 2, 5) if step * power <= longest))


def north_arrow(parent: Element, scene: Scene) -> None:
    """Draw the arrow, or say that up is not north; 32 px wide."""
    if scene.north_up:
        put(parent, "path", attributes={"d": "M16 2L25 30L16 24L7 30Z", "fill": INK, "stroke": WHITE})
        text = {
            "x": "16",
            "y": "44",
            "text-anchor": "middle",
            "font-size": "13",
            "font-weight": "700",
            "fill": INK,
        }
        put(parent, "text", "N", attributes=text)
        return
    for i, line in enumerate(("up is", "not north")):
        text = {"x": "16", "y": str(14 + 14 * i), "text-anchor": "middle", "font-size": "11", "fill": INK}
        put(parent, "text", line, attributes=text)
