"""Areas of open data that packages carry, against the areas published with them.

Read from the installed package, not copied: the packages state the licence of their code only.
"""

from importlib.resources import files

import numpy as np
import pyogrio
import pytest
import shapely
from pyproj import Geod

from lawnmap.errors import FileError, ShapeError
from lawnmap.survey import read, read_all

LIBPYSAL = files("libpysal").joinpath("examples")
BUBENEC = files("momepy").joinpath("datasets", "bubenec.gpkg")
CHICAGO = LIBPYSAL.joinpath("chicago", "Chicago77.shp")


def test_chicago_has_its_published_areas():
    """Column SHAPE_AREA of Chicago77 (libpysal, BSD-3) is in square US survey feet of EPSG:3435."""
    with pytest.raises(FileError, match="does not say where its coordinates lie"):
        read(CHICAGO)
    local = read(CHICAGO, local_units="US survey ft")
    *_, columns = pyogrio.raw.read(CHICAGO, columns=["SHAPE_AREA"], read_geometry=False)
    published = columns[0] * (1200 / 3937) ** 2
    assert len(local.zones) == 77
    assert np.array([zone.polygon.area for zone in local.zones]) == pytest.approx(published, rel=1e-9)


def test_chicago_on_the_ellipsoid():
    """On its own plane the same polygons have their geodesic area: no grid scale is left in it."""
    yard = read(CHICAGO, crs="EPSG:3435")
    geod = Geod(ellps="GRS80")
    total = sum(zone.polygon.area for zone in yard.zones)
    truth = 0.0
    for zone in yard.zones:
        there = shapely.transform(zone.polygon, yard.plane.to_datum)
        truth += abs(geod.geometry_area_perimeter(shapely.orient_polygons(there))[0])
    assert total == pytest.approx(truth, rel=1e-8)
    # the grid area is 1.0000224 of the true one there
    grid = sum(zone.polygon.area for zone in read(CHICAGO, local_units="US survey ft").zones)
    assert grid / total == pytest.approx(1.0000224, rel=1e-7)


def test_georgia_in_metres_of_no_named_grid():
    """Column AREA of G_utm (libpysal) agrees for counties of one part; each county is one row."""
    path = LIBPYSAL.joinpath("georgia", "G_utm.shp")
    with pytest.raises(FileError, match=r"spread over \d+ km"):
        read(path, local_units="m")


def test_polygons_with_holes_and_parts():
    """Polygon_Holes (libpysal): a face of 22 km, in longitude and latitude, against geodesic areas."""
    path = LIBPYSAL.joinpath("Polygon_Holes", "Polygon_Holes.shp")
    yard = read(path)
    assert {found.code for found in yard.findings} == {"repeated-vertex", "role-guessed"}
    *_, shapes, _ = pyogrio.raw.read(path)
    geod = Geod(ellps="WGS84")
    for zone, shape in zip(yard.zones, shapely.orient_polygons(shapely.from_wkb(shapes)), strict=True):
        assert shapely.get_num_geometries(zone.polygon) == shapely.get_num_geometries(shape)
        # edges straight in longitude and latitude, but not on the ellipsoid: 4 km long here
        assert zone.polygon.area == pytest.approx(geod.geometry_area_perimeter(shape)[0], rel=1e-5)


def test_plots_in_web_mercator_have_their_true_area():
    """bubenec (momepy, BSD-3) is in EPSG:3857, whose areas are 2.43 times the ground at 50° north."""
    plots = read(BUBENEC, layer="plots")
    assert len(plots.zones) == 407
    true_m2 = sum(zone.polygon.area for zone in plots.zones)
    meta, _, shapes, _ = pyogrio.raw.read(BUBENEC, layer="plots")
    mercator_m2 = shapely.area(shapely.from_wkb(shapes)).sum()
    assert meta["crs"] == "EPSG:3857"
    # k = a² / (N M cos² lat) on WGS 84 at 50.1033° N, the middle of the plots
    a_m, e2, latitude = 6378137.0, 0.00669437999014, np.radians(50.1033)
    n_m = a_m / np.sqrt(1 - e2 * np.sin(latitude) ** 2)
    m_m = a_m * (1 - e2) / (1 - e2 * np.sin(latitude) ** 2) ** 1.5
    factor = a_m**2 / (n_m * m_m * np.cos(latitude) ** 2)
    assert mercator_m2 / true_m2 == pytest.approx(factor, rel=1e-4)


def test_buildings_on_plots():
    """All layers at once: streets are open lines that say nothing of ground, and are left out."""
    buildings = read(BUBENEC, layer="buildings")
    assert len(buildings.zones or buildings.obstacles) == 144


def test_every_yard_of_a_file_that_names_none_is_one_yard():
    assert len(read_all(BUBENEC, layer="plots")) == 1


def test_lines_only():
    with pytest.raises(ShapeError, match="holds only open lines"):
        read(BUBENEC, layer="streets")
