"""What a score is: how even the whole lawn comes out, zone by zone, and what lands off it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from lazy_loader import load

from lawnmap.errors import InputError
from lawnmap.evenness.raster import write_raster

if TYPE_CHECKING:
    from pathlib import Path

    import pandas as pd

    from lawnmap.evenness.advice import Advice
    from lawnmap.evenness.gates import ZoneSetting
    from lawnmap.evenness.layer import Layer
    from lawnmap.evenness.throw import ThrowReport
    from lawnmap.yard import Finding, Plane

pandas = load("pandas")  # slow to load, and only tables need it

UNDER: Final = 0.75
"""Ground that gets less than this share of its target counts as short. [1]"""

OVER: Final = 1.25
"""Ground that gets more than this share of its target counts as too much. [1]"""


@dataclass(frozen=True)
class ZoneEvenness:
    """One zone.

    Attributes
    ----------
    name : str
        Name of the zone, empty for bare ground.
    area_m2 : float
        Ground that the lanes are to cover. [m²]
    target_kg_per_m2 : float
        Rate it is to get. [kg/m²]
    mean_kg_per_m2 : float
        Rate it does get on average. [kg/m²]
    interior_cv : float
        Standard deviation over mean away from the edges, in closed form from pattern and spacing. [1]
    cv : float
        The same over the whole zone, edges counted. [1]
    under_share, over_share : float
        Shares of the ground that get under 75 % and over 125 % of the target. [1]
    """

    name: str
    area_m2: float
    target_kg_per_m2: float
    mean_kg_per_m2: float
    interior_cv: float
    cv: float
    under_share: float
    over_share: float

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "name": self.name,
            "area_m2": self.area_m2,
            "target_kg_per_m2": self.target_kg_per_m2,
            "mean_kg_per_m2": self.mean_kg_per_m2,
            "interior_cv": self.interior_cv,
            "cv": self.cv,
            "under_share": self.under_share,
            "over_share": self.over_share,
        }


@dataclass(frozen=True)
class Evenness:
    """How even a lane plan comes out with one spreader.

    All deviations are those of the whole ground, every cell of it, not of a sample.

    Attributes
    ----------
    zones : tuple of ZoneEvenness
        Zone by zone.
    interior_cv : float
        Standard deviation over mean away from the edges, the mean over the zones by area. [1]
    whole_cv : float
        The same over all the ground, each cell against its zone's target. [1]
    under_share, over_share : float
        Shares of the ground that get under 75 % and over 125 % of their target. [1]
    hopper_kg : float
        What leaves the hopper. [kg]
    on_lawn_kg : float
        What lands on ground that is to get some. [kg]
    off_lawn_kg : mapping of str to float
        What lands elsewhere, by kind: obstacles, ``"water"``, ``"other lawn"``, ``"beyond the lawn"``. [kg]
    water_strip_kg : float
        Part of what lands on the lawn that lies within the setback of water. [kg]
    by_hand_area_m2 : float
        Ground that the lanes leave to be done by hand; it is not in the shares above. [m²]
    cell_m : float
        Side of the cells it was added up on. [m]
    findings : tuple of Finding
        What the user should know.
    material : str
        The product that it was added up for.
    throw : ThrowReport or None
        What the throw says before any lawn.
    layer : Layer or None
        What lands where, for a map.
    settings : tuple of ZoneSetting
        What to set the gate to, where test runs tell.
    advice : tuple of Advice
        What could be changed, best first, where it was asked for.
    raster : bool
        Whether the user wants what lands as a file for a GIS.
    """

    zones: tuple[ZoneEvenness, ...]
    interior_cv: float
    whole_cv: float
    under_share: float
    over_share: float
    hopper_kg: float
    on_lawn_kg: float
    off_lawn_kg: dict[str, float] = field(hash=False)
    water_strip_kg: float
    by_hand_area_m2: float
    cell_m: float
    findings: tuple[Finding, ...] = ()
    material: str = ""
    throw: ThrowReport | None = field(default=None, repr=False)
    layer: Layer | None = field(default=None, repr=False)
    settings: tuple[ZoneSetting, ...] = ()
    advice: tuple[Advice, ...] = ()
    raster: bool = False

    @property
    def off_lawn_share(self) -> float:
        """Share of the hopper that lands off the lawn. [1]"""
        return sum(self.off_lawn_kg.values()) / self.hopper_kg

    @property
    def outside_share(self) -> float:
        """Share of the ground that gets under 75 % or over 125 % of its target. [1]"""
        return self.under_share + self.over_share

    def line(self) -> str:
        """Return the one line that a user needs."""
        return (
            f"evenness: CV {self.interior_cv:.0%} between lanes, {self.whole_cv:.0%} with the edges; "
            f"{self.under_share:.0%} of the lawn short, {self.over_share:.0%} over; "
            f"{self.off_lawn_share:.1%} lands off the lawn"
        )

    @property
    def best(self) -> Advice | None:
        """The change that reaches most, if any reaches more than the plan as it is."""
        return self.advice[0] if self.advice and not self.advice[0].now else None

    @property
    def rests_on(self) -> str:
        """Whose throw it was added up for, in words."""
        if self.throw and self.throw.pattern.shape == "catch test":
            return "for the throw of the catch test"
        return "for the throw that [spreader] states or assumes"

    def gate(self, zone: str, material: str) -> str:
        """Return the gate setting for one pass over a zone in words; empty where no test run tells.

        Parameters
        ----------
        zone, material : str
            Names of both.
        """
        found = next((one for one in self.settings if one.zone == zone and one.setting), None)
        return found.says() if found and material == self.material else ""

    def write_raster(self, path: Path, plane: Plane) -> None:
        """Write what lands where as a GeoTIFF: the rate, and the rate over its target.

        Parameters
        ----------
        path : Path
            Where.
        plane : Plane
            The yard's plane.
        """
        if self.layer is None:
            raise InputError("this score has no layer to write", mend="make one with layer(...)")
        write_raster(self.layer, path, plane)

    def to_dict(self) -> dict[str, object]:
        """Return the figures as a mapping of JSON values."""
        return {
            "interior_cv": self.interior_cv,
            "whole_cv": self.whole_cv,
            "under_share": self.under_share,
            "over_share": self.over_share,
            "hopper_kg": self.hopper_kg,
            "on_lawn_kg": self.on_lawn_kg,
            "off_lawn_kg": dict(self.off_lawn_kg),
            "off_lawn_share": self.off_lawn_share,
            "water_strip_kg": self.water_strip_kg,
            "by_hand_area_m2": self.by_hand_area_m2,
            "cell_m": self.cell_m,
            "material": self.material,
            "zones": [zone.to_dict() for zone in self.zones],
            "throw": self.throw.to_dict() if self.throw else None,
            "settings": [one.to_dict() for one in self.settings],
            "advice": [one.to_dict() for one in self.advice],
            "findings": [finding.to_dict() for finding in self.findings],
        }

    def to_frame(self) -> pd.DataFrame:
        """Return one row per zone, SI columns named with their unit."""
        frame: pd.DataFrame = pandas.DataFrame([zone.to_dict() for zone in self.zones])
        return frame
