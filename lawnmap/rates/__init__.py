"""The cited tables, and area × density class turned into amounts and packs; no prices, no dates."""

from lawnmap.rates.model import (
    GRADES,
    Load,
    Material,
    PackCount,
    Prescription,
    Source,
    ZoneAmount,
)

__all__ = ["GRADES", "Load", "Material", "PackCount", "Prescription", "Source", "ZoneAmount"]
