"""What each way takes: by hand from its pace, in lanes of its own width, or by the material it lays."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from lawnmap.contact.choices import Contact, Hand, Laying, Machine
from lawnmap.contact.model import Way, WayZone, work_cost
from lawnmap.lanes import lay
from lawnmap.rates import Straw, Topdress, straw, topdress
from lawnmap.rates.rows import select
from lawnmap.units import US, UnitSystem, duration

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from lawnmap.contact.choices import WayName
    from lawnmap.lanes import LanePlan, Rig
    from lawnmap.measure import Takeoff, ZoneArea
    from lawnmap.rates import Cover

SUITS: Final[dict[WayName, tuple[str, ...]]] = {
    "hand cultivator": ("bare",),
    "rake": ("bare", "thin"),
    "drag mat": ("bare",),
    "core aerator": ("thin", "patchy"),
    "slit seeder": ("bare", "thin", "patchy"),
    "roller": ("bare",),
}
"""Density classes that each way suits. *common practice*; aerating and slit-seeding into a stand: soil_contact table."""

LOOK_S: Final = 5.0
"""How long to look for good lanes of one machine: a comparison needs no better. [s]"""


@dataclass(frozen=True)
class Basis:
    """What every way is worked out from.

    Attributes
    ----------
    takeoff : Takeoff
        The measured yard, only zones that are seeded.
    contact : Contact
        Paces, machines and prices.
    rig : Rig
        Where the walk begins, and what a turn takes.
    topdress, straw : Topdress, Straw
        Depth, bales, and where.
    units : UnitSystem
        Units of the sentences.
    """

    takeoff: Takeoff
    contact: Contact
    rig: Rig
    topdress: Topdress
    straw: Straw
    units: UnitSystem = US

    def work_cost(self, time_s: float) -> Decimal | None:
        """Return what so much work costs, None without a wage.

        Parameters
        ----------
        time_s : float
            Work. [s]
        """
        return None if self.contact.wage is None else work_cost(self.contact.wage, time_s)

    def zones(self, name: WayName) -> tuple[ZoneArea, ...]:
        """Return the zones that a way suits: small spots by hand, all others in lanes or with a rake.

        Parameters
        ----------
        name : str
            Of the way.
        """
        spots_too = name == "hand cultivator" or (
            name == "rake" and "hand cultivator" not in self.contact.ways
        )
        spots_only = name == "hand cultivator"
        return tuple(
            zone
            for zone in self.takeoff.zones
            if zone.density in SUITS[name] and (spots_too if zone.by_hand else not spots_only)
        )


def all_ways(basis: Basis) -> tuple[Way, ...]:
    """Return every way that the user can do and that suits any of the ground.

    Parameters
    ----------
    basis : Basis
        What they are worked out from.
    """
    contact = basis.contact
    makers: dict[WayName, Callable[[], Way]] = {
        "hand cultivator": lambda: _by_hand(basis, "hand cultivator", contact.hand_cultivator),
        "rake": lambda: _by_hand(basis, "rake", contact.rake),
        "drag mat": lambda: _in_lanes(basis, "drag mat", contact.drag_mat),
        "core aerator": lambda: _in_lanes(basis, "core aerator", contact.core_aerator),
        "slit seeder": lambda: _in_lanes(basis, "slit seeder", contact.slit_seeder),
        "roller": lambda: _in_lanes(basis, "roller", contact.roller),
        "topdressing": lambda: _laid(
            basis,
            "topdressing",
            contact.topdressing,
            topdress(basis.takeoff, basis.topdress, units=basis.units),
        ),
        "straw": lambda: _laid(
            basis, "straw", contact.straw, straw(basis.takeoff, basis.straw, units=basis.units)
        ),
    }
    made = (makers[name]() for name in dict.fromkeys(contact.ways))
    return tuple(way for way in made if way.by_zone)


def _said(name: str) -> str:
    return "; ".join(f"{row.text} ({row.source})" for row in select("soil_contact", name))


def _by_hand(basis: Basis, name: WayName, hand: Hand) -> Way:
    pace = f"{basis.units.area(hand.pace_m2_per_s * 3600)}/h"
    parts = []
    for zone in basis.zones(name):
        time = zone.surface_area_m2 / hand.pace_m2_per_s
        text = f"{basis.units.area(zone.surface_area_m2)} ÷ {pace}"
        parts.append(WayZone(zone.name, zone.surface_area_m2, time, text, basis.work_cost(time)))
    return Way(name, "open", tuple(parts), hand.fetch_s, wage=basis.contact.wage, said=_said(name))


def _in_lanes(basis: Basis, name: WayName, machine: Machine) -> Way:
    """Lay lanes of the machine's own width; corners that no lane reaches are raked."""
    zones = [zone for zone in basis.zones(name) if not zone.by_hand]
    lanes = _lanes(basis, machine, zones) if zones else None
    parts = []
    for zone in zones:
        runs = [single for single in lanes.passes if single.zone == zone.name] if lanes else []
        if not any(single.work_length_m for single in runs):
            continue  # too narrow for it
        one = sum(single.time_s for single in runs)
        corners = sum(single.by_hand.area for single in runs)
        time = machine.passes * one + corners / basis.contact.rake.pace_m2_per_s
        width = basis.units.width(machine.width_m)
        text = f"{machine.passes} × {duration(one)} in lanes of {width}"
        if corners > zone.surface_area_m2 / 1000:
            text += f", {basis.units.area(corners)} of corners by rake"
        parts.append(WayZone(zone.name, zone.surface_area_m2, time, text, basis.work_cost(time)))
    return Way(
        name=name,
        step="press" if name == "roller" else "open",
        by_zone=tuple(parts),
        fetch_s=machine.fetch_s,
        hire=machine.hire,
        wage=basis.contact.wage,
        said=_said(name),
        lanes=lanes,
        passes=machine.passes,
    )


