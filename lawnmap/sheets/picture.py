"""The scene as one still SVG picture: for print, for pages without scripts, for notebooks."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING
from xml.etree.ElementTree import tostring

import numpy as np
import shapely

from lawnmap.sheets.elements import Element, put
from lawnmap.sheets.marks import Image, Look, Scene
from lawnmap.sheets.palette import INK, WATER, WHITE
from lawnmap.sheets.placing import MARGIN_PX, Box, Paper, Placed, fit, lane_step, place_labels, scale_bar
from lawnmap.sheets.scene import compose

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from lawnmap.job import Plan
    from lawnmap.sheets.marks import Look, Scene
    from lawnmap.units import UnitSystem


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
    paper = fit(scene, width_px, height_px or 1.2 * width_px)
    root = Element(
        "svg",
        {
            "viewBox": f"0 0 {width_px:.0f} {paper.height_px:.0f}",
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
    _write_labels(root, scene, paper)
    _write_lane_numbers(root, scene, paper)
    _scale_bar(root, units, paper)
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


def _lay(parent: Element, image: Image, paper: Paper) -> None:
    west, south, east, north = image.bounds
    (left, top), (right, foot) = paper.at(np.array([[west, north], [east, south]]))
    place = {"x": left, "y": top, "width": right - left, "height": foot - top}
    style = {"href": image.address, "preserveAspectRatio": "none", "image-rendering": "pixelated"}
    put(parent, "image", attributes={key: f"{value:.2f}" for key, value in place.items()} | style)


def _draw(parent: Element, shape: BaseGeometry, look: Look, paper: Paper) -> None:
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


def _path(part: BaseGeometry, paper: Paper) -> str:
    is_area = part.geom_type == "Polygon"
    lines = shapely.get_rings(part) if is_area else [part]
    text = ""
    for line in lines:
        corners = paper.at(shapely.get_coordinates(line))
        text += (
            "M" + "L".join(f"{right:.1f} {down:.1f}" for right, down in corners) + ("Z" if is_area else "")
        )
    return text


def _write_labels(root: Element, scene: Scene, paper: Paper) -> None:
    for placed in place_labels(scene, paper):
        if placed.label.kind == "zone":
            _plate(root, placed.box)
        _write(root, placed)


def _plate(root: Element, box: Box) -> None:
    """Lay a light plate under a zone's name, so that it can be read on lanes and on dark green."""
    left, top, right, foot = box
    put(root, "rect", attributes={
        "x": f"{left:.1f}", "y": f"{top:.1f}", "width": f"{right - left:.1f}", "height": f"{foot - top:.1f}",
        "rx": "5", "fill": WHITE, "fill-opacity": "0.8", "data-layer": "zones",
    })  # fmt: skip


def _write(root: Element, placed: Placed) -> None:
    size = placed.size_px
    group = put(root, "g", attributes={"data-layer": placed.label.layer})
    for i, (line, (middle, base)) in enumerate(zip(placed.lines, placed.places, strict=True)):
        put(group, "text", line, attributes={
            "x": f"{middle:.1f}", "y": f"{base:.1f}",
            "font-size": f"{size if i == 0 else size - 2:g}", "font-weight": "600" if i == 0 else "400",
            "text-anchor": "middle", "fill": INK, "stroke": WHITE, "stroke-width": "3", "paint-order": "stroke",
            "stroke-linejoin": "round",
        })  # fmt: skip


def _write_lane_numbers(root: Element, scene: Scene, paper: Paper) -> None:
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


def _scale_bar(root: Element, units: UnitSystem, paper: Paper) -> None:
    wide, words = scale_bar(units, paper.px_per_m)
    down = paper.height_px - 16
    group = put(root, "g", attributes={"fill": "none", "stroke": INK, "stroke-width": "1.5"})
    put(group, "path", attributes={"d": f"M{MARGIN_PX:.0f} {down - 6}v6h{wide:.1f}v-6"})
    text = {"x": f"{MARGIN_PX + wide + 8:.1f}", "y": f"{down:.0f}", "font-size": "12", "fill": INK}
    put(root, "text", words, attributes=text)


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
