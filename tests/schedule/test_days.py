"""Days, leap days, and seasons turned round for the southern half of the earth."""

from calendar import isleap
from datetime import date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lawnmap.errors import ChoiceError
from lawnmap.schedule.days import is_between, month_day, named, next_on, read_day, turn_round

DAYS = st.dates(date(1990, 1, 1), date(2199, 12, 31))


@pytest.mark.parametrize("written", ["2028-02-29", date(2028, 2, 29)])
def test_a_leap_day_is_a_day(written):
    assert read_day(written) == date(2028, 2, 29)


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ("2027-02-29", '"2027-02-29" is no day of the calendar; write year, month and day'),
        ("8 Sept", '"8 Sept" is no day of the calendar'),
        (20, '"20" is no day of the calendar'),
        (datetime(2026, 9, 8, 7), "2026-09-08 07:00:00 is a time of day; give the day alone"),  # noqa: DTZ001  a local time, as TOML holds one
        ("0206-09-08", "the year of 0206-09-08 is out of all measure"),
    ],
)
def test_what_is_no_day(written, says):
    with pytest.raises(ChoiceError, match=says):
        read_day(written)


@given(day=DAYS)
def test_turning_round_twice_comes_back_within_the_days_that_february_lacks(day):
    there = turn_round(day, "southern")
    assert (there.year - day.year) * 12 + there.month - day.month == 6
    assert abs((turn_round(there, "southern") - day).days - 365.25) <= 4
    assert turn_round(day, "northern") == day


@pytest.mark.parametrize(
    ("day_of_year", "northern", "southern"),
    # 15 August is the 227th day of a common year, 1 March the 60th: any almanac
    [(227, (8, 15), (2, 15)), (60, (3, 1), (9, 1)), (304, (10, 31), (4, 30)), (365, (12, 31), (6, 30))],
)
def test_days_of_the_year(day_of_year, northern, southern):
    assert named(day_of_year, "northern") == northern
    assert named(day_of_year, "southern") == southern


def test_a_part_of_the_year_may_run_over_new_year():
    assert is_between(date(2026, 1, 5), (11, 1), (2, 1))
    assert not is_between(date(2026, 6, 5), (11, 1), (2, 1))
    assert is_between(date(2028, 2, 29), (2, 28), (3, 1))


@given(day=DAYS.filter(lambda day: day.year < 2199))
def test_the_next_such_day_is_within_a_year(day):
    found = next_on(day, (3, 1))
    assert (found.month, found.day) == (3, 1)
    assert 1 <= (found - day).days <= 365 + isleap(found.year)


def test_month_and_day_in_words():
    assert month_day((8, 15)) == "15 August"
