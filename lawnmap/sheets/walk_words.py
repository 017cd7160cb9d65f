"""The words of the walk: names of steps and passes, what to load and set, how to tape a stake."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lawnmap.job import Outing, Plan, Stake, Step
    from lawnmap.units import UnitSystem


def product_of(outing: Outing) -> str:
    """Name what is put down, or say that it is the bare walk."""
    return outing.product or "the walk, nothing put down"


def pass_of(step: Step) -> str:
    """Name the pass of a step: ``Back lawn, pass 1 of 2``."""
    return f"{step.zone}, {pass_number(step)}" if step.zone else pass_number(step)


def pass_number(step: Step) -> str:
    """Say which pass it is: ``pass 1 of 2``."""
    return f"pass {step.pass_number} of {step.pass_count}"


def name_of(step: Step) -> str:
    """Name a step: ``lane 14`` or ``round 1``."""
    return f"{'lane' if step.kind == 'lane' else 'round'} {step.lane}"


def gates_of(plan: Plan, outing: Outing) -> dict[str, str]:
    """Return the gate setting by zone, where test runs with this product tell it."""
    materials = plan.prescription.materials
    if plan.evenness is None or not materials or outing.product != materials[0].name:
        return {}
    return {one.zone: str(one.setting) for one in plan.evenness.settings if one.setting}


def set_for(step: Step, units: UnitSystem, gates: Mapping[str, str]) -> str:
    """Say what to set the spreader for, and from where on; nothing without a product."""
    words = []
    for setting in step.settings:
        rate = units.rate(setting.rate_kg_per_m2) if setting.rate_kg_per_m2 > 0 else "gate shut"
        if setting.rate_kg_per_m2 > 0 and setting.zone in gates:
            rate += f" (setting {gates[setting.zone]})"
        words.append(f"{rate} from {units.taped(setting.at_m)} on" if setting.at_m > 0 else rate)
    return ", then ".join(words)


def fill_of(step: Step, units: UnitSystem) -> str:
    """Say what to load before a step or on it; nothing where there is nothing to load."""
    words = []
    for fill in step.fills:
        load = f"load {units.mass(fill.load_kg)}" if fill.load_kg is not None else "fill the hopper"
        on_it = fill.after_leg >= 0 and fill not in step.fills[:1]
        words.append(f"{load} at {units.taped(fill.after_m)}" if on_it else load)
    return ", then ".join(words)


def ties_of(stake: Stake, units: UnitSystem) -> tuple[str, ...]:
    """Say how to tape a stake, one distance after the other; nothing where nothing fixes it."""
    how = {"from": "from", "along": "along", "off": "square off"}
    return tuple(f"{units.taped(tie.distance_m)} {how[tie.how]} {tie.place}" for tie in stake.ties)


def stake_of(stake: Stake) -> str:
    """Name a stake by what it marks: ``lane 5, start``."""
    return f"lane {stake.lane}, {stake.end}"


def has_walk(plan: Plan) -> bool:
    """Tell whether there is any step to walk."""
    return any(outing.steps for outing in plan.lanes.outings)


def has_place(plan: Plan) -> bool:
    """Tell whether there is a walk on a yard that has a place on the earth."""
    return plan.yard.plane.georeferenced and has_walk(plan)
