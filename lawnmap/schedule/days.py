"""Days of the calendar as a person writes them, and the half of the earth that turns the seasons round."""

from __future__ import annotations

from calendar import monthrange
from datetime import date, datetime, timedelta
from typing import Annotated, Final, Literal

from pydantic import BeforeValidator

from lawnmap.errors import ChoiceError

Hemisphere = Literal["northern", "southern"]

_MONTHS: Final = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
_YEARS: Final = (1990, 2199)
_COMMON_YEAR: Final = 2001
"""A year without a 29 February, in which days of the year are counted."""


def read_day(value: object) -> object:
    """Take a day as TOML holds it, or written with hyphens; anything else is told in one sentence.

    Parameters
    ----------
    value : object
        What was given.

    Raises
    ------
    ChoiceError
        For a time, a number, or a day that the calendar does not have.
    """
    if isinstance(value, datetime):
        raise ChoiceError(f"{value} is a time of day", mend="give the day alone, 2026-09-08 for instance")
    try:
        day = value if isinstance(value, date) else date.fromisoformat(value)  # type: ignore[arg-type]  # told below
    except (TypeError, ValueError):
        raise ChoiceError(
            f'"{value}" is no day of the calendar', mend="write year, month and day, 2026-09-08 for instance"
        ) from None
    if not _YEARS[0] <= day.year <= _YEARS[1]:
        raise ChoiceError(f"the year of {day} is out of all measure", mend="check its four figures")
    return day


Day = Annotated[date, BeforeValidator(read_day)]


def turn_round(day: date, hemisphere: Hemisphere) -> date:
    """Return the day with the same season: itself on the northern half, six months on for the southern.

    Parameters
    ----------
    day : date
        A day as a northern publication names it.
    hemisphere : str
        Where it shall hold.

    Examples
    --------
    >>> turn_round(date(2001, 8, 31), "southern")
    datetime.date(2002, 2, 28)
    """
    if hemisphere == "northern":
        return day
    year, month = day.year + (day.month > 6), (day.month + 5) % 12 + 1
    return date(year, month, min(day.day, monthrange(year, month)[1]))


def named(day_of_year: float, hemisphere: Hemisphere) -> tuple[int, int]:
    """Return month and day of a day of the year that northern publications name.

    Parameters
    ----------
    day_of_year : float
        1 for 1 January, in a year of 365 days. [count]
    hemisphere : str
        Where it shall hold.

    Examples
    --------
    >>> named(227, "northern"), named(227, "southern")
    ((8, 15), (2, 15))
    """
    day = date(_COMMON_YEAR, 1, 1) + timedelta(days=round(day_of_year) - 1)
    turned = turn_round(day, hemisphere)
    return turned.month, turned.day


def is_between(day: date, first: tuple[int, int], last: tuple[int, int]) -> bool:
    """Whether a day falls into a part of the year, which may run over New Year.

    Parameters
    ----------
    day : date
        Any day.
    first, last : tuple of int
        Month and day of both ends, which belong to it.
    """
    here = (day.month, day.day)
    return first <= here <= last if first <= last else here >= first or here <= last


def next_on(after: date, month_day: tuple[int, int]) -> date:
    """Return the first such day later than a given one.

    Parameters
    ----------
    after : date
        Any day.
    month_day : tuple of int
        Month and day; not 29 February.
    """
    this_year = date(after.year, *month_day)
    return this_year if this_year > after else date(after.year + 1, *month_day)


def month_day(ends: tuple[int, int]) -> str:
    """Write month and day: ``15 August``.

    Parameters
    ----------
    ends : tuple of int
        Month and day.
    """
    return f"{ends[1]} {_MONTHS[ends[0] - 1]}"
