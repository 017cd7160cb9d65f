"""Zones less obstacles for any number of yards at once, on arrays of shapes that name their owner."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final, TypeAlias

import numpy as np
import shapely

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    Shapes: TypeAlias = NDArray[Any]
    Index: TypeAlias = NDArray[np.int64]
    Flags: TypeAlias = NDArray[np.bool_]
    Numbers: TypeAlias = NDArray[np.float64]

_INTERIORS_MEET = "2********"
"""DE-9IM: the shapes have ground in common, not only a fence line."""

_FEW_PAIRS: Final = 8
"""Pairs per shape up to which looking at all of them is quicker than planting a tree. [count]"""


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
    base : array of Polygon or MultiPolygon
        `net` before the obstacles that are ``whole`` were made holes in it. [m]
    gross_m2, own_m2, net_m2 : array of float
        Area of the outline; of the outline less earlier zones; of `net`. [m²]
    carved : array of bool
        Whether an earlier zone took ground from it.
    clipped : array of bool
        Whether `base` may have corners that no one measured: where two outlines cross.
    pair_zone, pair_obstacle : array of int
        Zones and obstacles that have ground in common, rising by zone, then by obstacle. [count]
    pair_m2 : array of float
        Ground that the obstacle takes from the zone, less what an earlier obstacle took. [m²]
    whole : array of bool
        Whether the obstacle is a hole of its zone as it was drawn.
    """

    net: Shapes
    base: Shapes
    gross_m2: Numbers
    own_m2: Numbers
    net_m2: Numbers
    carved: Flags
    clipped: Flags
    pair_zone: Index
    pair_obstacle: Index
    pair_m2: Numbers
    whole: Flags


def cut(pieces: Pieces, refuse: Callable[[Index, Index], None]) -> Cut:
    """Take earlier zones and all obstacles of the same yard out of every zone.

    A house inside a lawn needs no overlay: its walls are the edge of the grass as they are, to the last digit. So
    obstacles are first tried as holes, and where that makes a valid shape, it is the difference. Of the other
    zones only what crosses the outline is overlaid, and all of it where the obstacles touch one another as well.

    Parameters
    ----------
    pieces : Pieces
        The shapes.
    refuse : callable
        Is given the places of zones and of obstacles that are no simple outlines, and raises; the test for it is
        left out where the result shows that they are.
    """
    gross_m2 = shapely.area(pieces.zones)
    own, carved = _own_ground(pieces, refuse)
    own_m2 = np.where(carved, shapely.area(own), gross_m2)
    work = _Work(pieces, own, own.copy(), own.copy(), own_m2)
    zone, obstacle = meeting(own, pieces.zone_owner, pieces.obstacles, pieces.obstacle_owner)
    boxed = _box_inside(pieces.obstacles[obstacle], own[zone])
    done = work.try_holes(np.arange(len(own)), zone, obstacle, able=boxed)
    taken_m2, whole = shapely.area(pieces.obstacles)[obstacle], done[zone]
    if not done.all():
        rest = ~whole & boxed
        whole[rest] = shapely.contains_properly(own[zone[rest]], pieces.obstacles[obstacle[rest]])
        _refuse_crossed(pieces, np.flatnonzero(~done), obstacle[~whole], refuse)
        keep = whole.copy()
        keep[~whole] = shapely.relate_pattern(
            own[zone[~whole]], pieces.obstacles[obstacle[~whole]], _INTERIORS_MEET
        )
        zone, obstacle, taken_m2, whole = zone[keep], obstacle[keep], taken_m2[keep], whole[keep]
        taken_m2[~whole] = work.overlay(zone[~whole], obstacle[~whole])
        places, inside = np.flatnonzero(~done), whole & ~done[zone]
        done[places] = work.try_holes(places, zone[inside], obstacle[inside], able=inside[inside])
        tangled = ~done[zone]
        if tangled.any():
            _refuse_crossed(pieces, np.array([], dtype=int), obstacle[tangled], refuse)
            whole[tangled] = False
            taken_m2[tangled] = work.overlay(zone[tangled], obstacle[tangled])
            work.net[~done] = work.base[~done]
    clipped = carved.copy()
    clipped[zone[~whole]] = True
    return Cut(
        work.net, work.base, gross_m2, own_m2, shapely.area(work.net),
        carved, clipped, zone, obstacle, taken_m2, whole,
    )  # fmt: skip


