"""The sums of a spraying day: area, spray, product for each tank, the last part tank and the year's total."""

from __future__ import annotations

from math import floor
from typing import TYPE_CHECKING, Final

from lawnmap.rates.ground import ground_for
from lawnmap.rates.rows import select, tables
from lawnmap.rates.spray import PER_1000_IN_AN_ACRE
from lawnmap.rates.sprayday import SprayPlan, SprayZone
from lawnmap.units import US, UnitSystem, convert
from lawnmap.yard import finding

if TYPE_CHECKING:
    from lawnmap.measure import Takeoff
    from lawnmap.rates.spray import Spray
    from lawnmap.yard import Finding

_STRONG: Final = 0.2
"""Product in the tank from which the figures are asked about. *common practice* [1]"""


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
        carrier_m=spray.carrier,
        passes=spray.passes,
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
        mixed_with=spray.mix_with,
        rules=spray.rules,
        notes=(*_notes(spray, units), *_left_out(takeoff, spray, units)),
        warnings=warnings_on(spray.active_ingredient),
        rinsing=rinsing_steps(),
        findings=_findings(spray, area, units),
    )


def rinsing_steps() -> tuple[str, ...]:
    """Return how to rinse container and sprayer, each with its source."""
    return tuple(f"Rinse the {row.item}: {row.text} ({row.source})." for row in tables()["rinsing"])


def _notes(spray: Spray, units: UnitSystem) -> tuple[str, ...]:
    counted = "active ingredient" if spray.rate_of == "active ingredient" else "product"
    share = spray.running_total[-1].value / spray.yearly_maximum.value
    limit = spray.yearly_maximum.write_rate(units, like=spray.per_application)
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
    return tuple(notes)


def warnings_on(ingredient: str) -> tuple[str, ...]:
    """Return what extension services say of an active ingredient at seeding, and that they do not agree.

    Parameters
    ----------
    ingredient : str
        Its common name.
    """
    said = [
        row
        for row in select("herbicide_cautions", ingredient.strip().lower())
        if row.use not in {"at risk", "only on"}  # the same rows again, for a check against the seed
    ]
    lines = [f"{row.item.capitalize()}, {row.use}: {row.text} ({row.source})." for row in said]
    return (*lines, "These services do not agree in all; your label decides.") if lines else ()


def _left_out(takeoff: Takeoff, spray: Spray, units: UnitSystem) -> tuple[str, ...]:
    """Say how much ground along water is not sprayed."""
    if spray.near_water:
        return ()
    on = [
        zone
        for zone in takeoff.zones
        if zone.density in spray.on and zone.name in (spray.zones or (zone.name,))
    ]
    strip = sum(zone.unfed_area_m2 for zone in on)
    return (f"{units.area(strip)} within the setback of water are not sprayed.",) if strip else ()


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
