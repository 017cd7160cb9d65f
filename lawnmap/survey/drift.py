"""Errors of a walk with a receiver, which drift together, put as independent errors that make an area as unsure.

A receiver's error at one moment is much like that a moment before. Taken as an Ornstein-Uhlenbeck process (as fits
recorded positions: *Improving Real-Time Position Estimation Using Correlated Noise Models*, Sensors 20(21) 6050, 2020),
two errors Δt apart have the correlation ρ = exp(-Δt / τ). Errors that stay the same all round move an outline and leave
its area; errors that change from point to point cancel; those that change from one side of the lawn to the other count
most. With g half the way from the corner before to the corner after, the variance of the area is

    σ_A² = σ² Σ_ij ρ_ij g_i·g_j + σ⁴/2 Σ_i (1 - ρ(i,i+1)²),

which is the formula of `lawnmap.measure.precision` where no two errors have to do with each other.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

DRIFT_S: Final = (30.0, 60.0, 120.0, 300.0, 600.0)
"""Times τ in which an error is forgotten; the worst for the walk is taken. [s]

Records of one handheld receiver lose most of their correlation within a minute and the rest over many (D. L. Wilson,
*GPS Horizontal Position Accuracy*, Correlation of Errors). *assumed* for others.
"""

WALKING_M_PER_S: Final = 1.2
"""Pace of a walk that tells no times, 4 ft/s. *common practice* [m/s]"""

_MOST = 4000  # corners; of a denser walk every second, third, … is enough


def equivalent_sigma(ring: NDArray[np.float64], times_s: NDArray[np.float64], sigma_m: float) -> float:
    """Return the standard error that, independent at each corner, makes the area as unsure as the drift does. [m]

    Parameters
    ----------
    ring : array, shape (n, 2) = [east, north]
        Corners of the outline, the first not repeated. [m]
    times_s : array, shape (n,)
        When each was passed. [s]
    sigma_m : float
        Standard error of one coordinate of one fix. [m]
    """
    # The sums that the take-off will make are those of all corners; a part of them gives the variance as well.
    g, count = _halves(ring), len(ring)
    squares = float((g**2).sum())
    step = -(-count // _MOST)
    some, when = ring[::step], times_s[::step]
    variance = max(_variance(some, when - when[0], sigma_m, drift_s) for drift_s in DRIFT_S)
    return float(np.sqrt((np.sqrt(squares**2 + 2 * count * variance) - squares) / count))


def _halves(ring: NDArray[np.float64]) -> NDArray[np.float64]:
    halves: NDArray[np.float64] = (np.roll(ring, -1, axis=0) - np.roll(ring, 1, axis=0)) / 2
    return halves


def _variance(
    ring: NDArray[np.float64], times_s: NDArray[np.float64], sigma_m: float, drift_s: float
) -> float:
    """Variance of the area for one time of forgetting. [m⁴]"""
    order = np.argsort(times_s, kind="stable")
    kept = np.exp(-np.diff(times_s[order]) / drift_s)
    # Σ_{i<j} ρ_ij g_i·g_j in one pass: ρ of a longer time is the product of those of its parts.
    products, east, north = 0.0, 0.0, 0.0
    before: Sequence[float] | None = None
    for now, decay in zip(_halves(ring)[order].tolist(), [1.0, *kept.tolist()], strict=True):
        if before is not None:
            east, north = decay * (east + before[0]), decay * (north + before[1])
            products += now[0] * east + now[1] * north
        before = now
    first = float((_halves(ring) ** 2).sum()) + 2 * products
    around = np.append(kept, np.exp(-np.ptp(times_s) / drift_s))
    return sigma_m**2 * max(first, 0.0) + sigma_m**4 / 2 * float((1 - around**2).sum())


def paced(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return when each point of a walk without times was passed, at an even pace. [s]

    Parameters
    ----------
    points : array, shape (n, 2) = [east, north]
        The walk. [m]
    """
    far = np.hypot(*np.diff(points, axis=0, prepend=points[:1]).T)
    times: NDArray[np.float64] = np.cumsum(far) / WALKING_M_PER_S
    return times
