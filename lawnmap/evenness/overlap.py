"""How neighbouring swaths add up: the variation across the lanes, exactly, for any spacing."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from math import sqrt
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from lawnmap.errors import ChoiceError, InputError, nearest
from lawnmap.evenness.pattern import merge, square_integral, sums_at

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from lawnmap.evenness.pattern import Pattern

Way = Literal["back and forth", "round and round"]
WAYS: Final = ("back and forth", "round and round")
"""Neighbouring lanes walked in opposite directions, or all in the same one."""

CV_LIMIT: Final = 0.15
"""Most variation that is acceptable in the field. [1]

Up to 15 % is acceptable, losses begin above 20 % (D. Forristal, Teagasc, reported by Agriland,
*Fertiliser spreaders: what is CV*); 15 % for nitrogen and 25 % for other fertilizers is the line of
the Spreadmark scheme of New Zealand (*Spreadmark Certification*, 1 July 2014).
"""

_MOST_KNOTS: Final = 24
"""Throws with more knots are added up lane by lane, which is then the faster way. [count]"""

_ROUNDING: Final = 1e-10
"""Error of a sum of correlations over its largest term, with room for four more digits. [1]"""


@dataclass(frozen=True, eq=False)
class Overlap:
    """Lanes laid side by side without end.

    Attributes
    ----------
    spacing_m : float
        Distance between lanes. [m]
    way : str
        One of `WAYS`.
    cv : float
        Standard deviation over mean of the rate across the lanes. It is that of every point of the
        ground, so dividing by n or by n - 1 makes no difference. [1]
    lowest, highest : float
        Extremes of the rate over its mean. [1]
    offset_m : array, shape (n,)
        Across the lanes over one period, from a walking line; a jump stands twice. [m]
    rate : array, shape (n,)
        Rate over its mean. [1]
    """

    spacing_m: float
    way: Way
    cv: float
    lowest: float
    highest: float
    offset_m: NDArray[np.float64] = field(repr=False)
    rate: NDArray[np.float64] = field(repr=False)

    def to_dict(self) -> dict[str, object]:
        """Return the figures as a mapping, without the curve."""
        return {
            "spacing_m": self.spacing_m,
            "way": self.way,
            "cv": self.cv,
            "lowest": self.lowest,
            "highest": self.highest,
        }


def overlap(pattern: Pattern, spacing_m: float, way: Way = "back and forth") -> Overlap:
    """Add up one pattern laid at even spacing.

    The sum of straight pieces is made of straight pieces, so mean, variance and extremes are exact;
    for triangle, trapezoid and box the result is the closed form.

    Parameters
    ----------
    pattern : Pattern
        What one swath leaves.
    spacing_m : float
        Distance between lanes. [m]
    way : str
        ``"back and forth"`` mirrors every other lane, ``"round and round"`` none.

    Examples
    --------
    >>> from lawnmap.evenness.shapes import triangle
    >>> round(overlap(triangle(2.0), 3.0).cv, 6)
    0.25
    """
    _refuse(spacing_m, way)
    lanes = [Lane(0.0)] if way == "round and round" else [Lane(0.0), Lane(spacing_m, mirrored=True)]
    return overlap_of(pattern, lanes, len(lanes) * spacing_m, spacing_m=spacing_m, way=way)


def _refuse(spacing_m: float, way: Way) -> None:
    if not spacing_m > 0:
        raise InputError(f"lanes {spacing_m:g} m apart are not possible", mend="give a spacing above zero")
    if way not in WAYS:
        raise ChoiceError(f'"{way}" is not a way of walking', mend=nearest(way, WAYS))


@dataclass(frozen=True)
class Lane:
    """One lane of a period that repeats across the lawn.

    Attributes
    ----------
    at_m : float
        Its place in the period. [m]
    mirrored : bool
        Whether it is walked the other way.
    weight : float
        Its rate over that of the others. [1]
    """

    at_m: float
    mirrored: bool = False
    weight: float = 1.0


def overlap_of(
    pattern: Pattern, lanes: Sequence[Lane], period_m: float, *, spacing_m: float, way: Way
) -> Overlap:
    """Add up lanes that stand anyhow within a period, two passes side by side for instance.

    Parameters
    ----------
    pattern : Pattern
        What one swath leaves.
    lanes : sequence of Lane
        Those of one period.
    period_m : float
        After which they repeat. [m]
    spacing_m : float
        Distance between lanes, to be told with the result. [m]
    way : str
        One of `WAYS`, to be told with the result.
    """
    scale = period_m / sum(lane.weight for lane in lanes)
    parts: list[tuple[NDArray[np.float64], NDArray[np.float64]]] = []
    for lane in lanes:
        own = pattern.mirrored() if lane.mirrored else pattern
        for offset, density in _copies(own, period_m, lane.at_m % period_m):
            parts.append((offset, density * (lane.weight * scale)))
    inside = np.concatenate([offset for offset, _ in parts])
    knot = merge(np.concatenate([[0.0, period_m], inside[(inside > 0) & (inside < period_m)]]))
    knot[-1] = period_m
    left, right = sums_at(parts, knot)
    first, last = right[:-1], left[1:]
    wide = np.diff(knot) > 1e-9 * period_m
    ends = np.concatenate([first[wide], last[wide]])
    return Overlap(
        spacing_m=spacing_m,
        way=way,
        cv=sqrt(max(0.0, square_integral(knot, first - 1, last - 1) / period_m)),
        lowest=float(ends.min()),
        highest=float(ends.max()),
        offset_m=np.repeat(knot, 2)[1:-1],
        rate=np.column_stack([first, last]).ravel(),
    )


def _copies(
    pattern: Pattern, period: float, at: float
) -> Iterable[tuple[NDArray[np.float64], NDArray[np.float64]]]:
    """Every copy of a pattern, one a period, that reaches into the first period."""
    first = int(np.floor((-at - pattern.right_m) / period))
    last = int(np.ceil((period - at - pattern.left_m) / period))
    for lane in range(first, last + 1):
        offset = pattern.offset_m + (at + lane * period)
        if offset[-1] > 0 and offset[0] < period:
            yield offset, pattern.density_per_m


def cv_curve(
    pattern: Pattern, spacing_m: NDArray[np.float64], way: Way = "back and forth"
) -> NDArray[np.float64]:
    """Return the variation for many spacings.

    The mean square of lanes that repeat is the sum of the throw's correlation with itself at every
    distance between two of them (derived here), so no lane is added up. Where so little varies that the
    sum has too few digits left, and for a throw of many knots, the lanes are added up after all.

    Parameters
    ----------
    pattern : Pattern
        What one swath leaves.
    spacing_m : array, shape (n,)
        Distances between lanes. [m]
    way : str
        One of `WAYS`.

    Returns
    -------
    array, shape (n,)
        Standard deviation over mean. [1]
    """
    _refuse(float(spacing_m.min(initial=np.inf)), way)
    if len(pattern.offset_m) > _MOST_KNOTS:
        return np.array([overlap(pattern, float(spacing), way).cv for spacing in spacing_m])
    turns = way == "back and forth"
    period = spacing_m * (2 if turns else 1)
    square = spacing_m * _correlated(pattern, np.zeros_like(period), period)
    if turns:
        square += spacing_m * _correlated(pattern, spacing_m, period, mirrored=True)
    variation = np.sqrt(np.maximum(square - 1, 0.0))
    for i in np.flatnonzero(square - 1 < _ROUNDING * spacing_m * pattern.largest_term_per_m):
        variation[i] = overlap(pattern, float(spacing_m[i]), way).cv
    return variation


def _correlated(
    pattern: Pattern, first_m: NDArray[np.float64], period_m: NDArray[np.float64], *, mirrored: bool = False
) -> NDArray[np.float64]:
    """Sum of the correlations with all lanes one period apart, of which one is at a distance. [1/m]"""
    each = np.ceil(2 * pattern.reach_m / period_m).astype(np.int64) + 1  # so many to each side are felt
    count = 2 * each + 1
    of = np.repeat(np.arange(len(count)), count)
    number = np.arange(len(of)) - (np.cumsum(count) - count + each)[of]
    found = pattern.correlation(first_m[of] + number * period_m[of], mirrored=mirrored)
    total = np.zeros(len(count))
    np.add.at(total, of, found)
    return total


@dataclass(frozen=True)
class SpacingBand:
    """Spacings that keep the variation at or under a limit.

    Attributes
    ----------
    widest_m : float
        The widest spacing that does. [m]
    narrowest_m : float
        All spacings from here to the widest do as well; closer ones may not. [m]
    limit : float
        The limit on standard deviation over mean. [1]
    way : str
        One of `WAYS`.
    """

    widest_m: float
    narrowest_m: float
    limit: float
    way: Way

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "widest_m": self.widest_m,
            "narrowest_m": self.narrowest_m,
            "limit": self.limit,
            "way": self.way,
        }


def widest_spacing(pattern: Pattern, limit: float = CV_LIMIT, way: Way = "back and forth") -> SpacingBand:
    """Find the widest spacing whose variation is at or under a limit.

    A flat-topped throw is not made more even by every closer spacing, so the band down to which the
    limit holds is found as well.

    Parameters
    ----------
    pattern : Pattern
        What one swath leaves.
    limit : float
        Most standard deviation over mean; see `CV_LIMIT` for where the default comes from. [1]
    way : str
        One of `WAYS`.

    Examples
    --------
    >>> from lawnmap.evenness.shapes import triangle
    >>> round(widest_spacing(triangle(1.0)).widest_m, 2)
    1.34
    """
    return _widest(pattern, limit, way)


@lru_cache(maxsize=64)  # a report asks three times, a run over many yards for each of them
def _widest(pattern: Pattern, limit: float, way: Way) -> SpacingBand:
    if not limit > 0:
        raise InputError(f"a limit of {limit:.0%} cannot be kept", mend="give more than 0 %")
    # A gap between swaths varies by √(spacing / width - 1) or more, so no spacing beyond this can pass.
    spacing = np.linspace(0.04, 1 + limit * limit, 121) * pattern.width_m
    good = cv_curve(pattern, spacing, way) <= limit
    if not good.any():
        raise InputError(
            f"no spacing keeps this throw within {limit:.0%}", mend="check the trays, or allow a higher limit"
        )
    last = int(np.flatnonzero(good)[-1])
    first = last - int(np.argmin(good[: last + 1][::-1])) + 1 if not good[: last + 1].all() else 0
    return SpacingBand(
        widest_m=_edge(pattern, (spacing[last], spacing[min(last + 1, 120)]), limit, way),
        narrowest_m=_edge(pattern, (spacing[first], spacing[first - 1]), limit, way) if first else 0.0,
        limit=limit,
        way=way,
    )


def _edge(pattern: Pattern, between: tuple[float, float], limit: float, way: Way) -> float:
    """Halve the way from a spacing that passes to one that does not."""
    good, bad = between
    for _ in range(40):
        middle = (good + bad) / 2
        if cv_curve(pattern, np.array([middle]), way)[0] <= limit * (1 - 1e-9):  # however it is added up
            good = middle
        else:
            bad = middle
    return float(good)
