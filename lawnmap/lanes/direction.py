"""Which way to walk: the cost of a direction in closed form, and the few directions worth a trial."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

_HOPE: Final = 0.06  # a direction dearer by more than this share of the least walk needs no trial
_MOST_EDGES: Final = 600  # the longest edges alone give directions; the rest are curves of small obstacles

SKIP_WEIGHT: Final = 2.0
"""What ground left bare at a lane end weighs against ground walked twice. [1]"""


def altitude_sum(edges: NDArray[np.float64], angles_rad: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the sum of altitudes of an outline across each direction.

    A scan line in direction θ meets twice as many edges as pieces of ground, so the integral of the
    number of pieces over all scan lines is half the sum of the heights of the edges. It equals the sum
    of altitudes of the cells that a sweep in that direction makes, which W. H. Huang, *Optimal
    line-sweep-based decompositions for coverage algorithms* (IEEE ICRA 2001), takes as the cost of
    covering them; divided by the swath it is the number of lanes.

    Parameters
    ----------
    edges : array, shape (n, 2, 2)
        Edges, holes included. [m]
    angles_rad : array, shape (m,)
        Directions. [rad]

    Returns
    -------
    array, shape (m,)
        Sum of altitudes. [m]

    Examples
    --------
    >>> corners = np.array([[0, 0], [120, 0], [120, 60], [0, 60], [0, 0]], dtype=float)
    >>> altitude_sum(np.stack([corners[:-1], corners[1:]], axis=1), np.radians([0, 90])).round(6).tolist()
    [60.0, 120.0]
    """
    step = edges[:, 1] - edges[:, 0]
    up, right = np.outer(np.cos(angles_rad), step[:, 1]), np.outer(np.sin(angles_rad), step[:, 0])
    return np.asarray(0.5 * np.abs(up - right).sum(axis=1))


@dataclass(frozen=True)
class Spacing:
    """How lanes lie and what they cost.

    Attributes
    ----------
    swath_m : float
        Distance between lanes. [m]
    lane_end : float
        The lane-end policy, 0 to 1. [1]
    turn_m : float
        What a turn is worth in walking. [m]
    """

    swath_m: float
    lane_end: float
    turn_m: float


def direction_cost(
    edges: NDArray[np.float64], angles_rad: NDArray[np.float64], spacing: Spacing
) -> NDArray[np.float64]:
    """Return what a direction costs above the least walk, before any lane is made.

    A turn costs one swath sideways and its own worth; a slanted end costs the run-on, or the ground it
    leaves, which is charged too because a plan must not look short by skipping.

    Parameters
    ----------
    edges : array, shape (n, 2, 2)
        Edges of the ground to cover. [m]
    angles_rad : array, shape (m,)
        Directions. [rad]
    spacing : Spacing
        How lanes lie and what they cost.

    Returns
    -------
    array, shape (m,)
        Cost as walking. [m]
    """
    beside = altitude_sum(edges, angles_rad)
    along = altitude_sum(edges, angles_rad + np.pi / 2)
    ends = spacing.lane_end + SKIP_WEIGHT * (1 - spacing.lane_end) ** 2 / 4
    return (spacing.swath_m + spacing.turn_m) / spacing.swath_m * beside + ends * along


def _area(edges: NDArray[np.float64]) -> float:
    """Return the area within edges that keep the ground on one side. [m] to [m²]"""
    start, end = edges[:, 0], edges[:, 1]
    return 0.5 * float((start[:, 0] * end[:, 1] - start[:, 1] * end[:, 0]).sum())


def candidate_directions(edges: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the only directions at which the closed-form cost can be least.

    Between two neighbouring edge directions, or directions square to an edge, every term of the cost
    is concave; its minimum therefore lies at one of them. Of very many edges the longest are taken.

    Parameters
    ----------
    edges : array, shape (n, 2, 2)
        Edges of the ground to cover. [m]

    Returns
    -------
    array, shape (m,)
        Directions in 0 … π, equal ones once. [rad]
    """
    step = edges[:, 1] - edges[:, 0]
    length = np.hypot(step[:, 0], step[:, 1])
    longest = np.argsort(-length, kind="stable")[:_MOST_EDGES]
    step = step[np.sort(longest[length[longest] > 1e-9])]
    angles = np.arctan2(step[:, 1], step[:, 0])
    both = np.concatenate([angles, angles + np.pi / 2]) % np.pi
    both[np.pi - both < 1e-9] = 0.0
    return both[np.unique(both.round(9), return_index=True)[1]]


def best_directions(
    edges: NDArray[np.float64], spacing: Spacing, count: int, *, crosswise: bool = False
) -> NDArray[np.float64]:
    """Return the directions of least closed-form cost, at least two degrees apart, best first.

    Parameters
    ----------
    edges : array, shape (n, 2, 2)
        Edges of the ground to cover. [m]
    spacing : Spacing
        How lanes lie and what they cost.
    count : int
        How many. [count]
    crosswise : bool
        Whether the ground is walked a second time square to the first, which counts as much.

    Returns
    -------
    array, shape (m,), m at most `count`
        Directions in 0 … π. [rad]
    """
    angles = candidate_directions(edges)
    cost = direction_cost(edges, angles, spacing)
    if crosswise:
        second = direction_cost(edges, angles + np.pi / 2, spacing)
        cost = cost + second + 1e-9 * (cost - second)  # of the two, the cheaper goes first
    chosen: list[float] = []
    order = np.argsort(cost, kind="stable")
    hopeless = cost[order[0]] + _HOPE * np.abs(_area(edges)) / spacing.swath_m
    for angle in angles[order[cost[order] <= hopeless]].tolist():
        gap = min((abs((angle - other + np.pi / 2) % np.pi - np.pi / 2) for other in chosen), default=1.0)
        if gap > np.radians(2):
            chosen.append(angle)
        if len(chosen) == count:
            break
    return np.array(chosen)
