"""What a plan is: everything worked out for one yard, ready to be drawn."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from pathlib import Path

    import geopandas as gpd

    from lawnmap.choices import Default
    from lawnmap.contact import Comparison
    from lawnmap.evenness import Evenness
    from lawnmap.lanes import LanePlan
    from lawnmap.measure import Takeoff
    from lawnmap.quote import Quote
    from lawnmap.rates import Cover, Load, Prescription, SprayPlan
    from lawnmap.record import Tally
    from lawnmap.schedule import Season, Watering
    from lawnmap.units import UnitSystem
    from lawnmap.yard import Finding, Yard

VERSION: Final = 1
"""Version of `Plan.to_dict`."""


@dataclass(frozen=True, eq=False)
class Plan:
    """One yard, planned.

    Attributes
    ----------
    name : str
        Name of the job.
    units : UnitSystem
        What the user reads results in.
    takeoff : Takeoff
        The measured yard.
    prescription : Prescription
        What goes where, and what to buy.
    loads : tuple of Load
        What goes into the hopper, zone by zone and pass by pass.
    lanes : LanePlan
        Where to walk or drive.
    defaults : tuple of Default
        Choices that the user did not make.
    cautions : tuple of str
        What can hurt someone, in plain sentences.
    notes : tuple of str
        What the user wrote about the job.
    imagery : str or None
        Name of a tile source to put under the map, where the user asks for one.
    paper : str or None
        Paper to print on, where the user says it.
    font : Path or None
        Type to print with, where the user names one.
    evenness : Evenness or None
        What really lands where; None without lanes or without anything to spread.
    sprays : tuple of SprayPlan
        What is sprayed, tank by tank, one for each ``[[spray]]``.
    covers : tuple of Cover
        What is laid over the seed: topdressing, straw.
    contact : Comparison or None
        Ways to bring seed into the soil, where the job file asks to compare them.
    record : Tally or None
        What was really done, where the job file asks to start from the log.
    quote : Quote or None
        What it costs, with the options beside it; None without prices.
    season : Season or None
        Dated steps; None without ``[dates]``.
    watering : Watering or None
        How long to run the water; None without a station.
    """

    name: str
    units: UnitSystem
    takeoff: Takeoff = field(repr=False)
    prescription: Prescription = field(repr=False)
    loads: tuple[Load, ...] = field(repr=False)
    lanes: LanePlan = field(repr=False)
    defaults: tuple[Default, ...] = field(repr=False)
    cautions: tuple[str, ...] = field(repr=False)
    notes: tuple[str, ...] = ()
    imagery: str | None = None
    paper: str | None = None
    font: Path | None = None
    evenness: Evenness | None = None
    sprays: tuple[SprayPlan, ...] = ()
    covers: tuple[Cover, ...] = ()
    contact: Comparison | None = None
    record: Tally | None = None
    quote: Quote | None = None
    season: Season | None = field(default=None, repr=False)
    watering: Watering | None = field(default=None, repr=False)

    @property
    def yard(self) -> Yard:
        """The yard as it was read."""
        return self.takeoff.yard

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All that was mended, doubted or assumed on the way."""
        priced = self.quote.offers if self.quote else ()
        always = (self.takeoff, self.prescription, self.lanes)
        asked = (self.evenness, self.season, self.watering, *priced)
        held = (*self.sprays, *((self.record,) if self.record else ()))
        return (
            *(found for part in (*always, *asked) if part for found in part.findings),
            *(found for part in held for found in part.findings),
        )

    def to_dict(self) -> dict[str, object]:
        """Return the plan as JSON values, in SI, every key with its unit."""
        return {
            "lawnmap": VERSION,
            "name": self.name,
            "units": self.units.name,
            "takeoff": self.takeoff.to_dict(),
            "prescription": self.prescription.to_dict(),
            "loads": [load.to_dict() for load in self.loads],
            "lanes": self.lanes.to_dict(),
            "evenness": self.evenness.to_dict() if self.evenness else None,
            "sprays": [spray.to_dict() for spray in self.sprays],
            "covers": [cover.to_dict() for cover in self.covers],
            "contact": self.contact.to_dict() if self.contact else None,
            "record": self.record.to_dict() if self.record else None,
            "quote": self.quote.to_dict() if self.quote else None,
            "season": self.season.to_dict() if self.season else None,
            "watering": self.watering.to_dict() if self.watering else None,
            "defaults": [default.to_dict() for default in self.defaults],
            "cautions": list(self.cautions),
            "notes": list(self.notes),
            "findings": [finding.to_dict() for finding in self.findings],
        }

    def to_frame(self) -> gpd.GeoDataFrame:
        """Return one row per zone, as `Takeoff.to_frame` does."""
        return self.takeoff.to_frame()
