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
        ``materials``, ``passes``, ``walk``, ``even``, ``cautions`` and ``findings``.
    """
    units = plan.units
    lanes = sum(single.lane_count for single in plan.lanes.passes)
    walk = f"{lanes} lanes, {units.length(plan.lanes.path_length_m)} to walk, {duration(plan.lanes.time_s)}"
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
        "walk": walk if plan.lanes.passes else "",
        "even": plan.evenness.line() if plan.evenness else "",
        "cautions": list(plan.cautions),
        "findings": [finding.to_dict() for finding in plan.findings],
    }


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
