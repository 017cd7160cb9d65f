import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import rotate, translate
from shapely.geometry import MultiPolygon, Point, Polygon, box

from lawnmap.errors import ShapeError
from lawnmap.lanes import Rig, lay
from lawnmap.lanes.coverage import swaths
from lawnmap.lanes.headland import headland
from lawnmap.measure.model import Takeoff, ZoneArea
from lawnmap.yard import Obstacle, Yard, Zone


def one_way(swath_m, loops=0, **more):
    return Rig(swath_m=swath_m, headland_loops=loops, passes="one direction", **more)


def starlike(seed, holes=3):
    random = np.random.default_rng(seed)
    angles = np.sort(random.uniform(0, 2 * np.pi, 14))
    radius = random.uniform(18, 40, 14)
    lawn = Polygon(np.stack([radius * np.cos(angles), radius * np.sin(angles)], axis=1)).buffer(0)
    lawn = max(shapely.get_parts(lawn), key=lambda part: part.area)
    for _ in range(holes):
        lawn = lawn.difference(Point(*random.uniform(-15, 15, 2)).buffer(random.uniform(1, 3), quad_segs=6))
    return max(shapely.get_parts(lawn), key=lambda part: part.area)


# A rectangle walked to and fro with lanes along its long side: n = ⌈short / swath⌉ lanes and n - 1 moves
# of one swath, by counting.
@pytest.mark.parametrize(
    ("swath", "lanes", "work", "total"), [(4, 15, 1800, 1856), (7, 9, 1080, 1136), (6, 10, 1200, 1254)]
)
@pytest.mark.parametrize("angle", [0, 17, 90])
def test_rectangle_is_walked_to_and_fro(swath, lanes, work, total, angle):
    plan = lay(rotate(box(0, 0, 120, 60), angle), one_way(swath))
    assert len(plan.lanes) == lanes
    assert plan.passes[0].work_length_m == pytest.approx(work)
    assert plan.path_length_m == pytest.approx(total)


# With k rounds, rounds and lanes of a rectangle add up to the area over the swath exactly.
@pytest.mark.parametrize(("loops", "lanes", "round_m"), [(1, 13, 344), (2, 11, 656)])
def test_rounds_and_lanes_of_a_rectangle_share_its_area(loops, lanes, round_m):
    plan = lay(box(0, 0, 120, 60), one_way(4, loops))
    assert len(plan.lanes) == lanes
    assert sum(loop.length for loop in plan.loops) == pytest.approx(round_m)
    assert plan.passes[0].work_length_m == pytest.approx(120 * 60 / 4)


# No straight piece of work can be shorter than the area over the swath; half an acre at 4 ft is 5,445 ft.
def test_half_an_acre_at_four_feet_is_over_a_mile():
    side_ft = math.sqrt(43560 / 2)
    plan = lay(box(0, 0, side_ft, side_ft), one_way(4))
    assert plan.path_length_m >= 5445


# T. Bang, "A solution of the plank problem", Proceedings of the AMS 2 (1951): strips that cover a convex
# body have widths that add up to its least width or more, so a disc 40 wide takes ten passes of 4.
@pytest.mark.parametrize("swath", [3, 4, 5])
def test_a_disc_takes_as_many_planks_as_its_width(swath):
    plan = lay(Point(0, 0).buffer(20, quad_segs=64), one_way(swath, lane_end=1))
    assert len(plan.lanes) >= math.floor(40 / swath)
    covered = lay(Point(0, 0).buffer(20, quad_segs=64), one_way(swath, 1, lane_end=1))
    assert len(covered.lanes) + 2 >= math.ceil(40 / swath)


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("loops", [1, 2])
def test_lanes_that_run_on_stay_on_the_lawn_and_leave_nothing(seed, loops):
    """The swath of a lane that covers ground farther than one swath from any edge cannot leave the lawn."""
    lawn = starlike(seed)
    plan = lay(lawn, one_way(2, loops, lane_end=1))
    core = headland(lawn, 2, loops).core
    strips = swaths(plan.lanes, (), 2)
    assert shapely.union_all(strips, grid_size=1e-6).difference(lawn).area < 1e-3
    lines = shapely.linestrings(plan.lanes)
    assert shapely.distance(lines, lawn.boundary).min() >= (loops - 0.5) * 2 - 1e-6
    bare = core.difference(shapely.union_all(strips, grid_size=1e-6))
    assert bare.buffer(-0.011).area == 0  # slivers of a hundredth of the swath are let go


@given(
    st.integers(0, 40),
    st.floats(0, 360),
    st.floats(-500, 500),
    st.floats(-500, 500),
)
@settings(max_examples=25, deadline=None)
def test_turning_and_moving_a_lawn_changes_nothing(seed, angle, east, north):
    lawn = starlike(seed)
    moved = translate(rotate(lawn, angle, origin=(0, 0)), east, north)
    first, second = (lay(outline, one_way(2, 1)) for outline in (lawn, moved))
    assert len(second.lanes) == len(first.lanes)
    assert second.passes[0].work_length_m == pytest.approx(first.passes[0].work_length_m, rel=1e-6)


