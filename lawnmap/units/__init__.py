"""How one measure turns into another, exactly, and how a person writes a quantity."""

from lawnmap.units.measures import (
    ACRE_M2,
    EXAMPLES,
    FOOT_M,
    GALLON_M3,
    KINDS,
    POUND_KG,
    UNITS,
    US_SURVEY_FOOT_M,
    Unit,
)
from lawnmap.units.system import METRIC, SYSTEMS, US, UnitsName, UnitSystem, duration
from lawnmap.units.writing import convert, describe, figure, parse, write, write_day

__all__ = [
    "ACRE_M2",
    "EXAMPLES",
    "FOOT_M",
    "GALLON_M3",
    "KINDS",
    "METRIC",
    "POUND_KG",
    "SYSTEMS",
    "UNITS",
    "US",
    "US_SURVEY_FOOT_M",
    "Unit",
    "UnitSystem",
    "UnitsName",
    "convert",
    "describe",
    "duration",
    "figure",
    "parse",
    "write",
    "write_day",
]
