"""Areas that others published: open data in packages, geodesic test values, textbook figures."""

from pathlib import Path

import geopandas
import libpysal
import momepy
import numpy as np
import pytest
import shapely
from pyproj import CRS, Geod, Proj, Transformer
from shapely.geometry import MultiPolygon, Polygon, box

from lawnmap.measure import check_on_ellipsoid, geodesic_area, take_off, take_off_many
from lawnmap.units import US_SURVEY_FOOT_M, convert
from lawnmap.yard import Obstacle, Plane, Yard, Zone

FOOT2_M2 = float(US_SURVEY_FOOT_M) ** 2


@pytest.fixture(scope="module")
def chicago():
    """77 community areas with SHAPE_AREA in square US survey feet (libpysal, examples/chicago; City of Chicago)."""
    return geopandas.read_file(Path(libpysal.__file__).parent / "examples/chicago/Chicago77.shp").set_crs(
        "EPSG:3435"
    )


def test_chicagos_77_published_areas(chicago):
    metres = shapely.transform(chicago.geometry.to_numpy(), lambda points: points * float(US_SURVEY_FOOT_M))
    takeoffs = take_off_many([Yard(str(i), (Zone("area", shape, "full"),)) for i, shape in enumerate(metres)])
    square_feet = np.array([takeoff.net_area_m2 for takeoff in takeoffs]) / FOOT2_M2
    assert square_feet == pytest.approx(chicago["SHAPE_AREA"].to_numpy(), rel=1e-10)
    assert square_feet.sum() == pytest.approx(6_443_055_082.1478, rel=1e-9)


def test_chicago_on_its_own_planes_agrees_with_geodesics(chicago):
    """NAD 83 datum: each area on a plane centred on itself, against the ellipsoid and against the published figure
    reduced by the state plane's own areal scale at its middle (PROJ).
    """
    on_datum = Transformer.from_crs(chicago.crs, chicago.crs.geodetic_crs, always_xy=True)
    for shape, published in zip(chicago.geometry[:12], chicago["SHAPE_AREA"][:12], strict=True):
        lonlat = shapely.transform(shape, lambda points: np.column_stack(on_datum.transform(*points.T)))
        middle = lonlat.centroid
        plane = Plane("EPSG:3435", "EPSG:4269", middle.x, middle.y, "US survey ft")
        lawn = Zone("area", shapely.transform(lonlat, plane.from_datum), "full")
        takeoff = take_off(Yard("area", (lawn,), plane=plane))
        assert takeoff.geodesic_area_m2 == pytest.approx(takeoff.net_area_m2, rel=1e-6)
        scale = Proj(chicago.crs).get_factors(middle.x, middle.y).areal_scale
        assert takeoff.net_area_m2 == pytest.approx(published * FOOT2_M2 / scale, rel=1e-6)
        assert "geodesic-mismatch" not in {finding.code for finding in takeoff.findings}


@pytest.fixture(scope="module")
def bubenec():
    """Plots and houses of a quarter of Prague, stored in Web Mercator (momepy, datasets/bubenec.gpkg)."""
    path = momepy.datasets.get_path("bubenec")
    return tuple(geopandas.read_file(path, layer=layer) for layer in ("plots", "buildings"))


def on_plane(shapes, crs, plane):
    to_datum = Transformer.from_crs(crs, plane.datum, always_xy=True)
    return shapely.transform(
        shapes, lambda points: plane.from_datum(np.column_stack(to_datum.transform(*points.T)))
    )


