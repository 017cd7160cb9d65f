"""Quantities as people write them, read and written back."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lawnmap.errors import QuantityError
from lawnmap.units import METRIC, UNITS, US, convert, describe, duration, figure, parse, write

FOOT = 0.3048


@pytest.mark.parametrize(
    ("text", "kind", "si"),
    [
        ("6 ft", "length", 6 * FOOT),
        ("6ft", "length", 6 * FOOT),
        ("6 FT.", "length", 6 * FOOT),
        (" 6  feet\n", "length", 6 * FOOT),
        ("5 ft 6 in", "length", 5.5 * FOOT),
        ("5' 6\"", "length", 5.5 * FOOT),
        ("5′6″", "length", 5.5 * FOOT),
        ("-5 ft 6 in", "length", -5.5 * FOOT),
        ("1/4 in", "length", 0.00635),
        ("1 1/2 in", "length", 0.0381),
        ("-1 1/2 in", "length", -0.0381),
        (".5 m", "length", 0.5),
        ("1e3 m", "length", 1000),
        ("1 US survey ft", "length", 1200 / 3937),
        ("1,000 sq ft", "area", 92.90304),
        ("1000sqft", "area", 92.90304),
        ("10 sq. ft.", "area", 0.9290304),
        ("2 ft²", "area", 0.18580608),
        ("10%", "fraction", 0.1),
        ("7 lb / 1000 sq ft", "mass_per_area", 7 * 0.45359237 / 92.90304),
        ("7 lb per 1,000 sq. ft.", "mass_per_area", 7 * 0.45359237 / 92.90304),
        ("3.5lb/1000ft2", "mass_per_area", 3.5 * 0.45359237 / 92.90304),
        ("15 g/m2", "mass_per_area", 0.015),
        ("3 mph", "speed", 1.34112),
        ("3 mi/h", "speed", 1.34112),
        ("10 m / 4 s", "speed", 2.5),
        ("25 gal / acre", "depth", 25 * 0.003785411784 / 4046.8564224),
        ("1/4 in", "depth", 0.00635),
        ("0.5 in/h", "precipitation", 0.0127 / 3600),
        ("8 gal/min", "flow", 8 * 0.003785411784 / 60),
        ("225000 seeds/lb", "count_per_mass", 225_000 / 0.45359237),
        ("1 min 30 s", "time", 90),
        ("35 lb/cu ft", "density", 35 * 0.45359237 / 0.028316846592),
    ],
)
def test_read(text, kind, si):
    assert parse(text, kind) == pytest.approx(si, rel=1e-14)


@pytest.mark.parametrize(
    ("text", "kind", "message"),
    [
        ("6", "length", '"6" has no unit; write it like "6 ft".'),
        ("6 ft 6", "length", '"6 ft 6" has no unit'),
        ("", "length", '"" has no number'),
        ("ft", "length", '"ft" has no number before "ft"'),
        ("six ft", "length", 'has no number before "six"'),
        ("5 ft -6 in", "length", 'has no number before "-6"'),
        ("nan ft", "length", 'has no number before "nan"'),
        ("6 ft", "mass", '"6 ft" is a quantity of length, not of weight; write it like "50 lb".'),
        ("6 lb", "length", "is a quantity of weight, not of length"),
        ("7 lb", "mass_per_area", "is a quantity of weight, not of weight per area"),
        ("7 lb/ft", "mass_per_area", "is a quantity of weight per length, not of weight per area"),
        ("1 sq ft / lb", "mass_per_area", "is a quantity of area per weight, not"),
        ("7 lb / 1000", "mass_per_area", "has no unit"),
        ("7 lb / 1000 sq ft / day", "mass_per_area", "has more than one stroke"),
        ("7 lb / 0 sq ft", "mass_per_area", "divides by nothing"),
        ("7 lb per", "mass_per_area", "has no number"),
        ("1/0 ft", "length", "divides by nothing; mend the fraction"),
        ("1e400 ft", "length", "out of all measure"),
        ("5 ft 6 lb", "length", "adds length to weight|adds length to mass"),
        ("6 fet", "length", '"fet" in "6 fet" is not a unit known here; did you mean "feet"'),
        ("15 quux", "mass", "is not a unit known here; use one of: g, kg, lb, oz, short ton, t."),
        ("1,5 m", "length", '"1,5 m" cannot be read as length'),
        ("5 - 6 ft", "length", "cannot be read as length"),
        ("٣ ft", "length", "cannot be read as length"),
        ("1" * 200 + " ft", "length", "is too long to be a quantity"),
    ],
)  # fmt: skip
def test_refused_with_a_way_out(text, kind, message):
    with pytest.raises(QuantityError, match=message):
        parse(text, kind)


def test_a_number_of_a_billion_digits_is_not_worked_out():
    with pytest.raises(QuantityError, match="has no unit"):
        parse("1e999999999 ft", "length")


@settings(deadline=None)
@given(st.text(max_size=40), st.sampled_from(["length", "mass_per_area", "speed", "fraction"]))
def test_any_text_is_read_or_refused_in_words(text, kind):
    try:
        value = parse(text, kind)
    except QuantityError as fault:
        value, words = 0.0, str(fault)
    else:
        words = "."
    assert math.isfinite(value)
    assert words.endswith((".", "?"))


MEASURED = sorted({unit.name for unit in UNITS.values() if unit.measures != "count"})


@settings(deadline=None)
@given(st.sampled_from(MEASURED), st.floats(1e-3, 1e9))
def test_what_is_written_reads_back(name, number):
    unit = UNITS[name.lower().replace(" ", "_")]
    value = number * float(unit.si)
    assert parse(write(value, name, 12), unit.measures) == pytest.approx(value, rel=1e-9)


@settings(deadline=None)
@given(st.floats(1e-5, 1e3))
def test_rates_read_back(rate):
    for unit in ("lb / 1000 sq ft", "g / m²", "kg / 100 m²", "lb / acre"):
        assert parse(write(rate, unit, 12), "mass_per_area") == pytest.approx(rate, rel=1e-9)


@settings(deadline=None)
@given(st.fractions(0, 1000, max_denominator=64))
def test_fractions_of_an_inch_are_exact(inches):
    whole, part = divmod(inches, 1)
    text = f"{whole} {part} in" if whole and part else f"{inches} in"
    assert parse(text, "length") == float(inches * 254 / 10000)


@pytest.mark.parametrize(
    ("number", "digits", "text"),
    [
        (0.0, 3, "0"),
        (-0.0, 3, "0"),
        (6.0, 3, "6"),
        (24_219.4, 3, "24,219"),
        (0.012345, 3, "0.0123"),
        (99.96, 3, "100"),
        (9.996, 3, "10"),
        (-16.404, 3, "-16.4"),
        (1.5, 1, "2"),
        (float("nan"), 3, "nan"),
        (float("inf"), 3, "inf"),
    ],
)
def test_figures(number, digits, text):
    assert figure(number, digits) == text


def test_describe():
    assert describe("mass_per_area") == "weight per area"
    assert describe("density") == "weight per volume"


@pytest.mark.parametrize(
    ("seconds", "text"), [(20, "under a minute"), (130, "2 min"), (3599, "1 h"), (4000, "1 h 7 min")]
)
def test_durations(seconds, text):
    assert duration(seconds) == text


@pytest.mark.parametrize(
    ("written", "us", "metric"),
    [
        (lambda s: s.area(2250), "24,219 sq ft", "2,250 m²"),
        (lambda s: s.area(5), "53.8 sq ft", "5 m²"),
        (lambda s: s.land(4046.8564224), "1.000 acre", "0.405 ha"),
        (lambda s: s.area_error(1.9), "± 20 sq ft", "± 1.9 m²"),
        (lambda s: s.length(100), "328 ft", "100 m"),
        (lambda s: s.length(3.048), "10 ft", "3.05 m"),
        (lambda s: s.width(1.8288), "6 ft", "1.83 m"),
        (lambda s: s.depth(0.0127), "0.5 in", "12.7 mm"),
        (lambda s: s.mass(22.6796185), "50 lb", "22.7 kg"),
        (lambda s: s.volume(0.003785411784), "1 gal", "3.79 L"),
        (lambda s: s.bulk(0.764554857984), "1 cu yd", "0.765 m³"),
        (lambda s: s.rate(0.034177), "7 lb / 1000 sq ft", "34.2 g / m²"),
        (lambda s: s.volume_rate(4.0746e-5), "1 gal / 1000 sq ft", "4.07 L / 100 m²"),
        (lambda s: s.speed(1.34112), "3 mph", "4.83 km/h"),
    ],
)
def test_both_systems(written, us, metric):
    assert (written(US), written(METRIC)) == (us, metric)


def test_convert_takes_a_bare_unit_below_the_stroke():
    assert convert(1.0, "g / m²") == pytest.approx(1000)
