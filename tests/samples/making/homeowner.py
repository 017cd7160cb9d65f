"""The house lot of the homeowner's sample, in feet from the corner by the street and the west fence."""

from __future__ import annotations

import json

from features import COLUMNS, landmark, lawn, obstacle
from shapely.geometry import Point, Polygon, mapping
from shapely.geometry.polygon import orient
from shapes import arc, box, circle, kidney

LOT = [(0, 0), (70, 0), (70, 118), (0, 130)]
HOUSE = [(14, 38), (56, 38), (56, 80), (40, 80), (40, 68), (14, 68)]
WALK = [(30, 26), (44, 26), (44, 30), (34, 30), (34, 38), (30, 38)]
POOL = kidney((20, 100), 16, 6, 4)
HALF_BED = Polygon(arc((70, 98), 7, 90, 180, 36))
CORNER_BED = Polygon([(0, 0), *arc((0, 0), 10, 0, 90, 18)])


def features():
    swing = box(52, 83, 64, 91)
    back = [(14, 50), *((70, 50), (70, 118), (0, 130)), (0, 80), (14, 80)]
    return [
        lawn("Front yard", box(0, 0, 70, 50), density="patchy"),
        lawn("Shade strip", box(0, 50, 14, 80), density="thin"),
        lawn("Back yard", Polygon(back, [swing.exterior.coords[::-1]]), cover_percent=60),
        lawn("Old swing set", swing, density="bare"),
        obstacle("House", "house", Polygon(HOUSE)),
        obstacle("Drive", "drive", box(44, 0, 56, 38)),
        obstacle("Front walk", "walk", Polygon(WALK)),
        obstacle("Patio", "walk", box(20, 68, 40, 80)),
        obstacle("Kidney pool", "pool", POOL),
        obstacle("Front bed", "bed", box(14, 34, 28, 38)),
        obstacle("Corner bed", "bed", CORNER_BED),
        obstacle("Fence bed", "bed", HALF_BED),
        obstacle("Crab apple", "tree", circle((63, 20), 3)),
        obstacle("Maple", "tree", circle((50, 110), 4)),
        obstacle("Shed", "other", box(4, 114, 12, 124)),
        landmark("SW corner", "corner", Point(14, 38)),
        landmark("SE corner", "corner", Point(56, 38)),
        landmark("NE corner", "corner", Point(56, 80)),
        landmark("East gate", "gate", Point(63, 50)),
        landmark("Refill", "refill", Point(50, 34)),
    ]


def _rounded(parts):
    """Coordinates to the thousandth of a foot, much finer than a tape reads."""
    if isinstance(parts, float | int):
        return round(parts, 3) + 0.0
    return [_rounded(part) for part in parts]


def _feature(said):
    shape = said["geometry"]
    shape = orient(shape) if shape.geom_type == "Polygon" else shape
    outline = mapping(shape)
    said = {"yard": "Our yard", **said}
    properties = {column: said[column] for column in COLUMNS if column in said}
    geometry = {"type": outline["type"], "coordinates": _rounded(outline["coordinates"])}
    return {"type": "Feature", "properties": properties, "geometry": geometry}


def make(folder):
    rows = ",\n".join(json.dumps(_feature(said)) for said in features())
    head = (
        '{"type": "FeatureCollection",\n"lawnmap": {"coordinates": "local", "unit": "ft"},\n"features": [\n'
    )
    (folder / "yard.geojson").write_text(f"{head}{rows}\n]}}\n", "utf-8")
