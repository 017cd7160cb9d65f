"""Fertilizer for every zone: nutrient target over the grade, kept off the setback and under the ceiling."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lawnmap.errors import ChoiceError
from lawnmap.rates.fertilizer import read_grade
from lawnmap.rates.ground import ground_for
from lawnmap.rates.model import Source, ZoneAmount
from lawnmap.rates.rows import combine, select, tables
from lawnmap.yard import finding

if TYPE_CHECKING:
    from lawnmap.measure import Takeoff
    from lawnmap.rates.fertilizer import Fertilizer
    from lawnmap.rates.rows import Row
    from lawnmap.units import UnitSystem
    from lawnmap.yard import Finding

_ROUNDING: Final = 1 + 1e-9


def target(fertilizer: Fertilizer) -> tuple[float, float, float, Source]:
    """Return the nutrient to put down, its published range and where it comes from. [kg/m²]

    Parameters
    ----------
    fertilizer : Fertilizer
        What is fed.

    Raises
    ------
    ChoiceError
        Without a rate for a nutrient that the tables hold none for.
    """
    own = fertilizer.rate_kg_per_m2
    if own is not None:
        return own, own, own, Source("your own rate", "", "[fertilizer], rate", "user")
    rows = select("nutrient_targets", fertilizer.nutrient)
    if not rows:
        raise ChoiceError(
            f"the tables hold no rate of {fertilizer.nutrient} at seeding",
            where="[fertilizer], rate",
            mend="give your own, from a soil test",
        )
    said = combine(rows, "mass_per_area")
    return said.typical, said.low, said.high, said.nearest.source


def nitrogen_kg_per_m2(fertilizer: Fertilizer) -> float:
    """Return the nitrogen that comes down with the chosen nutrient. [kg/m²]"""
    return target(fertilizer)[0] / fertilizer.nutrient_share * read_grade(fertilizer.grade)[0]


def feed(takeoff: Takeoff, fertilizer: Fertilizer, units: UnitSystem) -> tuple[ZoneAmount, ...]:
    """Return the fertilizer of every zone that gets any.

    Parameters
    ----------
    takeoff : Takeoff
        The measured yard; the strips along water are left out.
    fertilizer : Fertilizer
        What is fed.
    units : UnitSystem
        Units of the reasons.

    Raises
    ------
    ChoiceError
        For more nitrogen than the user's own ceiling.
    """
    rate, low, high, source = target(fertilizer)
    keep_under_ceiling(fertilizer, units)
    share = fertilizer.nutrient_share
    amounts = []
    for zone, area in ground_for(takeoff, fertilizer.on, near_water=False, where="[fertilizer]"):
        reason = f"{units.rate(rate)} of {fertilizer.nutrient} ÷ {share:.4g} (grade {fertilizer.grade})"
        if zone.unfed_area_m2 > 0:
            reason += f", {units.area(zone.unfed_area_m2)} near water left out"
        amounts.append(
            ZoneAmount(
                zone=zone.name,
                area_m2=area,
                rate_kg_per_m2=rate / share,
                low_kg_per_m2=low / share,
                high_kg_per_m2=high / share,
                amount_kg=rate / share * area,
                reason=reason,
                source=source,
                by_hand=zone.by_hand,
            )
        )
    return tuple(amounts)


def keep_under_ceiling(fertilizer: Fertilizer, units: UnitSystem) -> None:
    """Refuse more nitrogen than the user's own ceiling.

    Parameters
    ----------
    fertilizer : Fertilizer
        What is fed.
    units : UnitSystem
        Units of the sentence.

    Raises
    ------
    ChoiceError
        Where it is too much.
    """
    ceiling, nitrogen = fertilizer.ceiling_kg_per_m2, nitrogen_kg_per_m2(fertilizer)
    if ceiling is not None and nitrogen > ceiling * _ROUNDING:
        raise ChoiceError(
            f"{units.rate(nitrogen)} of N is above your ceiling of {units.rate(ceiling)}",
            where="[fertilizer]",
            mend="lower the rate, or correct the ceiling",
        )


def _limits() -> list[tuple[float, Row]]:
    return sorted(
        ((row.range_si("mass_per_area")[0], row) for row in tables()["nutrient_ceilings"]),
        key=lambda pair: pair[0],
    )


def feed_findings(takeoff: Takeoff, fertilizer: Fertilizer, units: UnitSystem) -> tuple[Finding, ...]:
    """Return where more nitrogen comes down than published ceilings allow, and what is left unfed.

    Parameters
    ----------
    takeoff : Takeoff
        The measured yard.
    fertilizer : Fertilizer
        What is fed.
    units : UnitSystem
        Units of the sentences.
    """
    found = list(ceiling_findings(fertilizer, units))
    for zone in takeoff.zones:
        area = zone.surface_area_m2
        if zone.density in fertilizer.on and area > 0 and zone.unfed_area_m2 >= area * (1 - 1e-9):
            found.append(unfed_finding(zone.name))
    return tuple(found)


def ceiling_findings(fertilizer: Fertilizer, units: UnitSystem) -> tuple[Finding, ...]:
    """Return whether more nitrogen comes down than the published ceilings allow; arguments as `feed_findings`."""
    nitrogen = nitrogen_kg_per_m2(fertilizer)
    highest, row = _limits()[-1]
    if fertilizer.ceiling_kg_per_m2 is not None or nitrogen <= highest * _ROUNDING:
        return ()
    text = (
        f"{units.rate(nitrogen)} of N in one dose is above {units.rate(highest)}, the highest ceiling in the "
        f"tables ({row.source}); give the ceiling of your place"
    )
    return (finding("nitrogen-over-ceiling", text, "[fertilizer]"),)


def unfed_finding(zone: str) -> Finding:
    """Return the finding of a zone, by its name, that water keeps from being fed."""
    text = "the whole zone lies within the setback of water and is not fed"
    return finding("zone-unfed", text, f'zone "{zone}"')


def feed_notes(takeoff: Takeoff, fertilizer: Fertilizer, units: UnitSystem) -> tuple[str, ...]:
    """Return what a user should know about the fertilizer, in plain sentences.

    Parameters
    ----------
    takeoff : Takeoff
        The measured yard.
    fertilizer : Fertilizer
        What is fed.
    units : UnitSystem
        Units of the sentences.
    """
    n, p2o5, k2o = read_grade(fertilizer.grade)
    product = target(fertilizer)[0] / fertilizer.nutrient_share
    notes = [
        "It puts down "
        + ", ".join(
            f"{units.rate(product * part)} of {name}"
            for part, name in ((n, "N"), (p2o5, "P₂O₅"), (k2o, "K₂O"))
            if part
        )
        + "."
    ]
    if n:
        notes.append(_ceiling_note(fertilizer, units))
    if p2o5:
        places = [row.item for row in tables()["fertilizer_rules"] if row.use == "phosphorus"]
        notes.append(
            f"It holds phosphorus, which law restricts in many places ({', '.join(places)} in the tables); new seeding "
            "and repair are generally exempt, often for the first season only. Check yours."
        )
    unfed = sum(zone.unfed_area_m2 for zone in takeoff.zones if zone.density in fertilizer.on)
    if unfed:
        notes.append(f"{units.area(unfed)} within the setback of water are seeded but not fed.")
    return tuple(notes)


def _ceiling_note(fertilizer: Fertilizer, units: UnitSystem) -> str:
    own = fertilizer.ceiling_kg_per_m2
    nitrogen = units.rate(nitrogen_kg_per_m2(fertilizer))
    if own is not None:
        return f"{nitrogen} of N in one dose, checked against your ceiling of {units.rate(own)}."
    listed = "; ".join(
        f"{units.rate(limit)}, {row.use} ({row.source.title}, {row.source.publisher})"
        for limit, row in _limits()
    )
    return f"{nitrogen} of N in one dose. Ceilings in the tables: {listed}. Check the one of your place."
