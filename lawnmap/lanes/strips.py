"""Lanes from an outline: which stretches of each strip a direction and a phase need to walk.

A strip is cut by the outline into pieces; a lane runs over the projection of a piece on the strip's
middle line. The projection of (strip and ground) is the union of three kinds of interval: the ground
on the lower border, the ground on the upper border, and the edges clipped to the strip. All strips
of all candidate directions are worked out in one pass of array operations.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cached_property
from typing import TYPE_CHECKING, Final

import numpy as np
import shapely

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from shapely.geometry import MultiPolygon, Polygon

SLIVER: Final = 0.01
"""Ground thinner than this at the border of a strip gets no lane of its own. [swaths]"""


@dataclass(frozen=True, eq=False)
class Strips:
    """Lanes of one or more candidate grids, in the frame of each grid.

    Attributes
    ----------
    candidate : array, shape (n,)
        Which grid a lane belongs to. [index]
    strip : array, shape (n,)
        Number of its strip within the grid, rising to the left of the direction. [index]
    start_m, end_m : array, shape (n,)
        Where the lane begins and ends along the direction. [m]
    across_m : array, shape (n,)
        Where its middle line lies across the direction. [m]
    covered_m2 : array, shape (n,)
        Ground that it covers. [m²]
    """

    candidate: NDArray[np.intp]
    strip: NDArray[np.intp]
    start_m: NDArray[np.float64]
    end_m: NDArray[np.float64]
    across_m: NDArray[np.float64]
    covered_m2: NDArray[np.float64]

    def only(self, mask: NDArray[np.bool_]) -> Strips:
        """Return some of the lanes.

        Parameters
        ----------
        mask : array, shape (n,)
            Which.
        """
        return Strips(*(getattr(self, name.name)[mask] for name in fields(self)))

    def lanes(self, angle_rad: float) -> NDArray[np.float64]:
        """Turn the lanes back into plane coordinates, shape (n, 2, 2).

        Parameters
        ----------
        angle_rad : float
            Direction of the grid. [rad]
        """
        along = np.array([np.cos(angle_rad), np.sin(angle_rad)])
        left = np.array([-along[1], along[0]])
        middle = self.across_m[:, None] * left
        return np.stack(
            [self.start_m[:, None] * along + middle, self.end_m[:, None] * along + middle], axis=1
        )


def edges_of(ground: Polygon | MultiPolygon) -> NDArray[np.float64]:
    """Return every edge of an outline, the ground to its right, shape (n, 2, 2). [m]

    Parameters
    ----------
    ground : Polygon or MultiPolygon
        The outline. [m]
    """
    rings = shapely.get_rings(shapely.get_parts(shapely.normalize(ground)))
    points, ring = shapely.get_coordinates(rings, return_index=True)
    if len(points) < 2:
        return np.empty((0, 2, 2))
    same = ring[1:] == ring[:-1]
    return np.stack([points[:-1][same], points[1:][same]], axis=1)


def project(
    edges: NDArray[np.float64],
    grids: NDArray[np.float64],
    swath_m: float,
    lane_end: float,
    *,
    thin: bool = True,
) -> Strips:
    """Return the lanes that each candidate grid needs.

    Parameters
    ----------
    edges : array, shape (n, 2, 2)
        Edges of the ground to cover, as `edges_of` gives them. [m]
    grids : array, shape (m, 2) = [direction, offset]
        Candidate directions and the place across them at which strip 0 begins. [rad, m]
    swath_m : float
        Width of a strip. [m]
    lane_end : float
        0 ends a lane where its middle line meets the edge, 1 where the whole strip has. [1]
    thin : bool
        Whether ground along a border of its strip, which `lane_end` leaves out, gets lanes too.
    """
    cosine, sine = np.cos(grids[:, 0])[:, None, None], np.sin(grids[:, 0])[:, None, None]
    along = edges[None, :, :, 0] * cosine + edges[None, :, :, 1] * sine
    across = (edges[None, :, :, 1] * cosine - edges[None, :, :, 0] * sine - grids[:, 1, None, None]) / swath_m
    base = int(np.floor(across.min(initial=0.0))) - 1
    height = int(np.ceil(across.max(initial=0.0))) + 1 - base
    key_of_grid = np.repeat(np.arange(len(grids)) * height, edges.shape[0])
    flat = _Edges(along.reshape(-1, 2), across.reshape(-1, 2), key_of_grid - base)
    lanes = _shadows(flat, lane_end * (0.5 - SLIVER))
    if thin and lane_end < 1:
        lanes = _with_thin(lanes, _shadows(flat, 0.5 - SLIVER))
    key, start, end = lanes
    candidate, strip = np.divmod(key, height)
    strip += base
    covered = _covered(flat, lanes) * swath_m
    return Strips(candidate, strip, start, end, grids[candidate, 1] + (strip + 0.5) * swath_m, covered)


@dataclass(frozen=True, eq=False)
class _Edges:
    """Edges in the frame of a grid: along it in metres, across it in swaths, and their key offset."""

    along: NDArray[np.float64]
    across: NDArray[np.float64]
    offset: NDArray[np.intp]

    @cached_property
    def low(self) -> NDArray[np.float64]:
        """The lower end of each edge. [swaths]"""
        return np.minimum(self.across[:, 0], self.across[:, 1])

    @cached_property
    def high(self) -> NDArray[np.float64]:
        """The upper end of each edge. [swaths]"""
        return np.maximum(self.across[:, 0], self.across[:, 1])


_Intervals = tuple["NDArray[np.intp]", "NDArray[np.float64]", "NDArray[np.float64]"]


def _spread(first: NDArray[np.intp], count: NDArray[np.intp]) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return for each edge the strips first … first + count - 1: index of the edge, strip."""
    count = np.maximum(count, 0)
    edge = np.repeat(np.arange(len(count)), count)
    step = np.arange(len(edge)) - np.repeat(np.cumsum(count) - count, count)
    return edge, first[edge] + step


