"""Measured yards made by hand."""

import pytest
from shapely.geometry import Polygon

from lawnmap.measure.model import Takeoff, ZoneArea
from lawnmap.yard import Yard, Zone


def measured(*zones, landmarks=()):
    areas = tuple(
        ZoneArea(
            name,
            density,
            "stated",
            None,
            0.0,
            p.area,
            p.area,
            0.1,
            p.area,
            0.0,
            by_hand=False,
            ground=p,
            unfed=Polygon(),
        )
        for name, density, p in zones
    )
    total = sum(area.net_area_m2 for area in areas)
    yard = Yard("yard", tuple(Zone(name, p) for name, _, p in zones), landmarks=landmarks)
    return Takeoff(yard, areas, (), total, total, 0.1, None, 0.05, "test", ())


@pytest.fixture(scope="session")
def takeoff_of():
    """What makes a take-off of (name, class, ground) for each zone."""
    return measured
