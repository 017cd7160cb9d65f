"""What a comparison of ways is: what each takes on each zone, and what suits each zone."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lawnmap.contact.choices import WayName
    from lawnmap.lanes import LanePlan


@dataclass(frozen=True)
class WayZone:
    """What one way takes on one zone.

    Attributes
    ----------
    zone : str
        Name of the zone.
    area_m2 : float
        Its ground. [m²]
    time_s : float
        Work there, all passes, without fetching. [s]
    sum : str
        The arithmetic: ``"96 sq ft ÷ 300 sq ft/h"``.
    cost : Decimal or None
        Work and material there, where prices are known, without hire; in the user's currency.
    """

    zone: str
    area_m2: float
    time_s: float
    sum: str
    cost: Decimal | None = None

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "zone": self.zone,
            "area_m2": self.area_m2,
            "time_s": self.time_s,
            "sum": self.sum,
            "cost": None if self.cost is None else f"{self.cost:.2f}",
        }


@dataclass(frozen=True)
class Way:
    """One way, on all the ground that it suits.

    Attributes
    ----------
    name : str
        What it is.
    step : str
        ``"open"`` the soil for the seed, ``"press"`` it down, or ``"cover"`` it.
    by_zone : tuple of WayZone
        Zones that it suits.
    fetch_s : float
        Once for the job. [s]
    material : str
        What is bought for it, in words; empty for nothing.
    hire : Decimal or None
        Once for the job.
    wage : Decimal or None
        Of an hour.
    said : str
        How it is done, with the source.
    lanes : LanePlan or None
        Lanes of its own width, one pass, where it goes in lanes.
    passes : int
        How often those lanes are gone over. [count]
    """

    name: WayName
    step: str
    by_zone: tuple[WayZone, ...]
    fetch_s: float
    material: str = ""
    hire: Decimal | None = None
    wage: Decimal | None = None
    said: str = ""
    lanes: LanePlan | None = field(default=None, repr=False)
    passes: int = 1

    @property
    def area_m2(self) -> float:
        """Ground that it suits. [m²]"""
        return sum(zone.area_m2 for zone in self.by_zone)

    @property
    def time_s(self) -> float:
        """Work on all of it, and fetching. [s]"""
        return self.fetch_s + sum(zone.time_s for zone in self.by_zone)

    @property
    def standing_cost(self) -> Decimal | None:
        """Hire, and the time to fetch it; None without a wage."""
        if self.wage is None:
            return None
        return work_cost(self.wage, self.fetch_s) + (self.hire or 0)

    @property
    def cost(self) -> Decimal | None:
        """All of it on all the ground that it suits; None where a price is missing."""
        costs = [zone.cost for zone in self.by_zone if zone.cost is not None]
        if self.standing_cost is None or len(costs) < len(self.by_zone):
            return None
        return self.standing_cost + sum(costs)

    def on(self, zone: str) -> WayZone | None:
        """Return what it takes on one zone, None where it does not suit it."""
        return next((one for one in self.by_zone if one.zone == zone), None)

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping; the lanes by their number and length."""
        return {
            "name": self.name,
            "step": self.step,
            "area_m2": self.area_m2,
            "passes": self.passes,
            "time_s": self.time_s,
            "fetch_s": self.fetch_s,
            "material": self.material,
            "cost": None if self.cost is None else f"{self.cost:.2f}",
            "said": self.said,
            "lane_count": len(self.lanes.lanes) if self.lanes else None,
            "path_length_m": self.lanes.path_length_m if self.lanes else None,
            "by_zone": [zone.to_dict() for zone in self.by_zone],
        }


@dataclass(frozen=True)
class ZoneAdvice:
    """What suits one zone.

    Attributes
    ----------
    zone, density : str
        Name and class of the zone.
    area_m2 : float
        Its ground. [m²]
    open, press, cover : str
        Ways for the three steps; empty for none.
    reasons : tuple of str
        Why, with the arithmetic.
    """

    zone: str
    density: str
    area_m2: float
    open: str
    press: str
    cover: str
    reasons: tuple[str, ...]

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "zone": self.zone,
            "density": self.density,
            "area_m2": self.area_m2,
            "open": self.open,
            "press": self.press,
            "cover": self.cover,
            "reasons": list(self.reasons),
        }


@dataclass(frozen=True)
class Comparison:
    """All ways, and what suits each zone.

    Attributes
    ----------
    ways : tuple of Way
        Those that suit any of the ground.
    advice : tuple of ZoneAdvice
        For each zone that gets seed.
    time_s : float
        Of what is advised, fetching included. [s]
    cost : Decimal or None
        Of what is advised, where prices are known.
    notes : tuple of str
        What the comparison rests on.
    """

    ways: tuple[Way, ...]
    advice: tuple[ZoneAdvice, ...]
    time_s: float
    cost: Decimal | None
    notes: tuple[str, ...] = ()

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping of JSON values."""
        return {
            "ways": [way.to_dict() for way in self.ways],
            "advice": [one.to_dict() for one in self.advice],
            "time_s": self.time_s,
            "cost": None if self.cost is None else f"{self.cost:.2f}",
            "notes": list(self.notes),
        }


def work_cost(wage: Decimal, time_s: float) -> Decimal:
    """Return what so much work costs.

    Parameters
    ----------
    wage : Decimal
        Of an hour.
    time_s : float
        Work. [s]
    """
    return wage * round(time_s) / 3600


def money(amount: Decimal) -> str:
    """Write an amount of money to the hundredth, in the user's currency."""
    return f"{amount:,.2f}"
