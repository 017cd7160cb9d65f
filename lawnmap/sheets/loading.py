"""The loads of the hopper in words: what to set the spreader for, and what goes in."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lawnmap.job import Load, Plan


def together(plan: Plan) -> dict[tuple[str, str, int], str]:
    """Return what is loaded for passes over several zones, by product, zone and pass.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    """
    return {
        (outing.product, zone, single.number): " + ".join(
            plan.units.mass(fill.load_kg) for fill in single.refills if fill.load_kg is not None
        )
        + f" for {single.zone}"
        for outing in plan.lanes.outings
        for single in outing.passes
        if len(single.zones) > 1
        for zone in single.zones
    }


def told_loads(plan: Plan) -> Iterator[tuple[Load, str, str]]:
    """Give each load, with what to set the spreader for and what goes into the hopper.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    """
    units, shared = plan.units, together(plan)
    for load in plan.loads:
        if (load.material, load.zone, load.pass_number) in shared:
            fill = shared[load.material, load.zone, load.pass_number]
        elif load.fills == 1:
            fill = units.mass(load.fill_kg)
        elif load.split_kg:
            fill = " + ".join(units.mass(each) for each in load.split_kg)
        else:
            fill = f"{load.fills} fills of {units.mass(load.fill_kg)}"
        gate = plan.evenness.gate(load.zone, load.material) if plan.evenness else ""
        yield load, f"{units.rate(load.rate_kg_per_m2)}{', ' * bool(gate)}{gate}", fill
