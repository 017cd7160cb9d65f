"""Latitudes, departures, the compass rule and double distances against published traverses."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lawnmap.survey.arcs import area_of
from lawnmap.survey.deed.words import azimuth
from lawnmap.survey.traverse import Traverse, traverse_of

MAHUN = "Jerry Mahun, Open Access Surveying Library (jerrymahun.com)"


def courses(*rows):
    return traverse_of(
        np.array([azimuth(bearing)[0] for bearing, _ in rows]), np.array([length for _, length in rows])
    )


# MAHUN, Traverse Computations ch. E, Figure E-6.
E_6 = courses(
    ("S 68-05-35 W", 472.68), ("N 19-46-00 W", 216.13), ("N 45-55-20 E", 276.52), ("S 54-59-15 E", 382.24)
)
# MAHUN, self-study Traverse Adjustment problem 1.
ADJUSTMENT_1 = courses(
    ("S 36-00-00 E", 379.25), ("S 75-23-18 W", 408.9), ("N 14-43-29 W", 298.65), ("N 63-59-20 E", 276.55)
)
# Purdue University ASM 215, traverse calculations; the same in the US Navy Engineering Aid text.
ASM_215 = courses(
    ("N 26-10 E", 285.1),
    ("S 75-25 E", 610.45),
    ("S 15-30 W", 720.48),
    ("N 1-42 W", 203.0),
    ("N 53-06 W", 647.02),
)


@pytest.mark.parametrize(
    ("traverse", "misclosure", "perimeter", "latitudes", "departures"),
    [
        (
            E_6,
            (0.083, 0.075),
            1347.57,
            [-176.386, 203.382, 192.34, -219.336],
            [-438.574, -73.105, 198.635, 313.044],
        ),
        (
            ADJUSTMENT_1,
            (0.15, -0.128),
            1363.35,
            [-306.862, -103.197, 288.809, 121.25],
            [222.954, -395.637, -75.881, 248.564],
        ),
    ],
)
def test_compass_rule_of_a_textbook(traverse, misclosure, perimeter, latitudes, departures):
    assert traverse.misclosure == pytest.approx(misclosure, abs=0.002)
    assert traverse.perimeter == pytest.approx(perimeter, abs=0.005)
    balanced = traverse.balanced()
    assert balanced.latitudes == pytest.approx(latitudes, abs=0.002)
    assert balanced.departures == pytest.approx(departures, abs=0.002)
    assert balanced.misclosure == pytest.approx((0, 0), abs=1e-9)


def test_adjusted_lengths_and_bearings_of_a_textbook():
    """The third length is printed 276.479; the printed latitude and departure give 276.497."""
    balanced = E_6.balanced()
    lengths = np.hypot(balanced.latitudes, balanced.departures)
    assert lengths == pytest.approx([472.715, 216.122, 276.497, 382.237], abs=0.002)
    azimuths = np.degrees(np.arctan2(balanced.departures, balanced.latitudes)) % 360
    printed = ["S 68-05-27.4 W", "N 19-46-14.9 W", "N 45-55-20.7 E", "S 54-58-58.0 E"]
    assert azimuths == pytest.approx([azimuth(text)[0] for text in printed], abs=1.5 / 3600)


def test_five_courses_of_a_university_page():
    assert ASM_215.misclosure == pytest.approx((-0.71, 0.53), abs=0.01)
    assert ASM_215.closure == pytest.approx(0.89, abs=0.01)
    assert ASM_215.precision == pytest.approx(2771, rel=0.01)  # 2792 where nothing is rounded on the way
    corners = ASM_215.balanced().vertices((10_000, 10_000))
    north_east = [
        (10255.96, 10125.66),
        (10102.44, 10716.31),
        (9408.37, 10523.62),
        (9611.34, 10517.55),
        (10000, 10000),
    ]
    assert corners[1:, ::-1] == pytest.approx(np.array(north_east), abs=0.02)


def figure(latitudes, departures):
    lat, dep = np.array(latitudes), np.array(departures)
    return Traverse(lat, dep, np.hypot(lat, dep))


def test_double_meridian_distances_of_a_textbook():
    """MAHUN, Traverse Computations ch. G, Figure G-11; the page turns all signs."""
    traverse = figure([-176.386, 203.382, 192.34, -219.336], [-438.574, -73.105, 198.635, 313.044])
    assert -traverse.double_meridian_distances() == pytest.approx(
        [438.574, 950.253, 824.723, 313.044], abs=0.001
    )
    assert abs(traverse.double_area()) == pytest.approx(205_871.5, abs=0.1)


def test_double_areas_both_ways_of_class_notes():
    """Area Computation, class notes (scribd.com/document/343624363): by meridian and by parallel distances."""
    lat = [490.71, 587.12, -327.41, -1002.76, -122.67, 375.01]
    dep = [47.27, 608.89, 786.78, 218.32, -1116.62, -544.64]
    assert figure(lat, dep).double_area() == pytest.approx(-3_430_192.54, abs=0.05)
    assert figure(dep, lat).double_area() == pytest.approx(3_430_192.56, abs=0.05)


def test_double_meridian_distances_of_seven_courses():
    """The same problem set."""
    lat = [715.2, -414.29, -1735.58, 200.7, 617.59, 849.91, -233.53]
    dep = [1200.53, 401.78, -419.9, -1606.41, -456.66, 202.83, 677.83]
    printed = [1200.53, 2802.84, 2784.72, 758.41, -1304.66, -1558.49, -677.83]
    assert figure(lat, dep).double_meridian_distances() == pytest.approx(printed, abs=0.005)


def test_from_bearings_to_double_area():
    """MSTE 32 Surveying, Area Computations solutions (review sheet), metres."""
    traverse = courses(("N 30 E", 120.2), ("N 78 E", 90.2), ("S 32 E", 88.4), ("S 76.215 W", 200.96))
    assert traverse.latitudes == pytest.approx([104.096, 18.754, -74.967, -47.885], abs=0.01)
    assert traverse.departures == pytest.approx([60.1, 88.229, 46.845, -195.172], abs=0.01)
    assert traverse.double_meridian_distances() == pytest.approx([60.1, 208.429, 343.503, 195.176], abs=0.01)
    assert traverse.double_area() == pytest.approx(-24_932.35, abs=0.5)


@pytest.mark.parametrize(
    ("north_east", "area", "tolerance"),
    [
        # MAHUN, Traverse Computations ch. G, Figure G-7.
        ([(500.0, 2000.0), (323.614, 1561.426), (526.996, 1488.321), (719.336, 1686.956)], 102_935.8, 0.1),
        # MAHUN, COGO ch. H, Figure H-2: the page carries whole square feet.
        ([(406.31, 1259.97), (235.12, 1489.47), (65.81, 1126.4), (317.89, 942.04), (675.32, 1282.54)], 140_494, 2),
        # MAHUN, self-study Traverse Area problem 1, reported to the nearest 10.
        ([(1541.207, 2215.89), (1373.915, 2336.574), (1299.818, 2350.205), (1343.189, 2523.212), (1569.36, 2359.08)], 38_970, 5),
    ],
)  # fmt: skip
def test_areas_by_coordinates(north_east, area, tolerance):
    run = np.column_stack([np.array(north_east)[:, ::-1], np.zeros(len(north_east))])
    assert abs(area_of(run)) == pytest.approx(area, abs=tolerance)


def test_a_polar_survey_from_one_point_inside():
    """Surveying 1 lessons, weeks 14-15 (studylib.net/doc/27250357): four triangles, metres."""
    rays = [("N 42 W", 420.55), ("N 39 E", 535.75), ("S 73 E", 497.25), ("S 61 W", 595.6)]
    angles = np.radians([azimuth(bearing)[0] for bearing, _ in rays])
    far = np.array([length for _, length in rays])
    corners = np.column_stack([far * np.sin(angles), far * np.cos(angles)])
    following = np.roll(corners, -1, axis=0)
    triangles = np.abs(corners[:, 0] * following[:, 1] - corners[:, 1] * following[:, 0]) / 2
    assert triangles == pytest.approx([111_267.863, 123_501.672, 106_520.593, 122_029.902], abs=0.05)
    run = np.column_stack([corners, np.zeros(4)])
    assert abs(area_of(run)) == pytest.approx(463_320.03, abs=0.05)


@given(
    st.lists(st.tuples(st.floats(-500, 500), st.floats(-500, 500)), min_size=3, max_size=12),
    st.floats(-1e4, 1e4),
)
def test_double_distances_are_twice_the_area_wherever_one_begins(points, shift):
    corners = np.array(points)
    steps = np.roll(corners, -1, axis=0) - corners
    traverse = figure(steps[:, 1], steps[:, 0])
    run = np.column_stack([corners + shift, np.zeros(len(corners))])
    assert traverse.double_area() / 2 == pytest.approx(area_of(run), abs=1e-5)
    rolled = figure(np.roll(steps[:, 1], 1), np.roll(steps[:, 0], 1))
    assert rolled.double_area() == pytest.approx(traverse.double_area(), abs=1e-5)
