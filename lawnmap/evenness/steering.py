"""What a wandering walking line does: variation and missed ground, and the spacing that absorbs it."""

from __future__ import annotations

from dataclasses import dataclass
from math import erf, exp, pi, sqrt
from typing import TYPE_CHECKING, Final

import numpy as np

from lawnmap.errors import InputError
from lawnmap.evenness.overlap import CV_LIMIT, Way, overlap, widest_spacing

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from lawnmap.evenness.pattern import Pattern

SKIP_LIMIT: Final = 0.01
"""Most ground that a planned overlap may leave without anything. A choice of ours. *common practice* [1]"""


def steered_cv(pattern: Pattern, spacing_m: float, wander_m: float, way: Way = "back and forth") -> float:
    """Return the variation across lanes whose lines wander, each on its own.

    Derived here. With the wander normally distributed, CV² is that of the pattern blurred by the
    wander plus spacing × (∫p² - ∫q²), p the pattern and q the blurred one: what neighbours no longer
    share. Both follow from the Fourier transform of the pattern.

    Parameters
    ----------
    pattern : Pattern
        What one swath leaves.
    spacing_m : float
        Distance between lanes as planned. [m]
    wander_m : float
        Standard deviation of a lane from its line. [m]
    way : str
        ``"back and forth"`` or ``"round and round"``.

    Examples
    --------
    >>> from lawnmap.evenness.shapes import triangle
    >>> round(steered_cv(triangle(1.0), 1.0, 0.1), 4)
    0.1332
    """
    if wander_m < 0:
        raise InputError(f"a wander of {wander_m:g} m is not possible", mend="give a width of 0 or more")
    if wander_m < 1e-6 * pattern.width_m:
        return overlap(pattern, spacing_m, way).cv
    planned = _blurred_cv2(pattern, spacing_m, wander_m, way)
    # Sampled closer than 1 / (twice the width and the blur), the sum over frequencies is the integral.
    step = 1 / (2 * pattern.width_m + 14 * wander_m)
    frequency = step * np.arange(1.0, _last(wander_m, step) + 1)
    blurred = step * (1 + 2 * float(np.sum(_power(pattern, frequency, wander_m))))
    return sqrt(max(0.0, planned + spacing_m * (pattern.energy_per_m - blurred)))


def _last(wander_m: float, step: float) -> int:
    """How many frequencies until the blur leaves less than 1e-15 of them."""
    return int(np.ceil(sqrt(15 * np.log(10)) / (2 * pi * wander_m) / step)) + 1


def _power(pattern: Pattern, frequency: NDArray[np.float64], wander_m: float) -> NDArray[np.float64]:
    power: NDArray[np.float64] = np.abs(pattern.spectrum(frequency)) ** 2
    return power * np.exp(-((2 * pi * wander_m * frequency) ** 2))


def _blurred_cv2(pattern: Pattern, spacing_m: float, wander_m: float, way: Way) -> float:
    """Fourier series of the overlap of the blurred pattern."""
    period = spacing_m if way == "round and round" else 2 * spacing_m
    order = np.arange(1, _last(wander_m, 1 / period) + 1)
    wave = pattern.spectrum(order / period)
    size = np.abs(wave) if way == "round and round" else np.where(order % 2 == 0, wave.real, wave.imag)
    return float(2 * np.sum(size**2 * np.exp(-((2 * pi * wander_m * order / period) ** 2))))


def skipped_share(pattern: Pattern, spacing_m: float, wander_m: float) -> float:
    """Return the share of the ground that no lane reaches.

    Derived here: the expected gap between two neighbours, τφ(o/τ) - oΦ(-o/τ) with the planned overlap
    o and τ = √2 × wander. For a curtain laid edge to edge this is 0.564 × wander ÷ spacing, and as
    much is laid twice.

    Parameters
    ----------
    pattern : Pattern
        What one swath leaves; all of its width counts as reached.
    spacing_m : float
        Distance between lanes as planned. [m]
    wander_m : float
        Standard deviation of a lane from its line. [m]
    """
    overlap_m = pattern.width_m - spacing_m
    blur = sqrt(2) * wander_m
    if blur <= 0:
        return max(0.0, -overlap_m) / spacing_m
    ratio = min(max(overlap_m / blur, -40.0), 40.0)  # beyond, both terms are what they are there
    below = (1 - erf(ratio / sqrt(2))) / 2
    return max(0.0, blur * exp(-(ratio**2) / 2) / sqrt(2 * pi) - overlap_m * below) / spacing_m


@dataclass(frozen=True)
class Absorbed:
    """A spacing that keeps wandering lanes good enough.

    Attributes
    ----------
    spacing_m : float
        Distance between lanes. [m]
    cv : float
        Variation at it, wander counted. [1]
    skipped_share : float
        Ground that no lane reaches. [1]
    by : str
        ``"variation"`` where the limit on it can be kept, ``"misses"`` where only missed ground can
        be kept low, as with a curtain.
    """

    spacing_m: float
    cv: float
    skipped_share: float
    by: str

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "spacing_m": self.spacing_m,
            "cv": self.cv,
            "skipped_share": self.skipped_share,
            "by": self.by,
        }


def absorbing_spacing(
    pattern: Pattern, wander_m: float, limit: float = CV_LIMIT, way: Way = "back and forth"
) -> Absorbed:
    """Find the widest spacing that absorbs the wander.

    Where some spacing keeps the variation at or under the limit, the widest that does; a curtain
    cannot, for its edges are sharp, so there lanes overlap until only `SKIP_LIMIT` is missed.

    Parameters
    ----------
    pattern : Pattern
        What one swath leaves.
    wander_m : float
        Standard deviation of a lane from its line. [m]
    limit : float
        Most standard deviation over mean. [1]
    way : str
        ``"back and forth"`` or ``"round and round"``.
    """
    widest = widest_spacing(pattern, limit, way).widest_m
    swath = pattern.effective_swath_m
    # below half a swath most of the ground is walked three times, which nobody does to be even
    candidates = np.linspace(widest, swath / 2, 61)
    sharp = pattern.density_per_m[0] > 0 or pattern.density_per_m[-1] > 0
    if not sharp:
        for spacing in candidates:
            if steered_cv(pattern, float(spacing), wander_m, way) <= limit:
                return _absorbed(pattern, float(spacing), wander_m, way, "variation")
    low, high = swath / 2, pattern.width_m
    for _ in range(50):
        middle = (low + high) / 2
        if skipped_share(pattern, middle, wander_m) <= SKIP_LIMIT:
            low = middle
        else:
            high = middle
    return _absorbed(pattern, low, wander_m, way, "misses")


def _absorbed(pattern: Pattern, spacing_m: float, wander_m: float, way: Way, by: str) -> Absorbed:
    return Absorbed(
        spacing_m,
        steered_cv(pattern, spacing_m, wander_m, way),
        skipped_share(pattern, spacing_m, wander_m),
        by,
    )
