"""A catch test: a row of trays, one or more runs, one or both directions, and the throw it shows."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

import numpy as np

from lawnmap.errors import FileError, InputError
from lawnmap.evenness.pattern import Pattern
from lawnmap.evenness.sheet import rows_of
from lawnmap.units import METRIC, US, UnitSystem, parse
from lawnmap.yard import finding

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from numpy.typing import NDArray

    from lawnmap.yard import Finding

_CUT_SHORT: Final = 0.10
"""An end tray with more than this share of the fullest one means that the throw goes on past the row. [1]"""

_WORTH_A_WORD: Final = 0.02
_OFF_CENTRE: Final = 0.05
_APART: Final = 0.10
_CALM: Final = 0.05
_SMOOTHING: Final = np.array([0.25, 0.5, 0.25])
_BACK: Final = re.compile(r"\b(back|return)\b", re.IGNORECASE)
_OFFSET: Final = re.compile(r"^\s*offset[ _(\[]*([a-zA-Z]+)[)\]]?\s*$", re.IGNORECASE)


@dataclass(frozen=True, eq=False)
class CatchTest:
    """What a row of trays caught.

    Trays lie in a line square to the walking line, equally spaced (Ohio State University Extension,
    Bulletin 817, b817_13: boxes of one square foot, a foot apart, three passes the same way).

    Attributes
    ----------
    offset_m : array, shape (trays,)
        Middle of each tray from the walking line, left of it negative, as one walks out. [m]
    runs : array, shape (runs, trays)
        Weight or depth in each tray, run by run. [any]
    back : array of bool, shape (runs,)
        Runs that were walked towards the start; left and right are swapped in them.
    where : str
        File or section the figures came from, for messages.
    """

    offset_m: NDArray[np.float64] = field(repr=False)
    runs: NDArray[np.float64] = field(repr=False)
    back: NDArray[np.bool_]
    where: str = "catch test"

    def __post_init__(self) -> None:
        offset = np.asarray(self.offset_m, dtype=float)
        runs = np.atleast_2d(np.asarray(self.runs, dtype=float))
        object.__setattr__(self, "offset_m", offset)
        object.__setattr__(self, "runs", runs)
        object.__setattr__(self, "back", np.broadcast_to(np.asarray(self.back, bool), len(runs)).copy())
        self._check(offset, runs)

    def _check(self, offset: NDArray[np.float64], runs: NDArray[np.float64]) -> None:
        if len(offset) < 3:
            raise InputError(
                f"{len(offset)} tray{'s' * (len(offset) != 1)} cannot show a throw",
                where=self.where,
                mend="set out a row of at least seven, one and a half times as wide as the swath",
            )
        if runs.shape[1] != len(offset):
            raise InputError(
                f"there are {len(offset)} trays but {runs.shape[1]} weights in a run",
                where=self.where,
                mend="give one weight per tray",
            )
        if not np.isfinite(runs).all():
            raise InputError(
                "a tray has no weight", where=self.where, mend="write 0 where nothing was caught"
            )
        if (runs < 0).any():
            run, tray = (int(v) for v in np.argwhere(runs < 0)[0])
            raise InputError(
                f"tray {tray + 1} of run {run + 1} weighs {runs[run, tray]:g}, less than nothing",
                where=self.where,
                mend="take the empty tray off, or weigh again",
            )
        empty = np.flatnonzero(runs.sum(axis=1) <= 0)
        if len(empty):
            raise InputError(
                f"all trays of run {int(empty[0]) + 1} are empty",
                where=self.where,
                mend="open the gate and run it again, or leave the run out",
            )
        step = np.diff(offset)
        if (step <= 0).any():
            raise InputError(
                "the trays do not run from left to right", where=self.where, mend="put them in order"
            )
        if np.ptp(step) > 0.02 * step.mean():
            raise InputError(
                f"the trays are unevenly spaced, from {step.min():.3g} to {step.max():.3g} m "
                f"({US.width(step.min())} to {US.width(step.max())}) apart",
                where=self.where,
                mend="space them evenly, or put in the missing trays",
            )

    @property
    def spacing_m(self) -> float:
        """Distance between trays. [m]"""
        return float(np.diff(self.offset_m).mean())

    @property
    def throw_runs(self) -> NDArray[np.float64]:
        """Every run as the walker sees it, left on the left, each scaled to the same sum."""
        own = self._own_side()
        scaled: NDArray[np.float64] = own / own.sum(axis=1, keepdims=True)
        return scaled

    def _own_side(self) -> NDArray[np.float64]:
        runs = self.runs.copy()
        for run in np.flatnonzero(self.back):
            # trays stay where they are; for the walker coming back, left and right are swapped
            runs[run] = np.interp(-self.offset_m, self.offset_m, runs[run], left=0.0, right=0.0)
        return runs

    def pattern(self, *, smooth: bool = False, centred: bool = False) -> Pattern:
        """Return the throw: the mean of all runs, straight from tray to tray, nothing beyond the next place.

        Parameters
        ----------
        smooth : bool
            Take a quarter, a half and a quarter of each tray and its neighbours. One tray catches a
            handful of grains, so its own weight is noisy; but smoothing flattens the peak as well and so
            draws the swath out by up to half a tray. More runs are better.
        centred : bool
            Move the middle of the material on to the walking line, as adjusting the spreader would.

        Raises
        ------
        InputError
            If an end tray holds more than a tenth of the fullest: the throw is wider than the row.
        """
        mean = self.throw_runs.mean(axis=0)
        ends = max(mean[0], mean[-1]) / mean.max()
        if ends > _CUT_SHORT:
            side = "left" if mean[0] >= mean[-1] else "right"
            raise InputError(
                f"the {side} end tray still holds {ends:.0%} of the fullest, so the throw is wider than the row",
                where=self.where,
                mend="set out more trays on that side and run it again",
            )
        weight = np.concatenate([[0.0], mean, [0.0]])
        if smooth:
            weight = np.convolve(np.concatenate([[0.0], mean, [0.0]]), _SMOOTHING, mode="same")
        offset = np.concatenate(
            [[self.offset_m[0] - self.spacing_m], self.offset_m, [self.offset_m[-1] + self.spacing_m]]
        )
        used = np.flatnonzero(weight > 0)
        keep = slice(max(0, int(used[0]) - 1), int(used[-1]) + 2)
        throw = Pattern(offset[keep], weight[keep], "catch test")
        return throw.shifted(-throw.centre_m) if centred else throw

    @property
    def drift_m(self) -> float | None:
        """How far wind or slope carried the material to the right of the trays, if walked both ways. [m]

        Walked both ways, what the spreader does changes sides with the walker and what the wind does
        stays; half the sum of the two middles over the trays is the wind.
        """
        if self.back.all() or not self.back.any():
            return None
        middle = (self.runs @ self.offset_m) / self.runs.sum(axis=1)
        return float((middle[~self.back].mean() + middle[self.back].mean()) / 2)

    def drift_line(self, units: UnitSystem = US) -> str:
        """Return what wind or slope did in words; empty where it cannot be told or is next to nothing.

        Parameters
        ----------
        units : UnitSystem
            What the user reads lengths in.
        """
        drift = self.drift_m
        if drift is None or abs(drift) < _CALM * self.spacing_m:
            return ""
        side = "right" if drift > 0 else "left"
        return f"Wind or slope carried the material {units.width(abs(drift))} to the {side} of the trays"

    def findings(self) -> tuple[Finding, ...]:
        """Return what the user should know about the test and the throw."""
        found = []
        if len(self.runs) < 3:
            found.append(
                finding(
                    "few-runs",
                    f"the throw rests on {len(self.runs)} run{'s' * (len(self.runs) > 1)}",
                    self.where,
                )
            )
        mean = self.throw_runs.mean(axis=0)
        spread = np.abs(self.throw_runs - mean).sum(axis=1).max() / 2
        if spread > _APART:
            found.append(
                finding(
                    "trays-uneven",
                    f"{spread:.0%} of a run lies elsewhere than in the mean of all",
                    self.where,
                )
            )
        ends = max(mean[0], mean[-1]) / mean.max()
        if _WORTH_A_WORD < ends <= _CUT_SHORT:
            found.append(
                finding("trays-cut-short", f"an end tray still holds {ends:.0%} of the fullest", self.where)
            )
        found += off_centre(self.pattern(), self.where) if ends <= _CUT_SHORT else []
        return tuple(found)


def off_centre(pattern: Pattern, where: str = "") -> list[Finding]:
    """Return a finding if a throw lies more to one side.

    Parameters
    ----------
    pattern : Pattern
        What one swath leaves.
    where : str
        The place for the message.
    """
    centre, swath = pattern.centre_m, pattern.effective_swath_m
    if abs(centre) <= _OFF_CENTRE * swath:
        return []
    side = "right" if centre > 0 else "left"
    share = 1 - pattern.left_share if centre > 0 else pattern.left_share
    text = (
        f"{share:.0%} of the material lands {side} of the walking line, its middle "
        f"{METRIC.width(abs(centre))} ({US.width(abs(centre))}, {abs(centre) / swath:.0%} of the swath) off"
    )
    return [finding("throw-off-centre", text, where)]


def typed(weights: Sequence[float] | Sequence[Sequence[float]], spacing_m: float) -> CatchTest:
    """Return a catch test from weights in a row, the middle tray on the walking line.

    Parameters
    ----------
    weights : sequence of float, or of runs
        From the far left to the far right, walking out. [any]
    spacing_m : float
        Distance between trays. [m]

    Examples
    --------
    >>> round(typed([0, 1, 2, 1, 0], 1.0).pattern(smooth=False).effective_swath_m, 6)
    2.0
    """
    if not spacing_m > 0:
        raise InputError(f"trays {spacing_m:g} m apart are not possible", mend="give a distance above zero")
    runs = np.atleast_2d(np.asarray(weights, dtype=float))
    count = runs.shape[1]
    return CatchTest((np.arange(count) - (count - 1) / 2) * spacing_m, runs, np.zeros(len(runs), bool))


def typed_text(text: str, spacing_m: float) -> CatchTest:
    """Return a catch test from weights in one line of text, a semicolon between runs.

    Parameters
    ----------
    text : str
        ``"0 2 5 8 5 2 0; 0 3 5 9 4 2 0"``, from the far left to the far right.
    spacing_m : float
        Distance between trays. [m]

    Raises
    ------
    InputError
        For a word that is not a number, or runs of different lengths.

    Examples
    --------
    >>> len(typed_text("0 1 2 1 0; 0, 1, 3, 1, 0", 0.3).runs)
    2
    """
    runs = []
    for number, part in enumerate(text.strip().strip(";").split(";"), 1):
        words = part.replace(",", " ").split()
        bad = next((word for word in words if not _is_number(word)), None)
        if bad is not None:
            raise InputError(f'"{bad}" is not a number', where=f"run {number}", mend="correct it")
        runs.append([float(word) for word in words])
        if len(runs[-1]) != len(runs[0]):
            raise InputError(
                f"there are {len(runs[0])} trays in the first run and {len(runs[-1])} in this one",
                where=f"run {number}",
                mend="give one weight per tray, and 0 where nothing was caught",
            )
    return typed(runs, spacing_m)


def read_catch(path: Path) -> CatchTest:
    """Read a catch test from a CSV file.

    The first column is the offset of the tray from the walking line, with its unit in the heading
    (``offset_ft``); each further column is a run. A run whose heading has the word "back" was walked
    the other way. Lines that begin with # are notes.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    FileError
        If it is missing or not such a table.
    """
    where = path.name
    rows = rows_of(path, "the catch test")
    if len(rows) < 2 or len(rows[0]) < 2:
        raise FileError(
            "the table needs a heading, a column of offsets and one column or more of weights", where=where
        )
    unit = _OFFSET.match(rows[0][0])
    if unit is None:
        raise FileError(
            f'the first column is headed "{rows[0][0]}"',
            where=where,
            mend='head it "offset_ft" or "offset_m": distance from the walking line, left negative',
        )
    scale = parse(f"1 {unit.group(1)}", "length")
    table = np.array([_numbers(row, len(rows[0]), number, where) for number, row in enumerate(rows[1:], 2)])
    table = table[np.argsort(table[:, 0], kind="stable")]
    back = np.array([bool(_BACK.search(heading.replace("_", " "))) for heading in rows[0][1:]])
    return CatchTest(table[:, 0] * scale, table[:, 1:].T, back, where)


def _numbers(row: list[str], count: int, line: int, where: str) -> list[float]:
    if len(row) != count:
        raise FileError(
            f"there are {len(row)} values under {count} headings",
            where=f"{where}, row {line}",
            mend="fill the row",
        )
    try:
        return [float(cell) for cell in row]
    except ValueError:
        bad = next(cell for cell in row if not _is_number(cell))
        raise FileError(f'"{bad}" is not a number', where=f"{where}, row {line}", mend="correct it") from None


def _is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True
