"""What waits for what: moving one day moves the rest, and nothing else."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lawnmap.schedule import Hold, Node, Wait, place

SOWN = date(2026, 9, 8)


def days(placed):
    return {key: (at.day - SOWN).days for key, at in placed.items()}


def chain():
    return [
        Node("test", ()),
        Node("mow", (Wait("test", 3),)),
        Node("seed", (Wait("test", 14), Wait("mow", 1))),
        Node("up", (Wait("seed", 10),), is_work=False),
        Node("cut", (Wait("up", 14), Wait("seed", 21))),
        Node("walk", (Wait("seed", 63), Wait("cut", 0))),
    ]


def test_before_the_anchor_as_late_as_may_be_and_after_it_as_early():
    assert days(place(chain(), "seed", SOWN, {})) == {
        "test": -14, "mow": -1, "seed": 0, "up": 10, "cut": 24, "walk": 63,
    }  # fmt: skip


def test_moving_one_moves_what_waits_for_it():
    late = days(place(chain(), "seed", SOWN, {"up": SOWN + timedelta(days=20)}))
    assert late == {"test": -14, "mow": -1, "seed": 0, "up": 20, "cut": 34, "walk": 63}
    later = days(place(chain(), "seed", SOWN, {"cut": SOWN + timedelta(days=80)}))
    assert (later["up"], later["cut"], later["walk"]) == (10, 80, 80)


def test_a_day_of_the_user_stays_even_where_it_is_too_early():
    at = place(chain(), "seed", SOWN, {"cut": SOWN})["cut"]
    assert at.day == SOWN
    assert at.fixed
    assert at.bound == SOWN + timedelta(days=24)


@pytest.mark.parametrize(
    ("first", "last", "steps", "expected"),
    [
        (0, 1, (), {"seed": 2, "test": -12, "mow": -1, "up": 12, "cut": 26}),  # nor is it mown on those days
        (0, 1, ("seeding",), {"seed": 0, "cut": 24}),  # names other steps
        (10, 11, (), {"seed": 0, "up": 10}),  # the grass takes no notice
        (24, 30, (), {"cut": 31}),
        (-1, -1, (), {"mow": -2, "test": -14}),
    ],
)
def test_holds_move_work_away_from_them(first, last, steps, expected):
    hold = Hold(first=SOWN + timedelta(days=first), last=SOWN + timedelta(days=last), why="rain", steps=steps)
    found = days(place(chain(), "seed", SOWN, {}, [hold]))
    assert {key: found[key] for key in expected} == expected


def test_holds_that_touch_are_passed_one_by_one():
    holds = [
        Hold(first=SOWN + timedelta(days=i), last=SOWN + timedelta(days=i), why=f"day {i}") for i in (1, 0, 2)
    ]
    at = place([Node("seed")], "seed", SOWN, {}, holds)["seed"]
    assert at.day == SOWN + timedelta(days=3)
    assert at.held.why == "day 2"


@given(data=st.data(), count=st.integers(2, 9))
def test_every_step_waits_as_long_as_it_must(data, count):
    """On any net of waits, without days of the user: no wait is broken, and each step is as near as it may be."""
    nodes = []
    for i in range(count):
        of = data.draw(st.lists(st.integers(0, i - 1), unique=True, max_size=3)) if i else []
        nodes.append(Node(str(i), tuple(Wait(str(j), data.draw(st.integers(0, 40))) for j in of)))
    anchor = str(data.draw(st.integers(0, count - 1)))
    placed = place(nodes, anchor, SOWN, {})
    assert placed[anchor].day == SOWN
    for node in nodes:
        for wait in node.waits:
            assert placed[node.key].day >= placed[wait.of].day + timedelta(days=wait.days)
    moved = place(nodes, anchor, SOWN + timedelta(days=7), {})
    assert all(moved[key].day - at.day == timedelta(days=7) for key, at in placed.items())
