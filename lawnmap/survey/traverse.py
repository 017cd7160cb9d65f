"""A traverse: latitudes and departures, how far it misses closing, the compass rule, and area by double distances.

The compass rule spreads the misclosure over the courses in proportion to their lengths (N. Bowditch,
1808); double meridian distances are as in Jerry Mahun, *Open Access Surveying Library*, Traverse
Computations, chapters E and G (jerrymahun.com).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray


@dataclass(frozen=True)
class Traverse:
    """Courses of a closed figure.

    Attributes
    ----------
    latitudes, departures : array, shape (n,)
        How far north and east each course goes, along its chord where it is a curve. [any length]
    lengths : array, shape (n,)
        Length of each course, along the arc where it is a curve. [that length]
    """

    latitudes: NDArray[np.float64]
    departures: NDArray[np.float64]
    lengths: NDArray[np.float64]

    @property
    def perimeter(self) -> float:
        """Sum of the courses. [the length of its courses]"""
        return float(self.lengths.sum())

    @property
    def misclosure(self) -> tuple[float, float]:
        """How far north and east of the beginning the last course ends. [the length of its courses]"""
        return float(self.latitudes.sum()), float(self.departures.sum())

    @property
    def closure(self) -> float:
        """Length of the misclosure. [the length of its courses]"""
        return float(np.hypot(*self.misclosure))

    @property
    def precision(self) -> float:
        """Perimeter over closure: 2771 for 1:2771; infinite where it closes. [1]"""
        return self.perimeter / self.closure if self.closure > 0 else float("inf")

    def balanced(self) -> Traverse:
        """Return the traverse with its misclosure spread by the compass rule."""
        north, east = self.misclosure
        share = self.lengths / self.perimeter
        return replace(
            self, latitudes=self.latitudes - north * share, departures=self.departures - east * share
        )

    def closed(self) -> Traverse:
        """Return the traverse with its last course drawn to the beginning, whatever the call says."""
        north, east = self.misclosure
        latitudes, departures = self.latitudes.copy(), self.departures.copy()
        latitudes[-1] -= north
        departures[-1] -= east
        return replace(self, latitudes=latitudes, departures=departures)

    def vertices(self, start: tuple[float, float]) -> NDArray[np.float64]:
        """Return where each course begins, and where the last one ends.

        Parameters
        ----------
        start : tuple of float
            Beginning, [east, north]. [the length of its courses]

        Returns
        -------
        array, shape (n + 1, 2) = [east, north]
            [the length of its courses]
        """
        steps = np.column_stack([self.departures, self.latitudes])
        corners: NDArray[np.float64] = np.vstack([np.zeros(2), np.cumsum(steps, axis=0)]) + np.array(start)
        return corners

    def double_meridian_distances(self) -> NDArray[np.float64]:
        """Return the DMD of each course: the last DMD plus the last and this departure. [that length]"""
        ends = np.cumsum(self.departures)
        distances: NDArray[np.float64] = 2 * ends - self.departures
        return distances

    def double_area(self) -> float:
        """Return twice the area within the chords: the sum of DMD times latitude. [that length²]

        Positive where the traverse runs counter-clockwise.
        """
        return float(self.double_meridian_distances() @ self.latitudes)


def traverse_of(azimuths_deg: NDArray[np.float64], lengths: NDArray[np.float64]) -> Traverse:
    """Return the traverse of straight courses.

    Parameters
    ----------
    azimuths_deg : array, shape (n,)
        Clockwise from north. [°]
    lengths : array, shape (n,)
        Length of each course. [any length]
    """
    angles = np.radians(azimuths_deg)
    return Traverse(lengths * np.cos(angles), lengths * np.sin(angles), lengths)
