"""What follows from a log: real rates, what is left, what each zone has had this year, what came up."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lawnmap.record.entry import Quantity, write_count

if TYPE_CHECKING:
    from lawnmap.rates.dose import Amount
    from lawnmap.units import UnitSystem
    from lawnmap.yard import Finding


@dataclass(frozen=True)
class ZoneReal:
    """What one zone really got of one material.

    Attributes
    ----------
    zone : str
        Name of the zone.
    used : Quantity
        What was put down.
    planned : Quantity
        What the plan wanted on the ground that was done; nothing where the plan has none there.
    done_m2, rest_m2 : float
        Ground done and ground still to do, every round counted. [m²]
    planned_per_m2, real_per_m2 : float
        Rates of one round. [kg/m², m³/m² or count/m²]
    rounds : int
        How many rounds the plan makes there. [count]
    setting : float or None
        Last setting of the gate. [1]
    setting_for_rest : float or None
        What to set it to for the rest; None without a rest or without a setting. [1]
    setting_note : str
        What that setting rests on, or why there is none.
    """

    zone: str
    used: Quantity
    planned: Quantity
    done_m2: float
    rest_m2: float
    planned_per_m2: float
    real_per_m2: float
    rounds: int = 1
    setting: float | None = None
    setting_for_rest: float | None = None
    setting_note: str = ""

    def rates(self, units: UnitSystem, kind: str) -> tuple[str, str]:
        """Return the real and the planned rate of one round, written out.

        Parameters
        ----------
        units : UnitSystem
            What to write them in.
        kind : str
            Kind of the material.
        """
        both = (self.real_per_m2, self.planned_per_m2)
        real, planned = (Quantity(value, self.used.measure).write_rate(units, kind) for value in both)
        return real, planned

    @property
    def ratio(self) -> float | None:
        """Used over planned. [1]"""
        return self.used.value / self.planned.value if self.planned.value else None

    @property
    def still(self) -> Quantity:
        """What the rest needs at the planned rate."""
        return Quantity(self.rest_m2 * self.planned_per_m2, self.used.measure)

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "zone": self.zone,
            **self.used.to_dict("used"),
            **self.planned.to_dict("planned"),
            "ratio": self.ratio,
            "done_m2": self.done_m2,
            "rest_m2": self.rest_m2,
            **Quantity(self.planned_per_m2, self.used.measure).to_dict("planned_per_m2_in"),
            **Quantity(self.real_per_m2, self.used.measure).to_dict("real_per_m2_in"),
            **self.still.to_dict("still"),
            "rounds": self.rounds,
            "setting": self.setting,
            "setting_for_rest": self.setting_for_rest,
            "setting_note": self.setting_note,
        }


@dataclass(frozen=True)
class MaterialReal:
    """One material: what was used of it where, what was bought, what is left.

    Attributes
    ----------
    name, kind : str
        What it is.
    by_zone : tuple of ZoneReal
        Zones that it went on.
    used : Quantity
        All of it, in all years of the log.
    bought : Quantity or None
        What the log says was bought; None where it says nothing.
    to_buy : Quantity or None
        What the plan buys.
    """

    name: str
    kind: str
    by_zone: tuple[ZoneReal, ...]
    used: Quantity
    bought: Quantity | None
    to_buy: Quantity | None

    @property
    def left(self) -> Quantity | None:
        """Bought less used, never below nothing; None where no purchase is in the log."""
        if self.bought is None:
            return None
        return Quantity(max(0.0, self.bought.value - self.used.value), self.used.measure)

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        parts = {"used": self.used, "bought": self.bought, "left": self.left, "to_buy": self.to_buy}
        found: dict[str, object] = {"name": self.name, "kind": self.kind}
        for name, quantity in parts.items():
            found |= quantity.to_dict(name) if quantity else {}
        return found | {"by_zone": [zone.to_dict() for zone in self.by_zone]}


@dataclass(frozen=True)
class Dose:
    """What one zone has had in the year of one nutrient, product or active ingredient.

    Attributes
    ----------
    zone, name : str
        Of the zone; of what it had.
    kind : str
        ``"nutrient"``, ``"product"`` or ``"active ingredient"``.
    had : Amount
        In the year, per area. [kg/m² or m³/m²]
    limit : Amount or None
        What the user's label or rule allows in a year, per area.
    """

    zone: str
    name: str
    kind: str
    had: Amount
    limit: Amount | None

    def amounts(self, units: UnitSystem) -> tuple[str, str]:
        """Return what it had and what is allowed, written out; the second is empty without a limit.

        Parameters
        ----------
        units : UnitSystem
            What to write them in.
        """
        if self.kind == "nutrient":
            return units.rate(self.had.value), units.rate(self.limit.value) if self.limit else ""
        limit = self.limit.write_rate(units, like=self.had) if self.limit else ""
        return self.had.write_rate(units), limit

    @property
    def share(self) -> float | None:
        """What it had over what is allowed. [1]"""
        return self.had.value / self.limit.value if self.limit else None

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "zone": self.zone,
            "name": self.name,
            "kind": self.kind,
            **_per_m2("had", self.had),
            **(_per_m2("limit", self.limit) if self.limit else {}),
            "share": self.share,
        }


def _per_m2(name: str, dose: Amount) -> dict[str, float]:
    return (
        {f"{name}_l_per_m2": dose.value * 1000}
        if dose.measure == "volume"
        else {f"{name}_kg_per_m2": dose.value}
    )


@dataclass(frozen=True)
class Stand:
    """What came up in one zone, by the last count.

    Attributes
    ----------
    zone : str
        Name of the zone.
    day : date
        When it was counted.
    cover_percent : float or None
        Ground covered by grass. [%]
    density : str
        Class of that cover, empty without one.
    density_planned : str
        Class of the zone in the plan.
    plants_per_m2 : float or None
        Plants counted. [1/m²]
    seeds_per_m2 : float or None
        Live seeds that were sown, by the log where it tells, else by the plan. [1/m²]
    mature : str
        How many plants a mature stand has, with the source; empty without a count.
    """

    zone: str
    day: dt.date
    cover_percent: float | None
    density: str
    density_planned: str
    plants_per_m2: float | None
    seeds_per_m2: float | None
    mature: str = ""

    def counts(self, units: UnitSystem) -> tuple[str, str]:
        """Return plants and live seeds, written out; empty where they are not known.

        Parameters
        ----------
        units : UnitSystem
            What to write them in.
        """
        both = ((self.plants_per_m2, "plants"), (self.seeds_per_m2, "live seeds"))
        plants, seeds = ("" if value is None else write_count(value, what, units) for value, what in both)
        return plants, seeds

    @property
    def emerged(self) -> float | None:
        """Plants over live seeds; None on ground that was not bare, where old plants are counted too. [1]"""
        if self.plants_per_m2 is None or not self.seeds_per_m2 or self.density_planned != "bare":
            return None
        return self.plants_per_m2 / self.seeds_per_m2

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "zone": self.zone,
            "date": self.day.isoformat(),
            "cover_percent": self.cover_percent,
            "density": self.density,
            "density_planned": self.density_planned,
            "plants_per_m2": self.plants_per_m2,
            "seeds_per_m2": self.seeds_per_m2,
            "emerged": self.emerged,
            "mature": self.mature,
        }


@dataclass(frozen=True)
class Done:
    """One entry as a row: when, what, where, how.

    Attributes
    ----------
    day : date
        When.
    what, material, where, how : str
        Kind of entry, material, zones and ground, amount and setting and so on, in the user's units.
    """

    day: dt.date
    what: str
    material: str
    where: str
    how: str

    def to_dict(self) -> dict[str, str]:
        """Return the attributes as a mapping."""
        return {
            "date": self.day.isoformat(),
            "what": self.what,
            "material": self.material,
            "where": self.where,
            "how": self.how,
        }


@dataclass(frozen=True)
class Tally:
    """A log held against its plan.

    Attributes
    ----------
    year : int or None
        Year of the doses; None for an empty log. [year]
    done : tuple of Done
        Every entry, by date.
    materials : tuple of MaterialReal
        Those that were used or bought.
    doses : tuple of Dose
        What each zone has had in the year.
    stands : tuple of Stand
        What came up.
    findings : tuple of Finding
        What cannot be read, does not fit or breaks a limit.
    """

    year: int | None
    done: tuple[Done, ...]
    materials: tuple[MaterialReal, ...]
    doses: tuple[Dose, ...]
    stands: tuple[Stand, ...]
    findings: tuple[Finding, ...]

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping of JSON values."""
        return {
            "year": self.year,
            "done": [one.to_dict() for one in self.done],
            "materials": [one.to_dict() for one in self.materials],
            "doses": [one.to_dict() for one in self.doses],
            "stands": [one.to_dict() for one in self.stands],
            "findings": [one.to_dict() for one in self.findings],
        }
