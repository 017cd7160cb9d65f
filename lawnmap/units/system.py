"""The units that a user reads results in: US customary or metric."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from lawnmap.units.writing import convert, figure, write

UnitsName = Literal["us", "metric"]


@dataclass(frozen=True)
class UnitSystem:
    """Which unit each kind of figure is written in.

    Every method takes SI and returns text with its unit.
    """

    name: UnitsName
    area_unit: str
    land_unit: str
    length_unit: str
    width_unit: str
    mass_unit: str
    volume_unit: str
    bulk_unit: str
    rate_unit: str
    volume_rate_unit: str
    depth_unit: str
    speed_unit: str

    def area(self, area_m2: float) -> str:
        """Write an area of ground. [m²]"""
        shown = convert(area_m2, self.area_unit)
        return f"{shown:,.0f} {self.area_unit}" if abs(shown) >= 100 else write(area_m2, self.area_unit)

    def land(self, area_m2: float) -> str:
        """Write an area in acres or hectares. [m²]"""
        return f"{convert(area_m2, self.land_unit):.3f} {self.land_unit}"

    def area_error(self, se_m2: float) -> str:
        """Write the error of an area, two significant digits at most. [m²]"""
        return f"± {figure(convert(se_m2, self.area_unit), 2)} {self.area_unit}"

    def length(self, length_m: float) -> str:
        """Write a length of ground. [m]"""
        shown = convert(length_m, self.length_unit)
        return f"{shown:,.0f} {self.length_unit}" if abs(shown) >= 100 else write(length_m, self.length_unit)

    def width(self, width_m: float) -> str:
        """Write a short length, a swath for instance. [m]"""
        return write(width_m, self.width_unit)

    def taped(self, length_m: float) -> str:
        """Write a length as one reads it off a tape: feet and inches, or metres and centimetres. [m]

        Examples
        --------
        >>> US.taped(3.6576 + 0.0254), US.taped(0.23), METRIC.taped(12.344)
        ('12 ft 1 in', '9 in', '12.34 m')
        """
        if self.name == "metric":
            return f"{length_m:.2f} m"
        feet, inches = divmod(round(convert(length_m, "in")), 12)
        return f"{feet} ft {inches} in" if feet else f"{inches} in"

    def depth(self, depth_m: float) -> str:
        """Write a depth of water or topdressing. [m]"""
        return write(depth_m, self.depth_unit)

    def mass(self, mass_kg: float) -> str:
        """Write a weight. [kg]"""
        return write(mass_kg, self.mass_unit)

    def volume(self, volume_m3: float) -> str:
        """Write a volume of liquid. [m³]"""
        return write(volume_m3, self.volume_unit)

    def bulk(self, volume_m3: float) -> str:
        """Write a volume of soil or compost. [m³]"""
        return write(volume_m3, self.bulk_unit)

    def rate(self, rate_kg_per_m2: float) -> str:
        """Write a rate of granular product. [kg/m²]"""
        return write(rate_kg_per_m2, self.rate_unit)

    def volume_rate(self, rate_m: float) -> str:
        """Write a rate of liquid. [m³/m²]"""
        return write(rate_m, self.volume_rate_unit)

    def speed(self, speed_m_per_s: float) -> str:
        """Write a speed. [m/s]"""
        return write(speed_m_per_s, self.speed_unit)


US: Final = UnitSystem(
    "us", "sq ft", "acre", "ft", "ft", "lb", "gal", "cu yd",
    "lb / 1000 sq ft", "gal / 1000 sq ft", "in", "mph",
)  # fmt: skip
METRIC: Final = UnitSystem(
    "metric", "m²", "ha", "m", "m", "kg", "L", "m³", "g / m²", "L / 100 m²", "mm", "km/h",
)  # fmt: skip
SYSTEMS: Final[dict[str, UnitSystem]] = {"us": US, "metric": METRIC}


def duration(seconds: float) -> str:
    """Write a time as people say it. [s]

    Examples
    --------
    >>> duration(4000), duration(130)
    ('1 h 7 min', '2 min')
    """
    minutes = round(seconds / 60)
    hours, minutes = divmod(minutes, 60)
    if hours:
        return f"{hours} h {minutes} min" if minutes else f"{hours} h"
    return f"{minutes} min" if minutes else "under a minute"