@dataclass(frozen=True, eq=False)
class _Work:
    """The cutting under way: `base` takes the overlays, `net` the holes on top of it."""

    pieces: Pieces
    own: Shapes
    base: Shapes
    net: Shapes
    own_m2: Numbers

    def try_holes(self, places: Index, zone: Index, obstacle: Index, *, able: Flags) -> Flags:
        """Put the zones at `places` with the paired obstacles as holes into `net`; say where that is valid."""
        obstacles = self.pieces.obstacles
        self.net[places] = self.base[places]
        fit = np.ones(len(self.base), dtype=bool)
        fit[zone[~(able & _plain(obstacles)[obstacle])]] = False
        ground = self.base[zone]
        fit[
            zone[(shapely.get_type_id(ground) != shapely.GeometryType.POLYGON) | shapely.is_empty(ground)]
        ] = False
        used = fit[zone]
        if used.any():
            holed, wall_of = np.unique(zone[used], return_inverse=True)
            rings, ring_of = rings_of(self.base[holed])
            owner = np.concatenate([ring_of, wall_of])
            order = np.argsort(owner, kind="stable")
            walls = shapely.get_exterior_ring(obstacles[obstacle[used]])
            self.net[holed] = shapely.polygons(np.concatenate([rings, walls])[order], indices=owner[order])
        valid: Flags = fit[places]
        valid[valid] = shapely.is_valid(self.net[places[valid]])
        return valid

    def overlay(self, zone: Index, obstacle: Index) -> Numbers:
        """Cut the given pairs out of `base` by overlay; return what each obstacle takes. [m²]"""
        obstacles, owner = self.pieces.obstacles, self.pieces.obstacle_owner
        losers, slot, count = np.unique(zone, return_inverse=True, return_counts=True)
        self.base[losers] = shapely.difference(self.own[losers], _unite(obstacles[obstacle], zone)[1])
        lost: Numbers = (self.own_m2[losers] - shapely.area(self.base[losers]))[slot]
        shared = count[slot] > 1
        used, place = np.unique(obstacle[shared], return_inverse=True)
        clear, _ = _less_earlier(obstacles[used], owner[used])
        lost[shared] = shapely.area(shapely.intersection(self.own[zone[shared]], clear[place]))
        return lost


def _refuse_crossed(
    pieces: Pieces, zones: Index, obstacles: Index, refuse: Callable[[Index, Index], None]
) -> None:
    """Hand over those of the given zones and obstacles that are no simple outlines."""
    bad_zones = zones[~shapely.is_valid(pieces.zones[zones])]
    bad_obstacles = obstacles[~shapely.is_valid(pieces.obstacles[obstacles])]
    if bad_zones.size or bad_obstacles.size:
        refuse(bad_zones, bad_obstacles)


