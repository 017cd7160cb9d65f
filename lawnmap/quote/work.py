"""What was planned, as far as a price depends on it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lawnmap.lanes import LanePlan
    from lawnmap.measure import Takeoff
    from lawnmap.rates import Cover, Prescription, SprayPlan
    from lawnmap.units import UnitSystem


@dataclass(frozen=True)
class Work:
    """What was planned, as far as a price depends on it.

    Attributes
    ----------
    takeoff : Takeoff
        The measured yard.
    prescription : Prescription
        What goes on it.
    lanes : LanePlan
        Where each product is walked, and in what time; without passes where lanes were left out.
    units : UnitSystem
        What the basis of a line is written in.
    sprays : tuple of SprayPlan
        What is sprayed.
    covers : tuple of Cover
        What is laid over the seed.
    """

    takeoff: Takeoff = field(repr=False)
    prescription: Prescription = field(repr=False)
    lanes: LanePlan = field(repr=False)
    units: UnitSystem
    sprays: tuple[SprayPlan, ...] = ()
    covers: tuple[Cover, ...] = ()
