"""Where each figure of a tape sheet lies: where it was measured to, within a lawn, or beside the others."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
import shapely
from shapely import Point, Polygon
from shapely.affinity import rotate, translate

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shapely.geometry.base import BaseGeometry

_TRIES: Final = 24  # per side of the lawn's bounds
_APART: Final = 0.1  # of the width of what stands there already


def fit_within(shape: Polygon, room: BaseGeometry) -> Polygon | None:
    """Move a shape to where it fits, as far from the edges as may be, turned if need be.

    Parameters
    ----------
    shape : Polygon
        The shape.
    room : shapely geometry
        Lawn that is still free.

    Returns
    -------
    Polygon or None
        None where no place is found.
    """
    middle = shape.centroid
    for angle in (0, 90, 45, 135):
        turned = rotate(shape, angle, origin=middle)
        for point in _candidates(room):
            moved: Polygon = translate(turned, point.x - middle.x, point.y - middle.y)
            if room.contains(moved):
                return moved
    return None


def _candidates(room: BaseGeometry) -> list[Point]:
    """Points of a grid within, those far from every edge first."""
    if room.is_empty:
        return []
    west, south, east, north = room.bounds
    grid = np.stack(
        np.meshgrid(np.linspace(west, east, _TRIES), np.linspace(south, north, _TRIES)), axis=-1
    ).reshape(-1, 2)
    points = np.asarray(shapely.points(grid), dtype=object)
    inside = points[shapely.contains(room, points)]
    far = shapely.distance(inside, room.boundary)
    return [*inside[np.argsort(-far, kind="stable")]]


def set_beside(shape: Polygon, placed: Sequence[Polygon]) -> Polygon:
    """Move a shape to the right of all others.

    Parameters
    ----------
    shape : Polygon
        The shape.
    placed : sequence of Polygon
        What stands there already.
    """
    west, south, east, _ = shape.bounds
    if not placed:
        return translate(shape, -west, -south)
    bounds = shapely.total_bounds(np.array(placed, dtype=object))
    gap = _APART * max(bounds[2] - bounds[0], east - west)
    return translate(shape, bounds[2] + gap - west, bounds[1] - south)