@pytest.mark.parametrize("seed", range(8))
def test_the_walk_visits_every_lane_and_round_once_and_stays_on_the_lawn(seed):
    lawn = starlike(seed, holes=6)
    made = lay(lawn, one_way(2, 1)).passes[0]
    assert [leg.number for leg in made.legs if leg.kind == "lane"] == list(range(1, made.lane_count + 1))
    rounds = [leg for leg in made.legs if leg.kind == "loop"]
    assert sorted(leg.number for leg in rounds) == list(range(1, len(made.loops) + 1))
    assert sorted(leg.length_m for leg in rounds) == pytest.approx(sorted(line.length for line in made.loops))
    assert made.walk.length == pytest.approx(made.path_length_m)
    assert made.walk.difference(lawn.buffer(1e-6)).length == pytest.approx(0, abs=1e-6)
    for before, after in zip(made.legs, made.legs[1:], strict=False):
        assert before.points[-1] == pytest.approx(after.points[0])


def test_two_directions_cross_and_the_second_begins_where_the_first_ends():
    first, second = lay(box(0, 0, 40, 30), Rig(swath_m=2)).passes
    assert (first.number, first.count, second.number, second.count) == (1, 2, 2, 2)
    assert abs(first.direction_deg - second.direction_deg) == pytest.approx(90)
    assert np.hypot(*(second.legs[0].points[0] - first.legs[-1].points[-1])) < 1e-9


def test_half_spacing_walks_between_the_first_lanes():
    first, second = lay(box(0, 0, 40, 30), Rig(swath_m=2, passes="half spacing")).passes
    assert first.direction_deg == second.direction_deg
    gap = (first.lanes[:, 0, 1][:, None] - second.lanes[:, 0, 1][None]) % 2
    assert gap == pytest.approx(np.ones_like(gap))


def test_a_stated_direction_is_kept():
    made = lay(box(0, 0, 40, 30), one_way(2, 1, direction=30)).passes[0]
    assert made.direction_deg == pytest.approx(30)
    step = made.lanes[:, 1] - made.lanes[:, 0]
    assert np.degrees(np.arctan2(step[:, 1], step[:, 0])) % 180 == pytest.approx(30)


def test_ground_narrower_than_the_swath_is_left_to_the_hand():
    plan = lay(box(0, 0, 40, 1.5), one_way(2, 1))
    assert not len(plan.lanes)
    assert not plan.loops
    assert plan.passes[0].by_hand.area == pytest.approx(60)
    assert plan.path_length_m == 0
    assert [found.code for found in plan.findings] == ["narrower-than-swath"]


def test_corners_left_over_are_drawn():
    wedge = Polygon([(0, 0), (60, 0), (60, 10)])
    plan = lay(wedge, one_way(2, 1))
    assert plan.passes[0].by_hand.area > 1
    assert [found.code for found in plan.findings] == ["hand-spots"]


@pytest.mark.parametrize(
    ("ground", "says"),
    [
        (Polygon(), "no ground"),
        (MultiPolygon(), "no ground"),
        (Polygon([(0, 0), (4, 4), (4, 0), (0, 4)]), r"no ground|crosses itself"),
        (Polygon([(0, 0), (9, 4), (9, 0), (0, 6)]), "crosses itself"),
    ],
)
def test_what_is_no_ground_is_refused(ground, says):
    with pytest.raises(ShapeError, match=says):
        lay(ground, Rig())


def takeoff_of(zones, obstacles=()):
    """A measured yard as the measuring room would hand it over, straight from the shapes."""
    empty = Polygon()
    areas = tuple(
        ZoneArea(name, "thin", "stated", None, 0.0, p.area, p.area, 0.1, p.area, 0.0, by_hand, p, empty)
        for name, p, by_hand in zones
    )
    yard = Yard("yard", tuple(Zone(name, p) for name, p, _ in zones), obstacles)
    total = sum(area.net_area_m2 for area in areas)
    return Takeoff(yard, areas, (), total, total, 0.1, None, 0.05, "test", ())


def test_zones_are_laid_one_by_one_and_those_by_hand_left_out():
    zones = [
        ("front", box(0, 0, 30, 20), False),
        ("spot", box(30, 0, 31, 1), True),
        ("back", box(0, 25, 30, 50), False),
    ]
    drive = Obstacle("drive", "drive", box(0, 20, 30, 25))
    plan = lay(takeoff_of(zones, (drive,)), one_way(2, 1))
    assert [made.zone for made in plan.passes] == ["front", "back"]
    assert not plan.findings


def test_a_pool_is_walked_round_and_a_drive_across():
    parts = MultiPolygon([box(0, 0, 20, 20), box(22, 0, 42, 20)])
    across = lay(
        takeoff_of([("lawn", parts, False)], (Obstacle("drive", "drive", box(20, 0, 22, 20)),)), one_way(2, 1)
    )
    assert not across.findings
    round_it = lay(
        takeoff_of([("lawn", parts, False)], (Obstacle("pool", "pool", box(20, 0, 22, 20)),)), one_way(2, 1)
    )
    assert [found.code for found in round_it.findings] == ["no-way-through"]


def test_the_time_cap_gives_the_best_so_far_and_says_so():
    spots = shapely.union_all(
        shapely.buffer(shapely.points(np.random.default_rng(3).uniform(1, 59, (300, 2))), 0.2)
    )
    plan = lay(box(0, 0, 60, 60).difference(spots), one_way(2, 1, time_cap_s=0.001))
    assert [found.code for found in plan.findings if found.code != "hand-spots"] == ["order-cut-short"]
    assert len(plan.lanes) > 10


def test_a_house_in_a_square_is_walked_round_in_the_shortest_order():
    """The least over all tours of the four cells is 3,000 of work and 196 between lanes, found by trying all."""
    plan = lay(box(0, 0, 120, 120).difference(box(30, 40, 90, 80)), one_way(4))
    assert len(plan.lanes) == 40
    assert plan.passes[0].work_length_m == pytest.approx(3000)
    assert plan.path_length_m == pytest.approx(3196)
