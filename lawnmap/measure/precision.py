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
from typing import TYPE_CHECKING, Any, TypeAlias

import numpy as np
import shapely

from lawnmap.measure.kernel import Cut, Pieces, stride_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Places: TypeAlias = NDArray[np.complex128]
    Index: TypeAlias = NDArray[np.int64]
    Numbers: TypeAlias = NDArray[np.float64]


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
    plain = ~result.clipped & ~several[owner]
    squares, corners = np.zeros(len(owner)), np.zeros(len(owner))
    _add(squares, corners, _ring_shares(result.net, np.flatnonzero(plain)))
    yard_squares: Numbers = np.bincount(owner, squares, len(sigma_m)).astype(float)
    yard_corners: Numbers = np.bincount(owner, corners, len(sigma_m)).astype(float)
    rest = np.flatnonzero(~plain)
    if rest.size:
        shares = _measured_shares(pieces, result, rest)
        _add(squares, corners, _merged(shares, shares.of))
        _add(yard_squares, yard_corners, _merged(shares, owner[shares.of]))
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
    parts, part_of = shapely.get_parts(shapely.orient_polygons(shapes), return_index=True)
    rings, ring_of = shapely.get_rings(parts, return_index=True)
    points, point_of = shapely.get_coordinates(rings, return_index=True)
    place = points[:, 0] + 1j * points[:, 1]
    inside = point_of[1:] == point_of[:-1]
    return _Edges(place[:-1][inside], place[1:][inside], of[part_of[ring_of[point_of[:-1][inside]]]])


def _ring_shares(net: NDArray[Any], zones: Index) -> _Shares:
    """Shares of corners that are all measured: half the way from the one before to the one after."""
    parts, part_of = shapely.get_parts(net[zones], return_index=True)
    rings, ring_of = shapely.get_rings(parts, return_index=True)
    points, point_of = shapely.get_coordinates(rings, return_index=True)
    place = points[:, 0] + 1j * points[:, 1]
    last = np.append(point_of[1:] != point_of[:-1], True)[: len(place)]
    first = np.append(True, last[:-1])[: len(place)]
    before = np.roll(place, 1)
    before[first] = place[np.flatnonzero(last) - 1]  # a ring ends where it starts
    after = np.roll(place, -1)
    keep = ~last
    return _Shares(place[keep], (after - before)[keep] / 2, zones[part_of[ring_of[point_of[keep]]]])


def _measured_shares(pieces: Pieces, result: Cut, zones: Index) -> _Shares:
    """Half of every edge to each of its ends, and from unmeasured ends on to the measured ones."""
    net = _edges(result.net[zones], zones)
    half = (net.end - net.start) / 2
    corner = np.concatenate([net.start, net.end])
    shares = _Shares(corner, np.concatenate([half, half]), np.concatenate([net.of, net.of]))
    if not result.clipped[zones].any():
        return shares
    stride = stride_of(shapely.bounds(pieces.zones), shapely.bounds(pieces.obstacles))
    source = _source_edges(pieces, result, stride)
    shift = pieces.zone_owner[net.of] * stride
    known = np.isin(corner + np.tile(shift, 2), source.start).reshape(2, -1)
    loose = np.flatnonzero(~known.all(axis=0))
    middle = (net.start + net.end)[loose] / 2 + shift[loose]
    lines: Any = shapely.linestrings(np.stack([_points(source.start), _points(source.end)], axis=1))
    found = shapely.STRtree(lines).query_nearest(
        shapely.points(_points(middle)), all_matches=False, return_distance=False
    )[1]
    start, end = source.start[found] - shift[loose], source.end[found] - shift[loose]
    moved = np.tile(np.isin(np.arange(len(net.of)), loose), 2)
    kept = _Shares(shares.corner[~moved], shares.share[~moved], shares.of[~moved])
    along = [np.real((place[loose] - start) / (end - start)) for place in (net.start, net.end)]
    weight = along[0] + along[1]
    return _Shares(
        np.concatenate([kept.corner, start, end]),
        np.concatenate([kept.share, half[loose] * (2 - weight), half[loose] * weight]),
        np.concatenate([kept.of, net.of[loose], net.of[loose]]),
    )


def _source_edges(pieces: Pieces, result: Cut, stride: float) -> _Edges:
    """Edges of all outlines of the yards that have clipped zones, yards set apart."""
    wanted = np.unique(pieces.zone_owner[result.clipped])
    shapes, owners = [], []
    for array, owner in ((pieces.zones, pieces.zone_owner), (pieces.obstacles, pieces.obstacle_owner)):
        mine = np.isin(owner, wanted)
        shapes.append(array[mine])
        owners.append(owner[mine])
    edges = _edges(np.concatenate(shapes), np.concatenate(owners))
    shift = edges.of * stride
    return _Edges(edges.start + shift, edges.end + shift, edges.of)


def _merged(shares: _Shares, group: Index) -> _Shares:
    """Add up the shares of one corner within each group; corners without a share drop out."""
    order = np.lexsort((shares.corner.imag, shares.corner.real, group))
    corner, share, of = shares.corner[order], shares.share[order], group[order]
    new = np.append(True, (corner[1:] != corner[:-1]) | (of[1:] != of[:-1]))[: len(corner)]
    firsts = np.flatnonzero(new)
    if firsts.size:
        share = np.add.reduceat(share, firsts)
    corner, of = corner[firsts], of[firsts]
    felt = share != 0
    return _Shares(corner[felt], share[felt], of[felt])


def _points(places: Places) -> Numbers:
    return np.column_stack([places.real, places.imag])
