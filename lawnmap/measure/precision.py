"""How sure an area is: the standard error that the errors of its corners give it.

Every corner that someone measured is taken to be off by independent errors of equal size σ east and north. For
a ring of such corners the variance of the area is exactly

    σ_A² = σ²/4 · Σ |P(i+1) - P(i-1)|² + n σ⁴/2,

by propagation of variances through the coordinate formula: the first term is the gradient of the area, the
second the variance of the products of two errors. The tests draw it by lot and find the same.

Where two outlines cross, the net ground has a corner that nobody measured. It moves with the ends of the two
measured edges that make it, so its share of the area's gradient is handed to those ends, each by its distance
along the edge. This is exact to first order in σ; the second term is then an approximation, with n counted over
the measured corners that have a share.

A corner that occurs twice with the same coordinates is one measured point. So a fence between two zones moves
ground from one to the other, and drops out of the error of their sum.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final, TypeAlias

import numpy as np
import shapely

from lawnmap.measure.kernel import Cut, Pieces, pairs_of, rings_of, stride_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Places: TypeAlias = NDArray[np.complex128]
    Index: TypeAlias = NDArray[np.int64]
    Numbers: TypeAlias = NDArray[np.float64]


_REACH_M: Final = 1e-6
"""How far a computed corner may lie off the edge it was computed on. [m]"""

_TURN: Final = 1e-3
"""Sine of the angle by which a very short piece of an edge may seem turned. [1]"""

_FEW_PAIRS: Final = 32
"""Pairs per edge up to which looking at all of them is quicker than planting a tree. [count]"""


@dataclass(frozen=True, eq=False)
class _Edges:
    """Straight edges of many shapes: ends as complex numbers, and the shape each belongs to."""

    start: Places
    end: Places
    of: Index


@dataclass(frozen=True, eq=False)
class _Shares:
    """By how much the area of a shape changes with each of its corners, up to a quarter turn."""

    corner: Places
    share: Places
    of: Index


def area_errors(pieces: Pieces, result: Cut, sigma_m: Numbers) -> tuple[Numbers, Numbers]:
    """Return the standard errors of the net areas, zone by zone and yard by yard. [m²]

    Parameters
    ----------
    pieces : Pieces
        What was measured.
    result : Cut
        What is left of it.
    sigma_m : array, shape (yards,)
        Standard error of one coordinate of one corner, yard by yard. [m]
    """
    owner = pieces.zone_owner
    several = np.bincount(owner, minlength=len(sigma_m)) > 1
    squares, corners = np.zeros(len(owner)), np.zeros(len(owner))
    shares = _ring_shares(pieces, result)
    _add(squares, corners, shares)
    clipped = np.flatnonzero(result.clipped)
    if clipped.size:
        loose = _clipped_shares(pieces, result, clipped)
        _add(squares, corners, _merged(loose, loose.of))
        shares = _Shares(
            np.concatenate([shares.corner, loose.corner]),
            np.concatenate([shares.share, loose.share]),
            np.concatenate([shares.of, loose.of]),
        )
    single = ~several[owner]
    yard_squares: Numbers = np.bincount(owner, squares * single, len(sigma_m)).astype(float)
    yard_corners: Numbers = np.bincount(owner, corners * single, len(sigma_m)).astype(float)
    if several.any():
        mine = several[owner[shares.of]]
        mixed = _Shares(shares.corner[mine], shares.share[mine], shares.of[mine])
        _add(yard_squares, yard_corners, _merged(mixed, owner[mixed.of]))
    zone_sigma = sigma_m[owner]
    return (
        np.sqrt(squares * zone_sigma**2 + corners * zone_sigma**4 / 2),
        np.sqrt(yard_squares * sigma_m**2 + yard_corners * sigma_m**4 / 2),
    )


def _add(squares: Numbers, corners: Numbers, shares: _Shares) -> None:
    squares += np.bincount(shares.of, np.abs(shares.share) ** 2, len(squares))
    corners += np.bincount(shares.of, minlength=len(corners))


def _edges(shapes: NDArray[Any], of: Index) -> _Edges:
    """All edges of polygons, exteriors counter-clockwise and holes clockwise."""
    place, ring_of, shape_of = _corners(shapely.orient_polygons(shapes))
    inside = (ring_of[1:] == ring_of[:-1]) & (place[1:] != place[:-1])
    return _Edges(place[:-1][inside], place[1:][inside], of[shape_of[:-1][inside]])


def _corners(shapes: NDArray[Any]) -> tuple[Places, Index, Index]:
    """All points of all rings, each ring closed, with the place of the ring and of the shape."""
    rings, ring_owner = rings_of(shapes)
    points, ring_of = shapely.get_coordinates(rings, return_index=True)
    return points[:, 0] + 1j * points[:, 1], ring_of, ring_owner[ring_of]


def _ring_shares(pieces: Pieces, result: Cut) -> _Shares:
    """Shares of rings that are all measured: half the way from the corner before to the corner after."""
    plain = np.flatnonzero(~result.clipped)
    holes = pieces.obstacles[result.pair_obstacle[result.whole]]
    of = np.concatenate([plain, result.pair_zone[result.whole]])
    turned = np.concatenate(
        [shapely.orient_polygons(pieces.zones[plain]), shapely.orient_polygons(holes, exterior_cw=True)]
    )
    place, ring_of, shape_of = _corners(turned)
    last = np.ones(len(ring_of), dtype=bool)
    last[:-1] = ring_of[1:] != ring_of[:-1]
    first = np.roll(last, 1)
    before, after = np.roll(place, 1), np.roll(place, -1)
    before[first] = place[np.flatnonzero(last) - 1]  # a ring ends where it starts
    keep = ~last
    return _Shares(place[keep], (after - before)[keep] / 2, of[shape_of[keep]])


def _clipped_shares(pieces: Pieces, result: Cut, zones: Index) -> _Shares:
    """Half of every edge to each of its ends, and from there on to the ends of the measured edge it lies on."""
    net = _edges(result.base[zones], zones)
    half = (net.end - net.start) / 2
    boxes = _clip_boxes(pieces, result)
    near = np.flatnonzero(_in_box(net, boxes[pieces.zone_owner[net.of]]))
    source = _source_edges(pieces, result, boxes)
    middles = _Edges((net.start + half)[near], half[near], pieces.zone_owner[net.of[near]])
    on, found = _edge_under(middles, source)
    # an edge of which no measured one is known keeps its own ends
    start, end = net.start.copy(), net.end.copy()
    start[near[on]], end[near[on]] = source.start[found], source.end[found]
    weight = np.real((net.start - start) / (end - start)) + np.real((net.end - start) / (end - start))
    return _Shares(
        np.concatenate([start, end]),
        np.concatenate([half * (2 - weight), half * weight]),
        np.concatenate([net.of, net.of]),
    )


def _clip_boxes(pieces: Pieces, result: Cut) -> Numbers:
    """Per yard the box that holds all crossings of outlines: west, south, east, north. [m]"""
    boxes = np.tile([np.inf, np.inf, -np.inf, -np.inf], (int(pieces.zone_owner[-1]) + 1, 1))
    crossing = result.pair_obstacle[~result.whole]
    for shapes, owner in (
        (pieces.obstacles[crossing], pieces.obstacle_owner[crossing]),
        (pieces.zones[result.carved], pieces.zone_owner[result.carved]),
    ):
        bounds = shapely.bounds(shapes)
        np.minimum.at(boxes[:, :2], owner, bounds[:, :2])
        np.maximum.at(boxes[:, 2:], owner, bounds[:, 2:])
    return boxes


def _in_box(edges: _Edges, boxes: Numbers) -> NDArray[np.bool_]:
    """Whether the box of each edge meets the given one."""
    low_east, high_east = (
        np.minimum(edges.start.real, edges.end.real),
        np.maximum(edges.start.real, edges.end.real),
    )
    low_north, high_north = (
        np.minimum(edges.start.imag, edges.end.imag),
        np.maximum(edges.start.imag, edges.end.imag),
    )
    meets: NDArray[np.bool_] = (
        (high_east >= boxes[:, 0] - _REACH_M)
        & (high_north >= boxes[:, 1] - _REACH_M)
        & (low_east <= boxes[:, 2] + _REACH_M)
        & (low_north <= boxes[:, 3] + _REACH_M)
    )
    return meets


def _edge_under(middles: _Edges, source: _Edges) -> tuple[Index, Index]:
    """Return which edges lie on a measured one of their yard, and on which: the nearest in line.

    The edges are given by their middle, in place of the start, and by half their way, in place of the end.
    """
    point, edge = _pairs_near(middles, source)
    tail = source.start[edge]
    way = source.end[edge] - tail
    half = middles.end[point]
    off = np.abs(np.imag((middles.start[point] - tail) * way.conj())) / np.abs(way)
    turn = np.abs(np.imag(half * way.conj())) / np.abs(way) / np.abs(half)
    near = (off <= _REACH_M) & (turn <= _TURN)
    point, edge, off = point[near], edge[near], off[near]
    order = np.lexsort((off, point))
    point, nearest = np.unique(point[order], return_index=True)
    return point, edge[order][nearest]


def _pairs_near(middles: _Edges, source: _Edges) -> tuple[Index, Index]:
    """Return the pairs of a middle and an edge of one yard whose boxes meet: by looking at all, or by a tree."""
    order = np.argsort(source.of, kind="stable")
    low, high = (np.searchsorted(source.of[order], middles.of, side) for side in ("left", "right"))
    if (high - low).sum() <= _FEW_PAIRS * (len(order) + len(low)):
        here, there = pairs_of(low, high)
        there = order[there]
        place, ends = middles.start[here], (source.start[there], source.end[there])
        inside = _between(place.real, ends[0].real, ends[1].real) & _between(
            place.imag, ends[0].imag, ends[1].imag
        )
        return here[inside], there[inside]
    stride = stride_of(_boxes_of(source.start, source.end), _boxes_of(middles.start, middles.start))
    shift = source.of * stride
    lines: Any = shapely.linestrings(
        np.stack([_points(source.start + shift), _points(source.end + shift)], axis=1)
    )
    place = middles.start + middles.of * stride
    reach = (_REACH_M + 1e-14 * float(np.abs(place).max(initial=0.0))) * (1 + 1j)
    around: Any = shapely.linestrings(np.stack([_points(place - reach), _points(place + reach)], axis=1))
    point, edge = shapely.STRtree(lines).query(around)
    return point, edge


def _between(value: Numbers, one: Numbers, other: Numbers) -> NDArray[np.bool_]:
    found: NDArray[np.bool_] = (np.minimum(one, other) - _REACH_M <= value) & (
        value <= np.maximum(one, other) + _REACH_M
    )
    return found


def _boxes_of(start: Places, end: Places) -> Numbers:
    low = np.minimum(start.real, end.real), np.minimum(start.imag, end.imag)
    high = np.maximum(start.real, end.real), np.maximum(start.imag, end.imag)
    return np.column_stack([*low, *high])


def _source_edges(pieces: Pieces, result: Cut, boxes: Numbers) -> _Edges:
    """Edges of outlines that may clip or be clipped, with the yard of each."""
    zones = np.flatnonzero(np.isfinite(boxes[pieces.zone_owner, 0]))
    crossing = np.unique(result.pair_obstacle[~result.whole])
    edges = _edges(
        np.concatenate([pieces.zones[zones], pieces.obstacles[crossing]]),
        np.concatenate([pieces.zone_owner[zones], pieces.obstacle_owner[crossing]]),
    )
    near = _in_box(edges, boxes[edges.of])
    return _Edges(edges.start[near], edges.end[near], edges.of[near])


def _merged(shares: _Shares, group: Index) -> _Shares:
    """Add up the shares of one corner within each group; corners without a share drop out."""
    order = np.argsort(_keys(shares.corner, group), kind="stable")
    corner, share, of = shares.corner[order], shares.share[order], group[order]
    new = np.append(True, (corner[1:] != corner[:-1]) | (of[1:] != of[:-1]))[: len(corner)]
    firsts = np.flatnonzero(new)
    if firsts.size:
        share = np.add.reduceat(share, firsts)
    corner, of = corner[firsts], of[firsts]
    felt = share != 0
    return _Shares(corner[felt], share[felt], of[felt])


def _keys(corner: Places, group: Index) -> Index:
    """Whole numbers that put the groups in order and equal corners of a group side by side.

    One key sorts many times faster than three. Should two corners of a group share the 40 bits left for them, they
    are still told apart where shares are added up.
    """
    plain = np.ascontiguousarray(corner + 0.0)  # there is one zero only
    mixed = plain.real.copy().view(np.uint64) * np.uint64(0x9E3779B97F4A7C15)
    mixed ^= mixed >> np.uint64(32)
    mixed += plain.imag.copy().view(np.uint64) * np.uint64(0xC2B2AE3D27D4EB4F)
    mixed ^= mixed >> np.uint64(29)
    mixed *= np.uint64(0xBF58476D1CE4E5B9)  # odd factors lose no bit
    keys: Index = (group << 40) + (mixed >> np.uint64(24)).astype(np.int64)
    return keys


def _points(places: Places) -> Numbers:
    return np.column_stack([places.real, places.imag])
