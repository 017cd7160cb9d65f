"""Areas of arcs against closed forms, ezdxf's bulge table and a published stadium."""

import numpy as np
import pytest
from ezdxf.math import arc_to_bulge
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon

from lawnmap.survey.arcs import (
    area_of,
    areas_under_arcs,
    bulge_of,
    bulge_through,
    circle,
    ellipse,
    flatten,
    reverse,
)

STADIUM = np.array([[0, 0, 0], [100, 0, 1], [100, 40, 0], [0, 40, 1.0]])


def area_flat(run, tolerance=0.001):
    return Polygon(flatten(run, tolerance, closed=True)).area


# Angle at the centre to bulge: ezdxf, tests/test_06_math/test_601_bulge.py (MIT).
@pytest.mark.parametrize(("angle_deg", "bulge"), [(180, 1.0), (106.26020471, 0.5), (56.14497387, 0.25)])
def test_bulge_of_published_angles(angle_deg, bulge):
    assert bulge_of(np.radians(angle_deg)) == pytest.approx(bulge, abs=1e-9)


# Radius and chord to bulge: the same file; the chord of 10 in a circle of 6.25 stands off 2.5 = b·c/2.
@pytest.mark.parametrize(("radius", "bulge"), [(5, 1.0), (6.25, 0.5)])
def test_three_points_give_the_published_bulge(radius, bulge):
    sagitta = radius - np.sqrt(radius**2 - 25)
    middle = np.array([5.0, -sagitta])  # to the right of the chord: counter-clockwise
    assert bulge_through(np.zeros(2), middle, np.array([10.0, 0])) == pytest.approx(bulge, abs=1e-12)
    assert bulge_through(np.zeros(2), -middle * [-1, 1], np.array([10.0, 0])) == pytest.approx(
        -bulge, abs=1e-12
    )


def test_three_points_on_a_line_are_no_arc():
    assert bulge_through(np.zeros(2), np.array([1.0, 1]), np.array([2.0, 2])) == 0


@given(
    st.floats(0, 2 * np.pi),
    st.floats(0.05, 6.2),
    st.floats(0.05, 0.95),
    st.floats(0.1, 1e4),
    st.booleans(),
)
def test_three_points_agree_with_ezdxf(start, turn, part, radius, clockwise):
    sign = -1 if clockwise else 1
    at = start + sign * turn * np.array([0, part, 1])
    points = radius * np.column_stack([np.cos(at), np.sin(at)])
    first, last = (at[2], at[0]) if clockwise else (at[0], at[2])
    *_, bulge = arc_to_bulge((0, 0), first, last, radius)
    assert bulge_through(*points) == pytest.approx(sign * bulge, rel=1e-6)


def test_stadium_in_closed_form():
    assert area_of(STADIUM) == pytest.approx(5256.637061435917, rel=1e-15)  # 4000 + 400 π
    assert area_of(STADIUM * [1, -1, -1]) == pytest.approx(-5256.637061435917, rel=1e-15)


def test_far_from_the_origin_the_area_stays():
    assert area_of(STADIUM + np.array([6e6, 2e6, 0])) == pytest.approx(5256.637061435917, rel=1e-12)


@pytest.mark.parametrize("tolerance", [10.0, 0.1, 0.001, 1e-5])
def test_flattened_stadium_keeps_its_area_and_its_tolerance(tolerance):
    points = flatten(STADIUM, tolerance, closed=True)
    assert Polygon(points).area == pytest.approx(5256.637061435917, rel=1e-13)
    assert LineString([(0, 20), (100, 20)]).hausdorff_distance(LineString(points)) - 20 <= tolerance
    for corner in STADIUM[:, :2]:
        assert (points == corner).all(axis=1).any()


runs = st.lists(
    st.tuples(st.floats(-500, 500), st.floats(-500, 500), st.floats(-3, 3)), min_size=2, max_size=8
).map(np.array)


def shoelace(points):
    ahead = np.roll(points, -1, axis=0)
    return np.sum(points[:, 0] * ahead[:, 1] - points[:, 1] * ahead[:, 0]) / 2


