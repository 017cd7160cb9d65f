"""Signs that a line of survey points had arcs in it which nothing in the file draws."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import TYPE_CHECKING, Final

import numpy as np

from lawnmap.units import figure
from lawnmap.yard import Finding, finding

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from lawnmap.survey.points.table import Shot

CURVE_WORD: Final = re.compile(
    r"\(?(?:PC|PT|PCC|PRC|BC|EC|BCV|ECV|RP|OC|POC|CURVE?|ARC|RADIUS|RAD)\)?[-.#]?\d*|R=.*", re.IGNORECASE
)
"""Words that stand beside the points of a curve: its ends, its middle, its radius. *common practice*"""

_OPENS: Final = frozenset({"PC", "BC", "BCV", "PCC", "PRC"})
_CLOSES: Final = frozenset({"PT", "EC", "ECV", "PCC", "PRC"})

_LEAST_TURN: Final = np.radians(6)  # flatter chords lose less than a part in a thousand of their circle
_GREATEST_TURN: Final = np.radians(45)  # sharper ones are corners
_ALIKE: Final = 0.02


def missing_arcs(
    code: str, shots: Sequence[Shot], on_curve: Sequence[bool], *, closed: bool
) -> list[Finding]:
    """Tell where words or places of points speak of an arc that is drawn as a chord.

    Parameters
    ----------
    code : str
        Code of the line.
    shots : sequence of Shot
        Its points.
    on_curve : sequence of bool
        Which of them an arc is drawn through.
    closed : bool
        Whether the last point joins the first.
    """
    where = f"line {shots[0].line}"
    said = [any(CURVE_WORD.fullmatch(word) for word in shot.text.split()[1:]) for shot in shots]
    if not any(on_curve):
        named = sum(said)
        if named > 1:
            text = f'{named} points of code "{code}" are described as points of curves, but none is drawn'
            return [finding("arcs-may-be-missing", text, where)]
        points = np.array([(shot.east, shot.north) for shot in shots])
        return [finding("arcs-may-be-missing", text, where) for text in _circle(points, code, closed=closed)]
    bare = [
        (one, other) for one, other in pairwise(shots) if _OPENS & _words(one) and _CLOSES & _words(other)
    ]
    if not bare:
        return []
    text = f'code "{code}" has an arc from {bare[0][0].number} to {bare[0][1].number} without a point on it'
    return [finding("arcs-may-be-missing", text, where)]


def _words(shot: Shot) -> set[str]:
    return set(shot.text.upper().split()[1:])


def _circle(points: NDArray[np.float64], code: str, *, closed: bool) -> list[str]:
    """Five points or more that turn evenly on one circle, joined by chords."""
    ring = np.vstack([points, points[:4]]) if closed and len(points) > 4 else points
    if len(ring) < 5:
        return []
    step = np.diff(ring, axis=0)
    across = ring[2:] - ring[:-2]
    cross = step[:-1, 0] * step[1:, 1] - step[:-1, 1] * step[1:, 0]
    turn = np.arctan2(cross, (step[:-1] * step[1:]).sum(axis=1))
    far = np.hypot(*step.T)
    with np.errstate(divide="ignore", invalid="ignore"):
        radius = far[:-1] * far[1:] * np.hypot(*across.T) / (2 * cross)
        alike = np.abs(radius[1:] / radius[:-1] - 1) < _ALIKE  # of one sign as well, or it is far from 1
    even = (np.abs(turn) > _LEAST_TURN) & (np.abs(turn) < _GREATEST_TURN)
    runs = alike[:-1] & alike[1:] & even[:-2] & even[1:-1] & even[2:]
    if not runs.any():
        return []
    shown = figure(float(abs(radius[runs.argmax()])))
    return [f'points of code "{code}" lie on a circle of radius {shown} and are joined by straight chords']
