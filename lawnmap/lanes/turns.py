"""How a machine with a turning radius gets from the end of one lane to the beginning of the next.

Without reverse the shortest way between two headings is made of arcs of the least radius and straight
stretches, in one of six patterns (L. E. Dubins, *On curves of minimal length with a constraint on average
curvature*, American Journal of Mathematics 79, 1957); the formulas are those of A. M. Shkel and V. Lumelsky,
*Classification of the Dubins set*, Robotics and Autonomous Systems 34, 2001. Between the ends of two lanes
side by side they are the U turn and, where lanes lie closer than twice the radius, the loop.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

_WORDS: Final = ("LSL", "RSR", "LSR", "RSL", "RLR", "LRL")
_STEP_RAD: Final = np.radians(15)  # arcs are drawn with a point at least so often
_FULL: Final = 2 * np.pi


def turn_length_m(offset_m: float, radius_m: float) -> float:
    """Return the length of a turn into a lane at some distance, forward only.

    Parameters
    ----------
    offset_m : float
        Distance of the lanes. [m]
    radius_m : float
        Least turning radius. [m]

    Returns
    -------
    float
        Length of a U turn, or of a loop where the lanes lie closer than twice the radius. [m]

    Examples
    --------
    >>> round(turn_length_m(0, 1), 4), round(turn_length_m(2, 1), 4), round(turn_length_m(4, 1), 4)
    (7.3304, 3.1416, 5.1416)
    """
    if offset_m >= 2 * radius_m:
        return float(np.pi * radius_m + offset_m - 2 * radius_m)
    return float(radius_m * (np.pi + 4 * np.arccos((2 * radius_m + offset_m) / (4 * radius_m))))


def fishtail_length_m(offset_m: float, radius_m: float) -> float:
    """Return the length of a turn with one move in reverse, for lanes closer than twice the radius.

    A quarter turn away, straight back, and a quarter turn in: D. D. Bochtis and S. G. Vougioukas,
    *Minimising the non-working distance travelled by machines operating in a headland field pattern*,
    Biosystems Engineering 101, 2008. *from memory*

    Parameters
    ----------
    offset_m : float
        Distance of the lanes. [m]
    radius_m : float
        Least turning radius. [m]
    """
    return float(radius_m * (2 + np.pi) - offset_m)


def turn_depth_m(offset_m: float, radius_m: float) -> float:
    """Return how far the middle of the machine gets beyond the lane end in a turn, forward only.

    Parameters
    ----------
    offset_m : float
        Distance of the lanes. [m]
    radius_m : float
        Least turning radius. [m]

    Examples
    --------
    >>> turn_depth_m(4, 1)
    1.0
    """
    if offset_m >= 2 * radius_m:
        return float(radius_m)
    reach = (2 * radius_m + offset_m) / (4 * radius_m)  # of the middle arc's centre, as a cosine
    return float(radius_m * (1 + 2 * np.sqrt(1 - reach**2)))


def shortest_turns(
    start: NDArray[np.float64], end: NDArray[np.float64], radius_m: float
) -> tuple[NDArray[np.float64], NDArray[np.intp], NDArray[np.float64]]:
    """Return the shortest forward way for each pair of poses.

    Parameters
    ----------
    start, end : array, shape (n, 3) = [east, north, heading]
        Poses; headings counter-clockwise from east. [m, m, rad]
    radius_m : float
        Least turning radius. [m]

    Returns
    -------
    length_m : array, shape (n,)
        Its length. [m]
    word : array, shape (n,)
        Its pattern: LSL, RSR, LSR, RSL, RLR, LRL. [index]
    parts : array, shape (n, 3)
        Its three stretches, arcs and straights alike, over the radius. [1]
    """
    step = end[:, :2] - start[:, :2]
    far = np.hypot(step[:, 0], step[:, 1]) / radius_m
    line = np.arctan2(step[:, 1], step[:, 0])
    alpha, beta = (start[:, 2] - line) % _FULL, (end[:, 2] - line) % _FULL
    every = np.stack([np.stack(part) for part in _parts(far, alpha, beta)])  # word, part, pair
    total = every.sum(axis=1)
    total = np.where(np.isfinite(total), total, np.inf)
    word = np.argmin(total, axis=0)
    pair = np.arange(len(far))
    return total[word, pair] * radius_m, word, every[word, :, pair]


_Three = tuple["NDArray[np.float64]", "NDArray[np.float64]", "NDArray[np.float64]"]


def _parts(far: NDArray[np.float64], alpha: NDArray[np.float64], beta: NDArray[np.float64]) -> list[_Three]:
    """Return the three stretches of every pattern; not a number where it does not reach."""
    sin_a, cos_a, sin_b, cos_b = np.sin(alpha), np.cos(alpha), np.sin(beta), np.cos(beta)
    between = np.cos(alpha - beta)
    with np.errstate(invalid="ignore"):
        lsl = np.sqrt(_whole(2 + far**2 - 2 * between + 2 * far * (sin_a - sin_b)))
        rsr = np.sqrt(_whole(2 + far**2 - 2 * between + 2 * far * (sin_b - sin_a)))
        lsr = np.sqrt(_whole(-2 + far**2 + 2 * between + 2 * far * (sin_a + sin_b)))
        rsl = np.sqrt(_whole(-2 + far**2 + 2 * between - 2 * far * (sin_a + sin_b)))
        rlr = _FULL - np.arccos(_one((6 - far**2 + 2 * between + 2 * far * (sin_a - sin_b)) / 8))
        lrl = _FULL - np.arccos(_one((6 - far**2 + 2 * between + 2 * far * (sin_b - sin_a)) / 8))
        left = np.arctan2(cos_b - cos_a, far + sin_a - sin_b)
        right = np.arctan2(cos_a - cos_b, far - sin_a + sin_b)
        cross_l = np.arctan2(-cos_a - cos_b, far + sin_a + sin_b) - np.arctan2(-2.0, lsr)
        cross_r = np.arctan2(cos_a + cos_b, far - sin_a - sin_b) - np.arctan2(2.0, rsl)
        loop_r, loop_l = alpha - right + rlr / 2, -alpha + left + lrl / 2
        return [
            (_turn(left - alpha), lsl, _turn(beta - left)),
            (_turn(alpha - right), rsr, _turn(right - beta)),
            (_turn(cross_l - alpha), lsr, _turn(cross_l - beta)),
            (_turn(alpha - cross_r), rsl, _turn(beta - cross_r)),
            (_turn(loop_r), rlr, _turn(alpha - beta - loop_r + rlr)),
            (_turn(loop_l), lrl, _turn(beta - alpha - loop_l + lrl)),
        ]


def _whole(square: NDArray[np.float64]) -> NDArray[np.float64]:
    """Let a square that rounding made negative be nought."""
    return np.where((square < 0) & (square > -1e-12), 0.0, square)


def _one(cosine: NDArray[np.float64]) -> NDArray[np.float64]:
    """Let a cosine that rounding put beyond one be one."""
    return np.where((np.abs(cosine) > 1) & (np.abs(cosine) < 1 + 1e-12), np.sign(cosine), cosine)


def _turn(angle: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return an angle in 0 … 2π; one that rounding put just under 2π is nought."""
    turned = angle % _FULL
    return np.where(_FULL - turned < 1e-9, 0.0, turned)


