"""Seed-to-soil contact for the zones of a job that are sown, where the job file asks to compare the ways."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import lawnmap
from lawnmap.units import SYSTEMS

if TYPE_CHECKING:
    from lawnmap.contact import Comparison
    from lawnmap.job.choices import Choices
    from lawnmap.measure import Takeoff
    from lawnmap.rates import Prescription


def contact_of(takeoff: Takeoff, prescription: Prescription, choices: Choices) -> Comparison | None:
    """Compare the ways to bring seed into the soil where any goes; None where the job does not ask for it.

    Parameters
    ----------
    takeoff : Takeoff
        The measured yard.
    prescription : Prescription
        What goes on it.
    choices : Choices
        What to do.
    """
    if choices.contact is None:
        return None
    zones = tuple(zone for zone in takeoff.zones if zone.name in prescription.sown_zones)
    return lawnmap.contact.compare(
        replace(takeoff, zones=zones),
        choices.contact,
        choices.rig,
        topdress=choices.topdress,
        straw=choices.straw,
        units=SYSTEMS[choices.general.units],
    )
