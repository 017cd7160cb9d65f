"""A small yard in local metres, and what is sown on it."""

import pytest
from shapely.geometry import Polygon, box

from lawnmap.measure.model import Takeoff, ZoneArea
from lawnmap.rates import Fertilizer, Seed, prescribe
from lawnmap.units import US, parse
from lawnmap.yard import Plane, Yard
from lawnmap.yard.plane import LOCAL

BLEND = {"tall fescue": 0.9, "Kentucky bluegrass": 0.1}


def make_zone(name="front", area="1000 sq ft", density="thin"):
    area_m2 = parse(area, "area")
    return ZoneArea(
        name=name,
        density=density,
        density_from="stated",
        cover_percent=None,
        slope_percent=0.0,
        gross_area_m2=area_m2,
        net_area_m2=area_m2,
        net_area_se_m2=0.0,
        surface_area_m2=area_m2,
        unfed_area_m2=0.0,
        by_hand=False,
        ground=box(0, 0, area_m2, 1),
        unfed=Polygon(),
    )


def make_takeoff(*zones, latitude_deg=None):
    plane = LOCAL if latitude_deg is None else Plane("EPSG:4326", "EPSG:4326", -96.0, latitude_deg, "degree")
    total = sum(zone.net_area_m2 for zone in zones)
    return Takeoff(Yard("yard", (), plane=plane), zones, (), total, total, 0.0, None, 0.0, "exact", ())


@pytest.fixture(scope="session")
def zone():
    return make_zone


@pytest.fixture(scope="session")
def takeoff():
    return make_takeoff


@pytest.fixture(scope="session")
def lawn():
    return make_takeoff(make_zone(), make_zone("back", "2000 sq ft", "bare"), latitude_deg=41.0)


@pytest.fixture(scope="session")
def prescription(lawn):
    return prescribe(lawn, seed=Seed(), fertilizer=Fertilizer(), products=(), units=US)
