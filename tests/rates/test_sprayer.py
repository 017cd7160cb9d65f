"""Calibration against published tables; the constants of the trade derived, not typed in."""

from fractions import Fraction

import pytest

from lawnmap.errors import InputError
from lawnmap.rates import carrier_from_catch, carrier_from_nozzles, course_length
from lawnmap.units import UNITS, convert, parse

FT2_PER_ACRE, FT_PER_MILE, OZ_PER_GAL = 43560, 5280, 128


def size(unit):
    return UNITS[unit].si


def test_constants_of_the_trade_are_only_units():
    """What every calibration sheet multiplies by comes out of the exact units."""
    gpm, mph, inch, foot = size("gpm"), size("mph"), size("in"), size("ft")
    gpa = size("gal") / size("acre")
    assert gpm / (mph * inch) / gpa == 5940
    assert gpm / (mph * foot) / gpa == 495
    assert size("fl_oz") / 60 / (mph * inch) / gpa == Fraction(5940, OZ_PER_GAL)  # printed as 46.4
    assert size("acre") / 128 / size("sq_ft") == Fraction("340.3125")
    assert size("gal") / 60 / 1 / (size("sq_ft") * inch / 3600) == Fraction("96.25")
    assert float(1000 * size("sq_ft") * inch / size("gal")) == pytest.approx(623.38, abs=0.005)
    assert float(1000 * size("sq_ft") * inch / size("cu_yd")) == pytest.approx(3.0864, abs=5e-5)
    assert mph * 60 / foot == 88  # feet in a minute at a mile an hour


COURSES = list(
    zip(
        [30, 28, 26, 24, 22, 20, 18, 16, 14, 12, 10],
        [136, 146, 157, 170, 185, 204, 227, 255, 291, 340, 408],
        strict=True,
    )
)


@pytest.mark.parametrize(("width_in", "length_ft"), [*COURSES, (40, 102)])
def test_course_lengths(width_in, length_ft):
    """LSU AgCenter, Ounces Equal Gallons, table and example 1; the table cuts off some fractions."""
    assert convert(course_length(parse(f"{width_in} in", "length")), "ft") == pytest.approx(
        length_ft, abs=1.0
    )


@pytest.mark.parametrize(
    ("ounces", "area", "gpa", "tolerance"),
    [
        (14, "340.3125 sq ft", 14, 1e-9),  # LSU AgCenter, Ounces Equal Gallons, example 1
        (
            150,
            "342.25 sq ft",
            150,
            1.0,
        ),  # Mesa County, How to Calibrate a Handgun: 18.5 ft square is 0.6 % large
    ],
)
def test_ounces_are_gallons_per_acre(ounces, area, gpa, tolerance):
    carrier = carrier_from_catch(parse(f"{ounces} fl oz", "volume"), parse(area, "area"))
    assert convert(carrier, "gal / acre") == pytest.approx(gpa, abs=tolerance)


def nozzles(flow, speed, width):
    return convert(
        carrier_from_nozzles(parse(flow, "flow"), parse(speed, "speed"), parse(width, "length")), "gal / acre"
    )


@pytest.mark.parametrize("flow", ["3.75 gal / min", "480 fl oz / min"])
def test_nozzle_formula(flow):
    """Albany County Weed and Pest, Calibrating Your Sprayer: 3.75 gpm or 480 oz/min, 5 mph, 222 in: 20 gal/acre."""
    assert nozzles(flow, "5 mph", "222 in") == pytest.approx(20, abs=0.1)


def test_twice_the_speed_is_half_the_volume():
    """NC State Extension, The Calibration of Turfgrass Boom Sprayers and Spreaders, fig. 1: 20 becomes 10."""
    slow = nozzles("0.4 gal / min", "3 mph", "20 in")
    assert nozzles("0.4 gal / min", "6 mph", "20 in") / slow * 20 == pytest.approx(10, abs=1e-9)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: carrier_from_nozzles(0, 1, 1), "the flow of the sprayer is not more than 0"),
        (lambda: carrier_from_nozzles(1, 0, 1), "the speed of the sprayer"),
        (lambda: carrier_from_catch(1, 0), "the area of the sprayer"),
        (lambda: course_length(float("nan")), "the width of the sprayer"),
    ],
)
def test_nothing_measured(call, says):
    with pytest.raises(InputError, match=says):
        call()