def test_plots_less_houses_in_prague(bubenec):
    plots, houses = bubenec
    middle = plots.to_crs("EPSG:4326").union_all().centroid
    plane = Plane("EPSG:3857", "EPSG:4326", middle.x, middle.y, "m")
    zones = on_plane(plots.geometry.to_numpy(), plots.crs, plane)
    walls = on_plane(houses.geometry.to_numpy(), houses.crs, plane)
    quarter = Yard(
        "Bubeneč",
        tuple(Zone(f"plot {i}", shape, "thin") for i, shape in enumerate(zones)),
        tuple(Obstacle(f"house {i}", "house", shape) for i, shape in enumerate(walls)),
        plane=plane,
    )
    takeoff = take_off(quarter)
    # true areas by site-centred equal-area projection, with overlay by geopandas; Web Mercator gives 677,216 m²
    assert sum(zone.gross_area_m2 for zone in takeoff.zones) == pytest.approx(278_938.2, abs=0.5)
    assert takeoff.net_area_m2 == pytest.approx(235_790.0, rel=2e-4)
    assert takeoff.net_area_m2 == pytest.approx(
        shapely.area(shapely.union_all(zones) - shapely.union_all(walls)), rel=1e-9
    )
    assert takeoff.geodesic_area_m2 == pytest.approx(takeoff.net_area_m2, rel=1e-6)


@pytest.mark.parametrize(
    ("latlon", "area_m2"),
    [
        ([(89, 0), (89, 90), (89, 180), (89, 270)], 24_952_305_678.0),
        ([(0, -1), (-1, 0), (0, 1), (1, 0)], 24_619_419_146.0),
        ([(90, 0), (0, 0), (0, 90)], 63_758_202_715_511.0),
        ([(89, 0.1), (89, 90.1), (89, -179.9)], 12_476_152_838.5),
    ],
    ids=["round the pole", "across the equator", "octant", "with the pole on its edge"],
)
def test_geodesic_areas(latlon, area_m2):
    """Planimeter0 and Planimeter5 of GeographicLib's own tests (geographiclib-python, test_geodesic.py, MIT)."""
    lat, lon = np.transpose(latlon)
    area, _ = Geod(ellps="WGS84").polygon_area_perimeter(lon, lat)
    assert abs(area) == pytest.approx(area_m2, abs=1)


@pytest.mark.parametrize("shell_back", [False, True])
@pytest.mark.parametrize("hole_back", [False, True])
def test_a_hole_is_taken_out_whichever_way_it_winds(shell_back, hole_back):
    """944,373,881,400.3394 m² is pyproj's own test value (test_geod.py, MIT); its function adds a hole that winds
    as the shell does.
    """
    shell = [(1, 1), (1, 10), (10, 10), (10, 1)][:: -1 if shell_back else 1]
    hole = [(1, 2), (3, 4), (5, 2)][:: -1 if hole_back else 1]

    class Earth:
        datum = "EPSG:4326"
        to_datum = staticmethod(lambda points: points)

    assert geodesic_area(Polygon(shell, [hole]), Earth()) == pytest.approx(944_373_881_400.3394, abs=0.01)


def test_a_yard_with_holes_agrees_with_the_ellipsoid_however_its_rings_wind():
    plane = Plane("EPSG:4326", "EPSG:4326", -93.0, 40.0, "degree")
    shell, hole = [(-25, -25), (25, -25), (25, 25), (-25, 25)], [(-8, -8), (-8, 8), (8, 8), (8, -8)]
    for turn in (1, -1):
        lawn = Polygon(shell, [hole[::turn]])
        takeoff = take_off(Yard("y", (Zone("lawn", lawn, "thin"),), plane=plane))
        assert takeoff.net_area_m2 == 2500 - 256
        assert takeoff.geodesic_area_m2 == pytest.approx(2500 - 256, abs=0.0026)


@pytest.mark.parametrize(
    ("latitude", "factor"),
    [(25, 1.22272), (30, 1.33783), (40, 1.70610), (45, 2.00002), (50, 2.41748), (60, 3.98662)],
)
def test_web_mercator_would_be_wrong_by_this_much(latitude, factor):
    """k = a²/(N M cos² φ) on WGS 84 (J. P. Snyder, Map Projections, USGS PP 1395, 1987, p. 38 ff., and the radii of
    curvature); the yard's own plane is not.
    """
    plane = Plane("EPSG:4326", "EPSG:4326", 10.0, latitude, "degree")
    square = box(-25, -25, 25, 25)
    lonlat = shapely.transform(square, plane.to_lonlat)
    mercator = Transformer.from_crs("EPSG:4326", "EPSG:3857", always_xy=True)
    stretched = shapely.transform(lonlat, lambda points: np.column_stack(mercator.transform(*points.T)))
    assert stretched.area / square.area == pytest.approx(factor, rel=1e-5)
    assert take_off(Yard("y", (Zone("a", square, "thin"),), plane=plane)).geodesic_area_m2 == pytest.approx(
        2500, abs=0.0013
    )


