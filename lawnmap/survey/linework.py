"""Linework: pieces of outline as a drawing has them, and open pieces chained end to end into rings."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final

import numpy as np
import shapely
from shapely import STRtree

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

GAP_M: Final = 0.01
"""Ends of linework that are nearer than this are one point, unless the user says otherwise. [m]"""


@dataclass(frozen=True, slots=True)
class Piece:
    """One line of a drawing, flattened.

    Attributes
    ----------
    points : array, shape (n, 2) = [east, north]
        Vertices; a closed piece does not repeat its first. [unit of the file]
    closed : bool
        Whether the last vertex joins the first.
    layer : str
        Layer it is on.
    where : str
        The place in the file.
    holes : tuple of array
        Inner rings, of a hatch for instance. [unit of the file]
    name : str
        What the file calls it.
    attributes : mapping or None
        What the file says it is, where it does so itself.
    """

    points: NDArray[np.float64]
    closed: bool
    layer: str
    where: str
    holes: tuple[NDArray[np.float64], ...] = ()
    name: str = ""
    attributes: Mapping[str, object] | None = None


@dataclass(frozen=True, slots=True)
class Label:
    """A text of a drawing.

    Attributes
    ----------
    text : str
        What it says, formatting removed.
    at : tuple of float
        Where it is inserted. [unit of the file]
    layer : str
        Layer it is on.
    """

    text: str
    at: tuple[float, float]
    layer: str


@dataclass(frozen=True, slots=True)
class Chained:
    """What came of chaining.

    Attributes
    ----------
    rings : list of array, shape (n, 2)
        Closed outlines, first vertex not repeated. [unit of the file]
    bridged : float
        Widest gap closed. [unit of the file]
    left : list of int
        Indices of the pieces that are part of no ring.
    """

    rings: list[NDArray[np.float64]] = field(default_factory=list)
    bridged: float = 0.0
    left: list[int] = field(default_factory=list)


def chain(lines: Sequence[NDArray[np.float64]], gap: float) -> Chained:
    """Join open lines at their ends, in any order and direction, into every ring that they bound.

    Where more than two lines meet, the smallest rings are taken: two lots with a common side stay
    two lots. A line drawn twice counts once. Crossings without an end are not joined.

    Parameters
    ----------
    lines : sequence of array, shape (n, 2) = [east, north]
        Open lines of two vertices or more. [any length]
    gap : float
        Ends that are nearer than this are one point. [that length]
    """
    if not lines:
        return Chained()
    sizes = np.array([len(line) for line in lines])
    points, last = np.vstack(lines), np.cumsum(sizes) - 1
    at_ends = np.column_stack([last - sizes + 1, last]).reshape(-1)
    ends = points[at_ends]
    corner = _clusters(ends, gap)
    points[at_ends] = ends[corner]
    pairs = corner.reshape(-1, 2)
    drawn = np.flatnonzero((sizes > 2) | (pairs[:, 0] != pairs[:, 1]))  # a line shorter than the gap vanishes
    if not len(drawn):
        return Chained()
    kept = np.isin(np.repeat(np.arange(len(lines)), sizes), drawn)
    whole: Any = shapely.linestrings(points[kept], indices=np.repeat(np.arange(len(drawn)), sizes[drawn]))
    once = _once(whole, pairs[drawn], sizes[drawn])
    whole, drawn = whole[once], drawn[once]
    faces, cuts, dangles, crossing = shapely.polygonize_full(whole)
    # A line that is part of no ring comes back as it was, as a bridge or a dead end.
    loose = {shapely.normalize(line).wkb for lines in (cuts, dangles) for line in shapely.get_parts(lines)}
    outer = shapely.get_exterior_ring(shapely.get_parts(faces))
    # A ring that crosses itself is handed on: whoever judges outlines says where it crosses.
    rings = np.concatenate([outer, shapely.get_parts(crossing)])
    points, ring_of = shapely.get_coordinates(rings, return_index=True)
    return Chained(
        [ring[:-1] for ring in np.split(points, np.flatnonzero(np.diff(ring_of)) + 1) if len(ring)],
        float(np.hypot(*(ends - ends[corner]).T).max()),
        drawn[[wkb in loose for wkb in shapely.to_wkb(shapely.normalize(whole))]].tolist() if loose else [],
    )


def _once(
    whole: NDArray[np.object_], pairs: NDArray[np.int64], sizes: NDArray[np.int64]
) -> NDArray[np.int64]:
    """One entry for each line, however often and in whichever direction it is drawn, in their order."""
    # Straight lines are one if they join the same corners; others are compared point by point.
    straight = np.flatnonzero(sizes == 2)
    _, first = np.unique(np.sort(pairs[straight], axis=1), axis=0, return_index=True)
    bent = np.flatnonzero(sizes > 2)
    shapes = dict(
        zip(np.asarray(shapely.to_wkb(shapely.normalize(whole[bent]))).tolist(), bent.tolist(), strict=True)
    )
    return np.sort(np.concatenate([straight[first], np.array(list(shapes.values()), dtype=np.int64)]))


def _clusters(ends: NDArray[np.float64], gap: float) -> NDArray[np.int64]:
    """For each end, the first end of the bunch that it belongs to."""
    # Most ends meet exactly; only what is left after that is looked for around each.
    _, number, spot_of = np.unique(ends[:, 0] + 1j * ends[:, 1], return_index=True, return_inverse=True)
    points = np.asarray(shapely.points(ends[number]), dtype=object)
    left, right = STRtree(points).query(points, predicate="dwithin", distance=gap)
    first = number.copy()
    bunch = np.arange(len(number))
    for one, other in zip(left[left > right].tolist(), right[left > right].tolist(), strict=True):
        a, b = _root(bunch, one), _root(bunch, other)
        if a != b:
            bunch[b] = a
            first[a] = min(first[a], first[b])
    if (left != right).any():
        first = first[[_root(bunch, spot) for spot in range(len(bunch))]]
    return first[spot_of]


def _root(first: NDArray[np.int64], i: int) -> int:
    while first[i] != i:
        first[i] = first[first[i]]
        i = int(first[i])
    return i


def nest(
    rings: Sequence[NDArray[np.float64]],
) -> list[tuple[NDArray[np.float64], tuple[NDArray[np.float64], ...]]]:
    """Sort rings into outlines and the holes in them: a ring within an odd number of others is a hole.

    Parameters
    ----------
    rings : sequence of array, shape (n, 2) = [east, north]
        Closed rings that do not cross. [any length]

    Returns
    -------
    list of (outline, tuple of holes)
    """
    polygons = [shapely.Polygon(ring) for ring in rings]
    # A point within each ring; of a ring that crosses itself, which is refused later, any corner.
    inside = [
        p.representative_point() if p.is_valid else shapely.Point(p.exterior.coords[0]) for p in polygons
    ]
    around = [
        [
            j
            for j, outer in enumerate(polygons)
            if j != i and outer.is_valid and outer.area > ring.area and outer.contains(inside[i])
        ]
        for i, ring in enumerate(polygons)
    ]
    found = []
    for i, ring in enumerate(rings):
        if len(around[i]) % 2 == 0:
            within = [
                j for j, owners in enumerate(around) if i in owners and len(owners) == len(around[i]) + 1
            ]
            found.append((ring, tuple(rings[j] for j in within)))
    return found
