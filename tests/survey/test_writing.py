"""Yards written and read again."""

import json

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from lawnmap.errors import OutputError
from lawnmap.survey import read, write_yard
from lawnmap.survey.writing import WRITERS
from lawnmap.yard import Landmark, Obstacle, Origin, Plane, Water, Yard, Zone

SITE = Plane("EPSG:4326", "EPSG:4326", -93.1, 44.9, "degree")
SURVEY = Plane("EPSG:2263", "EPSG:4269", -74.0, 40.7, "US survey ft")
LOCAL = Plane("local")


def said(yard):
    """Everything that a yard says apart from its shapes."""
    return (
        yard.name,
        [(zone.name, zone.density, zone.cover_percent, zone.slope_percent) for zone in yard.zones],
        [(obstacle.name, obstacle.kind) for obstacle in yard.obstacles],
        [(water.name, water.setback_m) for water in yard.water],
        [(mark.name, mark.kind) for mark in yard.landmarks],
        yard.origin.vertex_sigma_m,
    )


def names_in(folder):
    return [path.name for path in folder.iterdir()]


def areas(yard):
    return [part.polygon.area for part in (*yard.zones, *yard.obstacles)]


def made(plane, outline=None):
    outline = outline or shapely.box(-30, -20, 30, 20) - shapely.box(0, 0, 5, 5)
    return Yard(
        "Lot 17, “west”",
        (
            Zone("Front & side", outline, "thin", None, 12.5),
            Zone("Back", shapely.MultiPolygon([shapely.box(-30, 21, 0, 40), shapely.box(1, 21, 30, 40)]), None, 55.0),
        ),
        (Obstacle("Haus Ä", "house", shapely.box(-10, -10, 0, 0)), Obstacle("Pine", "tree", shapely.box(9, 9, 10, 10))),
        (Water("Creek", shapely.LineString([(-40, 0), (-40, 30)]), 3.0), Water("Pond", shapely.box(40, 0, 50, 9))),
        (Landmark("Tap", shapely.Point(1, -19), "refill"), Landmark("Wall", shapely.LineString([(0, 0), (-10, 0)]), "wall")),
        plane,
        Origin(vertex_sigma_m=0.02),
    )  # fmt: skip


FORMATS = [
    (ending, plane)
    for ending in WRITERS
    for plane in (SITE, SURVEY, LOCAL)
    if (ending, plane) != (".kml", LOCAL)
]


@pytest.mark.parametrize(("ending", "plane"), FORMATS)
def test_everything_comes_back(tmp_path, ending, plane):
    yard, path = made(plane), tmp_path / f"yard{ending}"
    write_yard(yard, path)
    again = read(path)
    assert said(again) == said(yard)
    assert not again.findings
    if ending == ".gpkg":
        assert areas(again)[:3] == pytest.approx(areas(yard)[:3], rel=1e-9)
    perimeters = [part.polygon.length for part in (*yard.zones, *yard.obstacles)]
    for got, was, perimeter_m in zip(areas(again), areas(yard), perimeters, strict=True):
        assert got == pytest.approx(was, abs=1e-7 * perimeter_m)
    assert names_in(tmp_path) == [path.name]


@settings(max_examples=40, deadline=None)
@given(
    radii=st.lists(st.floats(5, 60), min_size=3, max_size=24),
    ending=st.sampled_from([".geojson", ".gpkg", ".kml"]),
    longitude=st.floats(-179, 179),
    latitude=st.floats(-55, 65),
    name=st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1, max_size=20),
)
def test_any_star_survives_any_format_anywhere(tmp_path_factory, radii, ending, longitude, latitude, name):
    turn = np.linspace(0, 2 * np.pi, len(radii), endpoint=False)
    star = shapely.Polygon(np.column_stack([np.cos(turn), np.sin(turn)]) * np.array(radii)[:, None])
    hole = shapely.Point(0, 0).buffer(0.5, quad_segs=1)
    outline = star - hole if star.contains(hole) else star
    plane = Plane("EPSG:4326", "EPSG:4326", longitude, latitude, "degree")
    path = tmp_path_factory.mktemp("star") / f"yard{ending}"
    write_yard(Yard(name, (Zone(name, outline, "bare"),), plane=plane), path)
    again = read(path)
    assert (again.name, again.zones[0].name, again.zones[0].density) == (name, name, "bare")
    assert len(again.zones[0].polygon.interiors) == len(outline.interiors)
    sure_m = {".geojson": 1e-7, ".kml": 1e-7, ".gpkg": 1e-8}[ending]  # as the docstring of write_yard says
    limit = sure_m * outline.length
    assert again.zones[0].polygon.area == pytest.approx(outline.area, abs=limit)


def test_geojson_keeps_to_rfc_7946(tmp_path):
    path = tmp_path / "yard.geojson"
    clockwise = shapely.Polygon([(0, 0), (0, 20), (30, 20), (30, 0)])
    write_yard(made(SITE, clockwise), path)
    document = json.loads(path.read_text("utf-8"))
    assert "crs" not in document
    assert "lawnmap" not in document
    first = document["features"][0]["geometry"]["coordinates"][0]
    assert first[0] == first[-1]
    assert shapely.LinearRing(first).is_ccw  # section 3.1.6
    assert all(number == round(number, 12) for position in first for number in position)
    write_yard(made(LOCAL), path)
    assert json.loads(path.read_text("utf-8"))["lawnmap"] == {"coordinates": "local", "unit": "m"}


def test_kml_of_a_local_yard_is_refused_and_nothing_is_left(tmp_path):
    with pytest.raises(OutputError, match="this yard has no place on the earth"):
        write_yard(made(LOCAL), tmp_path / "yard.kml")
    assert names_in(tmp_path) == []


def test_unknown_format_and_missing_folder(tmp_path):
    with pytest.raises(OutputError, match=r'"\.doc" files cannot be written'):
        write_yard(made(SITE), tmp_path / "yard.doc")
    with pytest.raises(OutputError, match="it cannot be written"):
        write_yard(made(SITE), tmp_path / "missing" / "yard.gpkg")


def test_an_older_file_stays_until_the_new_one_is_complete(tmp_path, monkeypatch):
    path = tmp_path / "yard.geojson"
    path.write_text("old", "utf-8")

    def fail(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setitem(WRITERS, ".geojson", fail)
    with pytest.raises(OutputError, match="No space left on device"):
        write_yard(made(SITE), path)
    assert path.read_text("utf-8") == "old"
    assert names_in(tmp_path) == ["yard.geojson"]
