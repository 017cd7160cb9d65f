"""What a throw says before any lawn: published shapes in, the figures of their closed forms out."""

import json

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from lawnmap.errors import LawnmapError
from lawnmap.evenness.catch import typed
from lawnmap.evenness.overlap import overlap
from lawnmap.evenness.pattern import Pattern
from lawnmap.evenness.shapes import box, triangle
from lawnmap.evenness.steering import skipped_share
from lawnmap.evenness.throw import report_throw
from lawnmap.units import METRIC, US


def test_a_triangle_at_one_and_a_half_times_its_half_rate_width():
    """In closed form CV² = r (2/3 + (2 - r)³/3) - 1: 25 % at r = 1.5, and 15 % at its root r = 1.3442."""
    report = report_throw(triangle(2.0), 3.0, units=METRIC)
    assert report.laid.cv == pytest.approx(0.25, abs=1e-9)
    assert (report.laid.lowest, report.laid.highest) == pytest.approx((0.75, 1.5), abs=1e-9)
    assert report.band.widest_m == pytest.approx(2 * 1.3442, abs=1e-4)
    ratio = report.band.widest_m / 2
    assert ratio * (2 / 3 + (2 - ratio) ** 3 / 3) - 1 == pytest.approx(0.15**2, abs=1e-9)
    lines = report.lines(METRIC)
    assert "4 m wide, its middle on the walking line" in lines[0]
    assert lines[2].endswith("CV 25%, from 75% to 150% of the rate")
    assert lines[-1] == "Advice: lanes 3 m apart vary by 25%; 2.69 m keeps them within 15%"


def test_a_flat_top_says_that_closer_is_not_always_better():
    """A trapezoid with flat half width a = b / 2 varies by 19 % at two thirds of its effective swath."""
    report = report_throw(Pattern(np.array([-1, -0.5, 0.5, 1]), np.array([0, 1, 1, 0]), "trapezoid"))
    assert report.laid.spacing_m == pytest.approx(1.5)
    assert report.laid.cv == pytest.approx(0, abs=1e-9)
    assert overlap(report.pattern, 1.0).cv == pytest.approx(0.1925, abs=5e-5)
    assert 1.0 < report.band.narrowest_m < 1.5
    assert "and so does every spacing down to" in report.lines()[3]


def test_without_a_spacing_it_is_the_effective_swath():
    assert report_throw(box(1.2), wander_m=0.05).laid.spacing_m == pytest.approx(1.2)


def test_a_lopsided_throw_names_its_side():
    lines = report_throw(triangle(2.0, left_share=0.4), 2.0, wander_m=0.1).lines(US)
    assert "right of the walking line, where" in lines[0]
    assert "with a wander of 0.328 ft" in lines[2]
    assert any("walked round and round it varies by" in line for line in lines)


def test_lanes_walked_one_way_are_judged_that_way():
    throw = triangle(2.0, left_share=0.35)
    there, round_it = report_throw(throw, 2.0), report_throw(throw, 2.0, way="round and round")
    assert round_it.laid.cv < there.laid.cv
    assert round_it.band.way == "round and round"
    assert round_it.spacing.cv == pytest.approx(round_it.laid.cv)


@given(
    st.lists(
        st.one_of(st.integers(0, 20), st.floats(0, 1e6), st.just(1e-300), st.just(1e300)),
        min_size=3,
        max_size=15,
    ),
    st.floats(0.05, 3),
    st.sampled_from(["back and forth", "round and round"]),
    st.floats(0.01, 20),
    st.floats(0, 2),
)
@example([0, 1, 0], 1.0, "back and forth", 1.0, 1e-263)
@settings(max_examples=40, deadline=None)
def test_any_row_of_trays_is_reported_or_refused(weights, tray_m, way, spacing_m, wander_m):
    try:
        pattern = typed(weights, tray_m).pattern()
        report = report_throw(pattern, spacing_m, wander_m=wander_m, way=way)
    except LawnmapError:
        return
    assert report.laid.lowest <= 1 + 1e-9 <= report.laid.highest + 2e-9
    assert json.loads(json.dumps(report.to_dict(), allow_nan=False))
    assert len(report.figures()) == 3


def test_next_to_no_wander_misses_what_a_dead_straight_walk_misses():
    for spacing_m in (0.9, 1.1):
        straight = skipped_share(box(1.0), spacing_m, 0.0)
        assert skipped_share(box(1.0), spacing_m, 1e-200) == pytest.approx(straight)
