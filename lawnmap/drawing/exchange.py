"""The yard file that the page keeps: GeoJSON (RFC 7946), or with our word for local metres."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Final

import shapely
from shapely.geometry import mapping

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from lawnmap.yard import Yard

DECIMALS: Final = 9
"""Digits of a longitude: a tenth of a millimetre. [count]"""

LOCAL_DECIMALS: Final = 6


def yard_text(yard: Yard) -> bytes:
    """Write a yard as the bytes of a GeoJSON file.

    Parameters
    ----------
    yard : Yard
        What was traced.
    """
    features = [
        *(
            _feature(
                yard,
                zone.polygon,
                role="lawn",
                name=zone.name,
                density=zone.density,
                cover_percent=zone.cover_percent,
                slope_percent=zone.slope_percent or None,
            )
            for zone in yard.zones
        ),
        *(
            _feature(yard, one.polygon, role="obstacle", name=one.name, kind=one.kind)
            for one in yard.obstacles
        ),
        *(
            _feature(yard, one.shape, role="water", name=one.name, setback_m=one.setback_m)
            for one in yard.water
        ),
        *(_feature(yard, one.shape, role="landmark", name=one.name, kind=one.kind) for one in yard.landmarks),
    ]
    document: dict[str, object] = {"type": "FeatureCollection", "name": yard.name}
    if not yard.plane.georeferenced:
        document["lawnmap"] = {"coordinates": "local", "unit": "m"}
    document["features"] = features
    return json.dumps(document, ensure_ascii=False, indent=1, allow_nan=False).encode() + b"\n"


def _feature(yard: Yard, shape: BaseGeometry, **properties: object) -> dict[str, object]:
    return {
        "type": "Feature",
        "properties": {key: value for key, value in properties.items() if value is not None},
        "geometry": mapping(_written(yard, shape)),
    }


def _written(yard: Yard, shape: BaseGeometry) -> BaseGeometry:
    if isinstance(shape, shapely.Polygon):
        shape = shape.normalize().reverse()  # RFC 7946, section 3.1.6: outlines counter-clockwise
    if not yard.plane.georeferenced:
        return shapely.transform(shape, lambda points: points.round(LOCAL_DECIMALS))
    return shapely.transform(shape, lambda points: yard.plane.to_lonlat(points).round(DECIMALS))
