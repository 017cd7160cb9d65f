"""One good yard, and ways to put it into files and to spoil it."""

import copy
import json

import pytest

GOOD = {
    "type": "FeatureCollection",
    "features": [
        {
            "type": "Feature",
            "properties": {"role": "lawn", "name": "Front", "density": "thin", "slope_percent": 10},
            "geometry": {
                "type": "Polygon",
                "coordinates": [
                    [[-93.1, 44.9], [-93.099, 44.9], [-93.099, 44.9005], [-93.1, 44.9005], [-93.1, 44.9]],
                    [
                        [-93.0998, 44.9001],
                        [-93.0998, 44.9002],
                        [-93.0997, 44.9002],
                        [-93.0997, 44.9001],
                        [-93.0998, 44.9001],
                    ],
                ],
            },
        },
        {
            "type": "Feature",
            "properties": {"role": "lawn", "name": "Back", "cover_percent": 90},
            "geometry": {
                "type": "Polygon",
                "coordinates": [
                    [
                        [-93.1, 44.9006],
                        [-93.099, 44.9006],
                        [-93.099, 44.901],
                        [-93.1, 44.901],
                        [-93.1, 44.9006],
                    ]
                ],
            },
        },
        {
            "type": "Feature",
            "properties": {"role": "obstacle", "name": "Main house", "kind": "house"},
            "geometry": {
                "type": "MultiPolygon",
                "coordinates": [
                    [
                        [
                            [-93.0995, 44.9001],
                            [-93.0993, 44.9001],
                            [-93.0993, 44.9003],
                            [-93.0995, 44.9003],
                            [-93.0995, 44.9001],
                        ]
                    ]
                ],
            },
        },
        {
            "type": "Feature",
            "properties": {"role": "water", "name": "Creek", "setback_m": 3},
            "geometry": {"type": "LineString", "coordinates": [[-93.1001, 44.9], [-93.1001, 44.901]]},
        },
        {
            "type": "Feature",
            "properties": {"role": "landmark", "name": "Tap", "kind": "refill"},
            "geometry": {"type": "Point", "coordinates": [-93.0991, 44.9004]},
        },
    ],
}


@pytest.fixture
def good():
    """A fresh copy of a GeoJSON yard that needs no finding."""
    return copy.deepcopy(GOOD)


@pytest.fixture
def saved(tmp_path):
    """Save a document or bytes under a name and return the path."""

    def save(content, name="yard.geojson"):
        path = tmp_path / name
        if isinstance(content, bytes):
            path.write_bytes(content)
        else:
            path.write_text(content if isinstance(content, str) else json.dumps(content), "utf-8")
        return path

    return save
