"""Times of day, and runs laid into the hours that are allowed."""

from datetime import time
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lawnmap.errors import ChoiceError
from lawnmap.schedule.clock import check_hours, lay_runs, read_clock, write_clock

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
    assert [start / H for start in lay_runs(windows, run_h * H, count)] == pytest.approx(starts_h)


@given(
    edges=st.lists(st.integers(0, 24), min_size=2, max_size=8, unique=True).map(sorted),
    minutes=st.integers(1, 300),
    count=st.integers(1, 8),
)
def test_runs_stay_in_the_hours_and_apart(edges, minutes, count):
    windows = tuple((a * H, b * H) for a, b in zip(edges[::2], edges[1::2], strict=False))
    starts = lay_runs(windows, minutes * 60, count)
    room = sum((b - a) // (minutes * 60) for a, b in windows)  # as many as can be packed
    assert len(starts) == min(count, room)
    for start in starts:
        assert any(a <= start and start + minutes * 60 <= b + 1e-6 for a, b in windows)
    assert all(later - earlier >= minutes * 60 - 1e-6 for earlier, later in pairwise(starts))
