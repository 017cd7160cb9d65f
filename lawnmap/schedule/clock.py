"""Times of day as a person writes them, and runs laid into the hours that are allowed."""

from __future__ import annotations

import re
from datetime import time
from typing import TYPE_CHECKING, Annotated, Final

from pydantic import BeforeValidator

from lawnmap.errors import ChoiceError

if TYPE_CHECKING:
    from collections.abc import Sequence

_WRITTEN: Final = re.compile(r"(\d{1,2}):(\d{2})")
_DAY_S: Final = 86400
_MINUTE_S: Final = 60  # clocks start on the minute


def read_clock(value: object) -> object:
    """Take a time of day as TOML holds it or as ``"6:30"``, and return seconds from midnight. [s]

    Parameters
    ----------
    value : object
        What was given.

    Raises
    ------
    ChoiceError
        For anything else.
    """
    if isinstance(value, time):
        return value.hour * 3600 + value.minute * 60 + value.second
    match = _WRITTEN.fullmatch(str(value).strip())
    if match is None or not (int(match[1]) <= 24 and int(match[2]) < 60 and int(match[1] + match[2]) <= 2400):
        raise ChoiceError(f'"{value}" is no time of day', mend='write it like "6:30", from 0:00 to 24:00')
    return int(match[1]) * 3600 + int(match[2]) * 60


Clock = Annotated[int, BeforeValidator(read_clock)]
Window = tuple[Clock, Clock]


def write_clock(second: float) -> str:
    """Write seconds from midnight as a time of day; a day later is the same time.

    Parameters
    ----------
    second : float
        Seconds from midnight. [s]

    Examples
    --------
    >>> write_clock(6.5 * 3600), write_clock(25 * 3600)
    ('06:30', '01:00')
    """
    minutes = round(second / 60) % (24 * 60)
    return f"{minutes // 60:02}:{minutes % 60:02}"


def check_hours(hours: tuple[tuple[int, int], ...]) -> tuple[tuple[int, int], ...]:
    """Return the hours in order, those over midnight as going on past 24:00.

    Parameters
    ----------
    hours : tuple of (int, int)
        First and last second of each window. [s]

    Raises
    ------
    ChoiceError
        Where two windows overlap.
    """
    found = sorted((first, last if last > first else last + _DAY_S) for first, last in hours)
    following = [*found[1:], (found[0][0] + _DAY_S, 0)] if found else []
    for (_, last), (first, _) in zip(found, following, strict=True):
        if first < last:
            raise ChoiceError(
                f"the hours overlap from {write_clock(first)} to {write_clock(last)}",
                mend="write each hour once",
            )
    return tuple(found)


def lay_rounds(
    hours: tuple[tuple[int, int], ...], runs_s: Sequence[float], between_s: float, count: int
) -> tuple[tuple[float, ...], ...]:
    """Spread rounds over the hours that are allowed, the first as early and the last as late as may be.

    A round is the runs of all stations, one behind the other; it may pause between two stations while
    water is not allowed. Where spreading wastes room the rounds are laid one behind the other; what does
    not fit even then is left out.

    Parameters
    ----------
    hours : tuple of (int, int)
        First and last second of each window, in order. [s]
    runs_s : sequence of float
        Length of the run of each station. [s]
    between_s : float
        Pause between two runs. [s]
    count : int
        How many rounds are wanted. [count]

    Returns
    -------
    tuple of tuple of float
        Start of each run of each round, from midnight. [s]

    Examples
    --------
    >>> for starts in lay_rounds(((21600, 64800),), [1200, 2400], 0, 3):
    ...     print(*map(write_clock, starts))
    06:00 06:20
    11:30 11:50
    17:00 17:20
    """
    first = hours[0][0]
    last = hours[-1][1] - sum(runs_s) - between_s * (len(runs_s) - 1)
    packed = _fit(hours, runs_s, between_s, [first] * count)
    gap_s = max(0.0, last - first) / max(1, len(packed) - 1)
    wanted = [first + k * gap_s // _MINUTE_S * _MINUTE_S for k in range(len(packed))]
    spread = _fit(hours, runs_s, between_s, wanted)
    return spread if len(spread) == len(packed) else packed


def _fit(
    hours: tuple[tuple[int, int], ...], runs_s: Sequence[float], between_s: float, wanted: Sequence[float]
) -> tuple[tuple[float, ...], ...]:
    rounds: list[tuple[float, ...]] = []
    free = float("-inf")
    for target in wanted:
        starts: list[float] = []
        after = max(target, free)
        for run_s in runs_s:
            start = next((max(after, w[0]) for w in hours if max(after, w[0]) + run_s <= w[1] + 1e-6), None)
            if start is None:
                return tuple(rounds)
            starts.append(start)
            after = start + run_s + between_s
        rounds.append(tuple(starts))
        free = after
    return tuple(rounds)