def _scan(edges: _Edges, level: float) -> _Intervals:
    """Return the ground on the lines at `level` swaths from the middle of each strip."""
    first = np.ceil(edges.low - 0.5 - level).astype(np.intp)
    last = np.ceil(edges.high - 0.5 - level).astype(np.intp)  # half open, so that a vertex counts once
    edge, strip = _spread(first, last - first)
    start, begin = edges.across[edge, 0], edges.along[edge, 0]
    share = (strip + 0.5 + level - start) / (edges.across[edge, 1] - start)
    place = begin + share * (edges.along[edge, 1] - begin)
    key = strip + edges.offset[edge]
    order = _sorted(key, place)
    return key[order][0::2], place[order][0::2], place[order][1::2]


def _shadows(edges: _Edges, half: float) -> _Intervals:
    """Return the shadow of the ground within `half` swaths of each middle line on that line."""
    if half <= 0:
        return _merge(*_scan(edges, 0.0))
    cut = _cut(edges, half)
    clipped = (cut.key, np.minimum(cut.start, cut.end), np.maximum(cut.start, cut.end))
    found = zip(_scan(edges, -half), _scan(edges, half), clipped, strict=True)
    return _merge(*(np.concatenate(parts) for parts in found))


@dataclass(frozen=True, eq=False)
class _Cut:
    """Edges cut at the borders of strips: their strip, where they run along it, and their rise."""

    key: NDArray[np.intp]
    start: NDArray[np.float64]
    end: NDArray[np.float64]
    rise: NDArray[np.float64]


def _cut(edges: _Edges, half: float) -> _Cut:
    """Cut every edge to the strips it enters, each `half` swaths to both sides of its middle line."""
    first = np.ceil(edges.low - 0.5 - half).astype(np.intp)
    last = np.floor(edges.high - 0.5 + half).astype(np.intp)
    edge, strip = _spread(first, last - first + 1)
    start, begin = edges.across[edge, 0], edges.along[edge, 0]
    rise, run = edges.across[edge, 1] - start, edges.along[edge, 1] - begin
    level = np.abs(rise) < 1e-12
    rise = np.where(level, 1.0, rise)
    one = np.clip((strip + 0.5 - half - start) / rise, 0.0, 1.0)
    two = np.clip((strip + 0.5 + half - start) / rise, 0.0, 1.0)
    one, two = np.minimum(one, two), np.maximum(one, two)  # in the direction of the edge
    one[level], two[level] = 0.0, 1.0
    return _Cut(
        strip + edges.offset[edge],
        begin + one * run,
        begin + two * run,
        np.where(level, 0.0, rise * (two - one)),
    )


