"""What a prescription is: per product and zone a rate, an amount and the table row it came from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from lazy_loader import load

if TYPE_CHECKING:
    import pandas as pd

    from lawnmap.yard import Finding

pandas = load("pandas")  # slow to load, and only tables need it

GRADES: Final = ("label", "extension", "handbook", "common practice", "from memory", "user")
"""How far a figure can be trusted, and who answers for it."""


@dataclass(frozen=True)
class Source:
    """Where a figure comes from.

    Attributes
    ----------
    title, publisher, locator : str
        What was read, who published it and where in it the figure stands.
    grade : str
        One of `GRADES`.
    address : str
        Where it can be read, if anywhere.
    """

    title: str
    publisher: str
    locator: str
    grade: str
    address: str = ""

    def __str__(self) -> str:
        parts = [part for part in (self.title, self.publisher, self.locator) if part]
        return f"{', '.join(parts)} ({self.grade})"

    def to_dict(self) -> dict[str, str]:
        """Return the attributes as a mapping."""
        return {
            "title": self.title,
            "publisher": self.publisher,
            "locator": self.locator,
            "grade": self.grade,
            "address": self.address,
        }


@dataclass(frozen=True)
class ZoneAmount:
    """What one zone gets of one product.

    Attributes
    ----------
    zone : str
        Name of the zone.
    area_m2 : float
        Surface that is treated. [m²]
    rate_kg_per_m2 : float
        Product as bought, over all passes together. [kg/m²]
    low_kg_per_m2, high_kg_per_m2 : float
        The range that the sources give, worked out alike. [kg/m²]
    amount_kg : float
        Rate times area. [kg]
    reason : str
        How the rate came about, in words: ``"7 lb / 1000 sq ft × 0.5 (patchy) ÷ 0.81 (pure live seed)"``.
    source : Source
        The table row, or the user's own figure.
    by_hand : bool
        Whether it is thrown by hand, apart from the lanes.
    """

    zone: str
    area_m2: float
    rate_kg_per_m2: float
    low_kg_per_m2: float
    high_kg_per_m2: float
    amount_kg: float
    reason: str
    source: Source
    by_hand: bool = False

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping; ``source`` is one sentence, ``source_row`` its parts."""
        return {
            "zone": self.zone,
            "area_m2": self.area_m2,
            "rate_kg_per_m2": self.rate_kg_per_m2,
            "low_kg_per_m2": self.low_kg_per_m2,
            "high_kg_per_m2": self.high_kg_per_m2,
            "amount_kg": self.amount_kg,
            "reason": self.reason,
            "source": str(self.source),
            "source_row": self.source.to_dict(),
            "by_hand": self.by_hand,
        }


@dataclass(frozen=True)
class PackCount:
    """So many packs of one size.

    Attributes
    ----------
    size_kg : float
        Contents of one pack. [kg]
    count : int
        How many to buy. [count]
    price : str or None
        Price of one, as a decimal number in the user's currency.
    """

    size_kg: float
    count: int
    price: str | None = None

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {"size_kg": self.size_kg, "count": self.count, "price": self.price}


@dataclass(frozen=True)
class Material:
    """One product for the whole job.

    Attributes
    ----------
    name : str
        What it is: ``"tall fescue"``, ``"18-24-12 fertilizer"``.
    kind : str
        ``"seed"``, ``"fertilizer"`` or ``"product"``.
    total_kg : float
        Sum over the zones. [kg]
    by_zone : tuple of ZoneAmount
        Zones that get any.
    allowance : float
        Share bought on top of the total. [1]
    packs : tuple of PackCount
        One purchase for the whole job; empty where no pack sizes are known.
    left_over_kg : float
        Bought and in stock, less total. [kg]
    notes : tuple of str
        What a user should know about it: sums on the label, limits checked, seeds per area.
    in_stock_kg : float
        What is there already and is used first. [kg]
    """

    name: str
    kind: str
    total_kg: float
    by_zone: tuple[ZoneAmount, ...]
    allowance: float = 0.0
    packs: tuple[PackCount, ...] = ()
    left_over_kg: float = 0.0
    notes: tuple[str, ...] = ()
    in_stock_kg: float = 0.0

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "name": self.name,
            "kind": self.kind,
            "total_kg": self.total_kg,
            "by_zone": [amount.to_dict() for amount in self.by_zone],
            "allowance": self.allowance,
            "packs": [pack.to_dict() for pack in self.packs],
            "left_over_kg": self.left_over_kg,
            "in_stock_kg": self.in_stock_kg,
            "notes": list(self.notes),
        }


@dataclass(frozen=True)
class Prescription:
    """Everything that goes on the lawn on the day.

    Attributes
    ----------
    materials : tuple of Material
        Seed, fertilizer and further granular products.
    findings : tuple of Finding
        What was assumed or is near a limit.
    """

    materials: tuple[Material, ...]
    findings: tuple[Finding, ...] = ()

    @property
    def sown_zones(self) -> frozenset[str]:
        """Names of the zones that get seed."""
        return frozenset(
            amount.zone for one in self.materials if one.kind == "seed" for amount in one.by_zone
        )

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "materials": [material.to_dict() for material in self.materials],
            "findings": [finding.to_dict() for finding in self.findings],
        }

    def to_frame(self) -> pd.DataFrame:
        """Return one row per product and zone, SI columns named with their unit."""
        rows = []
        for material in self.materials:
            for amount in material.by_zone:
                row = amount.to_dict()
                del row["source_row"]
                rows.append({"material": material.name, "kind": material.kind, **row})
        frame: pd.DataFrame = pandas.DataFrame(rows)
        return frame


@dataclass(frozen=True)
class Load:
    """What goes into the hopper for one zone, product and pass.

    Attributes
    ----------
    material, zone : str
        Names of the product and the zone.
    pass_number, pass_count : int
        Which pass of how many. [count]
    amount_kg : float
        Product for this pass over this zone. [kg]
    rate_kg_per_m2 : float
        Rate that the spreader must be set to for this pass. [kg/m²]
    fills : int
        How often the hopper is filled for it. [count]
    fill_kg : float
        What goes in each time, in the mean. [kg]
    split_kg : tuple of float
        What goes in each time where the walk has been laid out; refills are at lane ends, so the
        loads are not quite equal. [kg]
    """

    material: str
    zone: str
    pass_number: int
    pass_count: int
    amount_kg: float
    rate_kg_per_m2: float
    fills: int
    fill_kg: float
    split_kg: tuple[float, ...] = ()

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "material": self.material,
            "zone": self.zone,
            "pass_number": self.pass_number,
            "pass_count": self.pass_count,
            "amount_kg": self.amount_kg,
            "rate_kg_per_m2": self.rate_kg_per_m2,
            "fills": self.fills,
            "fill_kg": self.fill_kg,
            "split_kg": list(self.split_kg),
        }
