"""Sprayer calibration against published worked examples, and the boom by the overlap code."""

import numpy as np
import pytest

from lawnmap.errors import InputError
from lawnmap.evenness.overlap import overlap
from lawnmap.evenness.shapes import box
from lawnmap.evenness.sprayer import (
    boom,
    course_for_ounces,
    flow_for_volume,
    speed_from_course,
    volume_from_course,
    volume_from_flow,
    worn_nozzles,
)
from lawnmap.units import ACRE_M2, GALLON_M3, parse

GPA = float(GALLON_M3) / float(ACRE_M2)
FOOT = 0.3048
INCH = 0.0254
OUNCE = float(GALLON_M3) / 128


# LSU AgCenter, Ounces Equal Gallons: Sprayer Calibration, columns 1-2; some rows there are cut off, not rounded.
@pytest.mark.parametrize(
    ("width_in", "length_ft"),
    [
        (30, 136),
        (28, 146),
        (26, 157),
        (24, 170),
        (22, 185),
        (20, 204),
        (18, 227),
        (16, 255),
        (14, 291),
        (12, 340),
    ],
)
def test_course_of_a_128th_of_an_acre(width_in, length_ft):
    assert course_for_ounces(width_in * INCH) / FOOT == pytest.approx(length_ft, abs=1)


def test_ounces_are_gallons():
    """The same, example 1: 40 in row, 102 ft course, 14 ounces are 14 gallons per acre."""
    length = course_for_ounces(40 * INCH)
    assert length / FOOT == pytest.approx(102, abs=0.5)
    assert volume_from_course(14 * OUNCE, 40 * INCH, length) / GPA == pytest.approx(14)


def test_nozzle_formula():
    """Albany County (Wyoming) Weed and Pest, Calibrating Your Sprayer: 3.75 gpm, 5 mph, 222 in: 20 GPA."""
    speed = parse("5 mph", "speed")
    volume = volume_from_flow(parse("3.75 gal/min", "flow"), speed, 222 * INCH)
    assert volume / GPA == pytest.approx(20, abs=0.1)
    assert volume_from_flow(480 * OUNCE / 60, speed, 222 * INCH) / GPA == pytest.approx(20, abs=0.1)
    assert flow_for_volume(volume, speed, 222 * INCH) == pytest.approx(parse("3.75 gal/min", "flow"))


def test_constants_of_the_nozzle_formula():
    """Mesa County, Colorado: GPA = 5940 × GPM / (mph × in)."""
    volume = volume_from_flow(parse("1 gal/min", "flow"), parse("1 mph", "speed"), INCH)
    assert volume / GPA == pytest.approx(5940, rel=1e-12)


def test_twice_the_speed_is_half_the_volume():
    """NC State Extension, The Calibration of Turfgrass Boom Sprayers, Figure 1: 20 GPA at 3 mph, 10 at 6."""
    flow = flow_for_volume(20 * GPA, parse("3 mph", "speed"), 0.5)
    assert volume_from_flow(flow, parse("6 mph", "speed"), 0.5) / GPA == pytest.approx(10)


def test_speed_course():
    """88 feet in a minute are 1 mph (R. Zondag, OSU Extension, Need for speed)."""
    found = speed_from_course(88 * FOOT, [60.0, 60.0, 60.0])
    assert found.speed_m_per_s == pytest.approx(parse("1 mph", "speed"))
    assert found.se_m_per_s == pytest.approx(0)
    assert np.isnan(speed_from_course(10, [5.0]).se_m_per_s)


def test_worn_nozzles_are_counted_from_one():
    assert worn_nozzles([10, 10, 12, 10, 9.5]) == [3]
    assert worn_nozzles([10, 10.4]) == []


def test_a_boom_of_triangles_is_a_trapezoid():
    """Fans that reach their neighbours add up to an even curtain; it overlaps as wide as the nozzles are many."""
    whole = boom(6, 0.5)
    assert whole.effective_swath_m == pytest.approx(3)
    assert whole.width_m == pytest.approx(3.5)
    assert overlap(whole, 3.0).cv == pytest.approx(0, abs=1e-9)
    assert overlap(whole, 2.75).highest == pytest.approx(2.75 / 3 * 1.5)


def test_a_worn_nozzle_shows_in_the_overlap():
    assert overlap(boom(4, 0.5, fan=box(0.5), flows=[1, 1, 2, 1]), 2.0).highest == pytest.approx(1.6)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: course_for_ounces(0), "a nozzle spacing of 0 is not possible"),
        (lambda: volume_from_flow(1, 0, 1), "a speed of 0"),
        (lambda: volume_from_course(0, 1, 1), "a catch of 0"),
        (lambda: flow_for_volume(0, 1, 1), "a volume of 0"),
        (lambda: speed_from_course(10, []), "no run was timed"),
        (lambda: speed_from_course(10, [0.0]), "a time of 0"),
        (lambda: worn_nozzles([1]), "two or more"),
        (lambda: boom(0, 1), "sprays nothing"),
        (lambda: boom(3, 1, flows=[1, 2]), "one flow for each of the 3"),
    ],
)
def test_bad_input(call, says):
    with pytest.raises(InputError, match=says):
        call()
