"""What a sprayer lays: the 1/128-acre course, the nozzle formula, speed, and the pattern of a boom.

The label is the law for every spray: nothing here proposes a rate of a pesticide.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from lawnmap.errors import InputError
from lawnmap.evenness.pattern import Pattern, add_up
from lawnmap.evenness.shapes import triangle
from lawnmap.units import ACRE_M2

if TYPE_CHECKING:
    from collections.abc import Sequence

NOZZLE_TOLERANCE: Final = 0.10
"""A nozzle that gives a tenth more or less than the mean is replaced. *common practice* [1]"""


def course_for_ounces(width_m: float) -> float:
    """Return the length of a course of 1/128 acre, on which ounces caught are gallons per acre.

    A gallon has 128 ounces, so one ounce on 1/128 acre is one gallon on an acre (LSU AgCenter, *Ounces
    Equal Gallons: Sprayer Calibration*).

    Parameters
    ----------
    width_m : float
        Nozzle spacing, or the width that one nozzle covers. [m]

    Returns
    -------
    float
        Length of the course. [m]
    """
    _above_zero(width_m, "a nozzle spacing")
    return float(ACRE_M2) / 128 / width_m


def volume_from_course(caught_m3: float, width_m: float, length_m: float) -> float:
    """Return the volume per area from what one nozzle gave in the time that the course took.

    Parameters
    ----------
    caught_m3 : float
        Caught from one nozzle, standing, for as long as the course took. [m³]
    width_m : float
        Nozzle spacing. [m]
    length_m : float
        Length of the course. [m]

    Returns
    -------
    float
        Volume per area, as a depth. [m]
    """
    _above_zero(width_m, "a nozzle spacing")
    _above_zero(length_m, "a course")
    _above_zero(caught_m3, "a catch")
    return caught_m3 / (width_m * length_m)


def volume_from_flow(flow_m3_per_s: float, speed_m_per_s: float, width_m: float) -> float:
    """Return the volume per area: flow ÷ (speed × width), the nozzle formula.

    In customary units gallons per acre = 5940 × gallons per minute ÷ (mph × inches); 5940 is 43,560 × 12
    ÷ 88 (Mesa County, Colorado, *Stationary Calibration Method for Boom Sprayers*).

    Parameters
    ----------
    flow_m3_per_s : float
        Of one nozzle. [m³/s]
    speed_m_per_s : float
        On the ground. [m/s]
    width_m : float
        Nozzle spacing. [m]

    Returns
    -------
    float
        Volume per area, as a depth. [m]
    """
    _above_zero(speed_m_per_s, "a speed")
    _above_zero(width_m, "a nozzle spacing")
    _above_zero(flow_m3_per_s, "a flow")
    return flow_m3_per_s / (speed_m_per_s * width_m)


def flow_for_volume(volume_m: float, speed_m_per_s: float, width_m: float) -> float:
    """Return the flow that a nozzle must give; the nozzle formula turned round.

    University of Missouri Extension, G1270A, line 4.

    Parameters
    ----------
    volume_m : float
        Volume per area, as a depth. [m]
    speed_m_per_s : float
        On the ground. [m/s]
    width_m : float
        Nozzle spacing. [m]

    Returns
    -------
    float
        Flow of one nozzle. [m³/s]
    """
    for value, name in ((volume_m, "a volume"), (speed_m_per_s, "a speed"), (width_m, "a nozzle spacing")):
        _above_zero(value, name)
    return volume_m * speed_m_per_s * width_m


@dataclass(frozen=True)
class SpeedCourse:
    """Speed from timed runs.

    Attributes
    ----------
    speed_m_per_s : float
        Mean. [m/s]
    se_m_per_s : float
        Its standard error; not a number from one run. [m/s]
    runs : int
        How many. NC State Extension, WQWM-152, asks for three or more over 200 feet, tank half full. [count]
    """

    speed_m_per_s: float
    se_m_per_s: float
    runs: int


def speed_from_course(length_m: float, times_s: Sequence[float]) -> SpeedCourse:
    """Return the speed over a course.

    Parameters
    ----------
    length_m : float
        Length of the course. [m]
    times_s : sequence of float
        Time of each run. [s]
    """
    _above_zero(length_m, "a course")
    if not len(times_s):
        raise InputError("no run was timed", mend="time three runs")
    for time in times_s:
        _above_zero(time, "a time")
    speed = length_m / np.asarray(times_s, dtype=float)
    count = len(speed)
    error = float(speed.std(ddof=1) / np.sqrt(count)) if count > 1 else float("nan")
    return SpeedCourse(float(speed.mean()), error, count)


def worn_nozzles(caught: Sequence[float], tolerance: float = NOZZLE_TOLERANCE) -> list[int]:
    """Return which nozzles, counted from 1, differ from the mean of all by more than a tenth.

    Parameters
    ----------
    caught : sequence of float
        From each nozzle in the same time. [any]
    tolerance : float
        Most difference over the mean. [1]
    """
    given = np.asarray(caught, dtype=float)
    if len(given) < 2 or (given < 0).any() or given.sum() <= 0:
        raise InputError("nozzles are compared by what two or more of them give", mend="catch from each")
    return [int(i) + 1 for i in np.flatnonzero(np.abs(given / given.mean() - 1) > tolerance)]


def boom(
    nozzles: int, spacing_m: float, *, fan: Pattern | None = None, flows: Sequence[float] | None = None
) -> Pattern:
    """Return the pattern of a boom as the sum of its fans, to be overlapped like any other.

    Parameters
    ----------
    nozzles : int
        How many. [count]
    spacing_m : float
        Between nozzles. [m]
    fan : Pattern, optional
        Of one nozzle; a triangle that reaches the next nozzle on each side if left out.
    flows : sequence of float, optional
        Of each nozzle over the mean, where they differ. [1]
    """
    if nozzles < 1:
        raise InputError(f"a boom of {nozzles} nozzles sprays nothing", mend="give one nozzle or more")
    _above_zero(spacing_m, "a nozzle spacing")
    single = fan or triangle(spacing_m)
    share = np.ones(nozzles) if flows is None else np.asarray(flows, dtype=float)
    if share.shape != (nozzles,) or (share < 0).any() or share.sum() <= 0:
        raise InputError(f"give one flow for each of the {nozzles} nozzles, none below zero")
    at = (np.arange(nozzles) - (nozzles - 1) / 2) * spacing_m
    parts = [
        (single.offset_m + place, single.density_per_m * flow) for place, flow in zip(at, share, strict=True)
    ]
    return add_up(parts, f"boom of {nozzles}")


def _above_zero(value: float, name: str) -> None:
    if not value > 0:
        raise InputError(f"{name} of {value:g} is not possible", mend="give a value above zero")
