"""The sums of a spraying day: area, spray, product for each tank, the last part tank and the year's total."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor
from typing import TYPE_CHECKING, Final

from lawnmap.rates.ground import ground_for
from lawnmap.rates.rows import select, tables
from lawnmap.rates.spray import PER_1000_IN_AN_ACRE
from lawnmap.units import US, UnitSystem, convert
from lawnmap.yard import finding

if TYPE_CHECKING:
    from lawnmap.measure import Takeoff
    from lawnmap.rates.dose import Amount
    from lawnmap.rates.spray import Spray
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

_STRONG: Final = 0.2
"""Product in the tank from which the figures are asked about. *common practice* [1]"""


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
    notes, rinsing, cautions : tuple of str
        What to know, how to clean up, and what can hurt someone.
    findings : tuple of Finding
        What looks wrong.
    """

    name: str
    area_m2: float
    by_zone: tuple[SprayZone, ...]
    spray_m3: float
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
    notes: tuple[str, ...] = ()
    rinsing: tuple[str, ...] = ()
    cautions: tuple[str, ...] = CAUTIONS
    findings: tuple[Finding, ...] = ()

    @property
    def tanks(self) -> int:
        """Tanks for one application, the part tank counted. [count]"""
        return self.full_tanks + (self.last_tank_m3 > 0)

    def to_dict(self) -> dict[str, object]:
        """Return the plan as JSON values, liquids in litres and weights in kilograms."""
        return {
            "name": self.name,
            "kind": "spray",
            "area_m2": self.area_m2,
            "by_zone": [zone.to_dict() for zone in self.by_zone],
            "spray_l": self.spray_m3 * 1000,
            **_amount("total", self.product.times(self.applications)),
            **_amount("product_per_application", self.product),
            "tank_l": self.tank_m3 * 1000,
            "tanks": self.tanks,
            "full_tanks": self.full_tanks,
            **_amount("product_per_tank", self.product_per_tank),
            "last_tank_l": self.last_tank_m3 * 1000,
            **_amount("product_in_last_tank", self.product_in_last_tank),
            "applications": self.applications,
            "running_total_per_m2": [_per_area(total) for total in self.running_total],
            "yearly_maximum_per_m2": _per_area(self.yearly_maximum),
            "interval_s": self.interval_s,
            "notes": list(self.notes),
            "rinsing": list(self.rinsing),
            "cautions": list(self.cautions),
            "findings": [found.to_dict() for found in self.findings],
        }


def _amount(name: str, amount: Amount) -> dict[str, object]:
    return {f"{name}_l": amount.value * 1000} if amount.measure == "volume" else {f"{name}_kg": amount.value}


def _per_area(dose: Amount) -> dict[str, object]:
    return {"l": dose.value * 1000} if dose.measure == "volume" else {"kg": dose.value}


def mix(takeoff: Takeoff, spray: Spray, *, units: UnitSystem = US) -> SprayPlan:
    """Work out one product's spray for a measured yard.

    Parameters
    ----------
    takeoff : Takeoff
        The measured yard; strips along water are left out unless the label lets them be sprayed.
    spray : Spray
        The user's label and sprayer.
    units : UnitSystem
        Units of the sentences.

    Raises
    ------
    ChoiceError
        For a zone that there is not. A plan over the label is refused when `spray` is made.
    """
    where = f'[[spray]] "{spray.name}", zones'
    zones = ground_for(takeoff, spray.on, spray.zones, near_water=spray.near_water, where=where)
    rate, carrier = spray.product_rate.times(spray.passes), spray.carrier * spray.passes
    area = sum(ground for _, ground in zones)
    volume = carrier * area
    full = floor(volume / spray.tank_m3 * (1 + 1e-9))
    last = max(0.0, volume - full * spray.tank_m3)
    last = last if last > spray.tank_m3 * 1e-6 else 0.0
    per_m3 = spray.product_rate.times(1 / spray.carrier)
    return SprayPlan(
        name=spray.name,
        area_m2=area,
        by_zone=tuple(
            SprayZone(zone.name, ground, carrier * ground, rate.times(ground)) for zone, ground in zones
        ),
        spray_m3=volume,
        product=rate.times(area),
        tank_m3=spray.tank_m3,
        full_tanks=full,
        product_per_tank=per_m3.times(spray.tank_m3),
        last_tank_m3=last,
        product_in_last_tank=per_m3.times(last),
        applications=spray.applications,
        running_total=spray.running_total,
        yearly_maximum=spray.yearly_maximum,
        interval_s=spray.interval_s,
        notes=_notes(spray, units),
        rinsing=rinsing_steps(),
        findings=_findings(spray, area, units),
    )


def rinsing_steps() -> tuple[str, ...]:
    """Return how to rinse container and sprayer, each with its source."""
    return tuple(f"Rinse the {row.item}: {row.text} ({row.source})." for row in tables()["rinsing"])


def _notes(spray: Spray, units: UnitSystem) -> tuple[str, ...]:
    counted = "active ingredient" if spray.rate_of == "active ingredient" else "product"
    share = spray.running_total[-1].value / spray.yearly_maximum.value
    limit = spray.yearly_maximum.write_rate(units)
    notes = [
        f"{spray.per_application.write_rate(units)} of {counted} in one application, from your label.",
        f"After {spray.applications} application(s) the ground has had {share * 100:.3g} % of the year's {limit}.",
    ]
    if spray.applications > 1:
        notes.append(
            f"At least {spray.interval_s / 86400:g} days between applications."
            if spray.interval_s
            else "No interval between applications was given: read it on the label."
        )
    said = select("herbicide_cautions", spray.active_ingredient.strip().lower())
    notes += [f"{row.item.capitalize()}, {row.use}: {row.text} ({row.source})." for row in said]
    if said:
        notes.append("These services do not agree in all; your label decides.")
    return tuple(notes)


def _findings(spray: Spray, area: float, units: UnitSystem) -> tuple[Finding, ...]:
    where, found = f'[[spray]] "{spray.name}"', []
    if area == 0:
        found.append(finding("nothing-to-spray", "no zone is sprayed", where))
    if spray.per_application.value * PER_1000_IN_AN_ACRE <= spray.yearly_maximum.value * (1 + 1e-9):
        text = (
            f"the yearly maximum allows over {PER_1000_IN_AN_ACRE} such applications: is one of the two per acre and "
            "the other per 1000 sq ft?"
        )
        found.append(finding("rate-mixed-up", text, where))
    (usual,) = select("carrier_volumes", "turf sprayer")
    low, high = usual.range_si("depth")
    if not low <= spray.carrier <= high:
        text = (
            f"{convert(spray.carrier, 'gal / acre'):,.3g} gal / acre ({units.volume_rate(spray.carrier)}) is an "
            "unusual carrier: is it per acre or per 1000 sq ft?"
        )
        found.append(finding("unusual-carrier", text, where))
    product = spray.product_rate
    if product.measure == "volume" and product.value > spray.carrier * _STRONG:
        share = product.value / spray.carrier
        text = f"product would be {share * 100:.3g} % of the spray: check rate and carrier"
        found.append(finding("strong-mix", text, where))
    return tuple(found)
