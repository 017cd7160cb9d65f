"""How one measure turns into another: every factor exact, as a fraction.

Sources of the factors
----------------------
* International foot 0.3048 m, pound 0.453 592 37 kg, acre 43,560 square feet, US gallon 231 cubic
  inches: NIST Handbook 44, Appendix C, General Tables of Units of Measurement.
* US survey foot 1200/3937 m, for reading old surveys only: Federal Register 85 FR 62698
  (5 October 2020), deprecated after 31 December 2022.
* Chain 66 ft, rod 16.5 ft, link 0.66 ft: NIST Handbook 44, Appendix C, there of survey feet. Here
  they are of international feet; ``survey`` scales them where a file is in survey feet.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

FOOT_M: Final = Fraction(3048, 10000)
US_SURVEY_FOOT_M: Final = Fraction(1200, 3937)
ACRE_M2: Final = 43560 * FOOT_M**2
POUND_KG: Final = Fraction(45359237, 100000000)
GALLON_M3: Final = 231 * (FOOT_M / 12) ** 3

_INCH = FOOT_M / 12
_MILE = 5280 * FOOT_M
_FLUID_OUNCE = GALLON_M3 / 128


@dataclass(frozen=True)
class Unit:
    """One unit: the name it is written with, what it measures and how large it is.

    Attributes
    ----------
    name : str
        How the unit is written in results.
    measures : str
        The base kind: ``length``, ``area``, ``volume``, ``mass``, ``time``, ``speed``, ``flow``,
        ``count`` or ``fraction``.
    si : Fraction
        Size in the SI unit of that kind. [m, m², m³, kg, s, m/s, m³/s, 1 or 1]
    """

    name: str
    measures: str
    si: Fraction


def _units() -> dict[str, Unit]:
    """Every spelling that is read, lower case, to its unit."""
    rows: list[tuple[str, str, Fraction | int, str]] = [
        ("m", "length", 1, "metre metres meter meters"),
        ("cm", "length", Fraction(1, 100), "centimetre centimetres centimeter centimeters"),
        ("mm", "length", Fraction(1, 1000), "millimetre millimetres millimeter millimeters"),
        ("km", "length", 1000, "kilometre kilometres kilometer kilometers"),
        ("in", "length", _INCH, 'inch inches " ″ ”'),
        ("ft", "length", FOOT_M, "foot feet ' ′ ’"),
        ("yd", "length", 3 * FOOT_M, "yard yards"),
        ("mi", "length", _MILE, "mile miles"),
        ("US survey ft", "length", US_SURVEY_FOOT_M, "us_survey_ft us_survey_foot us_survey_feet ftus"),
        ("chain", "length", 66 * FOOT_M, "chains ch"),
        ("rod", "length", Fraction(33, 2) * FOOT_M, "rods"),
        ("link", "length", Fraction(66, 100) * FOOT_M, "links"),
        ("m²", "area", 1, "m2 m^2 sqm sq_m square_metre square_metres square_meter square_meters"),
        ("sq ft", "area", FOOT_M**2, "sq_ft sqft ft2 ft² ft^2 square_foot square_feet sf"),
        ("sq in", "area", _INCH**2, "sq_in sqin in2 in² square_inch square_inches"),
        ("sq yd", "area", 9 * FOOT_M**2, "sq_yd sqyd yd2 yd² square_yard square_yards"),
        ("acre", "area", ACRE_M2, "acres ac"),
        ("ha", "area", 10000, "hectare hectares"),
        ("m³", "volume", 1, "m3 m^3 cubic_metre cubic_metres cubic_meter cubic_meters"),
        ("L", "volume", Fraction(1, 1000), "l litre litres liter liters"),
        ("mL", "volume", Fraction(1, 10**6), "ml millilitre millilitres milliliter milliliters"),
        ("gal", "volume", GALLON_M3, "gallon gallons"),
        ("qt", "volume", GALLON_M3 / 4, "quart quarts"),
        ("pt", "volume", GALLON_M3 / 8, "pint pints"),
        ("fl oz", "volume", _FLUID_OUNCE, "fl_oz floz fluid_ounce fluid_ounces"),
        ("cu ft", "volume", FOOT_M**3, "cu_ft cuft ft3 ft³ cubic_foot cubic_feet"),
        ("cu yd", "volume", 27 * FOOT_M**3, "cu_yd cuyd yd3 yd³ cubic_yard cubic_yards"),
        ("kg", "mass", 1, "kilogram kilograms"),
        ("g", "mass", Fraction(1, 1000), "gram grams"),
        ("t", "mass", 1000, "tonne tonnes"),
        ("lb", "mass", POUND_KG, "lbs pound pounds"),
        ("oz", "mass", POUND_KG / 16, "ounce ounces"),
        ("short ton", "mass", 2000 * POUND_KG, "short_ton short_tons ton tons"),
        ("s", "time", 1, "sec secs second seconds"),
        ("min", "time", 60, "mins minute minutes"),
        ("h", "time", 3600, "hr hrs hour hours"),
        ("day", "time", 86400, "days d"),
        ("week", "time", 604800, "weeks"),
        ("mph", "speed", _MILE / 3600, ""),
        ("km/h", "speed", Fraction(1000, 3600), "kmh kph"),
        ("gpm", "flow", GALLON_M3 / 60, ""),
        ("seeds", "count", 1, "seed count plants plant"),
        ("%", "fraction", Fraction(1, 100), "percent pct"),
    ]
    table: dict[str, Unit] = {}
    for name, measures, si, spellings in rows:
        unit = Unit(name, measures, Fraction(si))
        for spelling in (name.lower().replace(" ", "_"), *spellings.split()):
            table[spelling] = unit
    return table


UNITS: Final = _units()

KINDS: Final[dict[str, tuple[tuple[str, str | None], ...]]] = {
    "length": (("length", None),),
    "area": (("area", None),),
    "volume": (("volume", None),),
    "mass": (("mass", None),),
    "time": (("time", None),),
    "speed": (("speed", None), ("length", "time")),
    "flow": (("flow", None), ("volume", "time")),
    "fraction": (("fraction", None),),
    "area_per_time": (("area", "time"),),
    "mass_per_area": (("mass", "area"),),
    "depth": (("length", None), ("volume", "area")),
    "count_per_mass": (("count", "mass"),),
    "count_per_area": (("count", "area"),),
    "precipitation": (("length", "time"),),
    "density": (("mass", "volume"),),
}
"""Kind of quantity to the base kinds it may be written with: (above the line, below the line)."""

EXAMPLES: Final[dict[str, str]] = {
    "length": "6 ft",
    "area": "1000 sq ft",
    "volume": "2 gal",
    "mass": "50 lb",
    "time": "90 s",
    "speed": "3 mph",
    "flow": "8 gal/min",
    "fraction": "10 %",
    "area_per_time": "1500 sq ft/h",
    "mass_per_area": "7 lb / 1000 sq ft",
    "depth": "1/4 in",
    "count_per_mass": "225000 seeds/lb",
    "count_per_area": "10 plants/sq in",
    "precipitation": "0.5 in/h",
    "density": "35 lb/cu ft",
}
"""Kind of quantity to one way of writing it, for messages."""
