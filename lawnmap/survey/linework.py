"""Linework: pieces of outline as a drawing has them, and open pieces chained end to end into rings."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

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
    ends = np.array([(line[0], line[-1]) for line in lines]).reshape(-1, 2)
    corner = _clusters(ends, gap)
    # Most ends meet exactly, and their lines stay as they are.
    stays = (ends == ends[corner]).all(axis=1).reshape(-1, 2).all(axis=1) & (corner[::2] != corner[1::2])
    snapped = [
        line if stays[i] else _moved(line, ends[corner[2 * i]], ends[corner[2 * i + 1]])
        for i, line in enumerate(lines)
    ]
    drawn = [i for i, line in enumerate(snapped) if len(line)]
    if not drawn:
        return Chained()
    sizes = [len(snapped[i]) for i in drawn]
    whole = shapely.linestrings(
        np.vstack([snapped[i] for i in drawn]), indices=np.repeat(np.arange(len(drawn)), sizes)
    )
    # One entry for each line, however often and in whichever direction it is drawn.
    strings = dict(zip(np.asarray(shapely.to_wkb(shapely.normalize(whole))).tolist(), drawn, strict=True))
    faces, cuts, dangles, crossing = shapely.polygonize_full(
        shapely.from_wkb(np.array(list(strings), dtype=object))
    )
    # A line that is part of no ring comes back as it was, as a bridge or a dead end.
    left = {shapely.normalize(line).wkb for lines in (cuts, dangles) for line in shapely.get_parts(lines)}
    outer = shapely.get_exterior_ring(shapely.get_parts(faces))
    # A ring that crosses itself is handed on: whoever judges outlines says where it crosses.
    rings = np.concatenate([outer, shapely.get_parts(crossing)])
    points, ring_of = shapely.get_coordinates(rings, return_index=True)
    return Chained(
        [ring[:-1] for ring in np.split(points, np.flatnonzero(np.diff(ring_of)) + 1) if len(ring)],
        float(np.hypot(*(ends - ends[corner]).T).max()),
        sorted(i for wkb, i in strings.items() if wkb in left),
    )


def _clusters(ends: NDArray[np.float64], gap: float) -> NDArray[np.int64]:
    """For each end, the first end of the bunch that it belongs to."""
    points = np.asarray(shapely.points(ends), dtype=object)
    left, right = STRtree(points).query(points, predicate="dwithin", distance=gap)
    first = np.arange(len(ends))
    for one, other in zip(left[left > right].tolist(), right[left > right].tolist(), strict=True):
        a, b = _root(first, one), _root(first, other)
        first[max(a, b)] = min(a, b)
    return np.array([_root(first, i) for i in range(len(ends))], dtype=np.int64)


def _root(first: NDArray[np.int64], i: int) -> int:
    while first[i] != i:
        first[i] = first[first[i]]
        i = int(first[i])
    return i


def _moved(
    line: NDArray[np.float64], start: NDArray[np.float64], end: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Put both ends on their corners; a line shorter than the gap vanishes."""
    if len(line) == 2 and (start == end).all():
        return line[:0]
    return np.vstack([start, line[1:-1], end])


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
