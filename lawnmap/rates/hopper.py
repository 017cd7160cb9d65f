"""What goes into the hopper: zone by zone and pass by pass, so that each part gets its own rate."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING, Final

from lawnmap.errors import ChoiceError, nearest
from lawnmap.rates.model import Load

if TYPE_CHECKING:
    from lawnmap.rates.model import Prescription

PASSES: Final = {"one direction": 1, "two directions": 2, "half spacing": 2}
"""How often the ground is covered, each time at an equal share of the rate; `lawnmap.lanes` lays as many passes."""


def load_hopper(prescription: Prescription, *, hopper_kg: float, passes: int | str = 1) -> tuple[Load, ...]:
    """Split every amount into passes, and each pass into equal fills of the hopper.

    Bare spots that are seeded by hand are left out: nothing of theirs goes through the hopper.

    Parameters
    ----------
    prescription : Prescription
        What goes where.
    hopper_kg : float
        What the hopper holds. [kg]
    passes : int or str
        How often the ground is covered at an equal share of the rate, or ``"one direction"``,
        ``"two directions"``, ``"half spacing"`` (twice, the second time between the lanes of the first). [count]

    Returns
    -------
    tuple of Load
        Product by product, pass by pass, zone by zone.

    Raises
    ------
    ChoiceError
        Without a hopper or without a pass.
    """
    pass_count = _split(passes)
    if not hopper_kg > 0:
        raise ChoiceError("the hopper holds nothing", mend="give what it holds, more than 0")
    loads = []
    for material in prescription.materials:
        for number in range(1, pass_count + 1):
            for amount in material.by_zone:
                if amount.by_hand:
                    continue
                share = amount.amount_kg / pass_count
                fills = max(1, ceil(share / hopper_kg * (1 - 1e-12)))
                loads.append(
                    Load(
                        material=material.name,
                        zone=amount.zone,
                        pass_number=number,
                        pass_count=pass_count,
                        amount_kg=share,
                        rate_kg_per_m2=amount.rate_kg_per_m2 / pass_count,
                        fills=fills,
                        fill_kg=share / fills,
                    )
                )
    return tuple(loads)


def _split(passes: int | str) -> int:
    if isinstance(passes, str):
        if passes not in PASSES:
            raise ChoiceError(f'"{passes}" is not a way to split the rate', mend=nearest(passes, PASSES))
        return PASSES[passes]
    if passes < 1:
        raise ChoiceError(f"{passes} passes put nothing down", mend="give at least one")
    return passes
