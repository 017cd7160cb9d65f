"""A yard: zones, obstacles, water and landmarks, in metres on its own plane."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf
from typing import TYPE_CHECKING, Final

from shapely.geometry import LineString, MultiLineString, MultiPolygon, Point, Polygon

from lawnmap.errors import ChoiceError, nearest
from lawnmap.yard.density import DENSITIES
from lawnmap.yard.plane import LOCAL, Plane

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lawnmap.yard.finding import Finding

OBSTACLE_KINDS: Final = ("house", "drive", "walk", "bed", "pool", "tree", "other")
"""What stands on a lawn or cuts into it. ``walk`` is any paving for feet: path, patio, terrace."""

CROSSABLE: Final = ("drive", "walk")
"""Kinds of obstacle that a person with a spreader may walk over, gate shut."""

LANDMARK_KINDS: Final = ("corner", "wall", "gate", "refill", "aim", "other")
"""Fixed points and lines to tape from, to pass through, to refill at or to aim for."""

Ground = Polygon | MultiPolygon

_STEEPEST_PERCENT: Final = 200
"""No turf is kept on banks steeper than this; a larger figure is a slip, degrees times ten for instance."""


@dataclass(frozen=True)
class Zone:
    """A part of the lawn that is treated alike.

    Attributes
    ----------
    name : str
        What people call it; unique in a yard.
    polygon : Polygon or MultiPolygon
        Its outline, obstacles not yet taken out. [m]
    density : str, optional
        ``bare``, ``thin``, ``patchy`` or ``full``, where the source states it.
    cover_percent : float, optional
        Ground covered by desirable grass, from which the class follows. [%]
    slope_percent : float
        Rise over run of the ground, 0 for level. [%]
    """

    name: str
    polygon: Ground
    density: str | None = None
    cover_percent: float | None = None
    slope_percent: float = 0.0

    def __post_init__(self) -> None:
        if self.density is not None and self.density not in DENSITIES:
            raise ChoiceError(
                f'"{self.density}" is not a density class',
                where=f'zone "{self.name}"',
                mend=nearest(self.density, DENSITIES),
            )
        if self.cover_percent is not None and not 0 <= self.cover_percent <= 100:
            raise ChoiceError(
                f"{self.cover_percent:g} % of cover is not possible",
                where=f'zone "{self.name}"',
                mend="give a percentage from 0 to 100",
            )
        if not 0 <= self.slope_percent <= _STEEPEST_PERCENT:
            raise ChoiceError(
                f"a slope of {self.slope_percent:g} % is not possible",
                where=f'zone "{self.name}"',
                mend=f"give rise over run, 0 for level and {_STEEPEST_PERCENT} % at most",
            )


@dataclass(frozen=True)
class Obstacle:
    """Ground inside the outline that is not lawn.

    Attributes
    ----------
    name : str
        What people call it.
    kind : str
        One of `OBSTACLE_KINDS`.
    polygon : Polygon or MultiPolygon
        Its outline. [m]
    """

    name: str
    kind: str
    polygon: Ground

    def __post_init__(self) -> None:
        if self.kind not in OBSTACLE_KINDS:
            raise ChoiceError(
                f'"{self.kind}" is not a kind of obstacle',
                where=f'obstacle "{self.name}"',
                mend=nearest(self.kind, OBSTACLE_KINDS),
            )


@dataclass(frozen=True)
class Water:
    """An edge of open water to keep fertilizer and sprays away from.

    Attributes
    ----------
    name : str
        What people call it.
    shape : LineString, MultiLineString, Polygon or MultiPolygon
        The bank, or the whole water. [m]
    setback_m : float, optional
        Width of the strip to leave unfed, where the source states it. [m]
    """

    name: str
    shape: LineString | MultiLineString | Ground
    setback_m: float | None = None

    def __post_init__(self) -> None:
        if self.setback_m is not None and not 0 <= self.setback_m < inf:
            raise ChoiceError(
                f"a setback of {self.setback_m:g} m is not possible",
                where=f'water "{self.name}"',
                mend="give its width, 0 for none",
            )


@dataclass(frozen=True)
class Landmark:
    """A fixed point or wall line.

    Attributes
    ----------
    name : str
        What people call it.
    shape : Point or LineString
        Where it is. [m]
    kind : str
        One of `LANDMARK_KINDS`.
    """

    name: str
    shape: Point | LineString
    kind: str = "corner"


@dataclass(frozen=True)
class Origin:
    """Where a yard came from.

    Attributes
    ----------
    path : str
        File name as the user gave it; empty for a yard made in Python.
    format : str
        ``"GeoJSON"``, ``"ESRI Shapefile"`` and so on.
    layer : str
        Layer or layers read.
    vertex_sigma_m : float, optional
        Standard error of one coordinate of one vertex, where the source tells it. [m]
    method : str
        How the vertices were measured, where the source tells it.
    closure : str
        Misclosure and precision of a traverse, in words; empty for what is none.
    combined_factor : float, optional
        What grid coordinates were divided by to get ground distances; None where none was applied. [1]
    """

    path: str = ""
    format: str = ""
    layer: str = ""
    vertex_sigma_m: float | None = None
    method: str = ""
    closure: str = ""
    combined_factor: float | None = None

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "path": self.path,
            "format": self.format,
            "layer": self.layer,
            "vertex_sigma_m": self.vertex_sigma_m,
            "method": self.method,
            "closure": self.closure,
            "combined_factor": self.combined_factor,
        }


NOWHERE: Final = Origin()


@dataclass(frozen=True)
class Yard:
    """One property.

    Attributes
    ----------
    name : str
        What people call it.
    zones : tuple of Zone
        The parts of the lawn; where two overlap, the earlier one has the ground.
    obstacles : tuple of Obstacle
        What is not lawn.
    water : tuple of Water
        Edges to keep away from.
    landmarks : tuple of Landmark
        Fixed points and lines.
    plane : Plane
        Where the coordinates lie.
    origin : Origin
        Where the yard came from.
    findings : tuple of Finding
        What the reader mended or doubted.
    """

    name: str
    zones: tuple[Zone, ...]
    obstacles: tuple[Obstacle, ...] = ()
    water: tuple[Water, ...] = ()
    landmarks: tuple[Landmark, ...] = ()
    plane: Plane = LOCAL
    origin: Origin = NOWHERE
    findings: tuple[Finding, ...] = ()

    def with_findings(self, found: Iterable[Finding]) -> Yard:
        """Return the yard with further findings added."""
        return replace(self, findings=(*self.findings, *found))
