"""Zones less obstacles for any number of yards at once, on arrays of shapes that name their owner."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeAlias

import numpy as np
import shapely

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Shapes: TypeAlias = NDArray[Any]
    Index: TypeAlias = NDArray[np.int64]
    Flags: TypeAlias = NDArray[np.bool_]
    Numbers: TypeAlias = NDArray[np.float64]

_INTERIORS_MEET = "2********"
"""DE-9IM: the shapes have ground in common, not only a fence line."""


@dataclass(frozen=True, eq=False)
class Pieces:
    """The shapes of many yards in flat arrays.

    Attributes
    ----------
    zones, obstacles : array of Polygon or MultiPolygon
        Shapes, yard by yard in the order of each yard. [m]
    zone_owner, obstacle_owner : array of int
        Which yard each belongs to, rising. [count]
    """

    zones: Shapes
    zone_owner: Index
    obstacles: Shapes
    obstacle_owner: Index


@dataclass(frozen=True, eq=False)
class Cut:
    """What is left of every zone, and which obstacle took what.

    Attributes
    ----------
    net : array of Polygon or MultiPolygon
        Zone less earlier zones less obstacles. [m]
    gross_m2, own_m2, net_m2 : array of float
        Area of the outline; of the outline less earlier zones; of `net`. [m²]
    clipped : array of bool
        Whether `net` has corners that no one measured: where two outlines cross.
    pair_zone, pair_obstacle : array of int
        Zones and obstacles that have ground in common, rising by zone, then by obstacle. [count]
    pair_m2 : array of float
        Ground that the obstacle takes from the zone, less what an earlier obstacle took. [m²]
    """

    net: Shapes
    gross_m2: Numbers
    own_m2: Numbers
    net_m2: Numbers
    clipped: Flags
    pair_zone: Index
    pair_obstacle: Index
    pair_m2: Numbers


def cut(pieces: Pieces) -> Cut:
    """Take earlier zones and all obstacles of the same yard out of every zone.

    Parameters
    ----------
    pieces : Pieces
        Valid shapes; see `faulty`.
    """
    gross_m2 = shapely.area(pieces.zones)
    own, carved = _less_earlier(pieces.zones, pieces.zone_owner)
    own_m2 = np.where(carved, shapely.area(own), gross_m2)
    zone, obstacle = meeting(own, pieces.zone_owner, pieces.obstacles, pieces.obstacle_owner)
    net, done = _with_holes(own, pieces.obstacles, zone, obstacle)
    pair_m2 = shapely.area(pieces.obstacles)[obstacle]
    rest = ~done[zone]
    if rest.any():
        rest[rest] = shapely.relate_pattern(
            own[zone[rest]], pieces.obstacles[obstacle[rest]], _INTERIORS_MEET
        )
        keep = rest | done[zone]
        zone, obstacle, pair_m2, rest = zone[keep], obstacle[keep], pair_m2[keep], rest[keep]
        pair_m2[rest] = _overlay(net, own, pieces, zone[rest], obstacle[rest])
    clipped = carved.copy()
    clipped[zone[rest]] = True
    return Cut(net, gross_m2, own_m2, shapely.area(net), clipped, zone, obstacle, pair_m2)


def faulty(pieces: Pieces) -> tuple[Index, Index]:
    """Return the places of zones and of obstacles that are no simple outlines."""
    return (
        np.flatnonzero(~shapely.is_valid(pieces.zones)),
        np.flatnonzero(~shapely.is_valid(pieces.obstacles)),
    )


def meeting(first: Shapes, first_owner: Index, second: Shapes, second_owner: Index) -> tuple[Index, Index]:
    """Return the pairs of one owner whose boxes meet, as places in both arrays, rising.

    The boxes of every owner are shifted so far east that owners never meet; so one search tree serves all.

    Parameters
    ----------
    first, second : array of shapes
        Shapes in metres. [m]
    first_owner, second_owner : array of int
        Owner of each shape. [count]
    """
    first_bounds, second_bounds = shapely.bounds(first), shapely.bounds(second)
    stride = stride_of(first_bounds, second_bounds)
    tree = shapely.STRtree(_boxes(second_bounds, second_owner, stride))
    here, there = tree.query(_boxes(first_bounds, first_owner, stride))
    order = np.lexsort((there, here))
    return here[order], there[order]


def stride_of(*bounds: Numbers) -> float:
    """Return a shift that sets the yards apart: more than all their extents together. [m]

    Parameters
    ----------
    *bounds : array, shape (n, 4) = [west, south, east, north]
        Boxes on the planes of the yards. [m]
    """
    east = np.concatenate([box[:, [0, 2]].ravel() for box in bounds])
    east = east[np.isfinite(east)]
    return float(np.ptp(east)) * 1.1 + 1.0 if east.size else 1.0


def _boxes(bounds: Numbers, owner: Index, stride: float) -> Shapes:
    """Boxes set apart by owner; wider by far more than the shift can round off."""
    west, south, east, north = bounds.T
    shift = owner * stride
    slack = 1e-12 * (float(shift.max(initial=0.0)) + stride)
    boxes: Shapes = shapely.box(west + shift - slack, south, east + shift + slack, north)
    return boxes


def _less_earlier(zones: Shapes, owner: Index) -> tuple[Shapes, Flags]:
    """Take from every zone what earlier zones of its yard have; say which zones lost ground."""
    carved = np.zeros(len(zones), dtype=bool)
    shared = np.flatnonzero(np.bincount(owner, minlength=1)[owner] > 1)
    if not shared.size:
        return zones, carved
    later, earlier = meeting(zones[shared], owner[shared], zones[shared], owner[shared])
    later, earlier = shared[later[earlier < later]], shared[earlier[earlier < later]]
    overlap = shapely.relate_pattern(zones[later], zones[earlier], _INTERIORS_MEET)
    later, earlier = later[overlap], earlier[overlap]
    own = zones.copy()
    losers, taken = _unite(zones[earlier], later)
    own[losers] = shapely.difference(zones[losers], taken)
    carved[losers] = True
    return own, carved


def _with_holes(own: Shapes, obstacles: Shapes, zone: Index, obstacle: Index) -> tuple[Shapes, Flags]:
    """Make every obstacle a hole of its zone; where that is a valid shape, it is the difference.

    A house inside a lawn needs no overlay: its walls are the edge of the grass as they are, to the last
    digit. Obstacles that cross the outline, touch or cover one another fail the test and are left to `_overlay`.
    """
    simple = (shapely.get_type_id(obstacles) == shapely.GeometryType.POLYGON) & (
        shapely.get_num_interior_rings(obstacles) == 0
    )
    able = np.ones(len(own), dtype=bool)
    able[zone[~simple[obstacle]]] = False
    holed = np.zeros(len(own), dtype=bool)
    holed[zone] = True
    able &= ~holed | (shapely.get_type_id(own) == shapely.GeometryType.POLYGON)
    net = own.copy()
    places = np.flatnonzero(able & holed)
    if places.size:
        rings, ring_of = shapely.get_rings(own[places], return_index=True)
        pairs = able[zone]
        walls = shapely.get_exterior_ring(obstacles[obstacle[pairs]])
        wall_of = np.searchsorted(places, zone[pairs])
        owner = np.concatenate([ring_of, wall_of])
        order = np.argsort(owner, kind="stable")
        net[places] = shapely.polygons(np.concatenate([rings, walls])[order], indices=owner[order])
    done = able.copy()
    done[places] = shapely.is_valid(net[places])
    net[~done] = own[~done]
    return net, done


def _overlay(net: Shapes, own: Shapes, pieces: Pieces, zone: Index, obstacle: Index) -> Numbers:
    """Cut the given pairs by overlay, put the results into `net`, return what each obstacle takes. [m²]"""
    losers, taken = _unite(pieces.obstacles[obstacle], zone)
    net[losers] = shapely.difference(own[losers], taken)
    used, slot = np.unique(obstacle, return_inverse=True)
    clear, _ = _less_earlier(pieces.obstacles[used], pieces.obstacle_owner[used])
    lost: Numbers = shapely.area(shapely.intersection(own[zone], clear[slot]))
    return lost


def _unite(shapes: Shapes, group: Index) -> tuple[Index, Shapes]:
    """Return the groups, rising, and the union of the shapes of each."""
    order = np.argsort(group, kind="stable")
    groups, slot = np.unique(group[order], return_inverse=True)
    together: Any = shapely.geometrycollections(shapes[order], indices=slot)
    united: Any = shapely.union_all(together[:, np.newaxis], axis=1)
    return groups, united
