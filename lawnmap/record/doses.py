"""What each zone has had in one year of nutrients and active ingredients, held against labels and rules."""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from lawnmap.rates import as_ingredient, ingredient_of
from lawnmap.rates.dose import Amount
from lawnmap.rates.fertilizer import read_grade
from lawnmap.record.model import Dose
from lawnmap.yard import finding

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping, Sequence

    from lawnmap.rates import Spray
    from lawnmap.record.item import Planned
    from lawnmap.record.spreading import Portion
    from lawnmap.units import UnitSystem
    from lawnmap.yard import Finding

NUTRIENTS: Final = ("N", "P2O5", "K2O")

_ROUNDING: Final = 1 + 1e-9


def nutrient_doses(
    planned: Planned, parts: Sequence[Portion], limits: Mapping[str, float]
) -> tuple[Dose, ...]:
    """Return the nitrogen, phosphate and potash of each zone, spread over the whole of it.

    Parameters
    ----------
    planned : Planned
        What was to be done.
    parts : sequence of Portion
        What was put down in the year.
    limits : mapping
        Most that the user's rule allows in a year, by nutrient. [kg/m²]
    """
    had: dict[tuple[str, str], float] = defaultdict(float)
    for part in parts:
        grade, amount = _grade(planned, part), part.line.entry.amount
        if grade is None or amount is None or amount.measure != "mass":
            continue
        for name, share in zip(NUTRIENTS, grade, strict=True):
            had[part.zone, name] += share * part.used / planned.zone_area_m2(part.zone)
    return tuple(
        Dose(zone.name, name, "nutrient", Amount(had[zone.name, name], "mass"), _limit(limits.get(name)))
        for zone in planned.takeoff.zones
        for name in NUTRIENTS
        if had.get((zone.name, name))
    )


def _limit(value: float | None) -> Amount | None:
    return None if value is None else Amount(value, "mass")


def _grade(planned: Planned, part: Portion) -> tuple[float, float, float] | None:
    entry = part.line.entry
    if entry.grade is not None:
        return read_grade(entry.grade)
    item = planned.item(entry.material)
    if item and item.kind == "fertilizer" and planned.fertilizer:
        return read_grade(planned.fertilizer.grade)
    return None


def ceiling_findings(planned: Planned, parts: Sequence[Portion]) -> tuple[Finding, ...]:
    """Tell every dose of nitrogen over the user's ceiling for one dose, on the ground that was done.

    Parameters
    ----------
    planned : Planned
        What was to be done; its fertilizer has the ceiling, if there is one.
    parts : sequence of Portion
        What was put down in the year.
    """
    ceiling = planned.fertilizer.ceiling_kg_per_m2 if planned.fertilizer else None
    if ceiling is None:
        return ()
    told: dict[tuple[str, str], list[str]] = defaultdict(list)
    for part in parts:
        grade, amount = _grade(planned, part), part.line.entry.amount
        if grade is None or amount is None or amount.measure != "mass":
            continue
        dose = grade[0] * part.used / part.area_m2
        if dose > ceiling * _ROUNDING:
            units = planned.units
            text = f"{units.rate(dose)} of N went down at once, over the ceiling of {units.rate(ceiling)} for one dose"
            told[text, part.line.where].append(part.zone)
    return tuple(
        finding("log-over-limit", f"{text} ({zones_where(zones)})", where)
        for (text, where), zones in told.items()
    )


def spray_doses(planned: Planned, parts: Sequence[Portion]) -> tuple[Dose, ...]:
    """Return what each zone has had of every product that is sprayed, and of every active ingredient.

    What went down on different days is taken to lie on the same ground, which errs to the safe side; on one day
    the amounts are spread over the ground that was done.

    Parameters
    ----------
    planned : Planned
        What was to be done.
    parts : sequence of Portion
        What was put down in the year.
    """
    products: dict[tuple[str, str], Dose] = {}
    ingredients: dict[tuple[str, str], Dose] = {}
    for (zone, name), mine in _by_zone_and_name(parts).items():
        spray, entry = planned.spray(name), mine[0].line.entry
        amount = entry.amount
        if amount is None or amount.measure == "bales" or (spray is None and not entry.active_ingredient):
            continue
        product = Amount(_on_the_ground(planned, zone, mine), amount.measure)
        if spray is not None:
            dose = product if spray.rate_of == "product" else ingredient_of(spray, product)
            if dose is not None:
                products[zone, spray.name] = Dose(zone, spray.name, "product", dose, spray.yearly_maximum)
        _add_ingredient(ingredients, zone, _ingredient(spray, mine[0], product))
    return (*products.values(), *ingredients.values())


def _by_zone_and_name(parts: Sequence[Portion]) -> dict[tuple[str, str], list[Portion]]:
    found: dict[tuple[str, str], list[Portion]] = defaultdict(list)
    for part in parts:
        found[part.zone, part.line.entry.material.strip().casefold()].append(part)
    return found


