"""Figures that a tape can measure: offsets from a baseline, ties from two corners, and plain shapes.

All points are along the baseline and off it: [east, north] of a plane whose east is the baseline.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from lawnmap.errors import ShapeError
from lawnmap.survey.arcs import ellipse

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

WEAK_DEG: Final = 30.0
"""Two ties that meet under less than this, or under less than this short of straight, fix a point badly. *from memory* [°]"""


def trapezoid_area(distances: NDArray[np.float64], offsets: NDArray[np.float64]) -> float:
    """Return the area between a baseline and offsets joined by straight lines.

    Parameters
    ----------
    distances, offsets : array, shape (n,)
        Along the baseline, rising, and off it. [any length]

    Returns
    -------
    float
        Area. [that length²]
    """
    return float(np.sum(np.diff(distances) * (offsets[1:] + offsets[:-1]) / 2))


def simpson_area(interval: float, offsets: NDArray[np.float64]) -> float:
    """Return the area between a baseline and a smooth edge by Simpson's rule.

    The rule takes an odd number of offsets; of an even number the last strip is a trapezoid.

    Parameters
    ----------
    interval : float
        Distance between offsets. [any length]
    offsets : array, shape (n,)
        Three or more. [that length]

    Returns
    -------
    float
        Area. [that length²]
    """
    odd = offsets if len(offsets) % 2 else offsets[:-1]
    whole = odd[0] + odd[-1] + 4 * odd[1:-1:2].sum() + 2 * odd[2:-1:2].sum()
    rest = 0.0 if len(offsets) % 2 else (offsets[-2] + offsets[-1]) / 2
    return float(interval * (whole / 3 + rest))


def tie_point(base: float, from_a: float, from_b: float, *, behind: bool = False) -> NDArray[np.float64]:
    """Return the point at two distances from the ends of a base.

    x = (a² − b² + c²) / 2c, y = √(a² − x²), by the law of cosines.

    Parameters
    ----------
    base : float
        Distance between the corners A and B. [any length]
    from_a, from_b : float
        Distances from A and from B. [that length]
    behind : bool
        Whether the point is on the right as one looks from A to B, in place of the left.

    Returns
    -------
    array, shape (2,) = [east, north]
        Along the base from A, and off it. [that length]

    Raises
    ------
    ShapeError
        Where the three lengths make no triangle.
    """
    along = (from_a**2 - from_b**2 + base**2) / (2 * base)
    square = from_a**2 - along**2
    if square < -1e-9 * from_a**2:
        raise ShapeError(
            f"ties of {from_a:g} and {from_b:g} do not meet over a base of {base:g}",
            mend="measure them again",
        )
    off = math.sqrt(max(square, 0.0))
    return np.array([along, -off if behind else off])


def tie_angle_deg(base: float, from_a: float, from_b: float) -> float:
    """Return the angle under which two ties meet. [°]

    Parameters
    ----------
    base, from_a, from_b : float
        Sides of the triangle. [any length]
    """
    cosine = (from_a**2 + from_b**2 - base**2) / (2 * from_a * from_b)
    return math.degrees(math.acos(min(max(cosine, -1.0), 1.0)))


def triangle(first: float, second: float, third: float) -> NDArray[np.float64]:
    """Return a triangle of three sides, the first along the baseline.

    Parameters
    ----------
    first, second, third : float
        Sides, in order round the triangle. [any length]
    """
    top = tie_point(first, third, second)
    return np.array([[0.0, 0.0], [first, 0.0], top])


def rectangle(length: float, width: float) -> NDArray[np.float64]:
    """Return a rectangle with its near left corner at the origin.

    Parameters
    ----------
    length, width : float
        Along the baseline and off it. [any length]
    """
    return np.array([[0.0, 0.0], [length, 0.0], [length, width], [0.0, width]])


def oval(length: float, width: float, tolerance: float) -> NDArray[np.float64]:
    """Return an ellipse about the origin, of area π/4 · length · width; a circle has one diameter twice.

    Parameters
    ----------
    length, width : float
        Full axes, along the baseline and off it. [any length]
    tolerance : float
        Greatest distance between the ellipse and its chords. [that length]
    """
    return ellipse(np.zeros(2), np.array([length / 2, 0.0]), np.array([0.0, width / 2]), tolerance)


def kidney(length: float, widths: tuple[float, float], tolerance: float) -> NDArray[np.float64]:
    """Return an ellipse as long as a kidney-shaped pool and of the area that the trade's rule gives it.

    Area = 0.45 (a + b) L, with a and b the widths of the two ends (How to Measure the Area of a
    Kidney-Shaped Pool, hunker.com/13418172).

    Parameters
    ----------
    length : float
        Longest length. [any length]
    widths : tuple of float
        Widths of the two lobes. [that length]
    tolerance : float
        Greatest distance between the ellipse and its chords. [that length]
    """
    return oval(length, 0.45 * sum(widths) * 4 / math.pi, tolerance)


def star(radii: Sequence[float]) -> NDArray[np.float64]:
    """Return the outline of readings from one inside point, spread evenly, with the area π · mean(r²).

    The sectors of the readings have that area together. The mean radius squared, as it is often
    taught, is too small wherever the readings differ: by 5.8 % for an ellipse twice as long as wide.

    Parameters
    ----------
    radii : sequence of float
        Readings, counter-clockwise, the first along the baseline. [any length]
    """
    far = np.array(radii)
    angle = np.arange(len(far)) * 2 * np.pi / len(far)
    drawn = np.sin(2 * np.pi / len(far)) * np.sum(far * np.roll(far, -1)) / 2
    scale = math.sqrt(math.pi * float(np.mean(far**2)) / drawn)
    points: NDArray[np.float64] = np.column_stack([np.cos(angle), np.sin(angle)]) * (far * scale)[:, None]
    return points
