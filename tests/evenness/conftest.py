"""Lane plans made by hand: straight lanes over a rectangle, turned as wanted."""

import numpy as np
import pytest
from shapely import affinity
from shapely.geometry import LineString, MultiPolygon, box

from lawnmap.lanes import LanePlan, Pass


def straight_pass(ground, swath_m, direction_deg=0.0, *, first_m=0.5, loops=(), **names):
    """Lanes cut out of a piece of ground by scan lines one swath apart, walked back and forth."""
    turned = affinity.rotate(ground, -direction_deg, origin=(0, 0))
    west, south, east, north = turned.bounds
    lanes = []
    for number, north_m in enumerate(np.arange(south + first_m * swath_m, north, swath_m)):
        line = turned.intersection(LineString([(west - 1, north_m), (east + 1, north_m)]))
        for part in getattr(line, "geoms", [line]):
            ends = np.asarray(part.coords)[:2]
            if len(ends) == 2:
                lanes.append(ends if number % 2 == 0 else ends[::-1])
    angle = np.radians(direction_deg)
    turn = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
    lanes = np.array(lanes).reshape(-1, 2, 2) @ turn
    length = float(np.hypot(*(lanes[:, 1] - lanes[:, 0]).T).sum())
    return Pass(
        zone=names.get("zone", ""),
        number=names.get("number", 1),
        count=names.get("count", 1),
        direction_deg=direction_deg,
        swath_m=swath_m,
        lanes=lanes,
        loops=tuple(loops),
        walk=LineString(lanes.reshape(-1, 2)),
        work_length_m=length,
        path_length_m=length,
        time_s=length,
        by_hand=names.get("by_hand", MultiPolygon()),
    )


def loops_of(ground, swath_m, count=1):
    """Headland rings by shrinking the ground."""
    rings = []
    for number in range(count):
        inner = ground.buffer(-(number + 0.5) * swath_m, join_style="mitre")
        for part in getattr(inner, "geoms", [inner]):
            rings += [LineString(part.exterior), *(LineString(ring) for ring in part.interiors)]
    return rings


@pytest.fixture
def lawn():
    """A lawn of 30 m by 20 m with a house of 6 m by 5 m in it."""
    return box(0, 0, 30, 20).difference(box(10, 8, 16, 13))


@pytest.fixture
def lay():
    return lambda *passes: LanePlan(tuple(passes))


@pytest.fixture
def lanes_over():
    return straight_pass


@pytest.fixture
def loops_over():
    return loops_of