def _with_thin(lanes: _Intervals, pieces: _Intervals) -> _Intervals:
    """Add the pieces of strips that no lane enters: they lie along a border of their strip."""
    missed = np.bincount(_holder(pieces, lanes[0], lanes[1]), minlength=len(pieces[0])) == 0
    key, start, end = (
        np.concatenate([lane, piece[missed]]) for lane, piece in zip(lanes, pieces, strict=True)
    )
    order = np.lexsort((start, key))
    return key[order], start[order], end[order]


def _holder(intervals: _Intervals, key: NDArray[np.intp], place: NDArray[np.float64]) -> NDArray[np.intp]:
    """Return which interval, sorted by key and start, holds each place, or would come before it."""
    reach = 2 * (
        float(np.abs(intervals[2]).max(initial=0.0)) + float(np.abs(intervals[1]).max(initial=0.0)) + 1
    )
    sorted_start = intervals[0] * reach + intervals[1] - 1e-9 * reach
    return np.maximum(np.searchsorted(sorted_start, key * reach + place, side="right") - 1, 0)


def _covered(edges: _Edges, lanes: _Intervals) -> NDArray[np.float64]:
    """Return the ground under each lane per swath of width.

    The area within a stretch of a strip is the integral of (place along, held to the stretch) over the
    rise of the outline: Green's theorem, where borders of strips add nothing because they do not rise.
    """
    cut = _cut(edges, 0.5)
    first = np.searchsorted(lanes[0], cut.key, side="left")
    row, lane = _spread(first, np.searchsorted(lanes[0], cut.key, side="right") - first)
    begin, end = lanes[1][lane], lanes[2][lane]
    held = _mean_held(cut.start[row], cut.end[row], begin, end) - begin
    area = np.bincount(lane, held * cut.rise[row], minlength=len(lanes[0]))
    return np.abs(area)


def _mean_held(
    one: NDArray[np.float64], two: NDArray[np.float64], low: NDArray[np.float64], high: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return the mean over a stretch from one place to another of the place held between two bounds."""
    step = two - one
    still = np.abs(step) < 1e-9
    inner_one, inner_two = np.clip(one, low, high), np.clip(two, low, high)
    integral = (inner_two**2 - inner_one**2) / 2 + low * (np.minimum(two, low) - np.minimum(one, low))
    integral += high * (np.maximum(two, high) - np.maximum(one, high))
    return np.where(still, inner_one, integral / np.where(still, 1.0, step))


def _sorted(key: NDArray[np.intp], place: NDArray[np.float64]) -> NDArray[np.intp]:
    """Return the order by key, then by place."""
    reach = 2 * float(np.abs(place).max(initial=0.0)) + 1.0
    return np.argsort(place + key * reach, kind="stable")


def _merge(key: NDArray[np.intp], start: NDArray[np.float64], end: NDArray[np.float64]) -> _Intervals:
    """Join intervals of one key that touch, by a running maximum."""
    if not len(key):
        return key, start, end
    reach = float(end.max() - start.min()) + 1.0
    shift = key * (2 * reach) - float(start.min())
    order = np.argsort(start + shift, kind="stable")
    key, start, end = key[order], start[order], end[order]
    far = np.maximum.accumulate(end + shift[order])
    new = np.ones(len(key), dtype=bool)
    new[1:] = (start + shift[order])[1:] > far[:-1] + 1e-9 * reach
    first = np.flatnonzero(new)
    last = np.append(first[1:], len(key)) - 1
    return key[first], start[first], far[last] - shift[order][last]
