"""Arcs as surveyors write them, their area in closed form, and outlines that keep that area.

A *run* is an array of vertices ``[east, north, bulge]``; the bulge belongs to the edge that leaves
the vertex. Bulge = tan(θ/4) with θ the angle at the centre, positive counter-clockwise, 0 for a
straight edge (the definition of DXF group code 42). With chord c, the radius is
R = c (1 + b²) / (4 |b|), and between chord and arc lies the circular segment R² (θ − sin θ) / 2.

The yard holds straight-sided polygons, so an arc must become short chords. Chords between points
of the arc always lose ground: 0.6 % of a circle drawn with 32 of them. Here the inner vertices
stand a little outside the arc, all on one radius r·R, so that the polygon has the area of the arc
to the last digits of a float. The fan of n triangles with angle δ = θ/n about the centre has twice
the area R² sin δ (2 r + (n − 2) r²), the sector has R² n δ, and the equality is a quadratic in r.
An affine map scales all areas alike, so the same vertices serve ellipses and stretched blocks.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

TOLERANCE_M: Final = 0.001
"""How far a flattened outline may stand from its arc. [m]"""

_STRAIGHT: Final = 1e-12  # a smaller bulge stands off by less than a float of its chord can tell
_WIDEST: Final = np.pi / 4  # angle of one chord, however small the circle
_MOST: Final = 20_000  # chords of one arc, however large the circle


def bulge_of(turn_rad: float) -> float:
    """Return the bulge of an arc from its angle at the centre.

    Parameters
    ----------
    turn_rad : float
        Angle at the centre, positive to the left. [rad]

    Examples
    --------
    >>> round(bulge_of(np.pi), 12)
    1.0
    """
    return float(np.tan(turn_rad / 4))


def bulge_through(start: NDArray[np.float64], middle: NDArray[np.float64], end: NDArray[np.float64]) -> float:
    """Return the bulge of the arc from one point through a second to a third.

    The angle α under which the chord is seen from the middle point is half the angle at the centre
    of the other arc (Euclid, *Elements* III.20), so θ = 2π − 2α and the bulge is cot(α/2).

    Parameters
    ----------
    start, middle, end : array, shape (2,) = [east, north]
        Three points of the arc, in its order. [any length]

    Returns
    -------
    float
        The bulge; 0 where the three points lie on one line. [1]
    """
    back, ahead = start - middle, end - middle
    across = float(back[0] * ahead[1] - back[1] * ahead[0])
    size = float(np.hypot(*back) * np.hypot(*ahead))
    if abs(across) <= 1e-12 * size:
        return 0.0
    return -(size + float(back @ ahead)) / across


def areas_under_arcs(run: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the signed circular segment of every edge of a closed run.

    Parameters
    ----------
    run : array, shape (n, 3) = [east, north, bulge]
        Vertices of a closed run. [any length, 1]

    Returns
    -------
    array, shape (n,)
        Area between chord and arc, positive where the arc bulges to the right. [that length²]
    """
    bulge = np.where(np.abs(run[:, 2]) < _STRAIGHT, 0.0, run[:, 2])
    east, north = (np.roll(run[:, :2], -1, axis=0) - run[:, :2]).T
    half = np.arctan(np.abs(bulge)) * 2
    turn = 2 * half
    # θ − sin θ loses digits for flat arcs; its series does not.
    lens = np.where(turn < 0.05, turn**3 / 6 * (1 - turn**2 / 20 * (1 - turn**2 / 42)), turn - np.sin(turn))
    with np.errstate(divide="ignore", invalid="ignore"):
        segment = (east**2 + north**2) * lens / (8 * np.sin(half) ** 2)
    return np.where(turn > 0, np.sign(bulge) * segment, 0.0)


def area_of(run: NDArray[np.float64]) -> float:
    """Return the area of a closed run in closed form: the shoelace plus its circular segments.

    Parameters
    ----------
    run : array, shape (n, 3) = [east, north, bulge]
        Vertices of a closed run. [any length, 1]

    Returns
    -------
    float
        Signed area, positive counter-clockwise. [that length²]

    Examples
    --------
    >>> stadium = np.array([[0, 0, 0], [100, 0, 1], [100, 40, 0], [0, 40, 1.0]])
    >>> round(area_of(stadium) - (100 * 40 + np.pi * 20**2), 9)
    0.0
    """
    centred = run[:, :2] - run[:, :2].mean(axis=0)
    ahead = np.roll(centred, -1, axis=0)
    shoelace = np.sum((ahead[:, 0] - centred[:, 0]) * (ahead[:, 1] + centred[:, 1])) / -2
    return float(shoelace + areas_under_arcs(run).sum())


