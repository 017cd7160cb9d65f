"""Rounds along the edge and about every obstacle, and the ground that is left for lanes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import shapely
from shapely.geometry import LineString, MultiPolygon, Polygon

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

MITRE_LIMIT: Final = 2.0
"""A corner sharper than 60° is cut off, as nobody walks into it."""


def shrink(ground: Polygon | MultiPolygon, by_m: float) -> Polygon | MultiPolygon:
    """Return the ground farther than a distance from every edge, corners kept sharp.

    Parameters
    ----------
    ground : Polygon or MultiPolygon
        The lawn. [m]
    by_m : float
        The distance; a negative one grows the ground. [m]
    """
    return shapely.buffer(ground, -by_m, join_style="mitre", mitre_limit=MITRE_LIMIT)


def polygons_of(shape: BaseGeometry) -> MultiPolygon:
    """Return the polygons of a shape; lines and points are what touching outlines leave.

    Parameters
    ----------
    shape : geometry
        Any. [m]
    """
    return MultiPolygon([part for part in shapely.get_parts(shape) if isinstance(part, Polygon)])


@dataclass(frozen=True, eq=False)
class Headland:
    """Rounds, and what they leave.

    Attributes
    ----------
    loops : tuple of LineString
        Closed lines: those along an outer edge clockwise, those round an obstacle the other way. [m]
    core : Polygon or MultiPolygon
        What is left inside for lanes; may be empty. [m]
    corners : Polygon or MultiPolygon
        What is left outside: corners and necks that the first round does not reach; may be empty. [m]
    """

    loops: tuple[LineString, ...]
    core: Polygon | MultiPolygon
    corners: Polygon | MultiPolygon


def headland(ground: Polygon | MultiPolygon, swath_m: float, loops: int) -> Headland:
    """Return the rounds to walk, and the ground that they leave to the lanes and to the hand.

    Parameters
    ----------
    ground : Polygon or MultiPolygon
        The lawn, obstacles taken out. [m]
    swath_m : float
        Width of a round. [m]
    loops : int
        How many rounds. [count]
    """
    rounds: list[LineString] = []
    core = ground
    corners: Polygon | MultiPolygon = MultiPolygon()
    for number in range(loops):
        middle = shrink(core, 0.5 * swath_m)
        rings = shapely.get_rings(shapely.get_parts(shapely.normalize(middle)))
        rounds += [LineString(shapely.get_coordinates(ring)) for ring in rings]
        if number == 0:
            corners = polygons_of(shapely.difference(ground, shrink(middle, -0.5 * swath_m)))
        core = shrink(middle, 0.5 * swath_m)
    return Headland(tuple(rounds), core, corners)
