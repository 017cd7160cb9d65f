"""Sums over all yards: areas, one purchase for the whole portfolio, hours for the crew."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from lawnmap.batch.model import NO_LAWN, PLANNED, REFUSED
from lawnmap.rates import Pack, PackCount, buy
from lawnmap.yard import DENSITIES

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping


@dataclass
class Purchase:
    """One material for all yards that get it in the same packs.

    Attributes
    ----------
    material, kind : str
        Its name and kind.
    allowance : float
        Share bought on top. [1]
    packs : str
        Sizes on sale, as a worker wrote them.
    yards : int
        How many yards get it. [count]
    area_m2 : float
        Surface that gets it. [m²]
    amount_kg : float
        Sum over the yards. [kg]
    """

    material: str
    kind: str
    allowance: float
    packs: str
    yards: int = 0
    area_m2: float = 0.0
    amount_kg: float = 0.0

    def bought(self) -> tuple[PackCount, ...]:
        """Return the packs to buy once for all yards; empty where no sizes are known."""
        packs = [
            Pack(size_kg=size_kg, price=None if price is None else Decimal(price))
            for size_kg, price in json.loads(self.packs)
        ]
        return buy(self.amount_kg * (1 + self.allowance), packs)

    @property
    def cost(self) -> Decimal | None:
        """What the packs cost, in the user's currency; None without prices."""
        bought = self.bought()
        if not bought or any(pack.price is None for pack in bought):
            return None
        return sum((Decimal(pack.price or 0) * pack.count for pack in bought), Decimal(0))

    def to_dict(self) -> dict[str, object]:
        """Return the attributes and the packs as JSON values."""
        cost = self.cost
        return {
            "material": self.material,
            "kind": self.kind,
            "yards": self.yards,
            "area_m2": self.area_m2,
            "amount_kg": self.amount_kg,
            "allowance": self.allowance,
            "packs": [pack.to_dict() for pack in self.bought()],
            "cost": None if cost is None else str(cost),
        }


@dataclass
class Totals:
    """Sums over the yards, in the order in which they are added.

    Attributes
    ----------
    planned, no_lawn, refused : int
        How many yards were planned, have no lawn, could not be planned. [count]
    gross_area_m2, net_area_m2 : float
        Sums of the yards. [m²]
    density_area_m2 : dict of str to float
        Net area by density class. [m²]
    path_length_m : float
        All walks together. [m]
    walk_time_s, refill_time_s : float
        Walking and turning; filling the hopper. Without travel, loading and setting up. [s]
    purchases : dict
        Material by what tells purchases apart.
    quoted : dict of str to Decimal
        All offers together after tax, by currency. [currency]
    """

    planned: int = 0
    no_lawn: int = 0
    refused: int = 0
    gross_area_m2: float = 0.0
    net_area_m2: float = 0.0
    density_area_m2: dict[str, float] = field(default_factory=lambda: dict.fromkeys(DENSITIES, 0.0))
    path_length_m: float = 0.0
    walk_time_s: float = 0.0
    refill_time_s: float = 0.0
    purchases: dict[tuple[str, str, float, str], Purchase] = field(default_factory=dict)
    quoted: dict[str, Decimal] = field(default_factory=dict)

    @property
    def yards(self) -> int:
        """All of them. [count]"""
        return self.planned + self.no_lawn + self.refused

    @property
    def crew_time_s(self) -> float:
        """Time on the lawns. [s]"""
        return self.walk_time_s + self.refill_time_s

    def add(self, rows: Iterable[Mapping[str, Any]]) -> None:
        """Add some yards.

        Parameters
        ----------
        rows : iterable of mapping
            As `lawnmap.batch.rows.SCHEMA` names the columns.
        """
        for row in rows:
            self.planned += row["status"] == PLANNED
            self.no_lawn += row["status"] == NO_LAWN
            self.refused += row["status"] == REFUSED
            self.gross_area_m2 += row["gross_area_m2"] or 0.0
            self.net_area_m2 += row["net_area_m2"] or 0.0
            for density in DENSITIES:
                self.density_area_m2[density] += row[f"{density}_area_m2"] or 0.0
            self.path_length_m += row["path_length_m"] or 0.0
            self.walk_time_s += row["walk_time_s"] or 0.0
            self.refill_time_s += row["refill_time_s"] or 0.0
            self._add_given(row["given"] or ())
            if row["quote_total"] is not None:
                before = self.quoted.get(row["currency"], Decimal(0))
                self.quoted[row["currency"]] = before + Decimal(row["quote_total"])

    def _add_given(self, given: Iterable[Mapping[str, Any]]) -> None:
        sums: dict[tuple[str, str, float, str], list[float]] = {}
        for one in given:
            key = (one["material"], one["kind"], one["allowance"], one["packs"])
            own = sums.setdefault(key, [0.0, 0.0])
            own[0] += one["area_m2"]
            own[1] += one["amount_kg"]
        for key, (area_m2, amount_kg) in sums.items():
            purchase = self.purchases.setdefault(key, Purchase(*key))
            purchase.yards += 1
            purchase.area_m2 += area_m2
            purchase.amount_kg += amount_kg

    def to_dict(self) -> dict[str, object]:
        """Return the sums as JSON values."""
        return {
            "yards": self.yards,
            "planned": self.planned,
            "no_lawn": self.no_lawn,
            "refused": self.refused,
            "gross_area_m2": self.gross_area_m2,
            "net_area_m2": self.net_area_m2,
            "density_area_m2": self.density_area_m2,
            "path_length_m": self.path_length_m,
            "walk_time_s": self.walk_time_s,
            "refill_time_s": self.refill_time_s,
            "crew_time_s": self.crew_time_s,
            "quoted": {currency: str(total) for currency, total in self.quoted.items()},
            "purchases": [purchase.to_dict() for purchase in self.purchases.values()],
        }
