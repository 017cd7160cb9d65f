"""Times of day, and runs laid into the hours that are allowed."""

from datetime import time
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lawnmap.errors import ChoiceError
from lawnmap.schedule.clock import check_hours, lay_rounds, read_clock, write_clock

H = 3600


@pytest.mark.parametrize(
    ("written", "second"),
    [("6:30", 6.5 * H), ("06:30", 6.5 * H), (time(6, 30), 6.5 * H), ("0:00", 0), ("24:00", 24 * H)],
)
def test_times_of_day(written, second):
    assert read_clock(written) == second


@pytest.mark.parametrize("written", ["6", "6.30", "25:00", "24:01", "6:60", "six", 6, None])
def test_what_is_no_time_of_day(written):
    with pytest.raises(ChoiceError, match="is no time of day; write it like"):
        read_clock(written)


@given(second=st.integers(0, 24 * 60 - 1).map(lambda minute: minute * 60))
def test_what_is_written_is_read(second):
    assert read_clock(write_clock(second)) == second


def test_hours_over_midnight_go_on():
    assert check_hours(((22 * H, 4 * H),)) == ((22 * H, 28 * H),)


@pytest.mark.parametrize(
    "hours", [((6 * H, 10 * H), (9 * H, 12 * H)), ((22 * H, 7 * H), (6 * H, 8 * H)), ((0, 0), (5 * H, 6 * H))]
)
def test_hours_that_overlap(hours):
    with pytest.raises(ChoiceError, match="the hours overlap from"):
        check_hours(hours)


@pytest.mark.parametrize(
    ("hours", "run_h", "count", "starts_h"),
    [
        (((6, 18),), 1, 3, [6, 11.5, 17]),
        (((6, 18),), 1, 1, [6]),
        (((6, 9),), 1, 3, [6, 7, 8]),  # only just
        (((6, 9),), 1.1, 3, [6, 7.9]),  # one does not fit
        (((6, 8), (17, 19)), 1.5, 2, [6, 17.5]),
        (((6, 8), (17, 19)), 1, 4, [6, 7, 17, 18]),  # spread would waste the morning
        (((6, 7),), 2, 2, []),
    ],
)
def test_runs_in_hours(hours, run_h, count, starts_h):
    windows = tuple((int(a * H), int(b * H)) for a, b in hours)
    assert [start / H for (start,) in lay_rounds(windows, [run_h * H], 0, count)] == pytest.approx(starts_h)


def test_a_round_may_pause_between_stations_while_water_is_not_allowed():
    starts = lay_rounds(((5 * H, 8 * H), (14 * H, 17 * H)), [2 * H, 2 * H, H], 0, 1)
    assert [start / H for start in starts[0]] == [5, 14, 16]


WINDOWS = st.lists(st.integers(0, 24), min_size=2, max_size=8, unique=True).map(
    lambda edges: tuple((a * H, b * H) for a, b in zip(sorted(edges)[::2], sorted(edges)[1::2], strict=False))
)


@given(windows=WINDOWS, minutes=st.integers(1, 300), count=st.integers(1, 8))
def test_as_many_rounds_as_can_be_packed(windows, minutes, count):
    room = sum((b - a) // (minutes * 60) for a, b in windows)
    assert len(lay_rounds(windows, [minutes * 60], 0, count)) == min(count, room)


@given(
    windows=WINDOWS,
    minutes=st.lists(st.integers(1, 200), min_size=1, max_size=6),
    pause=st.integers(0, 10),
    count=st.integers(1, 4),
)
def test_runs_stay_in_the_hours_in_order_and_apart(windows, minutes, pause, count):
    rounds = lay_rounds(windows, [minute * 60 for minute in minutes], pause * 60, count)
    runs = [(start, start + 60 * m) for starts in rounds for start, m in zip(starts, minutes, strict=True)]
    for start, end in runs:
        assert any(a <= start and end <= b + 1e-6 for a, b in windows)
    assert all(later[0] - earlier[1] >= pause * 60 - 1e-6 for earlier, later in pairwise(runs))
