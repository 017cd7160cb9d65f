"""Ground in the shape of an L, a T or a U, cut where its wings are better walked in different directions.

The least sum of altitudes of two parts can lie far below that of the whole (W. H. Huang, IEEE ICRA 2001). Cuts
are tried from every corner that sticks into the ground, on along either of its sides; the closed-form cost
decides, so that no lane is made for a cut that does not pay.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon
from shapely.ops import split

from lawnmap.lanes.direction import Spacing, candidate_directions, direction_cost
from lawnmap.lanes.headland import polygons_of
from lawnmap.lanes.strips import edges_of

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from shapely.geometry import MultiPolygon

_SHARPEST_DEG: Final = 40.0  # what bends less than this is a curve, not the corner of a wing
_MOST_CORNERS: Final = 4  # ground with more such corners is ragged, not made of wings
_PAYS: Final = 0.01  # share of the cost that a cut must save before lanes are laid for it
_LEAST_PART: Final = 0.1  # share of the ground that a wing has at least


def wings_of(core: Polygon | MultiPolygon, spacing: Spacing) -> tuple[Polygon, ...]:
    """Return the wings of some ground that are worth walking apart, or nothing.

    Parameters
    ----------
    core : Polygon or MultiPolygon
        The ground to cover. [m]
    spacing : Spacing
        How lanes lie and what they cost.
    """
    parts = list(shapely.get_parts(core))
    if core.is_empty or len(parts) != 1:
        return ()
    cuts = _cuts(shapely.simplify(parts[0], 0.05 * spacing.swath_m))
    if not cuts:
        return ()
    whole = _least_cost(core, spacing) + core.area / spacing.swath_m
    best: tuple[Polygon, ...] = ()
    least = (1 - _PAYS) * whole
    for cut in cuts:
        halves = polygons_of(split(parts[0], cut)).geoms
        if len(halves) != 2 or min(half.area for half in halves) < _LEAST_PART * core.area:
            continue
        cost = sum(_least_cost(half, spacing) for half in halves) + core.area / spacing.swath_m
        if cost < least:
            best, least = tuple(halves), cost
    return best


def _least_cost(ground: Polygon | MultiPolygon, spacing: Spacing) -> float:
    edges = edges_of(ground)
    return float(direction_cost(edges, candidate_directions(edges), spacing).min())


def _cuts(ground: Polygon) -> list[LineString]:
    """Return lines from each corner that sticks in, on along its sides, to the other side of the ground."""
    points = shapely.get_coordinates(shapely.normalize(ground).exterior)[:-1]
    here, there = points - np.roll(points, 1, axis=0), np.roll(points, -1, axis=0) - points
    cross = here[:, 0] * there[:, 1] - here[:, 1] * there[:, 0]
    bend = np.degrees(np.arctan2(cross, (here * there).sum(axis=1)))
    corners = np.flatnonzero(bend > _SHARPEST_DEG)  # normalised outlines run clockwise
    if not 0 < len(corners) <= _MOST_CORNERS:
        return []
    return [_ray(ground, points[corner], way) for corner in corners for way in (here[corner], -there[corner])]


def _ray(ground: Polygon, corner: NDArray[np.float64], way: NDArray[np.float64]) -> LineString:
    """Return a line from just before a corner to just beyond the next edge."""
    unit = way / np.hypot(*way)
    far = float(np.hypot(*np.ptp(shapely.get_coordinates(ground), axis=0)))
    line = LineString([corner + 1e-6 * far * unit, corner + far * unit])
    hits = shapely.get_coordinates(shapely.intersection(line, ground.boundary))
    ahead = np.sort((hits - corner) @ unit) if len(hits) else np.array([far])
    return LineString([corner - 1e-3 * unit, corner + (ahead[0] + 1e-2) * unit])
