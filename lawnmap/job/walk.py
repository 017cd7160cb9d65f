"""The prescription taken to the lanes: each product put down in turn, each load as the stops split it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from lawnmap.lanes import LanePlan, Spread, lay_for_products, put_down
from lawnmap.rates import load_hopper

if TYPE_CHECKING:
    from lawnmap.lanes import Rig
    from lawnmap.measure import Takeoff
    from lawnmap.rates import Load, Material, Prescription


def lay_for(takeoff: Takeoff, prescription: Prescription, rig: Rig) -> LanePlan:
    """Lay the lanes of a yard for what goes on it; nothing is put down yet.

    Parameters
    ----------
    takeoff : Takeoff
        The measured yard.
    prescription : Prescription
        What goes on it.
    rig : Rig
        What is pushed or towed, and how.
    """
    return lay_for_products(takeoff, rig, _spreads(prescription))


def walk_on(laid: LanePlan, takeoff: Takeoff, prescription: Prescription, rig: Rig) -> LanePlan:
    """Walk every product over lanes that were laid.

    Parameters
    ----------
    laid : LanePlan
        The lanes, as `lay_for` returns them.
    takeoff : Takeoff
        The measured yard.
    prescription : Prescription
        What goes on it.
    rig : Rig
        What is pushed or towed, and how.
    """
    return put_down(laid, takeoff, rig, _spreads(prescription))


def walk(takeoff: Takeoff, prescription: Prescription, rig: Rig) -> LanePlan:
    """Lay the lanes of a yard, and walk every product over them.

    Parameters
    ----------
    takeoff : Takeoff
        The measured yard.
    prescription : Prescription
        What goes on it.
    rig : Rig
        What is pushed or towed, and how.
    """
    return walk_on(lay_for(takeoff, prescription, rig), takeoff, prescription, rig)


def _spreads(prescription: Prescription) -> list[Spread]:
    spreads = [_spread(material) for material in prescription.materials]
    return [spread for spread in spreads if any(spread.amounts_kg.values())]


def _spread(material: Material) -> Spread:
    given = [amount for amount in material.by_zone if not amount.by_hand]
    return Spread(
        material.name,
        {amount.zone: amount.rate_kg_per_m2 for amount in given},
        {amount.zone: amount.amount_kg for amount in given},
    )


def loads_of(prescription: Prescription, lanes: LanePlan, rig: Rig) -> tuple[Load, ...]:
    """Return what goes into the hopper, each pass split as its refills are.

    Parameters
    ----------
    prescription : Prescription
        What goes on the yard.
    lanes : LanePlan
        Where it is walked.
    rig : Rig
        The hopper.
    """
    outings = {outing.product: outing for outing in lanes.outings}
    found = []
    for load in load_hopper(prescription, hopper_kg=rig.hopper_kg, passes=rig.passes):
        outing = outings.get(load.material)
        split_kg = outing.loads_kg(load.zone, load.pass_number) if outing else ()
        if split_kg:
            fill_kg = load.amount_kg / len(split_kg)
            found.append(replace(load, fills=len(split_kg), fill_kg=fill_kg, split_kg=split_kg))
        else:
            found.append(load)
    return tuple(found)
