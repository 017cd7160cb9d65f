"""A measured yard of rectangles, in feet."""

import pytest
from shapely.geometry import box

from lawnmap.contact import Contact, compare
from lawnmap.lanes import Rig
from lawnmap.measure import take_off
from lawnmap.yard import Yard, Zone

FOOT = 0.3048


def make_takeoff(**zones):
    """Zones side by side, 50 ft apart: name to (density, width, depth)."""
    made, east = [], 0.0
    for name, (density, width, depth) in zones.items():
        shape = box(east * FOOT, 0, (east + width) * FOOT, depth * FOOT)
        made.append(Zone(name, shape, density=density))
        east += width + 50
    return take_off(Yard("Lot", tuple(made)))


@pytest.fixture
def takeoff():
    return make_takeoff


@pytest.fixture
def compared():
    def run(zones, rig=None, covers=None, **contact):
        return compare(make_takeoff(**zones), Contact(**contact), rig or Rig(), **(covers or {}))

    return run
