"""A second figure for every area: on the ellipsoid, edge by edge along geodesics."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING, Final

import numpy as np
import shapely
from pyproj import CRS, Geod

from lawnmap.measure.remarks import both
from lawnmap.yard import Plane, finding

if TYPE_CHECKING:
    from lawnmap.measure.model import Shape, Takeoff

_TOLERANCE: Final = 1e-6
_RING_M2: Final = 0.0013
"""Error of one geodesic area of a perimeter under 10 km, at most: GeographicLib, Planimeter(1). [m²]"""


def check_on_ellipsoid(takeoff: Takeoff) -> Takeoff:
    """Return a take-off with its net area on the ellipsoid, and a finding where that differs.

    Parameters
    ----------
    takeoff : Takeoff
        A measured yard; one in local coordinates comes back as it is.
    """
    plane = takeoff.yard.plane
    if not plane.georeferenced:
        return takeoff
    area_m2 = sum(_areas([zone.ground for zone in takeoff.zones], plane))
    rings = sum(
        shapely.get_num_interior_rings(shapely.get_parts(zone.ground)).sum() + 1 for zone in takeoff.zones
    )
    found = takeoff.findings
    if abs(area_m2 - takeoff.net_area_m2) > _TOLERANCE * takeoff.net_area_m2 + _RING_M2 * rings:
        found += (
            finding(
                "geodesic-mismatch",
                f"the net area is {both(takeoff.net_area_m2)} on the plane but {both(area_m2)} on the ellipsoid",
                f'yard "{takeoff.yard.name}"',
            ),
        )
    return replace(takeoff, geodesic_area_m2=area_m2, findings=found)


def geodesic_area(shape: Shape, plane: Plane) -> float:
    """Return the area of a shape on the ellipsoid of the plane's datum, edges along geodesics. [m²]

    Rings are turned first, exteriors counter-clockwise and holes clockwise: pyproj adds a hole that winds as its
    shell does. C. F. F. Karney, *Algorithms for geodesics*, Journal of Geodesy 87 (2013), 43-55.

    Parameters
    ----------
    shape : Polygon or MultiPolygon
        Ground on the plane. [m]
    plane : Plane
        Where it lies.
    """
    return _areas([shape], plane)[0]


def _areas(shapes: list[Shape], plane: Plane) -> list[float]:
    """Areas of many shapes, which are turned back to longitude and latitude all at once. [m²]"""
    flat = np.empty(len(shapes), dtype=object)
    flat[:] = shapes
    geod = _geod(plane.datum)
    on_earth = shapely.orient_polygons(shapely.transform(flat, plane.to_datum))
    return [float(geod.geometry_area_perimeter(shape)[0]) for shape in on_earth]


@lru_cache(maxsize=16)
def _geod(datum: str) -> Geod:
    geod = CRS.from_user_input(datum).get_geod()
    assert geod is not None  # a geographic CRS has an ellipsoid
    return geod
