"""Outlines put in order: simple faults mended and noted, crossing rings refused with the place."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon

from lawnmap.errors import ShapeError

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

    from lawnmap.survey.notes import Notes

POINTS: Final = (shapely.GeometryType.POINT, shapely.GeometryType.MULTIPOINT)
LINES: Final = (
    shapely.GeometryType.LINESTRING,
    shapely.GeometryType.LINEARRING,
    shapely.GeometryType.MULTILINESTRING,
)
GROUND: Final = (shapely.GeometryType.POLYGON, shapely.GeometryType.MULTIPOLYGON)

_LARGEST = 1e12  # in any unit; beyond it the square of a coordinate loses the yard
_SAME_AREA = 1e-9  # of the area: a repair that changes more than rounding is no repair
_REASON = re.compile(r"(?P<what>[^\[]+)\[(?P<place>[^\]]+)\]")


def mend(
    shapes: NDArray[np.object_], places: list[str], notes: Notes
) -> tuple[NDArray[np.object_], dict[int, ShapeError]]:
    """Put the shapes of a file in order.

    Parameters
    ----------
    shapes : array of shapely geometry or None, shape (n,)
        As a door handed them over.
    places : list of str
        The place of each in the file.
    notes : Notes
        Takes what was mended.

    Returns
    -------
    array of shapely geometry or None, shape (n,)
        Flat, without repeated vertices, polygons valid; None where there was nothing or a fault.
    dict of int to ShapeError
        The shapes that cannot be ground, a crossing ring for instance, with the place of the fault.
    """
    shapes = _without_empty(shapes, notes)
    shapes = _gathered(_flat(shapes, notes), notes)
    faults = _not_finite(shapes, places)
    shapes[list(faults)] = None
    shapes = _without_repeats(shapes, notes)
    alone = (shapely.get_type_id(shapes) >= shapely.GeometryType.MULTIPOINT) & (
        shapely.get_num_geometries(shapes) == 1
    )
    shapes[alone] = shapely.get_geometry(shapes[alone], 0)
    bad = np.flatnonzero(~shapely.is_valid(shapes) & ~shapely.is_missing(shapes))
    for number in bad.tolist():
        try:
            shapes[number] = _mended(shapes[number], places[number], number, notes)
        except ShapeError as fault:
            shapes[number], faults[number] = None, fault
    return shapes, faults


def closed_line(shape: BaseGeometry, place: str, number: int, notes: Notes) -> BaseGeometry | None:
    """Return the ground inside a closed line, or None where the line is open.

    Parameters
    ----------
    shape : shapely geometry
        A line or several.
    place : str
        Where it stands in the file.
    number : int
        Its number among the shapes. [count]
    notes : Notes
        Takes that it was a line.

    Raises
    ------
    ShapeError
        Where the line crosses itself.
    """
    lines = shapely.get_parts(shape)
    if not shapely.is_closed(lines).all() or (shapely.get_num_coordinates(lines) < 4).any():
        return None
    ground: BaseGeometry | None = MultiPolygon([Polygon(line) for line in lines])
    if not shapely.is_valid(ground):
        ground = _mended(MultiPolygon([Polygon(line) for line in lines]), place, number, notes)
    notes.add("closed-line", "a closed line is taken as the ground inside it", [number])
    return ground


def _without_empty(shapes: NDArray[np.object_], notes: Notes) -> NDArray[np.object_]:
    empty = shapely.is_missing(shapes) | shapely.is_empty(shapes)
    notes.add("no-shape", "there is no shape, so this is left out", np.flatnonzero(empty))
    shapes = shapes.copy()
    shapes[empty] = None
    return shapes


def _flat(shapes: NDArray[np.object_], notes: Notes) -> NDArray[np.object_]:
    measured = shapely.has_m(shapes)
    high = shapely.has_z(shapes) & _really_high(shapes)
    notes.add("measure-dropped", "the measures along the line are left out", np.flatnonzero(measured))
    notes.add("height-dropped", "heights are left out; areas are as seen from above", np.flatnonzero(high))
    deep = measured | shapely.has_z(shapes)
    if deep.any():
        shapes[deep] = shapely.force_2d(shapes[deep])
    return shapes


def _really_high(shapes: NDArray[np.object_]) -> NDArray[np.bool_]:
    """Which shapes have a height other than 0: many programs write a 0 that nobody measured."""
    high = np.zeros(len(shapes), dtype=bool)
    deep = np.flatnonzero(shapely.has_z(shapes))
    if len(deep):
        points, owner = shapely.get_coordinates(shapes[deep], include_z=True, return_index=True)
        told = (points[:, 2] != 0) & np.isfinite(points[:, 2])
        high[deep[np.unique(owner[told])]] = True
    return high


def _gathered(shapes: NDArray[np.object_], notes: Notes) -> NDArray[np.object_]:
    """Take the ground out of collections that hold other things as well."""
    mixed = shapely.get_type_id(shapes) == shapely.GeometryType.GEOMETRYCOLLECTION
    for number in np.flatnonzero(mixed):
        parts = shapely.get_parts(shapely.get_parts(shapes[number]))
        dimension = shapely.get_dimensions(parts).max()
        kept = parts[shapely.get_dimensions(parts) == dimension]
        build = (shapely.multipoints, shapely.multilinestrings, shapely.multipolygons)[dimension]
        shapes[number] = kept[0] if len(kept) == 1 else build(kept)
        if len(kept) < len(parts):
            notes.add("parts-left-out", "points and lines drawn with an outline are left out", [int(number)])
    return shapes


def _not_finite(shapes: NDArray[np.object_], places: list[str]) -> dict[int, ShapeError]:
    points, owner = shapely.get_coordinates(shapes, return_index=True)
    bad = np.unique(owner[~(np.abs(points) < _LARGEST).all(axis=1)])
    return {
        number: ShapeError(
            "a coordinate is not a number, or beyond all measure",
            where=places[number],
            mend="correct it in the file",
        )
        for number in bad.tolist()
    }


def _without_repeats(shapes: NDArray[np.object_], notes: Notes) -> NDArray[np.object_]:
    """Drop vertices that stand on the one before them, unless the shape would fall apart."""
    points, owner = shapely.get_coordinates(shapes, return_index=True)
    same = (points[1:] == points[:-1]).all(axis=1) & (owner[1:] == owner[:-1])
    doubtful = np.unique(owner[1:][same])
    if not len(doubtful):
        return shapes
    before = shapes[doubtful]
    cleaned = shapely.remove_repeated_points(before, 0)
    fewer = shapely.get_num_coordinates(cleaned) < shapely.get_num_coordinates(before)
    fewer &= ~shapely.is_empty(cleaned)
    notes.add("repeated-vertex", "vertices given twice in a row are used once", doubtful[fewer])
    shapes[doubtful[fewer]] = cleaned[fewer]
    return shapes


def _mended(shape: BaseGeometry, place: str, number: int, notes: Notes) -> BaseGeometry | None:
    """Repair one invalid shape where that leaves its area alone, refuse it otherwise."""
    if shape.geom_type not in {"Polygon", "MultiPolygon"}:
        return shape  # a line of a single repeated point; it is judged by its role
    parts = [_single_rings(part, number, notes) for part in shapely.get_parts(shape)]
    grounds = [
        ground
        for part in parts
        if (ground := part if part.is_valid else _of_same_area(part, place, number, notes)) is not None
    ]
    if not grounds:
        notes.add("no-ground", "the outline encloses nothing, so it is left out", [number])
        return None
    whole = shapely.union_all(grounds)
    if len(grounds) > 1:
        loss = sum(ground.area for ground in grounds) - whole.area
        overlap = loss > _SAME_AREA * whole.area
        how = "overlap; their ground counts once" if overlap else "touch; they are joined"
        notes.add("parts-joined", f"parts of one shape {how}", [number])
    return whole


def _single_rings(part: Polygon, number: int, notes: Notes) -> Polygon:
    """Drop holes given twice or without width."""
    seen: set[bytes] = set()
    holes = []
    for hole in part.interiors:
        key = shapely.to_wkb(Polygon(hole).normalize())
        if key not in seen and Polygon(hole).area > 0:
            holes.append(hole)
        seen.add(key)
    if len(holes) == len(part.interiors):
        return part
    notes.add("ring-repeated", "a hole given twice, or without width, is used once or not at all", [number])
    return Polygon(part.exterior, holes)


def _of_same_area(part: Polygon, place: str, number: int, notes: Notes) -> BaseGeometry | None:
    """Repair a spike or a ring that touches itself: both leave the area as the corners give it."""
    told = abs(part.area)
    repaired = shapely.make_valid(part, method="structure", keep_collapsed=False)
    if abs(repaired.area - told) > _SAME_AREA * max(told, repaired.area):
        raise ShapeError(*_crossing(part), where=place, mend="redraw it so that no edges cross")
    if repaired.is_empty or repaired.area == 0:
        return None
    notes.add(
        "outline-tidied",
        "an outline that touches itself or runs out and back is tidied, its area unchanged",
        [number],
    )
    return repaired


def _crossing(part: Polygon) -> tuple[str]:
    found = _REASON.match(shapely.is_valid_reason(part))
    if found is None:
        return ("the outline cannot be ground",)
    east, _, north = found["place"].partition(" ")
    words = {
        "Self-intersection": "the outline crosses itself",
        "Ring Self-intersection": "the outline crosses itself",
        "Hole lies outside shell": "a hole lies outside its outline",
        "Holes are nested": "a hole lies in another hole",
    }
    what = words.get(found["what"].strip(), f"the outline is faulty ({found['what'].strip().lower()})")
    return (f"{what} at {east}, {north}",)
