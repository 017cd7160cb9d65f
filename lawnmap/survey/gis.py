"""A yard as layers for other programs: GeoPackage and KML, written by GDAL."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np
import shapely
from lazy_loader import load

from lawnmap.errors import OutputError
from lawnmap.survey.exchange import rows

if TYPE_CHECKING:
    from pathlib import Path

    from numpy.typing import NDArray

    from lawnmap.yard import Yard

pyogrio = load("pyogrio")  # takes geopandas with it

LOCAL_CRS: Final = (
    'ENGCRS["lawnmap local plane",EDATUM["a point of the yard"],CS[Cartesian,2],'
    'AXIS["easting (E)",east,ORDER[1]],AXIS["northing (N)",north,ORDER[2]],LENGTHUNIT["metre",1]]'
)
"""Metres without a place on the earth, as WKT (OGC 18-010, section 11)."""

_LAYERS: Final = {"lawn": "lawn", "obstacle": "obstacles", "water": "water", "landmark": "landmarks"}
_FIELDS: Final = {
    "lawn": ("density", "cover_percent", "slope_percent", "vertex_accuracy_m"),
    "obstacle": ("kind",),
    "water": ("setback_m",),
    "landmark": ("kind",),
}


def save_geopackage(yard: Yard, path: Path) -> None:
    """Write a yard as a GeoPackage, one layer per role.

    Parameters
    ----------
    yard : Yard
        The yard.
    path : Path
        A new file.
    """
    plane = yard.plane
    crs = plane.datum if plane.georeferenced else LOCAL_CRS
    _save(yard, path, "GPKG", crs, plane.to_datum if plane.georeferenced else None)


def save_kml(yard: Yard, path: Path) -> None:
    """Write a yard as KML, one folder per role, densities and kinds as extended data.

    Parameters
    ----------
    yard : Yard
        The yard.
    path : Path
        A new file.

    Raises
    ------
    OutputError
        For a local yard, since KML knows longitude and latitude only.
    """
    if not yard.plane.georeferenced:
        raise OutputError(
            "KML is in longitude and latitude, and this yard has no place on the earth",
            mend="write a .geojson or .gpkg file",
        )
    _save(yard, path, "LIBKML", "EPSG:4326", yard.plane.to_lonlat)


def _save(yard: Yard, path: Path, driver: str, crs: str, onto: Any) -> None:
    drawn = rows(yard)
    shapes = np.array([shape for shape, _ in drawn], dtype=object)
    if onto is not None:
        shapes = shapely.transform(shapes, onto)
    name = "Name" if driver == "LIBKML" else "name"
    for role, layer in _LAYERS.items():
        mine = [number for number, (_, said) in enumerate(drawn) if said["role"] == role]
        if not mine:
            continue
        said = [drawn[number][1] for number in mine]
        fields = ("role", "name", "yard", *_FIELDS[role])
        columns = [_column(field, said) for field in fields]
        ground = role in {"lawn", "obstacle"}
        own = [_multi(shape) if ground else shape for shape in shapes[mine]]
        pyogrio.raw.write(
            path,
            geometry=shapely.to_wkb(np.array(own, dtype=object)),
            field_data=[values for values, _ in columns],
            fields=np.array([name if field == "name" else field for field in fields], dtype=object),
            field_mask=[absent for _, absent in columns],
            geometry_type="MultiPolygon" if ground else "Unknown",
            crs=crs,
            driver=driver,
            layer=layer,
        )


def _multi(shape: Any) -> Any:
    return shape if shape.geom_type == "MultiPolygon" else shapely.multipolygons([shape])


def _column(field: str, said: list[dict[str, object]]) -> tuple[NDArray[Any], NDArray[np.bool_]]:
    """One column with the mask of its empty cells."""
    absent = np.array([field not in row for row in said])
    if field.endswith(("_percent", "_m")):
        numbers = [row.get(field) for row in said]
        return np.array([np.nan if number is None else number for number in numbers], np.float64), absent
    return np.array([row.get(field) for row in said], dtype=object), absent
