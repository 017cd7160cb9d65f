"""Every material of a job: what is spread, sprayed and laid over the seed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lawnmap.rates import prescribe, spray_all, straw, topdress
from lawnmap.units import SYSTEMS

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lawnmap.job.choices import Choices
    from lawnmap.measure import Takeoff
    from lawnmap.rates import Cover, Prescription, Spray, SprayPlan


@dataclass(frozen=True)
class Materials:
    """What goes on one yard.

    Attributes
    ----------
    prescription : Prescription
        Granular products.
    sprays : tuple of SprayPlan
        What is sprayed.
    covers : tuple of Cover
        What is laid over the seed.
    """

    prescription: Prescription
    sprays: tuple[SprayPlan, ...]
    covers: tuple[Cover, ...]


def materials_of(
    takeoff: Takeoff,
    choices: Choices,
    *,
    sprays: tuple[Spray, ...] | None = None,
    stock_kg: Mapping[str, float] | None = None,
) -> Materials:
    """Work out every material of a job.

    Parameters
    ----------
    takeoff : Takeoff
        The measured yard.
    choices : Choices
        What to do.
    sprays : tuple of Spray, optional
        The labels, if not as the job file has them.
    stock_kg : mapping, optional
        What is there already, by the plain name of the product. [kg]
    """
    left_out, units = choices.general.leave_out, SYSTEMS[choices.general.units]
    seed = None if "seed" in left_out else choices.seed
    prescription = prescribe(
        takeoff,
        seed=seed,
        fertilizer=None if "fertilizer" in left_out else choices.fertilizer,
        products=choices.products,
        stock_kg=stock_kg,
        units=units,
    )
    covers = []
    if choices.topdress is not None:
        covers.append(topdress(takeoff, choices.topdress, units=units))
    if choices.straw is not None:
        covers.append(straw(takeoff, choices.straw, units=units))
    labels = choices.sprays if sprays is None else sprays
    return Materials(prescription, spray_all(takeoff, labels, seed=seed, units=units), tuple(covers))
