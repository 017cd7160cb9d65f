"""Rounds along the edge and about every obstacle, and the ground that is left for lanes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import shapely
from shapely.geometry import LineString, MultiPolygon

if TYPE_CHECKING:
    from shapely.geometry import Polygon

MITRE_LIMIT: Final = 2.0
"""A corner sharper than 60° is cut off, as nobody walks into it."""


def shrink(ground: Polygon | MultiPolygon, by_m: float) -> Polygon | MultiPolygon:
    """Return the ground farther than a distance from every edge, corners kept sharp.

    Parameters
    ----------
    ground : Polygon or MultiPolygon
        The lawn. [m]
    by_m : float
        The distance. [m]
    """
    return shapely.buffer(ground, -by_m, join_style="mitre", mitre_limit=MITRE_LIMIT) if by_m else ground


def headland(
    ground: Polygon | MultiPolygon, swath_m: float, loops: int
) -> tuple[tuple[LineString, ...], Polygon | MultiPolygon]:
    """Return the rounds to walk and the ground that the lanes must cover.

    Parameters
    ----------
    ground : Polygon or MultiPolygon
        The lawn, obstacles taken out. [m]
    swath_m : float
        Width of a round. [m]
    loops : int
        How many rounds. [count]

    Returns
    -------
    loops : tuple of LineString
        Closed lines: those along an outer edge clockwise, those round an obstacle the other way. [m]
    core : Polygon or MultiPolygon
        What is left inside; may be empty. [m]
    """
    rounds: list[LineString] = []
    for number in range(loops):
        middle = shrink(ground, (number + 0.5) * swath_m)
        rings = shapely.get_rings(shapely.get_parts(shapely.normalize(middle)))
        rounds += [LineString(shapely.get_coordinates(ring)) for ring in rings]
    core = shrink(ground, loops * swath_m)
    return tuple(rounds), core if not core.is_empty else MultiPolygon()
