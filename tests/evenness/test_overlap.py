"""Overlap against closed forms derived here, the Fourier series and published overlapped catches."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lawnmap.errors import LawnmapError
from lawnmap.evenness.overlap import cv_curve, overlap, widest_spacing
from lawnmap.evenness.pattern import Pattern
from lawnmap.evenness.shapes import HALF_RATE_SIGMAS, bell, box, shaped, trapezoid, triangle

WAYS = ["back and forth", "round and round"]


def percent(pattern, spacing, way="round and round"):
    return 100 * overlap(pattern, spacing, way).cv


# Derived here: CV² = r (2/3 + (2 - r)³/3) - 1 for 1 <= r <= 2, and 2 r/3 - 1 beyond, r = spacing / half base;
# for r = 3/4 the autocorrelation, a cubic B-spline B, gives CV² = r Σ B(m r) - 1.
@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize(
    ("ratio", "cv"),
    [(0.75, 6.25), (1, 0), (1.2, 6.9282), (4 / 3, 14.3444), (1.5, 25), (2, 57.735), (3, 100)],
)
def test_triangle(ratio, cv, way):
    assert percent(triangle(1.0), ratio, way) == pytest.approx(cv, abs=5e-5)


# Derived here: the spectrum is sinc((a+b)f) sinc((b-a)f), nought at spacing (a+b)/m and (b-a)/m.
@pytest.mark.parametrize(("spacing", "cv"), [(1.5, 0), (0.5, 0), (1.0, 100 / np.sqrt(27)), (0.75, 0)])
def test_trapezoid(spacing, cv):
    assert percent(trapezoid(1.5, flat_share=0.5), spacing) == pytest.approx(cv, abs=1e-5)


# Derived here: CV = √2 exp(-2 π² σ²/d²), the first term of the Fourier series.
@pytest.mark.parametrize(("spacing", "cv"), [(2, 1.017), (HALF_RATE_SIGMAS, 4.023), (3, 15.776), (4, 41.196)])
def test_bell(spacing, cv):
    assert percent(bell(HALF_RATE_SIGMAS), spacing) == pytest.approx(cv, abs=6e-4)


# Derived here: CV = √(q (1-q)) / (b/d) with q the fraction of b/d; √(d/b - 1) with a gap.
@pytest.mark.parametrize(("spacing", "cv"), [(0.9, 28.284), (1.0, 0), (1.05, 22.361), (1.1, 31.623)])
def test_box(spacing, cv):
    assert percent(box(1.0), spacing) == pytest.approx(cv, abs=6e-4)


def test_box_extremes_tell_double_and_missed_strips():
    assert overlap(box(1.0), 0.9).highest == pytest.approx(1.8)
    assert overlap(box(1.0), 1.1).lowest == 0


def test_off_centre_triangle():
    """Derived here: back and forth CV² = t² - 2/3 t³, t = 2 e/d, extremes 1 ± t; one way it stays even."""
    throw = triangle(1.0).shifted(0.1)
    assert percent(throw, 1.0) == pytest.approx(0, abs=1e-9)
    found = overlap(throw, 1.0, "back and forth")
    assert found.cv == pytest.approx(np.sqrt(0.04 - 0.016 / 3), abs=1e-9)
    assert (found.lowest, found.highest) == pytest.approx((0.8, 1.2))


@pytest.mark.parametrize(
    ("left", "one_way", "both"), [(0.45, 5.2, 9.7), (0.4, 9.6, 18.9), (0.35, 13.3, 27.8)]
)
def test_lopsided_triangle(left, one_way, both):
    """Figures of an independent numerical run, to the digit given."""
    throw = triangle(1.0, left_share=left)
    assert percent(throw, 1.0) == pytest.approx(one_way, abs=0.06)
    assert percent(throw, 1.0, "back and forth") == pytest.approx(both, abs=0.06)


trays = st.lists(st.floats(0.0, 9.0), min_size=3, max_size=9).filter(lambda w: sum(w) > 1)


def series(pattern, spacing, way):
    """Fourier series of the sum of all lanes, straight from the transform."""
    k = np.arange(1, 4000)
    if way == "round and round":
        return np.sqrt(2 * np.sum(np.abs(pattern.spectrum(k / spacing)) ** 2))
    part = pattern.spectrum(k / (2 * spacing))
    return np.sqrt(2 * np.sum(np.where(k % 2 == 0, part.real, part.imag) ** 2))


@given(trays, st.floats(0.4, 6.0), st.sampled_from(WAYS))
def test_direct_sum_equals_fourier_series(weights, spacing, way):
    row = np.arange(len(weights) + 2) - 2.3
    pattern = Pattern(row, np.array([0, *weights, 0]))
    exact = overlap(pattern, spacing, way)
    assert exact.cv**2 == pytest.approx(series(pattern, spacing, way) ** 2, abs=2e-6)
    assert np.trapezoid(exact.rate, exact.offset_m) == pytest.approx(
        exact.offset_m[-1], rel=1e-9
    )  # mean is 1


def test_published_overlap_of_one_pass_catches():
    """G. Grabow, NC State University, reference manual of an irrigation package, entry "overlap"."""
    left, right = [0.28, 0.24, 0.21, 0.1], [0.23, 0.21, 0.3]
    weights = np.array([0, *left[::-1], *right, 0])
    throw = Pattern(np.arange(-45.0, 45, 10), weights)
    caught = weights.sum() * 10
    for spacing, published in [
        (60, [0.23, 0.21, 0.4, 0.21, 0.24, 0.28]),
        (50, [0.23, 0.31, 0.51, 0.24, 0.28]),
    ]:
        at = np.arange(5.0, spacing, 10)
        summed = sum(throw.density(at - lane * spacing) for lane in range(-1, 3)) * caught
        assert summed == pytest.approx(published, abs=1e-9)
        folded = overlap(throw, spacing, "round and round")
        assert np.interp(at, folded.offset_m, folded.rate) * caught / spacing == pytest.approx(published)


def test_published_lane_overlap_with_interpolation():
    """The same manual, entry "travunif": lanes 165 ft apart, gauges 16 ft apart.

    The published third value holds the last gauge past the end of the row; nothing lands there here.
    """
    left = [0.17, 0.22, 0.18, 0.21, 0.13, 0.05, 0.02, 0]
    right = [0.16, 0.2, 0.21, 0.2, 0.21, 0.13, 0.06, 0.02]
    weights = np.array([0, *left[::-1], *right, 0])
    throw = Pattern(np.arange(-136.0, 137, 16), weights)
    caught = weights.sum() * 16
    published = [0.17, 0.22, 0.2, 0.2575, 0.238125, 0.16, 0.2, 0.21, 0.21375, 0.250625]
    near = np.arange(8.0, 80, 16)
    at = np.concatenate([-near, near])
    other = np.concatenate([165 - near, near - 165])
    summed = (throw.density(at) + throw.density(other)) * caught
    inside = np.arange(10) != 2
    assert summed[inside] == pytest.approx(np.array(published)[inside], abs=1e-6)
    assert 0.18 < summed[2] < 0.2


def test_widest_spacing_of_a_triangle():
    band = widest_spacing(triangle(1.0), 0.25)
    assert band.widest_m == pytest.approx(1.5, abs=1e-6)
    assert band.narrowest_m == 0


def test_a_flat_top_is_not_made_even_by_every_closer_spacing():
    throw = trapezoid(1.5, flat_share=0.5)
    band = widest_spacing(throw)
    assert 1.5 < band.widest_m < 1.75
    assert overlap(throw, band.widest_m, "back and forth").cv <= 0.15
    assert 1.2 < band.narrowest_m < 1.5
    assert overlap(throw, band.narrowest_m - 0.01).cv > 0.15


def test_widest_spacing_of_a_box_leaves_a_hair_of_a_gap():
    """Derived here: √(d/b - 1) = 15 % at d = 1.0225 b."""
    assert widest_spacing(box(1.0)).widest_m == pytest.approx(1.0225)


def test_the_curve_is_the_single_values():
    spacing = np.array([1.0, 1.5, 2.0])
    assert cv_curve(triangle(1.0), spacing) == pytest.approx([0, 0.25, 1 / np.sqrt(3)])


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: overlap(triangle(1.0), 0.0), "not possible; give a spacing above zero"),
        (lambda: overlap(triangle(1.0), 1.0, "there and back"), "is not a way of walking"),
        (lambda: widest_spacing(triangle(1.0), 0.0), "cannot be kept"),
        (lambda: triangle(0.0), "give a width above zero"),
        (lambda: triangle(1.0, left_share=1.2), "cannot lie on the left"),
        (lambda: trapezoid(1.0, flat_share=1.0), "cannot be flat"),
        (lambda: shaped("triangel", 1.0), 'did you mean "triangle"'),
        (lambda: shaped("bell", 1.0, left_share=0.4), "as much on the left"),
        (lambda: Pattern(np.array([0.0]), np.array([1.0])), "two points or more"),
        (lambda: Pattern(np.array([0.0, 1]), np.array([0.0, 0])), "nothing was caught"),
        (lambda: Pattern(np.array([0.0, 1]), np.array([1.0, -1])), "below zero"),
        (lambda: Pattern(np.array([1.0, 0]), np.array([1.0, 1])), "from left to right"),
        (lambda: Pattern(np.array([0.0, 1]), np.array([np.nan, 1])), "not a number"),
    ],
)
def test_bad_input_is_one_clear_sentence(call, says):
    with pytest.raises(LawnmapError, match=says):
        call()


@pytest.mark.parametrize("way", WAYS)
@given(
    st.lists(st.integers(1, 40), min_size=2, max_size=9),
    st.lists(st.integers(0, 20), min_size=2, max_size=9),
)
def test_curve_equals_the_lanes_added_up(way, steps, rates):
    count = min(len(steps), len(rates))
    if not any(rates[1 : count - 1]):
        rates = [*rates[: count - 1], 5]
    throw = Pattern(np.cumsum(steps[:count]) * 0.05 - 1, np.array(rates[:count], float))
    spacing = np.linspace(0.1, 1.2, 7) * throw.width_m
    expected = [overlap(throw, one, way).cv for one in spacing]
    assert cv_curve(throw, spacing, way) == pytest.approx(expected, rel=1e-5, abs=1e-9)
