"""The standard error of an area, against drawing lots and against published worked examples."""

import dataclasses

import numpy as np
import pytest
import shapely
from shapely import affinity
from shapely.geometry import Polygon, box

from lawnmap.measure import Ground, take_off, take_off_many
from lawnmap.survey import read, write_yard
from lawnmap.units import FOOT_M, convert
from lawnmap.yard import Obstacle, Plane, Yard, Zone

LAWN = Polygon([(0, 0), (40, 1), (42, 25), (20, 30), (-1, 24)])
HOUSE = Polygon([(5, 5), (15, 6), (14, 16), (4, 15)])
DRIVE = Polygon([(22, -5), (26, -5), (25, 14), (21, 14)])
STREET = Polygon([(-100, -8), (100, -8), (100, 2), (-100, 3)])
LEFT, RIGHT = box(0, 0, 20, 20), box(20, 0, 45, 20)
OVERLAPPING = Polygon([(10, 10), (45, 11), (45, 30), (10, 30)])
WIDE_HOUSE = Polygon([(15, 5), (26, 6), (25, 16), (14, 15)])


def lot(zones, obstacles=()):
    return Yard(
        "lot",
        tuple(Zone(f"zone {i}", shape, "thin") for i, shape in enumerate(zones)),
        tuple(Obstacle(f"thing {i}", "other", shape) for i, shape in enumerate(obstacles)),
    )


def jiggled(yard, sigma_m, draws):
    """The yard again and again, every corner off by lot; one corner in two outlines is one measured point."""
    shapes = [part.polygon for part in (*yard.zones, *yard.obstacles)]
    corners, which = np.unique(
        np.concatenate([shape.exterior.coords for shape in shapes]), axis=0, return_inverse=True
    )
    drawn = (corners + np.random.default_rng(1).normal(0, sigma_m, (draws, *corners.shape)))[:, which.ravel()]
    ends = np.cumsum([len(shape.exterior.coords) for shape in shapes])[:-1]
    moved = np.stack([shapely.polygons(points) for points in np.split(drawn, ends, axis=1)], axis=1)
    count = len(yard.zones)
    return [
        dataclasses.replace(
            yard,
            zones=tuple(map(with_polygon, yard.zones, row[:count])),
            obstacles=tuple(map(with_polygon, yard.obstacles, row[count:])),
        )
        for row in moved
    ]


def with_polygon(part, shape):
    return dataclasses.replace(part, polygon=shape)


@pytest.mark.parametrize(
    "yard",
    [
        lot([LAWN]),
        lot([LAWN], [HOUSE]),
        lot([LAWN], [HOUSE, DRIVE]),
        lot([LAWN], [DRIVE, STREET]),
        lot([LEFT, RIGHT]),
        lot([LEFT, RIGHT], [WIDE_HOUSE]),
        lot([LEFT, OVERLAPPING], [HOUSE]),
    ],
    ids=[
        "bare lot",
        "house",
        "drive over the edge",
        "drive and street",
        "fence",
        "house on the fence",
        "overlap",
    ],
)
def test_the_error_is_what_drawing_lots_gives(yard):
    """6,000 draws give a standard error to 0.9 %; the bound is three times that."""
    sigma_m = 0.05
    drawn = take_off_many(jiggled(yard, sigma_m, 6000))
    takeoff = take_off(yard, Ground(vertex_accuracy_m=sigma_m))
    assert takeoff.net_area_se_m2 == pytest.approx(np.std([one.net_area_m2 for one in drawn]), rel=0.027)
    for place, zone in enumerate(takeoff.zones):
        assert zone.net_area_se_m2 == pytest.approx(
            np.std([one.zones[place].net_area_m2 for one in drawn]), rel=0.027
        )


def test_four_corners_by_phone_leave_a_yard_uncertain_by_nine_percent():
    """60 × 40 m, 3 m to the corner: σ² = s²/4 · 4 (60² + 40²) + 4 s⁴/2, worked by hand."""
    takeoff = take_off(lot([box(0, 0, 60, 40)]), Ground(vertex_accuracy_m=3.0))
    assert takeoff.net_area_se_m2 == pytest.approx((9 * (60**2 + 40**2) + 2 * 81) ** 0.5)
    assert takeoff.net_area_se_m2 / takeoff.net_area_m2 == pytest.approx(0.09, abs=0.001)


