"""The cited tables, and area × density class turned into amounts and packs; no prices, no dates."""

from lawnmap.rates.fertilizer import Fertilizer
from lawnmap.rates.hopper import load_hopper
from lawnmap.rates.many import Amounts, ManyAmounts, prescribe_many
from lawnmap.rates.mixing import SprayPlan, SprayZone, mix
from lawnmap.rates.model import (
    GRADES,
    Load,
    Material,
    PackCount,
    Prescription,
    Source,
    ZoneAmount,
)
from lawnmap.rates.packs import Pack, buy
from lawnmap.rates.prescribe import prescribe
from lawnmap.rates.product import Product
from lawnmap.rates.rows import table_rows
from lawnmap.rates.seed import Factors, Seed
from lawnmap.rates.spray import Spray
from lawnmap.rates.sprayer import carrier_from_catch, carrier_from_nozzles, course_length
from lawnmap.rates.topdress import Cover, CoverZone, Straw, Topdress, straw, topdress

__all__ = [
    "GRADES",
    "Amounts",
    "Cover",
    "CoverZone",
    "Factors",
    "Fertilizer",
    "Load",
    "ManyAmounts",
    "Material",
    "Pack",
    "PackCount",
    "Prescription",
    "Product",
    "Seed",
    "Source",
    "Spray",
    "SprayPlan",
    "SprayZone",
    "Straw",
    "Topdress",
    "ZoneAmount",
    "buy",
    "carrier_from_catch",
    "carrier_from_nozzles",
    "course_length",
    "load_hopper",
    "mix",
    "prescribe",
    "prescribe_many",
    "straw",
    "table_rows",
    "topdress",
]
