"""Which gate setting gives a rate: a rising curve through test runs, with how sure it is."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import sqrt
from typing import TYPE_CHECKING, ClassVar, Final

import numpy as np

from lawnmap.choices import Area, Mass, Section, choice
from lawnmap.errors import InputError
from lawnmap.units import US, UnitSystem
from lawnmap.yard import finding

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from lawnmap.yard import Finding

TOLERANCE: Final = 0.05
"""A spreader is calibrated if it lays within ± 5 % of the rate that was wanted. [1]

UMass Extension Turf Program, *Rotary Spreader Calibration Procedures*.
"""


class TestRun(Section):
    """One run at one gate setting: an entry of ``runs`` in the ``[spreader]`` section of a job file."""

    section: ClassVar[str] = "spreader"
    __test__: ClassVar[bool] = False  # no test of pytest's, whatever its name

    setting: float = choice("setting", ..., "Number on the gate.", gt=0)
    used_kg: Mass = choice("used", ..., "What was caught or used up.", gt=0)
    area_m2: Area = choice("area", ..., "Ground that it went on: course length times swath.", gt=0)

    @property
    def rate_kg_per_m2(self) -> float:
        """What the run laid. [kg/m²]"""
        return self.used_kg / self.area_m2


@dataclass(frozen=True)
class Setting:
    """A gate setting for a rate.

    Attributes
    ----------
    setting : float
        Number on the gate. [1]
    plus_minus : float
        Standard error of it. [1]
    rate_kg_per_m2 : float
        What it is to lay. [kg/m²]
    rate_se_kg_per_m2 : float
        Standard error of the rate at this setting. [kg/m²]
    """

    setting: float
    plus_minus: float
    rate_kg_per_m2: float
    rate_se_kg_per_m2: float

    def __str__(self) -> str:
        places = 1 if self.plus_minus >= 0.095 else 2  # a gate is set to a tenth at best
        return f"{self.setting:.{places}f} ± {self.plus_minus:.{places}f}"

    def to_dict(self) -> dict[str, float]:
        """Return the attributes as a mapping."""
        return {
            "setting": self.setting,
            "plus_minus": self.plus_minus,
            "rate_kg_per_m2": self.rate_kg_per_m2,
            "rate_se_kg_per_m2": self.rate_se_kg_per_m2,
        }


@dataclass(frozen=True, eq=False)
class SettingCurve:
    """Rate against gate setting, rising, straight from test to test.

    Attributes
    ----------
    setting : array, shape (n,)
        Settings tried, rising. [1]
    rate_kg_per_m2 : array, shape (n,)
        Rate at each, rising. [kg/m²]
    runs : array, shape (n,)
        How many runs each rests on. [count]
    scatter : float
        Standard deviation of one run over its rate. [1]
    scatter_measured : bool
        Whether settings were repeated so that the scatter could be measured.
    """

    setting: NDArray[np.float64] = field(repr=False)
    rate_kg_per_m2: NDArray[np.float64] = field(repr=False)
    runs: NDArray[np.float64] = field(repr=False)
    scatter: float
    scatter_measured: bool

    def rate_at(self, setting: float) -> float:
        """Return the rate at a setting between those tried.

        Parameters
        ----------
        setting : float
            Number on the gate. [1]
        """
        low, high = self.setting[0], self.setting[-1]
        if not low <= setting <= high:
            raise InputError(
                f"setting {setting:g} lies outside those tried, {low:g} to {high:g}",
                mend="make a test run at it",
            )
        return float(np.interp(setting, self.setting, self.rate_kg_per_m2))

    def setting_for(self, rate_kg_per_m2: float, units: UnitSystem = US) -> Setting:
        """Return the setting for a rate, with its standard error.

        Parameters
        ----------
        rate_kg_per_m2 : float
            What the spreader is to lay in one pass. [kg/m²]
        units : UnitSystem
            What the user reads rates in, for messages.

        Raises
        ------
        InputError
            If the rate lies outside those that were tested.
        """
        low, high = self.rate_kg_per_m2[0], self.rate_kg_per_m2[-1]
        if not low <= rate_kg_per_m2 <= high:
            side = "lower" if rate_kg_per_m2 < low else "higher"
            end = self.setting[0] if rate_kg_per_m2 < low else self.setting[-1]
            raise InputError(
                f"{units.rate(rate_kg_per_m2)} lies outside the rates tried, {units.rate(low)} to "
                f"{units.rate(high)}",
                mend=f"make a test run {side} than setting {end:g}",
            )
        rate, at = self.rate_kg_per_m2, self.setting
        piece = int(np.clip(np.searchsorted(rate, rate_kg_per_m2) - 1, 0, len(rate) - 2))
        share = (rate_kg_per_m2 - rate[piece]) / (rate[piece + 1] - rate[piece])
        slope = (rate[piece + 1] - rate[piece]) / (at[piece + 1] - at[piece])
        # both ends of the piece err on their own; the rate between them errs by their weighted sum
        ends = self.scatter * rate[piece : piece + 2] / np.sqrt(self.runs[piece : piece + 2])
        error = float(np.hypot(*(np.array([1 - share, share]) * ends)))
        return Setting(
            setting=float(at[piece] + share * (at[piece + 1] - at[piece])),
            plus_minus=float(error / slope),
            rate_kg_per_m2=rate_kg_per_m2,
            rate_se_kg_per_m2=error,
        )

    def lines(self, units: UnitSystem = US) -> tuple[str, ...]:
        """Return the curve as plain lines, one setting each.

        Parameters
        ----------
        units : UnitSystem
            What the user reads rates in.
        """
        known = "measured" if self.scatter_measured else "assumed"
        return (
            f"Rate by gate setting; one run errs by {self.scatter:.0%} ({known})",
            *(
                f"  {setting:g}: {units.rate(rate)} from {runs:g} run{'' if runs == 1 else 's'}"
                for setting, rate, runs in zip(self.setting, self.rate_kg_per_m2, self.runs, strict=True)
            ),
        )

    def findings(self) -> tuple[Finding, ...]:
        """Return what the curve rests on that was not measured."""
        if self.scatter_measured:
            return ()
        return (finding("setting-scatter-assumed", "no setting was run twice, a scatter of 5 % is assumed"),)

    def to_dict(self) -> dict[str, object]:
        """Return the curve as a mapping."""
        return {
            "setting": self.setting.tolist(),
            "rate_kg_per_m2": self.rate_kg_per_m2.tolist(),
            "runs": self.runs.tolist(),
            "scatter": self.scatter,
            "scatter_measured": self.scatter_measured,
        }


def fit_settings(
    runs: Sequence[TestRun], where: str = "[spreader], runs", units: UnitSystem = US
) -> SettingCurve:
    """Fit a rising curve to test runs.

    Runs at one setting are averaged. Where a higher setting laid less, but by no more than runs
    scatter, neighbours are pooled until the curve rises (the pool-adjacent-violators algorithm: M. Ayer
    and others, *Annals of Mathematical Statistics* 26, 1955, p. 641); by more, it is a fault.

    Parameters
    ----------
    runs : sequence of TestRun
        At two different settings or more.
    where : str
        Where they come from, for messages.
    units : UnitSystem
        What the user reads rates in, for messages.
    """
    settings = np.array([run.setting for run in runs])
    rates = np.array([run.rate_kg_per_m2 for run in runs])
    levels, group = np.unique(settings, return_inverse=True)
    if len(levels) < 2:
        raise InputError(
            f"the runs are at {len(levels)} setting{'s' * (len(levels) != 1)}",
            where=where,
            mend="make a test run at a second setting",
        )
    count = np.bincount(group).astype(float)
    mean = np.bincount(group, rates) / count
    freedom = len(runs) - len(levels)
    scatter = sqrt(float(np.sum((rates / mean[group] - 1) ** 2)) / freedom) if freedom else TOLERANCE
    pooled = _pool(np.column_stack([levels, mean, count]), scatter, where, units)
    if len(pooled[0]) < 2 or (np.diff(pooled[1]) <= 0).any():
        raise InputError("all settings lay the same rate", where=where, mend="try settings further apart")
    return SettingCurve(*pooled, scatter=scatter, scatter_measured=freedom > 0)


def _pool(
    tried: NDArray[np.float64], scatter: float, where: str, units: UnitSystem
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Merge neighbouring settings whose rates fall by no more than three standard errors."""
    blocks: list[tuple[float, float, float]] = []
    for level, rate, runs in tried:
        block = (float(level), float(rate), float(runs))
        while blocks and block[1] <= blocks[-1][1]:
            before = blocks.pop()
            allowed = 3 * max(scatter, 0.01) * before[1] * sqrt(1 / before[2] + 1 / block[2])
            if before[1] - block[1] > allowed:
                raise InputError(
                    f"setting {block[0]:g} laid less ({units.rate(block[1])}) than setting {before[0]:g} "
                    f"({units.rate(before[1])})",
                    where=where,
                    mend="check the weights and areas of these runs; the rate must rise with the setting",
                )
            total = before[2] + block[2]
            block = (
                (before[0] * before[2] + block[0] * block[2]) / total,
                (before[1] * before[2] + block[1] * block[2]) / total,
                total,
            )
        blocks.append(block)
    level, rate_of, runs_of = np.array(blocks).T
    return level, rate_of, runs_of


