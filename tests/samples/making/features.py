"""One feature of a sample: its role, its name, and whatever else a yard file says about it."""

from __future__ import annotations

import geopandas as gpd
import pyogrio

COLUMNS = ("yard", "role", "name", "density", "cover_percent", "kind", "slope_percent")
NUMBERS = ("cover_percent", "slope_percent")


def lawn(name, geometry, **said):
    return {"role": "lawn", "name": name, "geometry": geometry, **said}


def obstacle(name, kind, geometry, **said):
    return {"role": "obstacle", "name": name, "kind": kind, "geometry": geometry, **said}


def water(name, geometry, **said):
    return {"role": "water", "name": name, "geometry": geometry, **said}


def landmark(name, kind, geometry, **said):
    return {"role": "landmark", "name": name, "kind": kind, "geometry": geometry, **said}


def write_layers(path, layers, crs):
    """Write a GeoPackage, a layer per role; the date in it is fixed, so that it can be made again."""
    path.unlink(missing_ok=True)
    pyogrio.set_gdal_config_options({"OGR_CURRENT_DATE": "2026-01-01T00:00:00.000Z"})
    try:
        for layer, features in layers.items():
            frame = gpd.GeoDataFrame(features, geometry="geometry", crs=crs)
            kept = [column for column in COLUMNS if column in frame]
            for column in kept:
                frame[column] = frame[column].astype("float64" if column in NUMBERS else "object")
            frame[[*kept, "geometry"]].to_file(path, layer=layer, driver="GPKG", engine="pyogrio")
    finally:
        pyogrio.set_gdal_config_options({"OGR_CURRENT_DATE": None})
