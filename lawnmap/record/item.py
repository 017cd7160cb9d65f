"""What the log is held against: every material of the plan, seen alike."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from lawnmap.errors import nearest
from lawnmap.rates import PASSES
from lawnmap.record.entry import Measure, Quantity
from lawnmap.units import US, UnitSystem

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lawnmap.evenness import SettingCurve
    from lawnmap.measure import Takeoff
    from lawnmap.rates import Cover, Fertilizer, Material, Prescription, Seed, Spray, SprayPlan


@dataclass(frozen=True)
class Share:
    """What one zone is planned to get of a material.

    Attributes
    ----------
    area_m2 : float
        Ground that gets it. [m²]
    per_m2 : float
        In one round over it. [kg/m², m³/m² or count/m²]
    rounds : int
        How often the plan goes over it: passes of a spreader, applications of a spray. [count]
    by_hand : bool
        Whether it is thrown by hand, without a setting.
    """

    area_m2: float
    per_m2: float
    rounds: int = 1
    by_hand: bool = False


@dataclass(frozen=True)
class Item:
    """One material of the plan.

    Attributes
    ----------
    name, kind : str
        What it is: ``"seed"``, ``"fertilizer"``, ``"product"``, ``"spray"``, ``"topdressing"``, ``"straw"``.
    measure : str
        How it is measured out.
    by_zone : mapping
        Share of each zone by name.
    to_buy : Quantity or None
        What the plan buys, where pack sizes are known.
    """

    name: str
    kind: str
    measure: Measure
    by_zone: Mapping[str, Share]
    to_buy: Quantity | None = None


@dataclass(frozen=True)
class Planned:
    """What was to be done.

    Attributes
    ----------
    takeoff : Takeoff
        The measured yard.
    items : tuple of Item
        Every material of the plan.
    seed : Seed or None
        What was sown.
    fertilizer : Fertilizer or None
        What was fed.
    sprays : tuple of Spray
        The user's labels.
    curve : SettingCurve or None
        Rate against setting, from test runs.
    units : UnitSystem
        Units of the sentences.
    """

    takeoff: Takeoff = field(repr=False)
    items: tuple[Item, ...]
    seed: Seed | None = None
    fertilizer: Fertilizer | None = None
    sprays: tuple[Spray, ...] = ()
    curve: SettingCurve | None = None
    units: UnitSystem = US

    def item(self, name: str) -> Item | None:
        """Return the material of a name, however it is capitalised."""
        plain = name.strip().casefold()
        return next((item for item in self.items if item.name.casefold() == plain), None)

    def near(self, name: str) -> str:
        """Return a clause with the nearest name of a material, or all of them."""
        return nearest(name, [item.name for item in self.items]) if self.items else "the plan has none"

    def spray(self, name: str) -> Spray | None:
        """Return the label of a name."""
        plain = name.strip().casefold()
        return next((spray for spray in self.sprays if spray.name.casefold() == plain), None)

    def zone_area_m2(self, name: str) -> float:
        """Return the ground of a zone, along its slope. [m²]"""
        return next(zone.surface_area_m2 for zone in self.takeoff.zones if zone.name == name)


def items_of(
    prescription: Prescription,
    sprays: tuple[SprayPlan, ...] = (),
    covers: tuple[Cover, ...] = (),
    *,
    passes: str,
) -> tuple[Item, ...]:
    """Return every material of a plan.

    Parameters
    ----------
    prescription : Prescription
        Granular products.
    sprays : tuple of SprayPlan
        What is sprayed.
    covers : tuple of Cover
        What is laid over the seed.
    passes : str
        How the spreader splits its rate, a key of `lawnmap.rates.PASSES`.
    """
    found = [_granular(material, PASSES[passes]) for material in prescription.materials]
    for spray in sprays:
        shares = {
            zone.zone: Share(zone.area_m2, zone.product.value / zone.area_m2, spray.applications)
            for zone in spray.by_zone
        }
        found.append(Item(spray.name, "spray", spray.product.measure, shares))
    for cover in covers:
        shares = {zone.zone: Share(zone.area_m2, zone.amount / zone.area_m2) for zone in cover.by_zone}
        is_straw = cover.kind == "straw"
        bales = Quantity(float(cover.buy), "bales") if is_straw and cover.buy else None
        found.append(Item(cover.name, cover.kind, "bales" if is_straw else "volume", shares, bales))
    return tuple(found)


def _granular(material: Material, passes: int) -> Item:
    """Return a material of the spreader; what is thrown by hand is thrown once."""
    shares = {}
    for one in material.by_zone:
        rounds = 1 if one.by_hand else passes
        shares[one.zone] = Share(one.area_m2, one.rate_kg_per_m2 / rounds, rounds, one.by_hand)
    packs = sum(pack.size_kg * pack.count for pack in material.packs)
    return Item(material.name, material.kind, "mass", shares, Quantity(packs, "mass") if packs else None)
