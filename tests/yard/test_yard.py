"""The model of a yard: what it refuses, its density table and its plane."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pyproj import Geod
from shapely.geometry import LineString, box

from lawnmap.errors import ChoiceError, InputError
from lawnmap.yard import DENSITIES, DensityTable, Obstacle, Origin, Plane, Water, Yard, Zone, finding, grade

SQUARE = box(0, 0, 1, 1)


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (
            lambda: Zone("lawn", SQUARE, "thinn"),
            'zone "lawn": "thinn" is not a density class; did you mean "thin"?',
        ),
        (lambda: Zone("lawn", SQUARE, None, 101), 'zone "lawn": 101 % of cover is not possible'),
        (lambda: Zone("lawn", SQUARE, None, float("nan")), "nan % of cover"),
        (lambda: Zone("lawn", SQUARE, slope_percent=-1), "a slope of -1 % is not possible"),
        (
            lambda: Zone("lawn", SQUARE, slope_percent=450),
            "give rise over run, 0 for level and 200 % at most",
        ),
        (lambda: Obstacle("shed", "hut", SQUARE), 'obstacle "shed": "hut" is not a kind of obstacle'),
        (lambda: Water("creek", LineString([(0, 0), (1, 1)]), -2), 'water "creek": a setback of -2 m'),
        (lambda: DensityTable(50, 50, 80), "the cover table 50, 50, 80 % does not rise"),
        (lambda: DensityTable(10, 50, 101), "does not rise; give three rising percentages"),
    ],
)
def test_what_cannot_be_is_refused(make, message):
    with pytest.raises(ChoiceError) as caught:
        make()
    assert message in str(caught.value)


@pytest.mark.parametrize(
    ("cover", "density"),
    [
        (0, "bare"),
        (14.9, "bare"),
        (15, "thin"),
        (49.9, "thin"),
        (50, "patchy"),
        (79.9, "patchy"),
        (80, "full"),
        (100, "full"),
    ],
)
def test_grades(cover, density):
    assert grade(cover) == density


@settings(deadline=None)
@given(st.floats(0, 100), st.floats(0, 100))
def test_more_cover_is_never_a_poorer_class(one, other):
    low, high = sorted((one, other))
    assert DENSITIES.index(grade(low)) <= DENSITIES.index(grade(high))


@settings(deadline=None)
@given(
    st.floats(-179, 179),
    st.floats(-80, 80),
    st.lists(st.tuples(st.floats(-2e3, 2e3), st.floats(-2e3, 2e3)), min_size=1),
)
def test_to_the_earth_and_back(longitude, latitude, points):
    plane = Plane("EPSG:4326", "EPSG:4326", longitude, latitude, "degree")
    metres = np.array(points)
    metres = metres[np.hypot(*metres.T) > 1e-3]  # PROJ takes what is nearer to the middle for the middle
    assert plane.from_datum(plane.to_datum(metres)) == pytest.approx(metres, abs=1e-7)


@pytest.mark.parametrize(
    ("azimuth", "east", "north"), [(0, 0, 1000), (90, 1000, 0), (180, 0, -1000), (270, -1000, 0)]
)
def test_east_is_east_and_a_kilometre_a_kilometre(azimuth, east, north):
    """Against geodesics from the middle (Geod of PROJ): a swapped axis would keep every area and mirror the map."""
    plane = Plane("EPSG:4326", "EPSG:4326", -93.25, 44.98, "degree")
    longitude, latitude, _ = Geod(ellps="WGS84").fwd(-93.25, 44.98, azimuth, 1000)
    assert plane.from_datum(np.array([[longitude, latitude]]))[0] == pytest.approx([east, north], abs=1e-3)


@pytest.mark.parametrize("latitude", [0, 1, 10, 30, 45, 60, 80])
def test_the_way_back_is_as_exact_as_the_way_there(latitude):
    """A point 10 m north of the middle is 10 m north of it by geodesic; PROJ's own way back misses by a millimetre."""
    plane = Plane("EPSG:4326", "EPSG:4326", 10.0, latitude, "degree")
    (there,) = plane.to_datum(np.array([[0.0, 10.0]]))
    azimuth, _, metres = Geod(ellps="WGS84").inv(10.0, latitude, *there)
    assert metres == pytest.approx(10, abs=5e-8)
    assert azimuth == pytest.approx(0, abs=1e-6)


def test_nad_27_is_shifted_on_the_way_to_the_map():
    """Some tens of metres in Kansas, where the datum was fixed (Meades Ranch)."""
    plane = Plane("EPSG:4267", "EPSG:4267", -98.5, 39.2, "degree")
    here = np.zeros((1, 2))
    assert plane.to_datum(here)[0] == pytest.approx([-98.5, 39.2], abs=1e-12)
    shift_deg = np.abs(plane.to_lonlat(here)[0] - [-98.5, 39.2])
    assert 1e-5 < shift_deg.max() < 2e-3


def test_a_local_plane_has_no_place():
    plane = Yard("y", (Zone("a", SQUARE),)).plane
    assert not plane.georeferenced
    assert plane.to_dict() == {"source": "local", "georeferenced": False, "datum": "", "unit": "m"}
    with pytest.raises(
        InputError, match="local coordinates and has no place on the earth; read it with a CRS"
    ):
        plane.to_lonlat(np.zeros((1, 2)))


def test_a_placed_plane_tells_its_middle():
    told = Plane("EPSG:26993", "EPSG:4269", -93.0, 45.0, "US survey ft").to_dict()
    assert (told["longitude_deg"], told["latitude_deg"], told["unit"]) == (-93.0, 45.0, "US survey ft")


def test_findings_travel_with_the_yard():
    found = finding("density-default", "no density is given", 'zone "a"')
    yard = Yard("y", (Zone("a", SQUARE),), origin=Origin("y.gpkg")).with_findings([found])
    assert yard.findings == (found,)
    assert str(found) == 'zone "a": no density is given [density-default]'
    assert found.to_dict()["mended"] is False
    assert found.to_dict()["severity"] == "doubt"
    assert str(finding("density-default", "no density is given")) == "no density is given [density-default]"
    assert yard.origin.to_dict()["path"] == "y.gpkg"


def test_only_registered_codes_are_findings():
    with pytest.raises(KeyError, match="no-such-code"):
        finding("no-such-code", "text")
