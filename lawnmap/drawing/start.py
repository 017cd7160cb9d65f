"""Begin a sketch from a yard that exists: its shapes as they are, on a sheet one unit to the metre."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Literal

from shapely import union_all
from shapely.geometry import LineString, Point, Polygon

from lawnmap.drawing.sketch import Place, Shape, Sheet, Sketch
from lawnmap.yard import Landmark, Obstacle, Zone

if TYPE_CHECKING:
    from collections.abc import Iterator

    from shapely.geometry.base import BaseGeometry

    from lawnmap.drawing.sketch import Spot
    from lawnmap.yard import Water, Yard

MARGIN: Final = 0.1
"""Room around the yard, as a share of its longer side. [1]"""

Thing = Zone | Obstacle | Landmark


def sketch_of(yard: Yard, units: Literal["us", "metric"] = "us") -> Sketch:
    """Turn a yard into a sketch that can be drawn on.

    Parameters
    ----------
    yard : Yard
        Any yard; a shape of several parts becomes several shapes.
    units : str
        What the page shall show.
    """
    things: tuple[Thing | Water, ...] = (*yard.zones, *yard.obstacles, *yard.water, *yard.landmarks)
    west, south, east, north = union_all([_geometry(thing) for thing in things]).bounds
    room = max(east - west, north - south, 1.0) * MARGIN
    corner = (west - room, south - room)
    shapes = [shape for thing in things for shape in _shapes(thing, corner)]
    plane = yard.plane
    place = Place.of(plane) if plane.georeferenced else None
    return Sketch(
        name=yard.name[:200],
        units=units,
        paper=Sheet(
            kind="grid",
            wide=east - west + 2 * room,
            high=north - south + 2 * room,
            metres_per_unit=1.0,
            east_m=corner[0],
            north_m=corner[1],
            place=place,
        ),
        shapes=tuple(shape.model_copy(update={"id": f"s{n}"}) for n, shape in enumerate(shapes, start=1)),
    )


def _geometry(thing: Thing | Water) -> BaseGeometry:
    return thing.polygon if isinstance(thing, Zone | Obstacle) else thing.shape


def _shapes(thing: Thing | Water, corner: Spot) -> Iterator[Shape]:
    whole = _geometry(thing)
    parts = list(getattr(whole, "geoms", [whole]))
    for number, part in enumerate(parts, start=1):
        name = thing.name if number == 1 else f"{thing.name} {number}"
        form, points, holes = _corners(part, corner)
        blank = Shape(id="new", role="lawn", form=form, points=points, holes=holes, name=name[:200])
        yield blank.model_copy(update=_traits(thing))


def _traits(thing: Thing | Water) -> dict[str, object]:
    if isinstance(thing, Zone):
        return {
            "density": thing.density,
            "cover_percent": thing.cover_percent,
            "slope_percent": thing.slope_percent,
        }
    if isinstance(thing, Obstacle):
        return {"role": "obstacle", "kind": thing.kind}
    if isinstance(thing, Landmark):
        return {"role": "landmark", "kind": thing.kind}
    return {"role": "water"}


def _corners(
    part: BaseGeometry, corner: Spot
) -> tuple[Literal["polygon", "line", "point"], tuple[Spot, ...], tuple[tuple[Spot, ...], ...]]:
    if isinstance(part, Polygon):
        rings = [_moved(ring.coords, corner)[:-1] for ring in (part.exterior, *part.interiors)]
        return "polygon", rings[0], tuple(rings[1:])
    assert isinstance(part, LineString | Point)  # the model allows no other
    return ("line" if isinstance(part, LineString) else "point"), _moved(part.coords, corner), ()


def _moved(coords: object, corner: Spot) -> tuple[Spot, ...]:
    assert hasattr(coords, "__iter__")
    return tuple((point[0] - corner[0], point[1] - corner[1]) for point in coords)