def test_utm_would_be_small_by_the_square_of_its_scale():
    """0.9996² on the central meridian (definition of UTM)."""
    plane = Plane("EPSG:4326", "EPSG:4326", 15.0, 50.0, "degree")
    utm = Transformer.from_crs("EPSG:4326", "EPSG:32633", always_xy=True)
    square = box(-25, -25, 25, 25)
    shrunk = shapely.transform(
        square, lambda points: np.column_stack(utm.transform(*plane.to_lonlat(points).T))
    )
    assert shrunk.area / square.area == pytest.approx(0.9996**2, abs=1e-7)


def test_a_yard_in_the_wrong_projection_is_told():
    """Web Mercator metres passed off as metres of the plane: longitudes and latitudes come out, the check sees it
    only where the shape is too large for one plane, so a county-sized square is found and a yard is not.
    """
    plane = Plane("EPSG:4326", "EPSG:4326", 10.0, 50.0, "degree")
    large = take_off(Yard("y", (Zone("a", box(-2e5, -2e5, 2e5, 2e5), "thin"),), plane=plane))
    assert [finding.code for finding in large.findings][-1] == "geodesic-mismatch"
    assert check_on_ellipsoid(large).geodesic_area_m2 == large.geodesic_area_m2


def test_web_mercator_forward():
    """PROJ documentation, webmerc: 2° E 49° N is 222,638.98 east, 6,274,861.39 north."""
    east, north = Proj("EPSG:3857")(2, 49)
    assert (east, north) == pytest.approx((222_638.98, 6_274_861.39), abs=0.005)


@pytest.mark.parametrize(
    ("north_east_ft", "square_feet", "within"),
    [
        ([(500.0, 2000.0), (323.614, 1561.426), (526.996, 1488.321), (719.336, 1686.956)], 102_935.8, 0.1),
        (
            [(406.31, 1259.97), (235.12, 1489.47), (65.81, 1126.4), (317.89, 942.04), (675.32, 1282.54)],
            140_494,
            2,
        ),
        (
            [
                (1541.207, 2215.89),
                (1373.915, 2336.574),
                (1299.818, 2350.205),
                (1343.189, 2523.212),
                (1569.36, 2359.08),
            ],
            38_970,
            5,
        ),
    ],
    ids=["G-7", "H-2", "self-study 1"],
)
def test_areas_by_coordinates(north_east_ft, square_feet, within):
    """J. Mahun, Open Access Surveying Library (jerrymahun.com): Traverse Computations ch. G fig. G-7, COGO ch. H
    fig. H-2, self-study Traverse Area problem 1.
    """
    lot = Polygon([(east * 0.3048, north * 0.3048) for north, east in north_east_ft])
    takeoff = take_off(Yard("lot", (Zone("a", lot, "thin"),)))
    assert convert(takeoff.net_area_m2, "sq ft") == pytest.approx(square_feet, abs=within)


def test_multipart_counties_count_every_part():
    parts = MultiPolygon([box(0, 0, 1, 1), box(2, 0, 4, 1)])
    assert take_off(Yard("y", (Zone("a", parts, "thin"),))).net_area_m2 == 3


def test_the_datum_of_the_plane_is_kept():
    assert CRS("EPSG:4269").ellipsoid.name == "GRS 1980"
    for datum in ("EPSG:4326", "EPSG:4269", "EPSG:4267"):
        plane = Plane("x", datum, -100.0, 40.0)
        takeoff = take_off(Yard("y", (Zone("a", box(-50, -50, 50, 50), "thin"),), plane=plane))
        assert takeoff.geodesic_area_m2 == pytest.approx(10_000, abs=0.002)
