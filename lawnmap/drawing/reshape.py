"""Cut a shape in two along a line, and make one of two that touch: on the sheet, with the corners that were clicked."""

from __future__ import annotations

from pydantic import Field, TypeAdapter, ValidationError
from shapely.geometry import LineString, Polygon
from shapely.ops import split, unary_union

from lawnmap.drawing.sketch import Shape, Spot
from lawnmap.errors import FileError, InputError, ShapeError

_SHAPES: TypeAdapter[tuple[Shape, ...]] = TypeAdapter(tuple[Shape, ...])


class Cut(Shape):
    """A shape to cut, and the line to cut along. [sheet units]"""

    line: tuple[Spot, ...] = Field(min_length=2, max_length=1000)


def cut_in_two(held: bytes) -> list[dict[str, object]]:
    """Cut a shape along a line.

    Parameters
    ----------
    held : bytes
        JSON of a `Cut`.

    Returns
    -------
    list of dict
        The parts as shapes, largest first; the first keeps the id and the name.

    Raises
    ------
    ShapeError
        Where the line does not cross the shape from edge to edge.
    """
    try:
        cut = Cut.model_validate_json(held)
    except ValidationError:
        raise FileError("that is no shape and line", mend="draw the line again") from None
    whole = _polygon(cut)
    parts = [
        part
        for part in split(whole, LineString(cut.line)).geoms
        if isinstance(part, Polygon) and part.area > 1e-9 * whole.area
    ]
    if len(parts) < 2:
        raise ShapeError(
            "the line does not cross the shape from edge to edge",
            where=cut.name,
            mend="begin and end it outside",
        )
    parts.sort(key=lambda part: -part.area)
    base = cut.model_dump(mode="json", exclude={"line"})
    names = [cut.name, *(f"{cut.name} part {number}" for number in range(2, len(parts) + 1))]
    return [
        {**base, **_rings(part), "name": name, "id": cut.id if number == 0 else ""}
        for number, (part, name) in enumerate(zip(parts, names, strict=True))
    ]


def make_one(held: bytes) -> dict[str, object]:
    """Make one shape of several.

    Parameters
    ----------
    held : bytes
        JSON of a list of shapes; the first gives the name and all else.

    Raises
    ------
    ShapeError
        Where they do not touch along an edge.
    """
    try:
        shapes = _SHAPES.validate_json(held)
    except ValidationError:
        raise FileError("those are no shapes", mend="choose two shapes") from None
    if len(shapes) < 2:
        raise InputError("one shape alone cannot be joined", mend="choose two")
    whole = unary_union([_polygon(shape) for shape in shapes])
    if not isinstance(whole, Polygon):
        raise ShapeError(
            "they do not touch along an edge",
            where=" and ".join(shape.name for shape in shapes),
            mend="move a corner of one onto the other",
        )
    return {**shapes[0].model_dump(mode="json"), **_rings(whole)}


def _polygon(shape: Shape) -> Polygon:
    if shape.form != "polygon" or len(shape.points) < 3:
        raise ShapeError("it is no outline with corners", where=shape.name, mend="choose one that is")
    polygon = Polygon(shape.points, [hole for hole in shape.holes if len(hole) > 2])
    if not polygon.is_valid:
        raise ShapeError("its outline crosses itself", where=shape.name, mend="mend it first")
    return polygon


def _rings(part: Polygon) -> dict[str, object]:
    return {"points": _open(part.exterior), "holes": [_open(ring) for ring in part.interiors]}


def _open(ring: LineString) -> list[Spot]:
    return [(point[0], point[1]) for point in ring.coords[:-1]]
