"""True ground: projection, net areas, their error, slope; no products."""

from lawnmap.measure.cover import WEEDS, Cover, GreenLimits, PhotoCover, cover_of, green
from lawnmap.measure.cover_grid import CoverGrid, map_cover
from lawnmap.measure.cover_zones import propose_zones
from lawnmap.measure.geodesic import check_on_ellipsoid, geodesic_area
from lawnmap.measure.ground import Ground
from lawnmap.measure.model import CutOut, Takeoff, ZoneArea, frame_of
from lawnmap.measure.statement import (
    DISCLAIMER,
    AreaLine,
    Statement,
    by_density,
    rounded,
    rounded_error,
    statement,
)
from lawnmap.measure.takeoff import ASSUMED_SIGMA_M, take_off, take_off_many

__all__ = [
    "ASSUMED_SIGMA_M",
    "DISCLAIMER",
    "WEEDS",
    "AreaLine",
    "Cover",
    "CoverGrid",
    "CutOut",
    "GreenLimits",
    "Ground",
    "PhotoCover",
    "Statement",
    "Takeoff",
    "ZoneArea",
    "by_density",
    "check_on_ellipsoid",
    "cover_of",
    "frame_of",
    "geodesic_area",
    "green",
    "map_cover",
    "propose_zones",
    "rounded",
    "rounded_error",
    "statement",
    "take_off",
    "take_off_many",
]
