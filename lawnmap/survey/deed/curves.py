"""A curve of a deed worked out from whatever two of its parts are given, and checked against the others.

With radius R and angle at the centre Δ, the arc is R Δ and the chord 2 R sin(Δ/2).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from lawnmap.errors import ShapeError

if TYPE_CHECKING:
    from collections.abc import Iterator

_AGREE: Final = 0.02
"""Parts of a curve may differ from each other by this, in feet or metres, for their rounding."""
_REFUSE: Final = 0.02
"""Parts that differ by more than this, of themselves, describe no one curve. [1]"""


@dataclass(frozen=True)
class Curve:
    """A curve as a call gives it; None for what it does not give.

    Attributes
    ----------
    left : bool
        Whether it turns to the left.
    radius, arc, chord : float or None
        [m]
    delta_deg : float or None
        Angle at the centre. [°]
    chord_azimuth_deg : float or None
        Direction of the chord. [°]
    """

    left: bool
    radius: float | None = None
    delta_deg: float | None = None
    arc: float | None = None
    chord: float | None = None
    chord_azimuth_deg: float | None = None


@dataclass(frozen=True)
class Bend:
    """A curve worked out.

    Attributes
    ----------
    radius, arc, chord : float
        [m]
    delta_deg : float
        Angle at the centre, positive to the left. [°]
    doubts : tuple of str
        Parts given that differ from the ones worked out.
    """

    radius: float
    arc: float
    chord: float
    delta_deg: float
    doubts: tuple[str, ...]


def work_out(curve: Curve) -> Bend:
    """Work out a curve and check what is given twice.

    Parameters
    ----------
    curve : Curve
        At least two of radius, angle, arc and chord.

    Raises
    ------
    ShapeError
        Where too little is given, or the parts belong to no one curve.
    """
    radius, delta = _radius_and_angle(curve)
    if not (0 < radius < math.inf and 0 < delta < 2 * math.pi):
        raise ShapeError("the parts of this curve belong to no circle", mend="check radius, arc and chord")
    arc, chord = radius * delta, 2 * radius * math.sin(delta / 2)
    doubts = tuple(_doubts(curve, radius, delta, arc, chord))
    return Bend(radius, arc, chord, math.degrees(delta) * (1 if curve.left else -1), doubts)


def _radius_and_angle(curve: Curve) -> tuple[float, float]:
    """From the surest pair; an arc with its chord needs Newton's rule for sin(x)/x."""
    radius, arc, chord = curve.radius, curve.arc, curve.chord
    delta = math.radians(curve.delta_deg) if curve.delta_deg is not None else None
    if radius is not None and delta is not None:
        return radius, delta
    if radius is not None and arc is not None:
        return radius, arc / radius if radius else math.inf
    if radius is not None and chord is not None:
        if not 0 < chord <= 2 * radius:
            raise ShapeError("the chord is longer than the circle is wide", mend="check radius and chord")
        return radius, 2 * math.asin(chord / (2 * radius))
    if delta is not None and arc is not None:
        return arc / delta if delta else math.inf, delta
    if delta is not None and chord is not None:
        sine = math.sin(delta / 2)
        return chord / (2 * sine) if sine else math.inf, delta
    if arc is not None and chord is not None:
        if not 0 < chord < arc:
            raise ShapeError("the arc is no longer than its chord", mend="check arc and chord")
        half = _half_angle(chord / arc)
        return arc / (2 * half), 2 * half
    raise ShapeError(
        "a curve needs two of radius, central angle, arc and chord", mend="give one more part of it"
    )


def _half_angle(ratio: float) -> float:
    """Solve sin(x)/x = ratio for 0 < x < π by halving: it falls all the way."""
    low, high = 0.0, math.pi
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if math.sin(middle) > ratio * middle else (low, middle)
    return (low + high) / 2


def _doubts(curve: Curve, radius: float, delta: float, arc: float, chord: float) -> Iterator[str]:
    given = (
        ("radius", curve.radius, radius),
        ("arc", curve.arc, arc),
        ("chord", curve.chord, chord),
    )
    for name, said, found in given:
        if said is None:
            continue
        if abs(said - found) > _REFUSE * found + _AGREE:
            raise ShapeError(
                f"the {name} of this curve is {said / found:.3g} times what its other parts give",
                mend="check radius, central angle, arc and chord",
            )
        if abs(said - found) > _AGREE:
            yield f"its {name} differs by {said - found:+.3f} m from what its other parts give"
    if curve.delta_deg is not None and abs(math.radians(curve.delta_deg) - delta) * radius > _AGREE:
        yield f"its central angle differs from {math.degrees(delta):.4f}°"
