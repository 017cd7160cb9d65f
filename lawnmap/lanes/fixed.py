"""Fixed places of a yard that a tape can be hooked to: corners of houses, landmarks, walls."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

import numpy as np
import shapely
from shapely.geometry import MultiPolygon

from lawnmap.lanes.headland import polygons_of

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

    from lawnmap.yard import Landmark, Yard

_COMPASS: Final = ("east", "north-east", "north", "north-west", "west", "south-west", "south", "south-east")
_SHARPEST_DEG: Final = 35.0  # a corner bends at least so much; what bends less is a curve
_LEAST_WALL_M: Final = 2.0
_BUILDINGS: Final = ("house", "other")
_CORNER_M: Final = 0.1


@dataclass(frozen=True, eq=False)
class Wall:
    """A straight line to lay a tape along.

    Attributes
    ----------
    name : str
        What people call it.
    origin, along : array, shape (2,)
        Where its zero is, and its direction as a unit vector. [m, 1]
    length_m : float
        Its length. [m]
    """

    name: str
    origin: NDArray[np.float64]
    along: NDArray[np.float64]
    length_m: float


@dataclass(frozen=True, eq=False)
class FixedPlaces:
    """Points to tie to, walls to measure along, marks to aim at.

    Attributes
    ----------
    names : tuple of str
        Names of the points.
    points : array, shape (n, 2)
        Points. [m]
    walls : tuple of Wall
        Walls.
    aims : tuple of (str, array)
        Names and places of what can be seen from afar. [m]
    solid : MultiPolygon
        Buildings, through which no tape goes. [m]
    """

    names: tuple[str, ...]
    points: NDArray[np.float64]
    walls: tuple[Wall, ...]
    aims: tuple[tuple[str, NDArray[np.float64]], ...]
    solid: MultiPolygon = field(default_factory=MultiPolygon, repr=False)

    def reached(self, places: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Tell from which fixed points a tape runs straight to some places.

        Parameters
        ----------
        places : array, shape (m, 2)
            Where to. [m]

        Returns
        -------
        array, shape (m, n)
            For every place and fixed point.
        """
        shape = (len(places), len(self.points), 2)
        ends = np.stack(
            [np.broadcast_to(places[:, None], shape), np.broadcast_to(self.points[None], shape)], axis=2
        )
        shapely.prepare(self.solid)
        return ~np.asarray(shapely.intersects(self.solid, shapely.linestrings(ends)), dtype=bool)


def fixed_places(yard: Yard) -> FixedPlaces:
    """Return the fixed places of a yard.

    Parameters
    ----------
    yard : Yard
        The property, with its landmarks and its houses.
    """
    named: dict[str, NDArray[np.float64]] = {}
    walls: list[Wall] = []
    for mark in yard.landmarks:
        points = shapely.get_coordinates(mark.shape)
        if len(points) == 1:
            named[mark.name] = points[0]
        else:
            walls += _walls(mark.name, points)
            named |= {f"{mark.name}, begin": points[0], f"{mark.name}, end": points[-1]}
    for obstacle in yard.obstacles:
        if obstacle.kind == "house":
            named |= _corners(obstacle.name, obstacle.polygon)
    points = np.array(list(named.values())).reshape(-1, 2)
    aims = [(mark.name, _place(mark)) for mark in yard.landmarks]
    aims += [
        (item.name, shapely.get_coordinates(item.polygon.centroid)[0])
        for item in yard.obstacles
        if item.kind == "tree"
    ]
    buildings = [item.polygon for item in yard.obstacles if item.kind in _BUILDINGS]
    # a little smaller, so that their own corners can be taped from
    solid = polygons_of(shapely.union_all(shapely.buffer(buildings, -_CORNER_M, join_style="mitre")))
    return FixedPlaces(tuple(named), points, tuple(walls), tuple(aims), solid)


def _place(mark: Landmark) -> NDArray[np.float64]:
    return np.asarray(shapely.get_coordinates(mark.shape.centroid)[0])


def _walls(name: str, points: NDArray[np.float64]) -> list[Wall]:
    """Return every straight stretch of a wall that is long enough for a tape."""
    found = []
    for origin, end in itertools.pairwise(points):
        length = float(np.hypot(*(end - origin)))
        if length >= _LEAST_WALL_M:
            found.append(Wall(name, origin, (end - origin) / length, length))
    return found


def _corners(name: str, shape: BaseGeometry) -> dict[str, NDArray[np.float64]]:
    """Return the corners of a house that stick out, named by the compass from its middle."""
    found: dict[str, NDArray[np.float64]] = {}
    for part in shapely.get_parts(shape):
        points = shapely.get_coordinates(shapely.normalize(part).exterior)[:-1]
        here, there = points - np.roll(points, 1, axis=0), np.roll(points, -1, axis=0) - points
        cross = here[:, 0] * there[:, 1] - here[:, 1] * there[:, 0]
        bend = np.degrees(np.arctan2(cross, (here * there).sum(axis=1)))
        middle = shapely.get_coordinates(part.centroid)[0]
        for corner in points[bend < -_SHARPEST_DEG]:  # normalised outlines run clockwise
            side = np.degrees(np.arctan2(*(corner - middle)[::-1]))
            label = f"{name}, {_COMPASS[round(side / 45) % 8]} corner"
            number = 2
            while label in found:
                label = f"{name}, {_COMPASS[round(side / 45) % 8]} corner {number}"
                number += 1
            found[label] = corner
    return found
