"""Whatever door a yard came in by, every writer hands it on whole: areas, names, stands and obstacles."""

import numpy as np
import pytest
import shapely
from hunt_readers import SOURCES, whole
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lawnmap.errors import OutputError
from lawnmap.survey import read, write_yard
from lawnmap.survey.writing import WRITERS
from lawnmap.yard import Obstacle, Plane, Water, Yard, Zone

DOORS = (
    "yard.geojson", "yard.gpkg", "yard.kml", "yard.kmz", "yard.dxf", "walk.gpx", "lot.xml", "fernhill.dxf",
    "fernhill_points.csv", "fernhill_deed.txt", "tape_sheet.csv",
)  # fmt: skip
SURE_M = {".geojson": 1e-7, ".json": 1e-7, ".kml": 1e-7, ".gpkg": 0.0, ".dxf": 0.0}
"""How far a coordinate may move, as the docstring of `write_yard` states it; 0 where areas stay to 1e-9."""


def facts(yard):
    """All that is said of the ground, by name."""
    return (
        [(zone.name, zone.density, zone.cover_percent, zone.slope_percent) for zone in yard.zones],
        [(obstacle.name, obstacle.kind) for obstacle in yard.obstacles],
        [(water.name, water.setback_m, water.shape.geom_type) for water in yard.water],
        [(mark.name, mark.kind) for mark in yard.landmarks],
    )


def grounds(yard):
    shapes = [part.polygon for part in (*yard.zones, *yard.obstacles)]
    return shapes + [water.shape for water in yard.water if water.shape.area]


def assert_same_ground(again, yard, ending):
    for got, was in zip(grounds(again), grounds(yard), strict=True):
        # a float in degrees is good to 1.6 nm on the ground, which small shapes feel
        limit = SURE_M[ending] * was.length + 1e-9 * was.area + 2e-9 * was.length
        assert got.area == pytest.approx(was.area, abs=limit)
        assert len(shapely.get_parts(got)) == len(shapely.get_parts(was))


@pytest.mark.parametrize("door", DOORS)
def test_every_door_to_every_writer_and_back(good, saved, tmp_path, door):
    start = read(saved(good, "good.geojson"))
    yard = read(whole(tmp_path, door, start), source=SOURCES.get(door))
    for ending in WRITERS:
        path = tmp_path / f"handed_on{ending}"
        if ending == ".kml" and not yard.plane.georeferenced:
            with pytest.raises(OutputError, match="has no place on the earth"):
                write_yard(yard, path)
            continue
        write_yard(yard, path)
        again = read(path)
        assert facts(again) == facts(yard)
        assert_same_ground(again, yard, ending)
        assert again.name == yard.name


@st.composite
def planes(draw):
    if draw(st.booleans()):
        return Plane("local")
    datum = draw(st.sampled_from(["EPSG:4326", "EPSG:4269", "EPSG:4258", "EPSG:6668"]))
    return Plane(datum, datum, draw(st.floats(-179, 179)), draw(st.floats(-60, 65)), "degree")


@st.composite
def yards(draw):
    """Stars with a hole, of one part or two, with a house in each, perhaps beside a pond, turned and set anywhere."""
    names = draw(
        st.lists(
            st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1, max_size=12),
            min_size=3, max_size=3, unique_by=str.lower,
        )
    )  # fmt: skip
    radii = np.array(draw(st.lists(st.floats(8, 60), min_size=3, max_size=16)))
    turn = np.linspace(0, 2 * np.pi, len(radii), endpoint=False) + draw(st.floats(0, 6.3))
    star = shapely.Polygon(np.column_stack([np.cos(turn), np.sin(turn)]) * radii[:, None])
    yard_hole = shapely.box(-0.5, -0.5, 0.5, 0.5)
    outline = star - yard_hole if star.contains_properly(yard_hole) else star
    if draw(st.booleans()):
        outline = shapely.MultiPolygon([*shapely.get_parts(outline), shapely.box(70, 0, 90, 30)])
    density, cover = draw(st.sampled_from([("bare", None), ("full", None), (None, 0.0), (None, 62.5)]))
    zone = Zone(names[0], outline, density, cover, draw(st.sampled_from([0.0, 12.5])))
    house = Obstacle(names[1], draw(st.sampled_from(["house", "tree", "other"])), shapely.box(1, 1, 4, 5))
    water = draw(st.sampled_from([(), (Water(names[2], shapely.box(100, 0, 120, 20), 3.0),)]))
    return Yard("Lot", (zone,), (house,), water, plane=draw(planes()))


@pytest.mark.parametrize("ending", WRITERS)
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(yard=yards())
def test_any_yard_comes_back_from_any_writer(tmp_path, ending, yard):
    path = tmp_path / f"yard{ending}"
    if ending == ".kml" and not yard.plane.georeferenced:
        return
    write_yard(yard, path)
    again = read(path)
    assert facts(again) == facts(yard)
    assert_same_ground(again, yard, ending)
    holes = [
        [len(part.interiors) for part in shapely.get_parts(zone.polygon)]
        for zone in (*again.zones, *yard.zones)
    ]
    assert holes[0] == holes[1]
    assert not again.findings
