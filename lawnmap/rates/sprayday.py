"""What a spraying day is: what each zone gets, what goes into each tank, the year's total."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from lawnmap.rates.dose import Amount
    from lawnmap.yard import Finding

CAUTIONS: Final = (
    "The label is the law: rate, interval, turf, weather and protective gear are as it says, whatever this sheet says.",
    "Local rules come first; in many places spraying for pay, or some products at all, need a licence.",
    "Wear what the label asks for, at least gloves, eye protection, long sleeves and boots, also while mixing.",
    "Keep children, pets and neighbours off until the label lets them back.",
    "Do not spray in wind, before rain or in heat that the label rules out: drift harms beds, trees and people.",
    "Stay off water, its edges, drains and wells by the distance on the label.",
    "Mix with another product only where both labels say so.",
    "Mix only what the ground takes; never pour what is left into a drain.",
)
"""Said with every spray. *common practice*"""


@dataclass(frozen=True)
class SprayZone:
    """What one zone gets in one application.

    Attributes
    ----------
    zone : str
        Name of the zone.
    area_m2 : float
        Ground that is sprayed. [m²]
    spray_m3 : float
        Mixed spray, all passes together. [m³]
    product : Amount
        Product in it.
    """

    zone: str
    area_m2: float
    spray_m3: float
    product: Amount

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping, liquids in litres and weights in kilograms."""
        return {
            "zone": self.zone,
            "area_m2": self.area_m2,
            "spray_l": self.spray_m3 * 1000,
            **_amount("product", self.product),
        }


@dataclass(frozen=True)
class TankLoad:
    """What goes into the tank, once or several times alike.

    Attributes
    ----------
    first, last : int
        Numbers of the tanks that are filled so. [count]
    spray_m3 : float
        Mixed spray in each: fill to this mark. [m³]
    product : Amount
        Product in each.
    area_m2 : float
        Ground that each covers, every pass counted. [m²]
    """

    first: int
    last: int
    spray_m3: float
    product: Amount
    area_m2: float

    @property
    def count(self) -> int:
        """How many tanks are filled so. [count]"""
        return self.last - self.first + 1

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping, liquids in litres and weights in kilograms."""
        return {
            "first": self.first,
            "last": self.last,
            "spray_l": self.spray_m3 * 1000,
            **_amount("product", self.product),
            "area_m2": self.area_m2,
        }


@dataclass(frozen=True)
class SprayPlan:
    """One product, sprayed.

    Attributes
    ----------
    name : str
        What it is.
    area_m2 : float
        Ground that is sprayed. [m²]
    by_zone : tuple of SprayZone
        What each zone gets in one application.
    spray_m3 : float
        Mixed spray for one application. [m³]
    carrier_m : float
        Spray per area of one pass, from the calibrated sprayer. [m³/m²]
    passes : int
        How often one application goes over the same ground. [count]
    product : Amount
        Product for one application.
    tank_m3 : float
        What the tank holds. [m³]
    full_tanks : int
        Full tanks for one application. [count]
    product_per_tank : Amount
        Product in a full tank.
    last_tank_m3 : float
        Spray in the last, part tank; 0 where the full ones suffice. [m³]
    product_in_last_tank : Amount
        Product in it.
    applications : int
        Applications planned this year. [count]
    running_total : tuple of Amount
        What the ground has had after each, per area, as the label counts it.
    yearly_maximum : Amount
        What the label allows, per area.
    interval_s : float or None
        Least time between applications. [s]
    mixed_with : tuple of str
        Names of the products that share the tank.
    rules : tuple of str
        Rules of the label, as the user copied them.
    notes, warnings, rinsing, cautions : tuple of str
        What to know, what extension services say, how to clean up, and what can hurt someone.
    findings : tuple of Finding
        What looks wrong.
    """

    name: str
    area_m2: float
    by_zone: tuple[SprayZone, ...]
    spray_m3: float
    carrier_m: float
    passes: int
    product: Amount
    tank_m3: float
    full_tanks: int
    product_per_tank: Amount
    last_tank_m3: float
    product_in_last_tank: Amount
    applications: int
    running_total: tuple[Amount, ...]
    yearly_maximum: Amount
    interval_s: float | None
    mixed_with: tuple[str, ...] = ()
    rules: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    rinsing: tuple[str, ...] = ()
    cautions: tuple[str, ...] = CAUTIONS
    findings: tuple[Finding, ...] = ()

    @property
    def tanks(self) -> int:
        """Tanks for one application, the part tank counted. [count]"""
        return self.full_tanks + (self.last_tank_m3 > 0)

    @property
    def tank_loads(self) -> tuple[TankLoad, ...]:
        """What goes into the tank, in order: the full ones, then the last, part one."""
        full, number = self.full_tanks, self.tanks
        loads = (
            TankLoad(1, full, self.tank_m3, self.product_per_tank, self.tank_m3 / self.carrier_m),
            TankLoad(
                number,
                number,
                self.last_tank_m3,
                self.product_in_last_tank,
                self.last_tank_m3 / self.carrier_m,
            ),
        )
        return tuple(load for load, is_there in zip(loads, (full, number > full), strict=True) if is_there)

    @property
    def used_share(self) -> tuple[float, ...]:
        """What the ground has had after each application over what the label allows in the year. [1]"""
        return tuple(total.value / self.yearly_maximum.value for total in self.running_total)

    def to_dict(self) -> dict[str, object]:
        """Return the plan as JSON values, liquids in litres and weights in kilograms."""
        return {
            "name": self.name,
            "kind": "spray",
            "area_m2": self.area_m2,
            "by_zone": [zone.to_dict() for zone in self.by_zone],
            "spray_l": self.spray_m3 * 1000,
            "carrier_l_per_m2": self.carrier_m * 1000,
            "passes": self.passes,
            **_amount("total", self.product.times(self.applications)),
            **_amount("product_per_application", self.product),
            "tank_l": self.tank_m3 * 1000,
            "tanks": self.tanks,
            "full_tanks": self.full_tanks,
            **_amount("product_per_tank", self.product_per_tank),
            "last_tank_l": self.last_tank_m3 * 1000,
            **_amount("product_in_last_tank", self.product_in_last_tank),
            "tank_loads": [load.to_dict() for load in self.tank_loads],
            "mixed_with": list(self.mixed_with),
            "applications": self.applications,
            "running_total_per_m2": [_per_area(total) for total in self.running_total],
            "yearly_maximum_per_m2": _per_area(self.yearly_maximum),
            "interval_s": self.interval_s,
            "rules": list(self.rules),
            "notes": list(self.notes),
            "warnings": list(self.warnings),
            "rinsing": list(self.rinsing),
            "cautions": list(self.cautions),
            "findings": [found.to_dict() for found in self.findings],
        }


def _amount(name: str, amount: Amount) -> dict[str, object]:
    return {f"{name}_l": amount.value * 1000} if amount.measure == "volume" else {f"{name}_kg": amount.value}


def _per_area(dose: Amount) -> dict[str, object]:
    return {"l": dose.value * 1000} if dose.measure == "volume" else {"kg": dose.value}
