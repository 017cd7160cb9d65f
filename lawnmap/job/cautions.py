"""What can hurt someone, said on every sheet.

The general cautions are *common practice*; the printed label of a product and local rules always win.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lawnmap.measure import Takeoff
    from lawnmap.rates import Cover, Prescription, SprayPlan

STEEP_PERCENT = 25.0
"""Slope from which a warning about machines is printed. *common practice* [%]"""


def cautions(
    takeoff: Takeoff,
    prescription: Prescription,
    sprays: Sequence[SprayPlan] = (),
    covers: Sequence[Cover] = (),
) -> tuple[str, ...]:
    """Return the cautions that this plan calls for.

    Parameters
    ----------
    takeoff : Takeoff
        The measured yard.
    prescription : Prescription
        What goes on it.
    sprays : sequence of SprayPlan
        What is sprayed.
    covers : sequence of Cover
        What is laid over the seed.

    Returns
    -------
    tuple of str
        Plain sentences.
    """
    law = "The label of each product is the law: where it differs from this plan, follow the label."
    said = [
        *([] if sprays else [law]),  # what is said of sprays begins with it
        "Local rules on fertilizer, dates and distance to water, and licensed practice, come before this plan.",
        "Areas here are for planning work and are no land survey.",
    ]
    if any(material.kind in {"fertilizer", "product"} for material in prescription.materials):
        said.append(
            "Sweep granules off paving and back onto the lawn: what lies there is washed into drains and streams."
        )
        said.append(
            "Wear gloves and eye protection, and a mask where the product is dusty; keep children and pets away."
        )
    if any(material.kind == "fertilizer" for material in prescription.materials):
        said.append(
            "Do not spread fertilizer before heavy rain or on frozen or soaked ground: it runs off into drains and "
            "streams."
        )
    if takeoff.yard.water:
        said.append(
            "Keep fertilizer off the strips along water that are marked on the map, and close the gate before them."
        )
    said += dict.fromkeys(sentence for spray in sprays for sentence in spray.cautions)
    if covers:
        said.append(
            "Compost, peat and straw are dusty and heavy: wear a mask and gloves, wet them in wind, load no vehicle "
            "above its axles, and keep what falls on paving out of drains."
        )
    steep = [zone.name for zone in takeoff.zones if zone.slope_percent >= STEEP_PERCENT]
    if steep:
        said.append(
            f"Steep ground ({', '.join(steep)}): do not drive across the slope; push by hand or leave it to someone "
            "with a machine made for it."
        )
    said.append("Before starting a machine, walk the lawn for stones, toys, sprinkler heads and holes.")
    return tuple(said)
