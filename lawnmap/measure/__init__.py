"""True ground: projection, net areas, their error, slope; no products."""

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
    "AreaLine",
    "CutOut",
    "Ground",
    "Statement",
    "Takeoff",
    "ZoneArea",
    "by_density",
    "check_on_ellipsoid",
    "frame_of",
    "geodesic_area",
    "rounded",
    "rounded_error",
    "statement",
    "take_off",
    "take_off_many",
]