@given(runs, st.sampled_from([1.0, 0.01]))
def test_flattening_never_changes_an_area(run, tolerance):
    scale = np.abs(areas_under_arcs(run)).sum() + 1e6
    assert shoelace(flatten(run, tolerance, closed=True)) == pytest.approx(area_of(run), abs=1e-11 * scale)


@given(runs, st.sampled_from([1.0, 0.01]))
def test_chords_stay_within_the_tolerance(run, tolerance):
    """Each vertex and the middle of each chord, measured from the circle of its arc."""
    (p, q), b = run[:2, :2], run[0, 2]
    chord = np.hypot(*(q - p))
    if abs(b) < 1e-3 or chord < 1e-3:
        return
    radius = chord * (1 + b * b) / (4 * abs(b))
    to_centre = (1 - b * b) / (4 * b)  # in chords, to the left of the chord
    centre = (p + q) / 2 + to_centre * np.array([-(q - p)[1], (q - p)[0]])
    points = flatten(run[:2], tolerance, closed=False)
    away = np.hypot(*(np.vstack([points, (points[1:] + points[:-1]) / 2]) - centre).T)
    assert np.abs(away - radius).max() <= tolerance * (1 + 1e-6) + 1e-9 or chord < 1e-3 * radius


@given(runs)
def test_a_run_and_its_reverse_share_their_points(run):
    there, back = flatten(run, 0.01, closed=False), flatten(reverse(run), 0.01, closed=False)
    assert there.shape == back.shape
    np.testing.assert_allclose(there, back[::-1], atol=1e-7)


@given(st.floats(1e-12, 1e-4), st.floats(1, 1000))
def test_nearly_straight_arcs_stay_in_place(bulge, chord):
    run = np.array([[0, 0, bulge], [chord, 0, 0.0]])
    points = flatten(run, 0.001, closed=False)
    sagitta = bulge * chord / 2
    assert np.abs(points[:, 1]).max() <= sagitta * 1.5 + 1e-15
    assert area_of(run) == pytest.approx(chord * sagitta * 2 / 3, rel=1e-7)  # a flat arc is a parabola


def test_a_bulge_without_a_chord_is_nothing():
    run = np.array([[0, 0, 1.0], [0, 0, 0], [1, 0, 0], [1, 1, 0]])
    assert area_of(run) == pytest.approx(0.5)
    assert area_flat(run) == pytest.approx(0.5)


# Circle of diameter 20 ft: University of Tennessee Extension PSEP, Common Calculations (314.159).
def test_circle_of_an_extension_sheet():
    assert Polygon(circle(1e-4) * 10).area == pytest.approx(314.159, abs=0.001)
    assert Polygon(circle(1e-4)).area == pytest.approx(np.pi, rel=1e-14)


@pytest.mark.parametrize("tolerance", [0.1, 1e-3, 1e-6])
def test_circle_keeps_its_tolerance(tolerance):
    ring = Polygon(circle(tolerance))
    reach = max(np.hypot(*circle(tolerance)[0]) - 1, 1 - ring.exterior.distance(Point(0, 0)))
    assert 0 < reach <= tolerance


# Oval pool with axes 107 and 41 ft: algebra.com, solution 162147 (3445.5 sq ft).
def test_oval_pool():
    points = ellipse(np.array([5.0, 7]), np.array([53.5, 0]), np.array([0, 20.5]), 0.01)
    assert Polygon(points).area == pytest.approx(3445.5, abs=0.1)
    assert Polygon(points).area == pytest.approx(np.pi * 53.5 * 20.5, rel=1e-13)


@given(st.floats(0.1, 6.28), st.floats(0.5, 3), st.floats(0, 3))
def test_piece_of_an_ellipse_has_its_sector(span, ratio, turn):
    """Sector of an ellipse between two parameters: a b (t₂ − t₁) / 2."""
    major = np.array([np.cos(turn), np.sin(turn)]) * 10
    minor = np.array([-np.sin(turn), np.cos(turn)]) * 10 * ratio
    points = ellipse(np.zeros(2), major, minor, 0.01, (0.3, 0.3 + span))
    sector = shoelace(np.vstack([[0, 0], points]))
    assert sector == pytest.approx(10 * 10 * ratio * span / 2, rel=1e-11)
