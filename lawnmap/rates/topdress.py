"""What covers the seed: topdressing by depth, straw by the bale; volumes, bags and loads."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING, ClassVar, Literal, Self

from pydantic import model_validator

from lawnmap.choices import Area, BulkDensity, Depth, Percent, Section, Volume, choice
from lawnmap.errors import ChoiceError
from lawnmap.rates.fertilizer import Density
from lawnmap.rates.ground import ground_for
from lawnmap.rates.model import Source
from lawnmap.rates.rows import combine, select
from lawnmap.units import US, UnitSystem, parse

if TYPE_CHECKING:
    from lawnmap.measure import Takeoff


class Topdress(Section):
    """The ``[topdress]`` section of a job file."""

    section: ClassVar[str] = "topdress"

    material: str = choice(
        "material", "compost", "What is spread: compost, peat, topsoil, sand.", min_length=1
    )
    depth_m: Depth = choice("depth", "1/4 in", "How deep it lies (common practice).", gt=0, le=0.2)
    on: tuple[Density, ...] = choice("on", ("bare", "thin"), "Density classes that get it.", min_length=1)
    zones: tuple[str, ...] = choice("zones", (), "Names of the zones that get it; all if left empty.")
    bag_m3: Volume | None = choice("bag", None, 'What a bag or bale fills once it is loose, "2 cu ft".', gt=0)
    load_m3: Volume | None = choice(
        "load", None, 'What one load of your truck or cart holds, "2 cu yd".', gt=0
    )
    weight_kg_per_m3: BulkDensity | None = choice(
        "weight", None, 'What it weighs, "35 lb/cu ft", for the axle.', gt=0
    )
    allowance: Percent = choice("allowance", "5 %", "Bought on top of the sum (common practice).", ge=0, le=1)


class Straw(Section):
    """The ``[straw]`` section of a job file."""

    section: ClassVar[str] = "straw"

    season: Literal["cool-season", "warm-season"] = choice(
        "season", "cool-season", "What kind of grass lies under it; the tables tell the two apart."
    )
    area_per_bale_m2: Area | None = choice(
        "area_per_bale",
        None,
        'Ground that one bale covers, "700 sq ft"; the table\'s figure if left out.',
        gt=0,
    )
    on: tuple[Density, ...] = choice("on", ("bare",), "Density classes that get it.", min_length=1)
    zones: tuple[str, ...] = choice("zones", (), "Names of the zones that get it; all if left empty.")
    allowance: Percent = choice("allowance", "5 %", "Bought on top of the sum (common practice).", ge=0, le=1)

    @model_validator(mode="after")
    def _check(self) -> Self:
        if self.area_per_bale_m2 is not None and self.area_per_bale_m2 < 1:
            raise ChoiceError("a bale covers more than that", where="area_per_bale", mend="check its unit")
        return self


@dataclass(frozen=True)
class CoverZone:
    """What one zone gets.

    Attributes
    ----------
    zone : str
        Name of the zone.
    area_m2 : float
        Ground that is covered. [m²]
    amount : float
        Topdressing or bales. [m³ or count]
    """

    zone: str
    area_m2: float
    amount: float


@dataclass(frozen=True)
class Cover:
    """One material that covers the ground, for the whole job.

    Attributes
    ----------
    name : str
        What it is.
    kind : str
        ``"topdressing"`` or ``"straw"``.
    by_zone : tuple of CoverZone
        What each zone gets.
    total : float
        Sum over the zones, without allowance. [m³ or count]
    buy : int or None
        Whole bags or bales to buy, allowance included; None for loose material without a bag size. [count]
    loads : int or None
        Loads to fetch, allowance included, where the load is known. [count]
    weight_kg : float or None
        What it weighs, where that is known. [kg]
    reason : str
        How the amount came about.
    source : Source
        Where the rate comes from.
    """

    name: str
    kind: str
    by_zone: tuple[CoverZone, ...]
    total: float
    buy: int | None
    loads: int | None
    weight_kg: float | None
    reason: str
    source: Source

    @property
    def area_m2(self) -> float:
        """Ground that is covered. [m²]"""
        return sum(zone.area_m2 for zone in self.by_zone)

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping; topdressing in ``total_m3``, straw in ``total_bales``."""
        unit = "m3" if self.kind == "topdressing" else "bales"
        return {
            "name": self.name,
            "kind": self.kind,
            f"total_{unit}": self.total,
            "by_zone": [
                {
                    "zone": zone.zone,
                    "area_m2": zone.area_m2,
                    f"amount_{unit}": zone.amount,
                    "source": str(self.source),
                }
                for zone in self.by_zone
            ],
            "buy": self.buy,
            "loads": self.loads,
            "weight_kg": self.weight_kg,
            "reason": self.reason,
            "source": str(self.source),
        }


