"""Patterns that have a name: triangle, trapezoid, bell, box and the lopsided ones."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from lawnmap.errors import ChoiceError, nearest
from lawnmap.evenness.pattern import Pattern

if TYPE_CHECKING:
    from collections.abc import Callable

HALF_RATE_SIGMAS: Final = 2 * np.sqrt(2 * np.log(2))
"""Distance between the half-rate points of a bell curve, in standard deviations. [1]"""


def triangle(swath_m: float, *, left_share: float = 0.5) -> Pattern:
    """Return a throw that falls evenly from the walking line to both ends.

    Parameters
    ----------
    swath_m : float
        Effective swath: half of the whole width of the throw. [m]
    left_share : float
        Share of the width on the left: 0.5 for an even throw, else it is lopsided. [1]

    Examples
    --------
    >>> triangle(2.0).width_m, triangle(2.0).effective_swath_m
    (4.0, 2.0)
    """
    _check(swath_m, left_share)
    width = 2 * swath_m
    shape = "triangle" if left_share == 0.5 else "skewed"
    return Pattern(np.array([-left_share, 0, 1 - left_share]) * width, np.array([0.0, 1, 0]), shape)


def trapezoid(swath_m: float, *, flat_share: float = 1 / 3, left_share: float = 0.5) -> Pattern:
    """Return a throw that is flat in the middle and falls evenly to both ends.

    Parameters
    ----------
    swath_m : float
        Effective swath: half of the flat and the whole width together. [m]
    flat_share : float
        Share of the whole width that is flat, from 0 (a triangle) to 1 (a box). [1]
    left_share : float
        Share of the width on the left. [1]

    Examples
    --------
    >>> round(trapezoid(1.5, flat_share=0.5).width_m, 6)
    2.0
    """
    _check(swath_m, left_share)
    if not 0 <= flat_share < 1:
        raise ChoiceError(
            f"a trapezoid cannot be flat over {flat_share:.0%} of its width", mend="give 0 % to under 100 %"
        )
    width = 2 * swath_m / (1 + flat_share)
    knots = np.array([-1, -flat_share, flat_share, 1]) / 2 + (0.5 - left_share)
    return Pattern(knots * width, np.array([0.0, 1, 1, 0]), "trapezoid")


def bell(swath_m: float) -> Pattern:
    """Return a bell curve, the normal distribution, cut off at five standard deviations.

    Parameters
    ----------
    swath_m : float
        Effective swath: 2.355 standard deviations lie between the half-rate points. [m]
    """
    _check(swath_m, 0.5)
    sigma = swath_m / HALF_RATE_SIGMAS
    step = 0.05
    steps = np.arange(-100, 101) * step
    # Straight pieces between the samples widen the curve by a variance of step²/6: sample one as much narrower.
    narrower = np.sqrt(1 - step**2 / 6)
    return Pattern(steps * sigma, np.exp(-((steps / narrower) ** 2) / 2), "bell")


def box(width_m: float) -> Pattern:
    """Return an even curtain, as a drop spreader lays it.

    Parameters
    ----------
    width_m : float
        Width of the hopper opening. [m]
    """
    _check(width_m, 0.5)
    return Pattern(np.array([-0.5, 0.5]) * width_m, np.ones(2), "box")


SHAPES: Final[dict[str, Callable[[float], Pattern]]] = {
    "triangle": triangle,
    "trapezoid": trapezoid,
    "bell": bell,
    "box": box,
}
"""Name of a shape to what draws it from the effective swath."""


def shaped(name: str, swath_m: float, *, left_share: float = 0.5) -> Pattern:
    """Return a named shape with an effective swath.

    Parameters
    ----------
    name : str
        A key of `SHAPES`.
    swath_m : float
        Effective swath. [m]
    left_share : float
        Share of the width on the left; only a triangle or a trapezoid can be lopsided. [1]
    """
    if name not in SHAPES:
        raise ChoiceError(f'"{name}" is not a shape of throw', mend=nearest(name, SHAPES))
    if left_share == 0.5:
        return SHAPES[name](swath_m)
    if name == "triangle":
        return triangle(swath_m, left_share=left_share)
    if name == "trapezoid":
        return trapezoid(swath_m, left_share=left_share)
    raise ChoiceError(
        f"a {name} has as much on the left as on the right", mend="give a triangle, or tray weights, instead"
    )


def _check(swath_m: float, left_share: float) -> None:
    if not swath_m > 0:
        raise ChoiceError(f"a swath of {swath_m:g} m is not possible", mend="give a width above zero")
    if not 0 < left_share < 1:
        raise ChoiceError(
            f"{left_share:.0%} of the throw cannot lie on the left",
            mend="give more than 0 % and less than 100 %",
        )
