"""The cited tables, and area × density class turned into amounts and packs; no prices, no dates."""

from lawnmap.rates.fertilizer import Fertilizer
from lawnmap.rates.hopper import load_hopper
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

__all__ = [
    "GRADES",
    "Factors",
    "Fertilizer",
    "Load",
    "Material",
    "Pack",
    "PackCount",
    "Prescription",
    "Product",
    "Seed",
    "Source",
    "ZoneAmount",
    "buy",
    "load_hopper",
    "prescribe",
    "table_rows",
]
