"""The cited tables, and area × density class turned into amounts and packs; no prices, no dates."""

from lawnmap.rates.fertilizer import Fertilizer
from lawnmap.rates.hopper import PASSES, load_hopper
from lawnmap.rates.many import Amounts, ManyAmounts, prescribe_many
from lawnmap.rates.mixing import mix
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
from lawnmap.rates.sprayday import SprayPlan, SprayZone, TankLoad
from lawnmap.rates.sprayer import carrier_from_catch, carrier_from_nozzles, course_length
from lawnmap.rates.spraying import as_ingredient, ingredient_of, spray_all
from lawnmap.rates.topdress import Cover, CoverZone, Straw, Topdress, straw, topdress

__all__ = [
    "GRADES",
    "PASSES",
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
    "TankLoad",
    "Topdress",
    "ZoneAmount",
    "as_ingredient",
    "buy",
    "carrier_from_catch",
    "carrier_from_nozzles",
    "course_length",
    "ingredient_of",
    "load_hopper",
    "mix",
    "prescribe",
    "prescribe_many",
    "spray_all",
    "straw",
    "table_rows",
    "topdress",
]