def flatten(run: NDArray[np.float64], tolerance: float, *, closed: bool) -> NDArray[np.float64]:
    """Turn arcs into chords without changing the area.

    The vertices of the run stay where they are. A run and its reverse give the same points, so
    that two neighbours along one arc stay neighbours.

    Parameters
    ----------
    run : array, shape (n, 3) = [east, north, bulge]
        Vertices with bulges. [any length, 1]
    tolerance : float
        Greatest distance between an arc and its chords. [that length]
    closed : bool
        Whether the last vertex has an edge to the first. The first vertex is not repeated.

    Returns
    -------
    array, shape (m, 2) = [east, north]
        Vertices of straight edges. [that length]
    """
    if not run[:, 2].any():
        return run[:, :2].copy()
    edges = run if closed else run[:-1]
    start, end = edges[:, :2], np.roll(run[:, :2], -1, axis=0)[: len(edges)]
    chord = end - start
    half_chord = np.hypot(chord[:, 0], chord[:, 1]) / 2
    bulge = np.where((half_chord > 0) & (np.abs(edges[:, 2]) >= _STRAIGHT), edges[:, 2], 0.0)
    half_turn = 2 * np.arctan(np.abs(bulge))
    with np.errstate(divide="ignore", invalid="ignore"):
        radius = np.where(bulge == 0, 0.0, half_chord / np.sin(half_turn))
    pieces = _count(2 * half_turn, radius, tolerance)
    first = np.repeat(np.cumsum(pieces) - pieces, pieces)
    edge = np.repeat(np.arange(len(edges)), pieces)
    step = np.arange(len(edge)) - first
    # Each edge in its own frame: along the chord from its middle, and across it to the right.
    angle = half_turn[edge] * (2 * step / pieces[edge] - 1)
    lift = _lift(2 * half_turn / pieces, pieces)[edge]
    along = radius[edge] * (1 + lift) * np.sin(angle)
    across = radius[edge] * (
        2 * np.sin((half_turn[edge] + angle) / 2) * np.sin((half_turn[edge] - angle) / 2)
        + lift * np.cos(angle)
    )
    with np.errstate(divide="ignore", invalid="ignore"):
        unit = np.where(half_chord[:, None] > 0, chord / (2 * half_chord[:, None]), 0.0)[edge]
    side = np.sign(bulge)[edge]
    middle = (start + chord / 2)[edge]
    points = (
        middle + unit * along[:, None] + np.column_stack([unit[:, 1], -unit[:, 0]]) * (side * across)[:, None]
    )
    points[step == 0] = start
    return points if closed else np.vstack([points, run[-1:, :2]])


def circle(tolerance: float) -> NDArray[np.float64]:
    """Return a regular polygon that has the area of the unit circle, π.

    Parameters
    ----------
    tolerance : float
        Greatest distance between polygon and circle. [radii]

    Returns
    -------
    array, shape (n, 2) = [east, north]
        Vertices, counter-clockwise from east. [radii]
    """
    pieces = int(_count(np.array([2 * np.pi]), np.ones(1), tolerance)[0])
    angle = np.arange(pieces) * (2 * np.pi / pieces)
    radius = np.sqrt((2 * np.pi / pieces) / np.sin(2 * np.pi / pieces))
    points: NDArray[np.float64] = np.column_stack([np.cos(angle), np.sin(angle)]) * radius
    return points


def ellipse(
    centre: NDArray[np.float64],
    major: NDArray[np.float64],
    minor: NDArray[np.float64],
    tolerance: float,
    span_rad: tuple[float, float] | None = None,
) -> NDArray[np.float64]:
    """Flatten an ellipse, or a piece of one, without changing the area.

    Parameters
    ----------
    centre : array, shape (2,) = [east, north]
        Middle of the ellipse. [any length]
    major, minor : array, shape (2,) = [east, north]
        Half axes, from the middle. [that length]
    tolerance : float
        Greatest distance between the ellipse and its chords. [that length]
    span_rad : tuple of float, optional
        First and last parameter of a piece, counted from `major` towards `minor`. [rad]

    Returns
    -------
    array, shape (n, 2) = [east, north]
        Vertices; the closing vertex of a whole ellipse is not repeated. [that length]
    """
    scale = max(float(np.hypot(*major)), float(np.hypot(*minor)))
    if span_rad is None:
        unit = circle(tolerance / scale)
    else:
        begin, end = span_rad
        # Two halves, so that an arc of nearly a whole turn keeps a chord to stand on.
        angles = np.array([begin, (begin + end) / 2, end])
        bulge = bulge_of((end - begin) / 2)
        run = np.column_stack([np.cos(angles), np.sin(angles), [bulge, bulge, 0.0]])
        unit = flatten(run, tolerance / scale, closed=False)
    points: NDArray[np.float64] = centre + unit @ np.vstack([major, minor])
    return points


def reverse(run: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return an open run walked the other way.

    Parameters
    ----------
    run : array, shape (n, 3) = [east, north, bulge]
        Vertices with bulges. [any length, 1]
    """
    back = run[::-1].copy()
    back[:-1, 2] = -run[:-1, 2][::-1]
    back[-1, 2] = 0.0
    return back


def _count(turn: NDArray[np.float64], radius: NDArray[np.float64], tolerance: float) -> NDArray[np.int64]:
    """How many chords keep within the tolerance; the worst vertex stands off by R δ²/6 at n = 2."""
    wanted = turn * np.sqrt(radius / (6 * tolerance))
    pieces = np.ceil(np.maximum(wanted, turn / _WIDEST))
    return np.where(turn > 0, np.clip(pieces, 2, _MOST), 1).astype(np.int64)


def _lift(angle: NDArray[np.float64], pieces: NDArray[np.int64]) -> NDArray[np.float64]:
    """The r − 1 of the module's head: the root of (n − 2) r² + 2 r = n δ / sin δ, without cancellation."""
    with np.errstate(divide="ignore", invalid="ignore"):
        excess = np.where(angle < 0.01, angle**2 / 6 * (1 + 7 * angle**2 / 60), angle / np.sin(angle) - 1)
    excess = np.where(pieces < 2, 0.0, excess)
    root = np.sqrt((pieces - 1.0) ** 2 + (pieces - 2.0) * pieces * excess)
    lift: NDArray[np.float64] = (
        pieces * excess * (1 - (pieces - 2) / np.maximum(root + pieces - 1, 1)) / (1 + root)
    )
    return lift
