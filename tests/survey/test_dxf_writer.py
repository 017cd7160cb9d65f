"""A yard written as DXF and read back is the same yard."""

import json

import ezdxf
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, MultiLineString, MultiPolygon, Point, Polygon, box

from lawnmap.survey import read, write_yard
from lawnmap.yard import Landmark, Obstacle, Water, Yard, Zone

HOLED = Polygon(
    [(0, 0), (40, 0), (40, 30), (0, 30)], [[(5, 5), (9, 5), (9, 9)], [(20, 20), (25, 20), (25, 25)]]
)


def local_yard():
    zones = (
        Zone("Front", HOLED, "thin", slope_percent=12.5),
        Zone(
            "Säume",
            MultiPolygon([box(50, 0, 60, 10), Polygon([(70, 0), (80, 0), (75, 9)])]),
            None,
            64.0,
        ),
    )
    return Yard(
        "Musterhof",
        zones,
        (
            Obstacle("17", "house", box(10, 10, 18, 18)),
            Obstacle("Oak, very old, " * 29 + "oak", "tree", box(30, 2, 31, 3)),
        ),
        (
            Water("Brook", MultiLineString([[(0, -5), (20, -6)], [(25, -6), (40, -5)]]), 3.0),
            Water("Pond", box(-9, 0, -4, 5)),
        ),
        (
            Landmark("Tap", Point(18, 10), "refill"),
            Landmark("South wall", LineString([(10, 10), (18, 10)]), "wall"),
        ),
    )


def parts(yard):
    return [*yard.zones, *yard.obstacles, *yard.water, *yard.landmarks]


def shape_of(part):
    return part.shape if isinstance(part, Water | Landmark) else part.polygon


def facts(part):
    return {key: value for key, value in vars(part).items() if key not in {"shape", "polygon"}}


def assert_same(yard, back):
    assert back.name == yard.name
    assert [facts(part) for part in parts(back)] == [facts(part) for part in parts(yard)]
    for one, other in zip(parts(yard), parts(back), strict=True):
        assert shape_of(other).geom_type == shape_of(one).geom_type
        assert shape_of(other).area == pytest.approx(shape_of(one).area, rel=1e-9)
        assert shape_of(other).hausdorff_distance(shape_of(one)) < 1e-6


def test_a_local_yard_comes_back(tmp_path):
    write_yard(local_yard(), tmp_path / "yard.dxf")
    assert_same(local_yard(), read(tmp_path / "yard.dxf"))


def test_a_yard_on_the_earth_comes_back_to_its_place(tmp_path, good, saved):
    yard = read(saved(json.dumps(good)))
    write_yard(yard, tmp_path / "yard.dxf")
    back = read(tmp_path / "yard.dxf")
    assert_same(yard, back)
    assert back.plane.georeferenced
    assert back.plane.longitude_deg == pytest.approx(yard.plane.longitude_deg, abs=1e-9)


def test_other_programs_see_layers_outlines_and_names(tmp_path):
    write_yard(local_yard(), tmp_path / "yard.dxf")
    document = ezdxf.readfile(tmp_path / "yard.dxf")
    assert document.header["$INSUNITS"] == 6
    seen = {(entity.dxf.layer, entity.dxftype()) for entity in document.modelspace()}
    assert {("LAWN", "HATCH"), ("HOUSE", "LWPOLYLINE"), ("WATER", "LWPOLYLINE"), ("ANNO", "TEXT")} <= seen
    assert not document.audit().has_errors


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Z"]), min_size=1, max_size=30),
    st.floats(1, 500),
    st.tuples(st.floats(-1e5, 1e5), st.floats(-1e5, 1e5)),
)
def test_any_name_size_and_place(tmp_path, name, size, at):
    yard = Yard("Y", (Zone(name, box(at[0], at[1], at[0] + size, at[1] + 2 * size), "full"),))
    write_yard(yard, tmp_path / "yard.dxf")
    assert_same(yard, read(tmp_path / "yard.dxf"))


@pytest.mark.parametrize(
    "place",
    ['["EPSG:4326", 0, 91]', '["EPSG:1", 0, 0]', '["EPSG:4326", 0]', '["EPSG:4326", 0, NaN]', "no place"],
)
def test_a_plane_that_lies_nowhere_is_passed_over(tmp_path, good, saved, place):
    write_yard(read(saved(json.dumps(good))), tmp_path / "yard.dxf")
    document = ezdxf.readfile(tmp_path / "yard.dxf")
    document.header.custom_vars.replace("lawnmap plane", place)
    document.saveas(tmp_path / "yard.dxf")
    assert not read(tmp_path / "yard.dxf").plane.georeferenced
