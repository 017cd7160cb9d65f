"""Any further granular product at the user's own rate: the ``[[product]]`` sections."""

from __future__ import annotations

from typing import ClassVar

from lawnmap.choices import MassPerArea, Percent, Section, choice
from lawnmap.rates.fertilizer import Density
from lawnmap.rates.packs import Packs
from lawnmap.yard import DENSITIES


class Product(Section):
    """One ``[[product]]`` section of a job file: lime by a soil test, gypsum, sulphur and the like."""

    section: ClassVar[str] = "product"

    name: str = choice("name", ..., "What it is.", min_length=1, max_length=100)
    rate_kg_per_m2: MassPerArea = choice(
        "rate", ..., 'Product to put down, "40 lb / 1000 sq ft", from your soil test or label.', gt=0
    )
    on: tuple[Density, ...] = choice("on", DENSITIES, "Density classes that get it.", min_length=1)
    zones: tuple[str, ...] = choice("zones", (), "Names of the zones that get it; all if left empty.")
    near_water: bool = choice(
        "near_water", default=False, about="Whether it may go on the strips along water."
    )
    packs: Packs = choice("packs", (), "Sizes on sale, as in [seed].")
    allowance: Percent = choice("allowance", "5 %", "Bought on top of the sum (common practice).", ge=0, le=1)
