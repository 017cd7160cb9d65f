"""Wandering lanes and the three modes, against closed forms derived here and a Monte Carlo sum."""

import numpy as np
import pytest

from lawnmap.errors import InputError
from lawnmap.evenness.modes import score_modes
from lawnmap.evenness.overlap import overlap
from lawnmap.evenness.shapes import bell, box, triangle
from lawnmap.evenness.steering import SKIP_LIMIT, absorbing_spacing, skipped_share, steered_cv


# Derived here: a triangle laid a half base apart, CV² = 2/3 - E[B(Δ/d)], Δ normal with twice the variance.
@pytest.mark.parametrize(
    ("wander", "cv"), [(0.02, 2.80), (0.05, 6.87), (0.08, 10.79), (0.10, 13.32), (0.15, 19.33), (0.2, 24.89)]
)
def test_triangle(wander, cv):
    assert 100 * steered_cv(triangle(1.0), 1.0, wander) == pytest.approx(cv, abs=0.005)


# Derived here: a box laid edge to edge, CV = √(2/√π δ/d), missed δ/(d √π).
@pytest.mark.parametrize(
    ("wander", "cv", "missed"), [(0.02, 15.0, 1.1), (0.1, 33.59, 5.64), (0.2, 47.5, 11.3)]
)
def test_box(wander, cv, missed):
    assert 100 * steered_cv(box(1.0), 1.0, wander) == pytest.approx(cv, abs=0.05)
    assert 100 * skipped_share(box(1.0), 1.0, wander) == pytest.approx(missed, abs=0.05)


@pytest.mark.parametrize("way", ["back and forth", "round and round"])
@pytest.mark.parametrize("throw", [triangle(1.0, left_share=0.35), bell(1.0).shifted(0.15)])
def test_monte_carlo(throw, way):
    rng = np.random.default_rng(7)
    spacing, wander, lanes = 1.2, 0.12, 4000
    at = np.arange(lanes) * spacing + rng.normal(0, wander, lanes)
    u = np.arange(5 * spacing, (lanes - 5) * spacing, 0.02)
    rate = np.zeros_like(u)
    for lane, place in enumerate(at):
        near = slice(*np.searchsorted(u, [place - 3, place + 3]))
        turned = throw.mirrored() if way == "back and forth" and lane % 2 else throw
        rate[near] += turned.density(u[near] - place) * spacing
    assert steered_cv(throw, spacing, wander, way) == pytest.approx(rate.std() / rate.mean(), rel=0.03)


def test_no_wander_is_plain_overlap():
    assert steered_cv(triangle(1.0), 1.5, 0.0) == pytest.approx(0.25)
    assert steered_cv(triangle(1.0), 1.5, 1e-4) == pytest.approx(0.25, abs=1e-4)
    assert skipped_share(box(1.0), 1.25, 0.0) == pytest.approx(0.2)


def test_a_rotary_may_wander_a_ninth_of_the_spacing():
    assert steered_cv(triangle(1.0), 1.0, 0.113) == pytest.approx(0.15, abs=0.001)
    found = absorbing_spacing(triangle(1.0), 0.1)
    assert found.by == "variation"
    assert 1.0 < found.spacing_m < 1.34
    assert found.cv <= 0.15


def test_a_curtain_needs_a_planned_overlap():
    found = absorbing_spacing(box(1.0), 0.05)
    assert found.by == "misses"
    assert found.spacing_m < 1
    assert found.skipped_share == pytest.approx(SKIP_LIMIT, rel=1e-6)


def test_more_wander_needs_closer_lanes():
    spacing = [absorbing_spacing(triangle(1.0), wander).spacing_m for wander in (0.05, 0.1, 0.14)]
    assert spacing == sorted(spacing, reverse=True)


def test_wander_below_zero():
    with pytest.raises(InputError, match="wander of -1 m is not possible"):
        steered_cv(triangle(1.0), 1.0, -1.0)


# Derived here; LSU AgCenter (R. L. Parish, 2004) and Ohio State Bulletin 817 found the same in trials.
@pytest.mark.parametrize(
    ("ratio", "one", "two", "half"),
    [(1.2, 6.93, 4.90, 4.00), (4 / 3, 14.34, 10.14, 6.42), (1.5, 25, 17.678, 6.25), (2, 57.74, 40.82, 0)],
)
def test_modes(ratio, one, two, half):
    found = score_modes(triangle(1.0), ratio)
    assert [100 * mode.cv for mode in found] == pytest.approx([one, two, half], abs=0.01)
    assert (found[1].lowest, found[1].highest) == (found[0].lowest, found[0].highest)
    assert [mode.walking for mode in found] == [1, 2, 2]


def test_crossing_passes_do_even_out_wander():
    one, two, _ = score_modes(triangle(1.0), 1.0, wander_m=0.1)
    assert two.steered_cv == pytest.approx(one.steered_cv / np.sqrt(2))
    assert one.cv == pytest.approx(0, abs=1e-9)
    assert two.to_dict()["mode"] == "two directions"


def test_half_spacing_follows_the_curve():
    assert score_modes(bell(1.0), 1.6)[2].cv == pytest.approx(overlap(bell(1.0), 0.8).cv)
