"""What the page shows of a finished plan: amounts, bags and lanes, every figure ready to be read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lawnmap.units import duration

if TYPE_CHECKING:
    from lawnmap.job import Material, Plan
    from lawnmap.units import UnitSystem


def describe_plan(plan: Plan) -> dict[str, object]:
    """Return a plan as the page shows it.

    Parameters
    ----------
    plan : Plan
        A finished plan.

    Returns
    -------
    dict
        ``materials``, ``passes``, ``walk``, ``even``, ``gate``, ``cautions`` and ``findings``.
    """
    units = plan.units
    even = plan.evenness
    return {
        "materials": [_material(material, units) for material in plan.prescription.materials],
        "passes": [
            {
                "zone": single.zone or "bare ground",
                "pass": f"{single.number} of {single.count}",
                "lanes": single.lane_count,
                "swath": units.width(single.swath_m),
                "length": units.length(single.path_length_m),
            }
            for single in plan.lanes.passes
        ],
        "walk": _walk(plan) if plan.lanes.passes else "",
        "even": even.line() if even else "",
        "gate": [one.line(units) for one in even.settings] if even else [],
        "cautions": list(plan.cautions),
        "findings": [finding.to_dict() for finding in plan.findings],
    }


def _walk(plan: Plan) -> str:
    """Tell how far it is once over the lawn, and for all products together."""
    units, outings = plan.units, plan.lanes.outings
    lanes = sum(single.lane_count for single in plan.lanes.passes)
    once = f"{lanes} lanes, {units.length(plan.lanes.path_length_m)} to walk, {duration(plan.lanes.time_s)}"
    if len(outings) < 2:
        return once
    walked_m = sum(outing.path_length_m for outing in outings)
    time_s = sum(outing.labour.total_s for outing in outings)
    return f"{once}; {units.length(walked_m)} and {duration(time_s)} for all {len(outings)} products"


def _material(material: Material, units: UnitSystem) -> dict[str, object]:
    packs = " + ".join(f"{pack.count} × {units.mass(pack.size_kg)}" for pack in material.packs)
    return {
        "name": material.name,
        "total": units.mass(material.total_kg),
        "buy": f"{packs}, {units.mass(material.left_over_kg)} left over" if packs else "",
        "zones": [
            {
                "zone": amount.zone,
                "amount": units.mass(amount.amount_kg),
                "rate": units.rate(amount.rate_kg_per_m2),
                "how": "by hand" if amount.by_hand else "",
            }
            for amount in material.by_zone
        ],
    }
