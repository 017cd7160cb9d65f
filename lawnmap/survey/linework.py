"""Linework: pieces of outline as a drawing has them, and open pieces chained end to end into rings."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final

import numpy as np
import shapely
from shapely import STRtree

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

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
    snapped = [_moved(line, ends[corner[2 * i]], ends[corner[2 * i + 1]]) for i, line in enumerate(lines)]
    drawn = [i for i, line in enumerate(snapped) if len(line)]
    if not drawn:
        return Chained()
    sizes = [len(snapped[i]) for i in drawn]
    whole = shapely.linestrings(
        np.vstack([snapped[i] for i in drawn]), indices=np.repeat(np.arange(len(drawn)), sizes)
    )
    # One entry for each line, however often and in whichever direction it is drawn.
    strings = dict(zip(np.asarray(shapely.to_wkb(shapely.normalize(whole))).tolist(), drawn, strict=True))
    faces, *rest = shapely.polygonize_full(shapely.from_wkb(np.array(list(strings), dtype=object)))
    # What is no part of a ring comes back as it was: as a bridge, a dead end, or a ring that crosses itself.
    left = {shapely.normalize(line).wkb for lines in rest for line in _lines_in(lines)}
    bridged = float(np.hypot(*(ends - ends[corner]).T).max())
    return Chained(
        [shapely.get_coordinates(ring)[:-1] for ring in shapely.get_exterior_ring(shapely.get_parts(faces))],
        bridged,
        sorted(i for wkb, i in strings.items() if wkb in left),
    )


def _lines_in(geometry: Any) -> Iterator[BaseGeometry]:
    """Invalid rings come as polygons or lines, whatever the release of GEOS."""
    for part in shapely.get_parts(geometry):
        yield part.exterior if isinstance(part, shapely.Polygon) else part


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