def topdress(takeoff: Takeoff, choices: Topdress, *, units: UnitSystem = US) -> Cover:
    """Work out topdressing: area times depth.

    Parameters
    ----------
    takeoff : Takeoff
        The measured yard.
    choices : Topdress
        Material, depth and where.
    units : UnitSystem
        Units of the reason.

    Raises
    ------
    ChoiceError
        For a zone that there is not.
    """
    by_zone = _covered(takeoff, choices, choices.depth_m)
    total = sum(zone.amount for zone in by_zone)
    bought = total * (1 + choices.allowance)
    own = "depth_m" in choices.model_fields_set
    return Cover(
        name=choices.material,
        kind="topdressing",
        by_zone=by_zone,
        total=total,
        buy=_whole(bought, choices.bag_m3),
        loads=_whole(bought, choices.load_m3),
        weight_kg=None if choices.weight_kg_per_m3 is None else bought * choices.weight_kg_per_m3,
        reason=f"{units.depth(choices.depth_m)} deep: {units.bulk(total)} in place",
        source=Source("your own depth", "", "[topdress], depth", "user")
        if own
        else Source("usual depth", "", "[topdress], depth", "common practice"),
    )


def straw(takeoff: Takeoff, choices: Straw, *, units: UnitSystem = US) -> Cover:
    """Work out straw: bales for the ground that is covered.

    Parameters
    ----------
    takeoff : Takeoff
        The measured yard.
    choices : Straw
        How far a bale goes and where.
    units : UnitSystem
        Units of the reason.

    Raises
    ------
    ChoiceError
        For a zone that there is not.
    """
    per_bale, source = _area_per_bale(choices)
    by_zone = _covered(takeoff, choices, 1 / per_bale)
    total = sum(zone.amount for zone in by_zone)
    seen = combine(select("soil_seen_through_mulch", "mulch"), "fraction")
    return Cover(
        name="straw",
        kind="straw",
        by_zone=by_zone,
        total=total,
        buy=_whole(total * (1 + choices.allowance), 1.0),
        loads=None,
        weight_kg=None,
        reason=(
            f"one bale to {units.area(per_bale)}; {seen.low * 100:g} to {seen.high * 100:g} % of the soil stays in "
            f"sight ({seen.nearest.source})"
        ),
        source=source,
    )


def _area_per_bale(choices: Straw) -> tuple[float, Source]:
    if choices.area_per_bale_m2 is not None:
        return choices.area_per_bale_m2, Source("your own figure", "", "[straw], area_per_bale", "user")
    (row,) = select("mulch", "straw", choices.season)
    assert row.low is not None
    assert row.high is not None  # a figure, not a rule
    return parse("1000 sq ft", "area") / ((row.low + row.high) / 2), row.source


def _covered(takeoff: Takeoff, choices: Topdress | Straw, per_m2: float) -> tuple[CoverZone, ...]:
    where = f"[{choices.section}], zones"
    ground = ground_for(takeoff, choices.on, choices.zones, near_water=True, where=where)
    return tuple(CoverZone(zone.name, area, area * per_m2) for zone, area in ground)


def _whole(amount: float, size: float | None) -> int | None:
    return None if size is None else ceil(amount / size * (1 - 1e-12))
