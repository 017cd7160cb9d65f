"""The plan as layers of one GeoPackage, for any GIS."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Final

import numpy as np
import shapely
from lazy_loader import load
from pyproj import CRS
from shapely.geometry import LineString, MultiPolygon

from lawnmap.sheets.walk_layers import NUMBERS, SHAPE, TEXT, walk_rows

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from shapely.geometry.base import BaseGeometry

    from lawnmap.job import Plan

pyogrio = load("pyogrio")  # slow to load, and only this sheet needs it

_LOCAL_CRS: Final = (
    'ENGCRS["local metres of the yard",EDATUM["the yard\'s own origin"],CS[Cartesian,2],'
    'AXIS["easting (E)",east,ORDER[1]],AXIS["northing (N)",north,ORDER[2]],LENGTHUNIT["metre",1]]'
)
"""Up on a local yard need not be north; the format has no other word for its axes."""

Row = tuple[dict[str, Any], "BaseGeometry"]
_TEXT: Final = {
    "zones": ("role", "name", "density"),
    "obstacles": ("role", "name", "kind"),
    "water": ("role", "name"),
    "landmarks": ("role", "name", "kind"),
    "lanes": ("zone",),
    "loops": ("zone",),
    "hand_spots": ("zone", "reason"),
    **TEXT,
}
_NUMBERS: Final = {
    "zones": ("cover_percent", "slope_percent", "net_area_m2", "net_area_se_m2", "surface_area_m2"),
    "obstacles": (),
    "water": ("setback_m",),
    "landmarks": (),
    "lanes": ("pass_number", "pass_count", "lane", "direction_deg", "length_m"),
    "loops": ("pass_number", "loop", "length_m"),
    "hand_spots": ("pass_number", "area_m2"),
    **NUMBERS,
}
_SHAPE: Final = {
    "zones": "MultiPolygon",
    "obstacles": "MultiPolygon",
    "water": "Unknown",
    "landmarks": "Unknown",
    "lanes": "LineString",
    "loops": "LineString",
    "hand_spots": "MultiPolygon",
    **SHAPE,
}


def write_layers(plan: Plan, path: Path) -> None:
    """Write zones, obstacles, water, landmarks, lanes, loops, hand spots, the walk, stakes and refills.

    A yard with a place on the earth is written in longitude and latitude (WGS 84), any other in its
    own metres.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    path : Path
        The GeoPackage to write.
    """
    crs = "EPSG:4326" if plan.yard.plane.georeferenced else CRS.from_wkt(_LOCAL_CRS).to_wkt()
    with _unhurried():
        _write_all(plan, path, crs)


@contextmanager
def _unhurried() -> Iterator[None]:
    """Let the writer not wait for the disk seven times over: `lawnmap.sheets.folder` waits once, for all files."""
    key = "OGR_SQLITE_SYNCHRONOUS"
    before = pyogrio.get_gdal_config_option(key)
    pyogrio.set_gdal_config_options({key: "OFF"})
    try:
        yield
    finally:
        pyogrio.set_gdal_config_options({key: before})


def _write_all(plan: Plan, path: Path, crs: str) -> None:
    for layer, rows in _rows(plan).items():
        shapes = _placed(plan, [shape for _, shape in rows])
        if _SHAPE[layer] == "MultiPolygon":
            shapes = [MultiPolygon(list(shapely.get_parts(shape))) for shape in shapes]
        text, numbers = _TEXT[layer], _NUMBERS[layer]
        columns = [np.array([row.get(key) for row, _ in rows], dtype=object) for key in text]
        columns += [np.array([row.get(key) for row, _ in rows], dtype=np.float64) for key in numbers]
        pyogrio.raw.write(
            path,
            shapely.to_wkb(np.array(shapes, dtype=object)),
            columns,
            [*text, *numbers],
            layer=layer,
            driver="GPKG",
            geometry_type=_SHAPE[layer],
            crs=crs,
            append=path.exists(),
        )


def _placed(plan: Plan, shapes: Sequence[BaseGeometry]) -> list[BaseGeometry]:
    if not (shapes and plan.yard.plane.georeferenced):
        return list(shapes)
    return list(shapely.transform(np.array(shapes, dtype=object), plan.yard.plane.to_lonlat))


def _rows(plan: Plan) -> dict[str, list[Row]]:
    yard, passes = plan.yard, plan.lanes.passes
    return {
        "zones": [
            ({"role": "lawn", **zone.to_dict()}, zone.ground)
            for zone in plan.takeoff.zones
            if zone.ground.area
        ],
        "obstacles": [
            ({"role": "obstacle", "name": thing.name, "kind": thing.kind}, thing.polygon)
            for thing in yard.obstacles
        ],
        "water": [
            ({"role": "water", "name": thing.name, "setback_m": thing.setback_m}, thing.shape)
            for thing in yard.water
        ],
        "landmarks": [
            ({"role": "landmark", "name": thing.name, "kind": thing.kind}, thing.shape)
            for thing in yard.landmarks
        ],
        "lanes": [row for single in passes for row in _lanes(single)],
        "loops": [
            ({"zone": single.zone, "pass_number": single.number, "loop": i, "length_m": loop.length}, loop)
            for single in passes
            for i, loop in enumerate(single.loops, 1)
        ],
        "hand_spots": _hand_spots(plan),
        **walk_rows(plan),
    }


def _lanes(single: Any) -> list[Row]:
    shapes = [LineString(lane) for lane in single.lanes]
    head = {
        "zone": single.zone,
        "pass_number": single.number,
        "pass_count": single.count,
        "direction_deg": single.direction_deg,
    }
    return [(head | {"lane": i, "length_m": shape.length}, shape) for i, shape in enumerate(shapes, 1)]


def _hand_spots(plan: Plan) -> list[Row]:
    spots: list[Row] = [
        ({"zone": zone.name, "reason": "small bare spot", "area_m2": zone.net_area_m2}, zone.ground)
        for zone in plan.takeoff.zones
        if zone.by_hand and zone.ground.area
    ]
    corners: list[Row] = [
        (
            {
                "zone": single.zone,
                "reason": "off the lanes",
                "pass_number": single.number,
                "area_m2": single.by_hand.area,
            },
            single.by_hand,
        )
        for single in plan.lanes.passes
        if single.by_hand.area
    ]
    return spots + corners