def meeting(first: Shapes, first_owner: Index, second: Shapes, second_owner: Index) -> tuple[Index, Index]:
    """Return the pairs of one owner whose boxes meet, as places in both arrays, rising.

    Where owners have few shapes, every pair of each is looked at. Else the boxes of every owner are shifted so far
    east that owners never meet, and one search tree serves all.

    Parameters
    ----------
    first, second : array of shapes
        Shapes in metres. [m]
    first_owner, second_owner : array of int
        Owner of each shape, rising. [count]
    """
    first_bounds, second_bounds = shapely.bounds(first), shapely.bounds(second)
    low, high = (np.searchsorted(second_owner, first_owner, side) for side in ("left", "right"))
    if (high - low).sum() <= _FEW_PAIRS * (len(first) + len(second)):
        here, there = pairs_of(low, high)
        mine, theirs = first_bounds[here], second_bounds[there]
        meet = np.all(mine[:, :2] <= theirs[:, 2:], axis=1) & np.all(theirs[:, :2] <= mine[:, 2:], axis=1)
        return here[meet], there[meet]
    stride = stride_of(first_bounds, second_bounds)
    some, other = (np.flatnonzero(np.isfinite(box[:, 0])) for box in (first_bounds, second_bounds))
    tree = shapely.STRtree(_boxes(second_bounds[other], second_owner[other], stride))
    here, there = tree.query(_boxes(first_bounds[some], first_owner[some], stride))
    order = np.lexsort((there, here))
    return some[here[order]], other[there[order]]  # empty shapes have no box and meet nothing


def pairs_of(low: Index, high: Index) -> tuple[Index, Index]:
    """Return every place with every number from its low one up to its high one, that not included. [count]"""
    count = high - low
    here = np.repeat(np.arange(len(low)), count)
    return here, np.arange(len(here)) + np.repeat(low - np.cumsum(count) + count, count)


def _box_inside(inner: Shapes, outer: Shapes) -> Flags:
    """Whether the box of one shape lies inside that of the other: without that, the shape does not either."""
    small, large = shapely.bounds(inner), shapely.bounds(outer)
    inside: Flags = np.all(small[:, :2] > large[:, :2], axis=1) & np.all(small[:, 2:] < large[:, 2:], axis=1)
    return inside


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
    shift = (owner * stride).astype(np.float64)
    slack = 1e-12 * (float(shift.max(initial=0.0)) + stride)
    corners = np.stack([west + shift - slack, south, east + shift + slack, north], axis=1)
    diagonals: Any = shapely.linestrings(corners.reshape(-1, 2, 2))  # quicker to make, with the same box
    boxes: Shapes = diagonals
    return boxes


def _own_ground(pieces: Pieces, refuse: Callable[[Index, Index], None]) -> tuple[Shapes, Flags]:
    """Zones less the earlier zones of their yard; outlines are tested first where a yard has several."""
    several = np.flatnonzero(np.bincount(pieces.zone_owner)[pieces.zone_owner] > 1)
    _refuse_crossed(pieces, several, np.array([], dtype=int), refuse)
    return _less_earlier(pieces.zones, pieces.zone_owner)


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


def rings_of(polygons: Shapes) -> tuple[Shapes, Index]:
    """Return the rings of polygons, exteriors first within each, and the place of the polygon of each.

    Parameters
    ----------
    polygons : array of Polygon or MultiPolygon
        Shapes. [m]
    """
    if _plain(polygons).all():
        return shapely.get_exterior_ring(polygons), np.arange(len(polygons))
    parts, part_of = shapely.get_parts(polygons, return_index=True)
    rings, ring_of = shapely.get_rings(parts, return_index=True)
    return rings, part_of[ring_of]


def _plain(shapes: Shapes) -> Flags:
    """Which shapes are one ring and nothing else."""
    plain: Flags = (shapely.get_type_id(shapes) == shapely.GeometryType.POLYGON) & (
        shapely.get_num_interior_rings(shapes) == 0
    )
    return plain


def _unite(shapes: Shapes, group: Index) -> tuple[Index, Shapes]:
    """Return the groups, rising, and the union of the shapes of each."""
    order = np.argsort(group, kind="stable")
    groups, slot = np.unique(group[order], return_inverse=True)
    if len(groups) == len(group):
        return groups, shapes[order]
    together: Any = shapely.geometrycollections(shapes[order], indices=slot)
    united: Any = shapely.union_all(together[:, np.newaxis], axis=1)
    return groups, united
