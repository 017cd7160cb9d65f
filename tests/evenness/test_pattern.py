"""A pattern's figures and what is done with it, against integrals and published rules."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from lawnmap.evenness.pattern import Pattern, add_up
from lawnmap.evenness.shapes import HALF_RATE_SIGMAS, bell, box, shaped, trapezoid, triangle

NAMES = ["triangle", "trapezoid", "bell", "box"]


def test_effective_swath_is_twice_the_half_rate_distance():
    """Ohio State University Extension, Bulletin 817, b817_13: half of the centre catch at 6 ft, swath 12 ft."""
    throw = Pattern(np.array([-12.0, -6, 0, 6, 12]), np.array([0.0, 2, 4, 2, 0]))
    assert throw.effective_swath_m == pytest.approx(12, abs=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_shapes_have_the_swath_they_were_asked_for(name):
    assert shaped(name, 1.8).effective_swath_m == pytest.approx(1.8, rel=2e-4)


def test_effective_swath_of_a_lopsided_throw_is_measured_on_both_sides():
    assert triangle(1.8, left_share=0.3).effective_swath_m == pytest.approx(1.8)


def test_bell_is_the_normal_curve():
    throw = bell(HALF_RATE_SIGMAS)
    assert throw.energy_per_m == pytest.approx(1 / (2 * np.sqrt(np.pi)), rel=1e-5)


@pytest.mark.parametrize("throw", [trapezoid(1.5, flat_share=0.5), box(0.7), triangle(1.0, left_share=0.3)])
def test_moments_against_quadrature(throw):
    def integral(function):
        return quad(function, throw.left_m, throw.right_m, points=throw.offset_m, limit=200)[0]

    def rate(u):
        return float(throw.density(np.array([u]))[0])

    assert integral(rate) == pytest.approx(1)
    assert throw.centre_m == pytest.approx(integral(lambda u: u * rate(u)))
    assert throw.energy_per_m == pytest.approx(integral(lambda u: rate(u) ** 2))
    left = quad(rate, throw.left_m, 0.1, points=throw.offset_m, limit=200)[0]
    assert float(throw.cumulative(np.array([0.1]))[0]) == pytest.approx(left)


# Closed form: a box is the first B-spline and a triangle the second; the correlation of a B-spline with itself is
# the B-spline of twice its order (from memory), here the triangle and the cubic.
@pytest.mark.parametrize("mirrored", [True, False])
def test_correlation_of_known_shapes(mirrored):
    shift = np.linspace(-2.5, 2.5, 41)
    away = np.abs(shift)
    cubic = np.where(away <= 1, 2 / 3 - away**2 + away**3 / 2, np.maximum(2 - away, 0) ** 3 / 6)
    assert triangle(1.0).correlation(shift, mirrored=mirrored) == pytest.approx(cubic, abs=1e-12)
    assert box(1.0).correlation(shift, mirrored=mirrored) == pytest.approx(np.maximum(1 - away, 0), abs=1e-12)


def test_correlation_knows_left_from_right():
    throw = triangle(1.0).shifted(0.3)  # and its mirror image stand 0.6 apart
    assert throw.correlation(np.array([0.0, 0.6]))[0] == pytest.approx(2 / 3)
    assert throw.correlation(np.array([0.6, -0.6]), mirrored=True).max() == pytest.approx(2 / 3)
    assert throw.correlation(np.array([0.6, -0.6]), mirrored=True).argmax() == 0


def test_spectrum_of_known_shapes():
    frequency = np.array([0.1, 0.4, 1.3])
    assert triangle(1.0).spectrum(frequency).real == pytest.approx(np.sinc(frequency) ** 2)
    assert box(1.0).spectrum(frequency).real == pytest.approx(np.sinc(frequency))


def test_mirror_and_shift():
    throw = triangle(1.0, left_share=0.3)
    assert throw.mirrored().centre_m == pytest.approx(-throw.centre_m)
    assert throw.shifted(0.2).centre_m == pytest.approx(throw.centre_m + 0.2)
    assert throw.mirrored().left_share == pytest.approx(1 - throw.left_share)


@given(st.floats(-0.9, 0.9), st.sampled_from(NAMES))
def test_a_shield_keeps_all_the_material_on_its_side(edge, name):
    throw = shaped(name, 1.0)
    edge *= throw.right_m
    cut = throw.shielded(edge)
    assert float(cut.cumulative(np.array([edge]))[0]) == pytest.approx(1)
    inner = np.linspace(2 * edge - throw.right_m, edge, 9)[1:-1]
    folded = throw.density(inner) + throw.density(2 * edge - inner)
    # a bell ends in a step of some millionths where its tail is cut off
    assert cut.density(inner + 1e-9) == pytest.approx(folded, abs=1e-5)


def test_a_shield_beyond_the_throw_changes_nothing():
    throw = triangle(1.0)
    assert throw.shielded(1.5) is throw


def test_sums_of_patterns_keep_jumps():
    both = add_up(
        [(box(1.0).offset_m, box(1.0).density_per_m), (box(1.0).offset_m + 1, box(1.0).density_per_m)], "two"
    )
    assert both.width_m == pytest.approx(2)
    assert both.density_per_m == pytest.approx(0.5)


def test_figures_of_a_pattern_for_a_file():
    figures = triangle(1.0).to_dict()
    assert figures["shape"] == "triangle"
    assert figures["left_share"] == pytest.approx(0.5)