def applications_done(parts: Sequence[Portion], spray: Spray) -> int:
    """Return how often a spray went on the ground that has had it most often: days, in any one zone. [count]

    Parameters
    ----------
    parts : sequence of Portion
        What was put down in the year.
    spray : Spray
        The user's label.
    """
    days: dict[str, set[dt.date]] = defaultdict(set)
    for part in parts:
        if part.line.entry.material.strip().casefold() == spray.name.casefold():
            days[part.zone].add(part.line.entry.day)
    return max((len(found) for found in days.values()), default=0)


def done_findings(planned: Planned, parts: Sequence[Portion]) -> tuple[Finding, ...]:
    """Tell which sprays have all their applications of the year in the log.

    Parameters
    ----------
    planned : Planned
        What was to be done.
    parts : sequence of Portion
        What was put down in the year.
    """
    return tuple(
        finding(
            "log-spray-done",
            f"all {spray.applications} application(s) that were planned are in the log",
            f'[[spray]] "{spray.name}"',
        )
        for spray in planned.sprays
        if applications_done(parts, spray) >= spray.applications
    )


def _on_the_ground(planned: Planned, zone: str, parts: Sequence[Portion]) -> float:
    """Product per area after all days. [kg/m² or m³/m²]"""
    days: dict[dt.date, list[Portion]] = defaultdict(list)
    for part in parts:
        days[part.line.entry.day].append(part)
    whole = planned.zone_area_m2(zone)
    return sum(
        sum(part.used for part in day) / min(whole, sum(part.area_m2 for part in day))
        for day in days.values()
    )


def _ingredient(
    spray: Spray | None, part: Portion, product: Amount
) -> tuple[str, Amount, Amount | None] | None:
    """Name, dose and limit of the active ingredient in a product, where its strength is known."""
    entry = part.line.entry
    if spray is not None:
        dose = ingredient_of(spray, product)
        name = spray.active_ingredient.strip()
        return (name, dose, as_ingredient(spray, spray.yearly_maximum)) if dose and name else None
    if entry.strength is None or entry.strength.measure != product.measure:
        return None
    return entry.active_ingredient, Amount(product.value * entry.strength.value, "mass"), None


def _add_ingredient(
    found: dict[tuple[str, str], Dose], zone: str, more: tuple[str, Amount, Amount | None] | None
) -> None:
    """Add one product's ingredient to the sum of its zone; the lowest limit of all labels holds."""
    if more is None:
        return
    name, dose, limit = more
    before = found.get((zone, name.casefold()))
    if before is not None:
        dose = Amount(before.had.value + dose.value, "mass")
        limits = [one for one in (before.limit, limit) if one is not None]
        limit = min(limits, key=lambda one: one.value) if limits else None
    found[zone, name.casefold()] = Dose(zone, name, "active ingredient", dose, limit)


def dose_findings(doses: Sequence[Dose], units: UnitSystem, year: int) -> tuple[Finding, ...]:
    """Tell every dose over its limit, zones with the same one together.

    Parameters
    ----------
    doses : sequence of Dose
        What each zone has had.
    units : UnitSystem
        Units of the sentences.
    year : int
        Of the doses. [year]
    """
    told: dict[str, list[str]] = defaultdict(list)
    for dose in doses:
        if dose.share and dose.share > _ROUNDING:
            had, limit = dose.amounts(units)
            told[
                f"with {had} of {dose.name} in {year} the ground has had {dose.share:.3g} times what is allowed, "
                f"{limit}: put down no more of it this year"
            ].append(dose.zone)
    return tuple(finding("log-over-limit", text, zones_where(zones)) for text, zones in told.items())


def zones_where(zones: Sequence[str]) -> str:
    """Return the place of a finding that holds for one zone or several.

    Parameters
    ----------
    zones : sequence of str
        Their names.
    """
    names = ", ".join(f'"{zone}"' for zone in zones)
    return f"zone{'s' if len(zones) > 1 else ''} {names}"


def interval_findings(planned: Planned, parts: Sequence[Portion], year: int) -> tuple[Finding, ...]:
    """Tell where a spray came again sooner than its label allows.

    Parameters
    ----------
    planned : Planned
        What was to be done.
    parts : sequence of Portion
        What was put down, in any year.
    year : int
        Whose repeats are looked at. [year]
    """
    told: dict[str, list[str]] = defaultdict(list)
    for (zone, name), mine in _by_zone_and_name(parts).items():
        spray = planned.spray(name)
        if spray is None or spray.interval_s is None:
            continue
        days = sorted({part.line.entry.day for part in mine})
        for first, second in pairwise(days):
            if second.year == year and (second - first).days * 86400 < spray.interval_s * (1 - 1e-9):
                told[
                    f"{spray.name} came again on {second} after {(second - first).days} days (last on {first}); the "
                    f"label asks for {spray.interval_s / 86400:g}"
                ].append(zone)
    return tuple(finding("log-interval-broken", text, zones_where(zones)) for text, zones in told.items())