def _lanes(basis: Basis, machine: Machine, zones: Sequence[ZoneArea]) -> LanePlan:
    rig = basis.rig.model_copy(
        update={
            "swath_m": machine.width_m,
            "passes": "one direction",
            "machine": machine.machine,
            "turning_radius_m": machine.turning_radius_m,
            "speed_m_per_s": machine.speed_m_per_s,
            "stake_every": 0,
            "time_cap_s": min(basis.rig.time_cap_s, LOOK_S),
        }
    )
    return lay(replace(basis.takeoff, zones=tuple(zones)), rig)


def _laid(basis: Basis, name: WayName, laying: Laying, cover: Cover) -> Way:
    bought = cover.loads if cover.loads is not None else cover.buy
    price = None if laying.price is None or bought is None else laying.price * bought
    parts = []
    for zone in cover.by_zone:
        if laying.pace_m3_per_s is not None and cover.kind == "topdressing":
            time, pace = (
                zone.amount / laying.pace_m3_per_s,
                f"{basis.units.bulk(laying.pace_m3_per_s * 3600)}/h",
            )
            text = f"{basis.units.bulk(zone.amount)} ÷ {pace}"
        else:
            per_s = laying.pace_m2_per_s or basis.contact.rake.pace_m2_per_s
            time, pace = zone.area_m2 / per_s, f"{basis.units.area(per_s * 3600)}/h"
            text = f"{basis.units.area(zone.area_m2)} ÷ {pace}"
        work = basis.work_cost(time)
        share = Decimal(repr(zone.amount / cover.total)) if cover.total else Decimal(0)
        cost = None if work is None or price is None else work + price * share
        parts.append(WayZone(zone.zone, zone.area_m2, time, text, cost))
    return Way(
        name=name,
        step="cover",
        by_zone=tuple(parts),
        fetch_s=laying.fetch_s,
        material=_material(cover, basis.units),
        wage=basis.contact.wage,
        said=_said(name),
    )


def _material(cover: Cover, units: UnitSystem) -> str:
    if cover.kind == "straw":
        return f"{_counted(cover.buy or 0, 'bale')} of straw"
    packs = (
        _counted(cover.buy, "bag") if cover.buy else "",
        _counted(cover.loads, "load") if cover.loads else "",
    )
    return ", ".join(part for part in (f"{units.bulk(cover.total)} of {cover.name}", *packs) if part)


def _counted(count: int, word: str) -> str:
    return f"{count} {word}{'s' if count != 1 else ''}"
