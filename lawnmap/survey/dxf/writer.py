"""A yard as a DXF drawing in metres: one layer for each role and kind, names beside the outlines."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import shapely
from lazy_loader import load

from lawnmap.survey.dxf.notes import APPLICATION, write_note, write_plane
from lawnmap.survey.exchange import rows

if TYPE_CHECKING:
    from pathlib import Path

    from lawnmap.yard import Yard

ezdxf = load("ezdxf")

_COLOURS = {"lawn": 3, "obstacle": 8, "water": 5, "landmark": 1}  # colour index: green, grey, blue, red
_TEXT_M = 0.5


def save_dxf(yard: Yard, path: Path) -> None:
    """Write a yard as a drawing.

    Coordinates are metres on the yard's own plane, to the last digit of a float. Outlines with
    holes or of several parts become hatches, all others closed polylines. Names, densities, slopes
    and setbacks stand in the extended data of each entity, from which the reader takes them back.

    Parameters
    ----------
    yard : Yard
        The yard.
    path : Path
        A new file.
    """
    document = ezdxf.new("R2010", units=6)  # metres
    document.appids.add(APPLICATION)
    write_plane(document, yard.plane)
    space = document.modelspace()
    for number, (shape, said) in enumerate(rows(yard)):
        layer = str(said.get("kind", said["role"])).upper() if said["role"] != "landmark" else "LANDMARK"
        if layer not in document.layers:
            document.layers.add(layer, color=_COLOURS[str(said["role"])])
        attributes = {"layer": layer}
        # A hatch holds outlines of several parts; lines of several parts say that they are one.
        parts = shape.geoms if shape.geom_type == "MultiLineString" else [shape]
        together = {"part_of": f"line {number}"} if len(parts) > 1 else {}
        for part in parts:
            write_note(_draw(space, part, attributes), {**said, **together})
        at = shape.representative_point()
        space.add_text(
            str(said["name"]), height=_TEXT_M, dxfattribs={"insert": (at.x, at.y), "layer": "ANNO"}
        )
    document.saveas(path)


def _draw(space: Any, shape: Any, attributes: dict[str, str]) -> Any:
    if shape.geom_type == "Point":
        return space.add_point((shape.x, shape.y), dxfattribs=attributes)
    if shape.geom_type == "LineString":
        return space.add_lwpolyline(shapely.get_coordinates(shape).tolist(), dxfattribs=attributes)
    if shape.geom_type == "Polygon" and not shape.interiors:
        corners = shapely.get_coordinates(shape)[:-1].tolist()
        return space.add_lwpolyline(corners, close=True, dxfattribs=attributes)
    hatch = space.add_hatch(color=256, dxfattribs=attributes)  # as its layer
    for part in shapely.get_parts(shape):
        for number, ring in enumerate([part.exterior, *part.interiors]):
            corners = shapely.get_coordinates(ring)[:-1].tolist()
            hatch.paths.add_polyline_path(corners, is_closed=True, flags=16 if number else 1)
    return hatch
