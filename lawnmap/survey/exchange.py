"""The exchange form of a yard: GeoJSON with the properties that our own door reads without a guess."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, Final

import shapely

from lawnmap.survey.geojson import MEMBER

if TYPE_CHECKING:
    from pathlib import Path

    from lawnmap.yard import Yard

DECIMALS: Final = 12
"""Of a degree: 0.1 µm on the ground, so that a corner on a neighbour's edge stays on the side of it where it lay."""


def rows(yard: Yard) -> list[tuple[Any, dict[str, object]]]:
    """Return every shape of a yard with its properties.

    Parameters
    ----------
    yard : Yard
        The yard.

    Returns
    -------
    list of (shapely geometry on the plane, properties)
        Properties that the yard does not know are left out.
    """
    found: list[tuple[Any, dict[str, object]]] = [
        (
            zone.polygon,
            {
                "role": "lawn",
                "name": zone.name,
                "density": zone.density,
                "cover_percent": zone.cover_percent,
                "slope_percent": zone.slope_percent or None,
                "vertex_accuracy_m": yard.origin.vertex_sigma_m,
            },
        )
        for zone in yard.zones
    ]
    found += [
        (obstacle.polygon, {"role": "obstacle", "name": obstacle.name, "kind": obstacle.kind})
        for obstacle in yard.obstacles
    ]
    found += [
        (water.shape, {"role": "water", "name": water.name, "setback_m": water.setback_m})
        for water in yard.water
    ]
    found += [
        (mark.shape, {"role": "landmark", "name": mark.name, "kind": mark.kind}) for mark in yard.landmarks
    ]
    return [
        (shape, {key: value for key, value in {**said, "yard": yard.name}.items() if value is not None})
        for shape, said in found
    ]


def save_geojson(yard: Yard, path: Path) -> None:
    """Write a yard as GeoJSON.

    Parameters
    ----------
    yard : Yard
        The yard.
    path : Path
        A new file.
    """
    drawn = rows(yard)
    shapes = [shape for shape, _ in drawn]
    if yard.plane.georeferenced:
        shapes = list(shapely.transform(shapes, yard.plane.to_lonlat))
    shapes = list(shapely.orient_polygons(shapes))
    features = [
        json.dumps(
            {"type": "Feature", "properties": said, "geometry": _rounded(shape.__geo_interface__)},
            ensure_ascii=False,
            allow_nan=False,
        )
        for shape, (_, said) in zip(shapes, drawn, strict=True)
    ]
    local = "" if yard.plane.georeferenced else f'"{MEMBER}": {{"coordinates": "local", "unit": "m"}},\n'
    text = '{"type": "FeatureCollection",\n' + local + '"features": [\n' + ",\n".join(features) + "\n]}\n"
    path.write_text(text, "utf-8")


def _rounded(geometry: dict[str, Any]) -> dict[str, Any]:
    return {"type": geometry["type"], "coordinates": _round(geometry["coordinates"])}


def _round(part: Any) -> Any:
    return round(part, DECIMALS) if isinstance(part, float) else [_round(inner) for inner in part]
