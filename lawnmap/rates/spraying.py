"""All sprays of a season together: what shares a tank, an ingredient or the ground with new seed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from lawnmap.errors import ChoiceError, nearest
from lawnmap.rates.dose import Amount
from lawnmap.rates.ground import ground_for
from lawnmap.rates.mixing import mix
from lawnmap.rates.rows import select
from lawnmap.rates.species import FINE_FESCUES, known_name
from lawnmap.units import US, UnitSystem
from lawnmap.yard import finding

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lawnmap.measure import Takeoff
    from lawnmap.rates.seed import Seed
    from lawnmap.rates.spray import Spray
    from lawnmap.rates.sprayday import SprayPlan
    from lawnmap.yard import Finding

_ROUNDING: Final = 1 + 1e-9
_SAME_TANK: Final = 0.01
"""Two sprays of one tank must agree on carrier and tank to a hundredth. *common practice* [1]"""


def spray_all(
    takeoff: Takeoff, sprays: Sequence[Spray], *, seed: Seed | None = None, units: UnitSystem = US
) -> tuple[SprayPlan, ...]:
    """Work out every spray of the job, and refuse what two labels together do not allow.

    Parameters
    ----------
    takeoff : Takeoff
        The measured yard.
    sprays : sequence of Spray
        The user's labels.
    seed : Seed, optional
        What is sown, to check it against the labels and the warnings of extension services.
    units : UnitSystem
        Units of the sentences.

    Raises
    ------
    ChoiceError
        For a name given twice, a zone that there is not, a grass that a label forbids, a tank that two products
        cannot share, or one ingredient over its yearly maximum in two products together.
    """
    _check_names(sprays)
    for spray in sprays:
        _check_seed(spray, seed)
        _check_tank(spray, sprays)
    shared = _shared_ingredients(takeoff, sprays)
    found: list[SprayPlan] = []
    for spray in sprays:
        plan = mix(takeoff, spray, units=units)
        extra = (*shared.get(spray.name, ()), *_grasses_at_risk(spray, seed))
        warnings = plan.warnings if found else (*plan.warnings, *_seeding_warnings(seed))
        found.append(replace(plan, warnings=warnings, findings=(*plan.findings, *extra)))
    return tuple(found)


def _where(spray: Spray) -> str:
    return f'[[spray]] "{spray.name}"'


def _check_names(sprays: Sequence[Spray]) -> None:
    names = [spray.name.casefold() for spray in sprays]
    for spray in sprays:
        if names.count(spray.name.casefold()) > 1:
            raise ChoiceError(
                "two sprays have this name",
                where=_where(spray),
                mend="give one section with its number of applications, or tell the two apart by name",
            )


def _grasses(seed: Seed | None) -> tuple[str, ...]:
    return tuple(seed.blend) if seed else ()


def _is_one_of(grass: str, named: str) -> bool:
    """Whether a grass is the one that a label names; fine fescue stands for all of its kinds."""
    name = known_name(named) or named.strip().lower()
    return grass.lower() == name.lower() or (name == "fine fescue" and grass in FINE_FESCUES)


def _check_seed(spray: Spray, seed: Seed | None) -> None:
    for grass in _grasses(seed):
        if any(_is_one_of(grass, named) for named in spray.not_on):
            raise ChoiceError(
                f"your label keeps it off {grass}, which [seed] sows",
                where=f"{_where(spray)}, not_on",
                mend="the label is the law: leave out the spray, or sow another grass",
            )


def _check_tank(spray: Spray, sprays: Sequence[Spray]) -> None:
    by_name = {other.name: other for other in sprays}
    for name in spray.mix_with:
        where = f"{_where(spray)}, mix_with"
        if name not in by_name or name == spray.name:
            others = by_name.keys() - {spray.name}
            mend = nearest(name, others) if others else "add its own [[spray]] section"
            raise ChoiceError(f'there is no other spray "{name}"', where=where, mend=mend)
        other = by_name[name]
        if spray.name not in other.mix_with:
            raise ChoiceError(
                f'"{name}" does not name "{spray.name}" in its own mix_with',
                where=where,
                mend="mix two products only where both labels say so, and then say so in both sections",
            )
        unlike = _unlike(spray, other)
        if unlike:
            raise ChoiceError(
                f'it shares a tank with "{name}" and their {unlike} differ',
                where=where,
                mend="give both the same, or spray them apart",
            )


def _unlike(one: Spray, other: Spray) -> str:
    for word, first, second in (
        ("carriers", one.carrier, other.carrier),
        ("tanks", one.tank_m3, other.tank_m3),
    ):
        if abs(first / second - 1) > _SAME_TANK:
            return word
    if (one.passes, one.applications) != (other.passes, other.applications):
        return "passes or applications"
    if (set(one.on), set(one.zones), one.near_water) != (set(other.on), set(other.zones), other.near_water):
        return "zones"
    return ""


def ingredient_of(spray: Spray, product: Amount) -> Amount | None:
    """Return the active ingredient in an amount of a product, or per area; None where its strength is not known.

    Parameters
    ----------
    spray : Spray
        The user's label.
    product : Amount
        Of the product as bought, a volume, a weight, or either per area.
    """
    if spray.strength is None or spray.strength.measure != product.measure:
        return None
    return Amount(product.value * spray.strength.value, "mass")


def as_ingredient(spray: Spray, dose: Amount) -> Amount | None:
    """Turn a dose as the label counts it into one of active ingredient; None where its strength is not known.

    Parameters
    ----------
    spray : Spray
        The user's label.
    dose : Amount
        Of product or of active ingredient, whichever `spray.rate_of` says.
    """
    return dose if spray.rate_of == "active ingredient" else ingredient_of(spray, dose)


def _shared_ingredients(takeoff: Takeoff, sprays: Sequence[Spray]) -> dict[str, list[Finding]]:
    """Add up an ingredient that several products bring, zone by zone; refuse it over the lowest maximum."""
    found: dict[str, list[Finding]] = {}
    told: set[tuple[str, ...]] = set()
    for ingredient in dict.fromkeys(_ingredient(spray) for spray in sprays if _ingredient(spray)):
        same = [spray for spray in sprays if _ingredient(spray) == ingredient]
        covered = {spray.name: _names(takeoff, spray) for spray in same}
        for zone in takeoff.zones:
            members = [spray for spray in same if zone.name in covered[spray.name]]
            names = tuple(spray.name for spray in members)
            if len(members) > 1 and names not in told:
                told.add(names)
                found.setdefault(names[-1], []).extend(_added_up(members, ingredient, zone.name))
    return found


def _ingredient(spray: Spray) -> str:
    return spray.active_ingredient.strip().casefold()


def _added_up(sprays: Sequence[Spray], ingredient: str, zone: str) -> list[Finding]:
    last, others = sprays[-1], " and ".join(f'"{spray.name}"' for spray in sprays[:-1])
    total, limit = _total(sprays)
    if total is None or limit is None:
        text = (
            f"{others} brings {ingredient} too, and without the strength of each their sum cannot be held against "
            "the yearly maximum"
        )
        return [finding("ingredient-not-added-up", text, f"{_where(last)}, strength")]
    if total > limit * _ROUNDING:
        raise ChoiceError(
            f'with {others} it brings {ingredient} on "{zone}" to {total / limit:.3g} times the lowest yearly '
            "maximum of these labels",
            where=f"{_where(last)}, active_ingredient",
            mend="the label is the law: leave one out, or plan fewer applications",
        )
    return []


def _names(takeoff: Takeoff, spray: Spray) -> set[str]:
    where = f"{_where(spray)}, zones"
    ground = ground_for(takeoff, spray.on, spray.zones, near_water=spray.near_water, where=where)
    return {zone.name for zone, _ in ground}


def _total(sprays: Sequence[Spray]) -> tuple[float | None, float | None]:
    """Ingredient of all applications together, and the lowest maximum. [kg/m²]"""
    planned = [as_ingredient(spray, spray.per_application.times(spray.applications)) for spray in sprays]
    limits = [as_ingredient(spray, spray.yearly_maximum) for spray in sprays]
    before = [
        as_ingredient(spray, spray.applied_this_year) if spray.applied_this_year else Amount(0.0, "mass")
        for spray in sprays
    ]
    known = [amount.value for amount in (*planned, *limits, *before) if amount is not None]
    if len(known) < 3 * len(sprays):
        return None, None
    count = len(sprays)
    # what the ground has had already may be told with each product: it counts once
    return sum(known[:count]) + max(known[2 * count :]), min(known[count : 2 * count])


def _grasses_at_risk(spray: Spray, seed: Seed | None) -> list[Finding]:
    """What extension services say against an ingredient on a grass that is sown."""
    ingredient, found = spray.active_ingredient.strip().lower(), []
    for grass in _grasses(seed):
        for row in select("herbicide_cautions", ingredient, "at risk"):
            if _is_one_of(grass, row.text):
                text = f"{ingredient} can injure {row.text}, and {grass} is sown ({row.source})"
                found.append(finding("grass-at-risk", text, _where(spray)))
    for row in select("herbicide_cautions", ingredient, "only on"):
        others = [grass for grass in _grasses(seed) if not _is_one_of(grass, row.text)]
        if others:
            text = (
                f"one service names {row.text} alone for {ingredient} at seeding, others more grasses; "
                f"{' and '.join(others)} is sown: your label decides ({row.source})"
            )
            found.append(finding("grass-at-risk", text, _where(spray)))
    return found


def _seeding_warnings(seed: Seed | None) -> tuple[str, ...]:
    """What holds for any herbicide near new seed; said once, with the first spray."""
    if seed is None:
        return ()
    rows = (row for item in ("pre-emergence", "broadleaf") for row in select("herbicide_cautions", item))
    return tuple(f"{row.item.capitalize()} herbicides: {row.text} ({row.source})." for row in rows)
