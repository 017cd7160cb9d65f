"""A sprayer test as one takes it on the lawn: whatever was timed and caught, and all that follows from it."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import isnan
from typing import TYPE_CHECKING, Final

import numpy as np

from lawnmap.errors import InputError
from lawnmap.evenness.overlap import CV_LIMIT
from lawnmap.evenness.sprayer import (
    SpeedCourse,
    boom,
    course_for_ounces,
    flow_for_volume,
    speed_from_course,
    volume_from_course,
    volume_from_flow,
    worn_nozzles,
)
from lawnmap.evenness.throw import ThrowReport, report_throw
from lawnmap.units import US, write
from lawnmap.yard import finding

if TYPE_CHECKING:
    from lawnmap.units import UnitSystem
    from lawnmap.yard import Finding

LABEL: Final = (
    "The label is the law: it states rate, carrier and protective gear. Calibrate with clean water, away from "
    "drains and water edges."
)
"""What stands with every figure of a sprayer."""


@dataclass(frozen=True)
class SprayerTest:
    """What was measured; anything but the width may be missing.

    Attributes
    ----------
    width_m : float
        Nozzle spacing, or the width that a single nozzle covers. [m]
    course_m : float or None
        Length of the course; that of 1/128 acre if left out. [m]
    times_s : tuple of float
        Time of each run over the course. [s]
    caught_m3 : tuple of float
        Caught from each nozzle, all for the same time. [m³]
    catch_time_s : float or None
        How long it was caught; as long as the course took if left out. [s]
    flow_m3_per_s : float or None
        Flow of one nozzle, if it is known without a catch. [m³/s]
    speed_m_per_s : float or None
        Speed, if it is known without a course. [m/s]
    volume_m : float or None
        Carrier per area that is wanted, as a depth. [m]
    nozzles : int or None
        How many on the boom; as many as were caught from if left out. [count]
    """

    width_m: float
    course_m: float | None = None
    times_s: tuple[float, ...] = ()
    caught_m3: tuple[float, ...] = ()
    catch_time_s: float | None = None
    flow_m3_per_s: float | None = None
    speed_m_per_s: float | None = None
    volume_m: float | None = None
    nozzles: int | None = None


@dataclass(frozen=True, eq=False)
class SprayerReport:
    """What a sprayer test says.

    Attributes
    ----------
    ounce_course_m : float
        Course of 1/128 acre, on which fluid ounces of one nozzle are gallons per acre. [m]
    speed : SpeedCourse or None
        From the timed runs.
    flow_m3_per_s : float or None
        Of one nozzle, the mean of all. [m³/s]
    volume_m : float or None
        What is laid per area, as a depth. [m]
    wanted_flow_m3_per_s : float or None
        What a nozzle must give for the carrier that is wanted. [m³/s]
    worn : tuple of int
        Nozzles that differ from the mean by more than a tenth, counted from 1.
    boom : ThrowReport or None
        How the boom's own strips add up.
    findings : tuple of Finding
        What the user should know.
    """

    ounce_course_m: float
    speed: SpeedCourse | None
    flow_m3_per_s: float | None
    volume_m: float | None
    wanted_flow_m3_per_s: float | None
    worn: tuple[int, ...]
    boom: ThrowReport | None = field(repr=False)
    findings: tuple[Finding, ...] = ()

    def lines(self, units: UnitSystem = US) -> tuple[str, ...]:
        """Return the report as plain lines, one fact each.

        Parameters
        ----------
        units : UnitSystem
            What the user reads lengths and volumes in.
        """
        course = f"Course of 1/128 acre for one nozzle: {units.length(self.ounce_course_m)}; the fluid ounces that a"
        found = [f"{course} nozzle gives in the time it takes are gallons per acre"]
        if self.speed:
            error = "" if isnan(self.speed.se_m_per_s) else f" ± {units.speed(self.speed.se_m_per_s)}"
            found.append(f"Speed: {units.speed(self.speed.speed_m_per_s)}{error} from {self.speed.runs} runs")
        flow_unit = "gpm" if units.name == "us" else "L / min"
        if self.flow_m3_per_s is not None:
            found.append(f"One nozzle: {write(self.flow_m3_per_s, flow_unit)}")
        if self.volume_m is not None:
            per_land = write(self.volume_m, "gal / acre" if units.name == "us" else "L / ha")
            found.append(f"Laid: {units.volume_rate(self.volume_m)} ({per_land})")
        if self.wanted_flow_m3_per_s is not None:
            found.append(
                f"For the carrier that is wanted, one nozzle must give {write(self.wanted_flow_m3_per_s, flow_unit)}"
            )
        if self.boom:
            found += [line for line in self.boom.lines(units) if not line.startswith("CV is")]
        return (*found, LABEL)

    def to_dict(self) -> dict[str, object]:
        """Return the report as a mapping of JSON values."""
        speed = self.speed
        return {
            "ounce_course_m": self.ounce_course_m,
            "speed_m_per_s": speed.speed_m_per_s if speed else None,
            "speed_se_m_per_s": speed.se_m_per_s if speed and not isnan(speed.se_m_per_s) else None,
            "flow_m3_per_s": self.flow_m3_per_s,
            "volume_m": self.volume_m,
            "wanted_flow_m3_per_s": self.wanted_flow_m3_per_s,
            "worn": list(self.worn),
            "boom": self.boom.to_dict() if self.boom else None,
            "caution": LABEL,
            "findings": [one.to_dict() for one in self.findings],
        }


def report_sprayer(
    test: SprayerTest, *, spacing_m: float | None = None, limit: float = CV_LIMIT, units: UnitSystem = US
) -> SprayerReport:
    """Work out all that a sprayer test says.

    Parameters
    ----------
    test : SprayerTest
        What was measured.
    spacing_m : float, optional
        Distance between the boom's lanes; nozzles times their spacing if left out. [m]
    limit : float
        Most standard deviation over mean that is accepted across the boom. [1]
    units : UnitSystem
        What the user reads lengths in.

    Examples
    --------
    >>> from lawnmap.units import parse
    >>> test = SprayerTest(parse("20 in", "length"), caught_m3=(parse("20 fl oz", "volume"),))
    >>> report_sprayer(test).lines()[1]
    'Laid: 0.459 gal / 1000 sq ft (20 gal / acre)'
    """
    ounce_course_m = course_for_ounces(test.width_m)
    course_m = ounce_course_m if test.course_m is None else test.course_m
    course = speed_from_course(course_m, test.times_s) if test.times_s else None
    speed = course.speed_m_per_s if course else test.speed_m_per_s
    flow = _flow(test, course_m / speed if speed else None)
    return SprayerReport(
        ounce_course_m=ounce_course_m,
        speed=course,
        flow_m3_per_s=flow,
        volume_m=_volume(test, course_m, flow, speed),
        wanted_flow_m3_per_s=_wanted(test, speed),
        worn=tuple(worn_nozzles(test.caught_m3)) if len(test.caught_m3) > 1 else (),
        boom=_boom(test, spacing_m, limit, units),
        findings=_worn(test),
    )


def _flow(test: SprayerTest, course_s: float | None) -> float | None:
    """Flow of one nozzle, stated or from the catch and the time it took."""
    if test.flow_m3_per_s is not None:
        return test.flow_m3_per_s
    time_s = test.catch_time_s if test.catch_time_s is not None else course_s
    if not test.caught_m3 or time_s is None:
        return None
    if not time_s > 0:
        raise InputError(f"a catch of {time_s:g} s is not possible", mend="time the catch")
    return float(np.mean(test.caught_m3)) / time_s


def _volume(test: SprayerTest, course_m: float, flow: float | None, speed: float | None) -> float | None:
    """Carrier per area, by the nozzle formula if there is a speed, else by the course."""
    if flow is not None and speed is not None:
        return volume_from_flow(flow, speed, test.width_m)
    if test.caught_m3 and test.catch_time_s is None:
        return volume_from_course(float(np.mean(test.caught_m3)), test.width_m, course_m)
    return None


def _wanted(test: SprayerTest, speed: float | None) -> float | None:
    if test.volume_m is None:
        return None
    if speed is None:
        raise InputError(
            "the flow that a nozzle must give depends on the speed",
            mend="give the speed, or times over a course",
        )
    return flow_for_volume(test.volume_m, speed, test.width_m)


def _boom(test: SprayerTest, spacing_m: float | None, limit: float, units: UnitSystem) -> ThrowReport | None:
    count = len(test.caught_m3) if test.nozzles is None else test.nozzles
    flows = test.caught_m3 if len(test.caught_m3) > 1 else None
    if flows is not None and len(flows) != count:
        raise InputError(
            f"there are {len(flows)} catches from {count} nozzles", mend="catch from every nozzle of the boom"
        )
    if count < 2:
        return None
    at_m = count * test.width_m if spacing_m is None else spacing_m
    return report_throw(boom(count, test.width_m, flows=flows), at_m, limit=limit, units=units)


def _worn(test: SprayerTest) -> tuple[Finding, ...]:
    worn = worn_nozzles(test.caught_m3) if len(test.caught_m3) > 1 else []
    if not worn:
        return ()
    which = " and ".join(map(str, worn)) if len(worn) < 3 else ", ".join(map(str, worn))
    text = f"nozzle{'s' * (len(worn) > 1)} {which} of {len(test.caught_m3)} give a tenth more or less than the mean"
    return (finding("nozzle-worn", text.replace("give", "gives") if len(worn) == 1 else text),)