@dataclass(frozen=True)
class Correction:
    """What to do after some ground is done and the hopper tells the real rate.

    Attributes
    ----------
    real_kg_per_m2 : float
        Rate that was laid. [kg/m²]
    ratio : float
        Real over planned. [1]
    setting : float
        For the rest. [1]
    still_kg : float
        Needed for the rest at the planned rate. [kg]
    findings : tuple of Finding
        What the new setting rests on.
    """

    real_kg_per_m2: float
    ratio: float
    setting: float
    still_kg: float
    findings: tuple[Finding, ...] = ()

    def line(self, units: UnitSystem = US) -> str:
        """Return the one sentence that a user needs.

        Parameters
        ----------
        units : UnitSystem
            What the user reads weights and rates in.
        """
        return (
            f"{self.ratio:.0%} of the planned rate was laid, {units.rate(self.real_kg_per_m2)}; set the gate to "
            f"{self.setting:.1f} for the rest, which needs {units.mass(self.still_kg)}"
        )

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "real_kg_per_m2": self.real_kg_per_m2,
            "ratio": self.ratio,
            "setting": self.setting,
            "still_kg": self.still_kg,
            "findings": [one.to_dict() for one in self.findings],
        }


def correct(
    done: TestRun,
    planned_kg: float,
    rest_m2: float,
    curve: SettingCurve | None = None,
    units: UnitSystem = US,
) -> Correction:
    """Turn what was really used into the setting for the rest of the ground.

    The ground done is a test run. With a curve, the whole curve is scaled by what this run laid over
    what the curve says; without one, rate is taken as proportional to the setting, which only holds
    near it.

    Parameters
    ----------
    done : TestRun
        Setting, what was used, and the ground done.
    planned_kg : float
        What should have been used on it. [kg]
    rest_m2 : float
        Ground still to do. [m²]
    curve : SettingCurve, optional
        From test runs.
    units : UnitSystem
        What the user reads rates in, for messages.
    """
    if planned_kg <= 0:
        raise InputError("nothing was planned for that ground", mend="give the planned amount")
    if rest_m2 < 0:
        raise InputError(f"a rest of {rest_m2:g} m² is not possible", mend="give the area still to do")
    planned = planned_kg / done.area_m2
    real = done.rate_kg_per_m2
    found: tuple[Finding, ...] = ()
    if curve is None:
        setting = done.setting * planned / real
        found = (finding("setting-from-one-run", f"setting {setting:.1f} is worked out in proportion"),)
    else:
        setting = curve.setting_for(planned / (real / curve.rate_at(done.setting)), units).setting
    return Correction(real, real / planned, setting, planned * rest_m2, found)