def test_a_fence_between_two_zones_drops_out_of_their_sum():
    ground = Ground(vertex_accuracy_m=0.05)
    outline = Polygon(
        [(0, 0), (20, 0), (45, 0), (45, 20), (20, 20), (0, 20)]
    )  # the fence's ends are measured too
    parted, whole = take_off(lot([LEFT, RIGHT]), ground), take_off(lot([outline]), ground)
    assert parted.net_area_se_m2 == pytest.approx(whole.net_area_se_m2, rel=1e-12)
    quadrature = np.hypot(*(zone.net_area_se_m2 for zone in parted.zones))
    assert parted.net_area_se_m2 > quadrature
    apart = take_off(lot([LEFT, affinity.translate(RIGHT, 5)]), ground)
    assert apart.net_area_se_m2 == pytest.approx(quadrature)


def test_no_error_at_the_corners_no_error_of_the_area():
    assert take_off(lot([LAWN], [HOUSE, DRIVE]), Ground(vertex_accuracy_m=0)).net_area_se_m2 == 0


def test_a_rectangle_by_its_sides():
    """339.21 ± 0.05 ft by 563.67 ± 0.09 ft is 191,202 ± 41.5 sq ft (PE licence exam problem, engineerboards.com
    topic 2883; 41.549 unrounded): the product rule, which four corners of s = σ/√2 in each direction reproduce.
    """
    wide_ft, deep_ft, wide_se, deep_se = 339.21, 563.67, 0.05, 0.09
    product = np.hypot(wide_ft * deep_se, deep_ft * wide_se)
    assert product == pytest.approx(41.549, abs=0.001)
    foot_m = float(FOOT_M)
    takeoff = take_off(
        lot([box(0, 0, wide_ft * foot_m, deep_ft * foot_m)]), Ground(vertex_accuracy_m=0.05 * foot_m)
    )
    assert convert(takeoff.net_area_m2, "sq ft") == pytest.approx(191_202, abs=1)
    # equal errors: a side is the mean of two measured differences, each of √2 s, so σ of a side is s
    both_sides = np.hypot(wide_ft * 0.05, deep_ft * 0.05)
    assert convert(takeoff.net_area_se_m2, "sq ft") == pytest.approx(both_sides, rel=1e-4)


def test_errors_of_one_yard_do_not_depend_on_its_neighbours():
    yards = [lot([LAWN], [DRIVE, STREET]), lot([LEFT, OVERLAPPING], [WIDE_HOUSE]), lot([LAWN], [HOUSE])] * 20
    together = take_off_many(yards)
    for yard, takeoff in zip(yards, together, strict=True):
        assert takeoff.net_area_se_m2 == pytest.approx(take_off(yard).net_area_se_m2, rel=1e-7)


@pytest.mark.parametrize("ending", [".geojson", ".gpkg", ".kml", ".dxf"])
def test_a_yard_handed_on_in_another_format_is_as_sure_as_before(tmp_path, ending):
    """Two zones along the fence of a third, a hundredth of a millimetre over it and short of it."""
    slanted = Polygon([(0, 0), (60, 6), (57, 30), (-3, 24)])
    over = Polygon([(10, 1 + 1e-5), (30, 3 + 1e-5), (32, -15), (11, -14)])
    short = Polygon([(31, 3.1 - 1e-5), (55, 5.5 - 1e-5), (55, -12), (33, -15)])
    yard = dataclasses.replace(
        lot([slanted, over, short]),
        plane=Plane("EPSG:4326", "EPSG:4326", -77.4, 38.9, "degree"),
    )
    write_yard(yard, tmp_path / f"yard{ending}")
    again = take_off(read(tmp_path / f"yard{ending}"))
    assert again.net_area_se_m2 == pytest.approx(take_off(yard).net_area_se_m2, rel=1e-4)