def turn_points(
    start: NDArray[np.float64], word: int, parts: NDArray[np.float64], radius_m: float
) -> NDArray[np.float64]:
    """Return points along a turn, both ends among them.

    Parameters
    ----------
    start : array, shape (3,) = [east, north, heading]
        Where it begins. [m, m, rad]
    word : int
        Its pattern, as `shortest_turns` gives it. [index]
    parts : array, shape (3,)
        Its three stretches over the radius. [1]
    radius_m : float
        Least turning radius. [m]
    """
    points = [start[:2]]
    heading = float(start[2])
    for kind, stretch in zip(_WORDS[word], parts.tolist(), strict=True):
        count = 1 if kind == "S" else max(int(np.ceil(stretch / _STEP_RAD)), 1)
        bend = {"L": 1.0, "S": 0.0, "R": -1.0}[kind]
        steps = np.arange(1, count + 1) / count * stretch
        if kind == "S":
            moved = steps[:, None] * np.array([np.cos(heading), np.sin(heading)])
        else:
            turned = heading + bend * steps
            moved = bend * np.stack(
                [np.sin(turned) - np.sin(heading), np.cos(heading) - np.cos(turned)], axis=1
            )
        points += list(points[-1] + radius_m * moved)
        heading += bend * stretch
    return np.array(points)
