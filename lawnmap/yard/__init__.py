"""What a property is: zones of lawn, obstacles, water, landmarks, its plane and what was found."""

from lawnmap.yard.density import DENSITIES, DensityTable, grade
from lawnmap.yard.finding import Finding, FindingKind
from lawnmap.yard.findings import FINDINGS, finding
from lawnmap.yard.model import (
    CROSSABLE,
    LANDMARK_KINDS,
    OBSTACLE_KINDS,
    Landmark,
    Obstacle,
    Origin,
    Water,
    Yard,
    Zone,
)
from lawnmap.yard.plane import Plane

__all__ = [
    "CROSSABLE",
    "DENSITIES",
    "FINDINGS",
    "LANDMARK_KINDS",
    "OBSTACLE_KINDS",
    "DensityTable",
    "Finding",
    "FindingKind",
    "Landmark",
    "Obstacle",
    "Origin",
    "Plane",
    "Water",
    "Yard",
    "Zone",
    "finding",
    "grade",
]
