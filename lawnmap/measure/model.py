"""What a take-off is: the true ground of every zone, what was cut out of it, and how sure that is."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from lazy_loader import load
from shapely.geometry import MultiPolygon, Polygon

from lawnmap.yard import Finding, Yard

if TYPE_CHECKING:
    import geopandas as gpd

geopandas = load("geopandas")  # slow to load, and only tables need it

Shape = Polygon | MultiPolygon


@dataclass(frozen=True)
class CutOut:
    """Ground that one obstacle takes from one zone, counted once where obstacles overlap.

    Attributes
    ----------
    obstacle, kind, zone : str
        Names of the obstacle and the zone, and the kind of obstacle.
    area_m2 : float
        Ground taken. [m²]
    """

    obstacle: str
    kind: str
    zone: str
    area_m2: float

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {"obstacle": self.obstacle, "kind": self.kind, "zone": self.zone, "area_m2": self.area_m2}


@dataclass(frozen=True)
class ZoneArea:
    """One zone, measured.

    Attributes
    ----------
    name : str
        Name of the zone.
    density : str
        Its class.
    density_from : str
        ``"stated"``, ``"cover"`` or ``"default"``.
    cover_percent : float or None
        Percent cover, where stated. [%]
    slope_percent : float
        Slope, 0 for level. [%]
    gross_area_m2 : float
        Outline as drawn, seen from above, before anything is taken out. [m²]
    net_area_m2 : float
        Grass seen from above: less obstacles and less what an earlier zone has. [m²]
    net_area_se_m2 : float
        Standard error of the net area from the accuracy of the vertices. [m²]
    surface_area_m2 : float
        Net area along the slope: what seed and fertilizer are worked out on. [m²]
    unfed_area_m2 : float
        Surface within the setback of water: seed, but no fertilizer. [m²]
    by_hand : bool
        Whether the zone is bare and small enough to be seeded by hand.
    ground : Polygon or MultiPolygon
        The net ground. [m]
    unfed : Polygon or MultiPolygon
        The part of it within the setback; may be empty. [m]
    """

    name: str
    density: str
    density_from: str
    cover_percent: float | None
    slope_percent: float
    gross_area_m2: float
    net_area_m2: float
    net_area_se_m2: float
    surface_area_m2: float
    unfed_area_m2: float
    by_hand: bool
    ground: Shape = field(repr=False)
    unfed: Shape = field(repr=False)

    def to_dict(self) -> dict[str, object]:
        """Return the figures as a mapping, without the shapes."""
        return {
            "name": self.name,
            "density": self.density,
            "density_from": self.density_from,
            "cover_percent": self.cover_percent,
            "slope_percent": self.slope_percent,
            "gross_area_m2": self.gross_area_m2,
            "net_area_m2": self.net_area_m2,
            "net_area_se_m2": self.net_area_se_m2,
            "surface_area_m2": self.surface_area_m2,
            "unfed_area_m2": self.unfed_area_m2,
            "by_hand": self.by_hand,
        }


@dataclass(frozen=True)
class Takeoff:
    """A yard, measured.

    Attributes
    ----------
    yard : Yard
        What was measured.
    zones : tuple of ZoneArea
        In the order of the yard.
    cutouts : tuple of CutOut
        What the obstacles take, zone by zone.
    gross_area_m2 : float
        All outlines together, overlaps counted once, before obstacles. [m²]
    net_area_m2 : float
        All grass, seen from above. [m²]
    net_area_se_m2 : float
        Its standard error. [m²]
    geodesic_area_m2 : float or None
        The net area on the ellipsoid by geodesics, as a second figure; None for a local plane. [m²]
    vertex_sigma_m : float
        Standard error of one coordinate that the errors rest on. [m]
    vertex_sigma_from : str
        Where that figure comes from, in words.
    findings : tuple of Finding
        Those of the yard and those of the measuring.
    """

    yard: Yard = field(repr=False)
    zones: tuple[ZoneArea, ...]
    cutouts: tuple[CutOut, ...]
    gross_area_m2: float
    net_area_m2: float
    net_area_se_m2: float
    geodesic_area_m2: float | None
    vertex_sigma_m: float
    vertex_sigma_from: str
    findings: tuple[Finding, ...]

    def to_dict(self) -> dict[str, object]:
        """Return the figures as a mapping of JSON values."""
        return {
            "yard": self.yard.name,
            "plane": self.yard.plane.to_dict(),
            "origin": self.yard.origin.to_dict(),
            "gross_area_m2": self.gross_area_m2,
            "net_area_m2": self.net_area_m2,
            "net_area_se_m2": self.net_area_se_m2,
            "geodesic_area_m2": self.geodesic_area_m2,
            "vertex_sigma_m": self.vertex_sigma_m,
            "vertex_sigma_from": self.vertex_sigma_from,
            "zones": [zone.to_dict() for zone in self.zones],
            "cutouts": [cutout.to_dict() for cutout in self.cutouts],
            "findings": [finding.to_dict() for finding in self.findings],
        }

    def to_frame(self) -> gpd.GeoDataFrame:
        """Return one row per zone, with its net ground in metres on the yard's plane."""
        return frame_of(self)


def frame_of(takeoff: Takeoff) -> gpd.GeoDataFrame:
    """Return the zones of a take-off as a table with shapes.

    Parameters
    ----------
    takeoff : Takeoff
        A measured yard.

    Returns
    -------
    GeoDataFrame
        Columns as `ZoneArea.to_dict` names them, geometry in metres on the yard's plane.
    """
    return geopandas.GeoDataFrame(
        [zone.to_dict() for zone in takeoff.zones], geometry=[zone.ground for zone in takeoff.zones]
    )
