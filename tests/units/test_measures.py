"""Every factor against an exact reference."""

from decimal import Decimal
from fractions import Fraction

import pytest

from lawnmap.units import (
    ACRE_M2,
    EXAMPLES,
    FOOT_M,
    GALLON_M3,
    KINDS,
    POUND_KG,
    UNITS,
    US_SURVEY_FOOT_M,
    convert,
    parse,
)

# NIST Handbook 44 (2024), Appendix C, "General Tables of Units of Measurement", section 5 "Tables of Equivalents":
# figures printed in bold there are exact. SI prefixes are the SI brochure's. The customary volumes follow from the
# gallon of 231 cubic inches; the short ton is 2,000 avoirdupois pounds.
HANDBOOK_44 = {
    "in": "0.0254",
    "ft": "0.3048",
    "yd": "0.9144",
    "mi": "1609.344",
    "cm": "0.01",
    "mm": "0.001",
    "km": "1000",
    "sq ft": "0.09290304",
    "sq in": "0.00064516",
    "sq yd": "0.83612736",
    "ha": "10000",
    "acre": "4046.8564224",
    "cu ft": "0.028316846592",
    "cu yd": "0.764554857984",
    "gal": "0.003785411784",
    "qt": "0.000946352946",
    "pt": "0.000473176473",
    "fl oz": "0.0000295735295625",
    "L": "0.001",
    "mL": "0.000001",
    "lb": "0.45359237",
    "oz": "0.028349523125",
    "short ton": "907.18474",
    "g": "0.001",
    "t": "1000",
    "rod": "5.0292",
    "chain": "20.1168",
    "link": "0.201168",
    "mph": "0.44704",
}


@pytest.mark.parametrize(("unit", "si"), HANDBOOK_44.items())
def test_factor_is_exact(unit, si):
    assert UNITS[unit.lower().replace(" ", "_")].si == Fraction(Decimal(si))


def test_every_unit_is_checked_or_plain():
    plain = {
        "m",
        "m²",
        "m³",
        "kg",
        "s",
        "min",
        "h",
        "day",
        "week",
        "seeds",
        "%",
        "US survey ft",
        "gpm",
        "km/h",
    }
    assert {unit.name for unit in UNITS.values()} == HANDBOOK_44.keys() | plain


def test_the_named_constants():
    assert Fraction(Decimal("0.3048")) == FOOT_M
    assert Fraction(Decimal("0.45359237")) == POUND_KG
    assert Fraction(Decimal("0.003785411784")) == GALLON_M3
    # Federal Register 85 FR 62698: a US survey foot is 1200/3937 m
    assert Fraction(1200, 3937) == US_SURVEY_FOOT_M


def test_304800_m_in_both_feet():
    """NGS, frequently asked questions: 304,800 m are 999,998.000 US survey feet and 1,000,000.000 international."""
    assert Fraction(999_998) == 304_800 / US_SURVEY_FOOT_M
    assert 304_800 / FOOT_M == 1_000_000


def test_the_two_feet_move_a_state_plane_corner_by_4_and_12_feet():
    """At N 2,000,000 and E 6,000,000 ft (reader's letter, MicroStation Today)."""
    shifts = [float(feet * (US_SURVEY_FOOT_M / FOOT_M - 1)) for feet in (2_000_000, 6_000_000)]
    assert shifts == pytest.approx([4, 12], abs=1e-3)


def test_the_acre_is_of_international_feet():
    """4,046.8564224 m² (Handbook 44, App. C); the acre of survey feet is 62,726,400,000 / 15,499,969 m²."""
    assert Fraction(Decimal("4046.8564224")) == ACRE_M2
    assert Fraction(62_726_400_000, 15_499_969) == 43_560 * US_SURVEY_FOOT_M**2
    assert float(43_560 * US_SURVEY_FOOT_M**2 / ACRE_M2) == pytest.approx(1.000004, abs=1e-8)
    assert convert(float(ACRE_M2), "sq ft") == pytest.approx(43_560, rel=1e-15)


def test_a_mile_an_hour_and_a_foot_of_swath():
    """8.25: acres an hour are mph × feet / 8.25 (extension sheets on field capacity)."""
    swept_m2 = parse("1 mph", "speed") * 3600 * parse("1 ft", "length")
    assert convert(swept_m2, "acre") == pytest.approx(1 / 8.25, rel=1e-12)


def test_precipitation_of_a_gallon_a_minute():
    """96.25: inches an hour are 96.25 × gpm / square feet (extension sheets on sprinklers)."""
    depth_m_per_s = parse("1 gpm", "flow") / parse("1 sq ft", "area")
    assert depth_m_per_s / parse("1 in/h", "precipitation") == pytest.approx(96.25, rel=1e-12)


def test_gallons_of_an_inch_of_water_on_1000_square_feet():
    """623.377: 1000 × 144 / 231 (irrigation sheets print 623)."""
    assert convert(parse("1000 sq ft", "area") * parse("1 in", "length"), "gal") == pytest.approx(
        623.377, abs=5e-4
    )


def test_every_kind_has_an_example_that_is_read():
    assert EXAMPLES.keys() == KINDS.keys()
    for kind, text in EXAMPLES.items():
        assert parse(text, kind) > 0
