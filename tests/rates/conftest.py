"""A small measured yard with one zone of every density."""

import pytest
from shapely.geometry import Polygon, box

from lawnmap.measure.model import Takeoff, ZoneArea
from lawnmap.units import parse
from lawnmap.yard import Yard


def make_zone(name="front", density="bare", area="1000 sq ft", *, unfed="0 sq ft", by_hand=False):
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
        unfed_area_m2=parse(unfed, "area"),
        by_hand=by_hand,
        ground=box(0, 0, area_m2, 1),
        unfed=Polygon(),
    )


def make_takeoff(*zones):
    total = sum(zone.net_area_m2 for zone in zones)
    return Takeoff(Yard("yard", ()), zones, (), total, total, 0.0, None, 0.0, "exact", ())


@pytest.fixture(scope="session")
def zone():
    return make_zone


@pytest.fixture(scope="session")
def takeoff():
    return make_takeoff


@pytest.fixture
def lawn():
    """A thousand square feet of each density, and a bare spot to seed by hand."""
    return make_takeoff(
        make_zone("slope", "bare"),
        make_zone("back", "thin"),
        make_zone("side", "patchy"),
        make_zone("front", "full"),
        make_zone("spot", "bare", "20 sq ft", by_hand=True),
    )
