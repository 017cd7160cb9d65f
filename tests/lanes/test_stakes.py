import itertools

import numpy as np
import pytest
from shapely.geometry import LineString, Point, box

from lawnmap.lanes import Rig, lay
from lawnmap.lanes.fixed import fixed_places
from lawnmap.lanes.stakes import (
    LEAST_ANGLE_DEG,
    Taping,
    aims_of,
    baseline_marks_m,
    stake_out,
    tie_distances_m,
    tie_error_m,
)
from lawnmap.yard import Landmark, Obstacle, Yard

HOUSE = Obstacle("house", "house", box(10, 40, 30, 52))
LAWN = box(0, 0, 40, 38)


def yard_with(*landmarks, obstacles=(HOUSE,)):
    return Yard("yard", (), obstacles, landmarks=landmarks)


def staked(yard, every=4, taping=None, lawn=LAWN):
    plan = lay(lawn, Rig(swath_m=2, passes="one direction"))
    return plan.passes[0], stake_out(plan.passes[0], fixed_places(yard), every, taping)


# Two circles meet at (30, 50) from (0, 0) and (40, 0): Pythagoras. The error of ties, √2 σ / sin γ, by simulation
# with σ 0.1: γ 42° gives 0.211, 23° 0.367, 12.5° 0.653, a right angle 0.141.
def test_ties_of_a_stake():
    ties = tie_distances_m(np.array([30.0, 50.0]), np.array([0.0, 0.0]), np.array([40.0, 0.0]))
    assert ties == pytest.approx((58.310, 50.990), abs=1e-3)


@pytest.mark.parametrize("place", [(20, 20), (30, 50), (20, 100), (80, 20)])
def test_error_of_ties_is_that_of_a_simulation(place):
    random = np.random.default_rng(1)
    b, sigma, (east, north) = 40.0, 0.1, place
    one, two = (np.hypot(*(np.array(place) - end)) for end in ((0, 0), (b, 0)))
    d1, d2 = (d + random.normal(0, sigma, 20000) for d in (one, two))
    back_east = (d1**2 - d2**2 + b**2) / (2 * b)
    back_north = np.sqrt(d1**2 - back_east**2)
    spread = np.sqrt(np.mean((back_east - east) ** 2 + (back_north - north) ** 2))
    angle = np.degrees(np.arccos((one**2 + two**2 - b**2) / (2 * one * two)))
    assert tie_error_m(angle, sigma) == pytest.approx(spread, rel=0.05)


# Lanes at 60° to a baseline, 6 apart, meet it every 6 / sin 60° = 6.9282.
def test_marks_along_a_baseline():
    along = np.array([np.cos(np.radians(60)), np.sin(np.radians(60))])
    left = np.array([-along[1], along[0]])
    lanes = np.array([[6 * i * left, 6 * i * left + 30 * along] for i in range(5)])
    wall = fixed_places(yard_with(Landmark("fence", LineString([(0, 0), (60, 0)]), "wall"))).walls[0]
    assert np.abs(np.diff(baseline_marks_m(lanes, wall))) == pytest.approx(np.full(4, 6.9282), abs=1e-4)


def test_stakes_come_in_walking_order_with_ties_and_checks():
    single, stakes = staked(yard_with(Landmark("post", Point(0, 0)), Landmark("valve", Point(40, 0))))
    assert [stake.number for stake in stakes] == list(range(1, len(stakes) + 1))
    lanes = [stake.lane for stake in stakes]
    assert lanes == sorted(lanes)
    assert lanes[0] == 1
    assert lanes[-1] == single.lane_count
    for stake in stakes:
        assert LEAST_ANGLE_DEG <= stake.angle_deg <= 180 - LEAST_ANGLE_DEG
        assert len(stake.ties) == 2
        assert stake.error_m >= np.sqrt(2) * 0.0254
    for before, after in itertools.pairwise(stakes):
        gap = np.hypot(after.east_m - before.east_m, after.north_m - before.north_m)
        assert after.check_m == pytest.approx(gap, abs=0.0051)


def test_printed_ties_lead_back_to_the_stake():
    yard = yard_with(Landmark("post", Point(0, 0)), Landmark("valve", Point(40, 0)))
    places = fixed_places(yard)
    _, stakes = staked(yard, taping=Taping(round_m=0.0254))
    for stake in stakes:
        for tie in stake.ties:
            corner = places.points[places.names.index(tie.place)]
            assert tie.distance_m == pytest.approx(
                np.hypot(*(corner - (stake.east_m, stake.north_m))), abs=0.0128
            )
            assert tie.distance_m / 0.0254 == pytest.approx(round(tie.distance_m / 0.0254))


def test_no_tape_goes_through_a_house():
    house = Obstacle("house", "house", box(12, 8, 22, 20))
    posts = [Landmark(f"post {i}", Point(*at)) for i, at in enumerate([(0, 0), (40, 0), (40, 30), (0, 30)])]
    yard = yard_with(*posts, obstacles=(house,))
    places = fixed_places(yard)
    _, stakes = staked(yard)
    assert any(not places.reached(np.array([[stake.east_m, stake.north_m]])).all() for stake in stakes)
    for stake in stakes:
        for tie in stake.ties:
            corner = places.points[places.names.index(tie.place)]
            tape = LineString([corner, (stake.east_m, stake.north_m)])
            assert tape.intersection(house.polygon).length < 0.5


def test_a_wall_beside_the_lawn_is_measured_along():
    wall = Landmark("fence", LineString([(0, -1), (40, -1)]), "wall")
    _, stakes = staked(yard_with(wall, obstacles=()), every=3)
    beside = [stake for stake in stakes if stake.ties and stake.ties[0].how == "along"]
    assert beside
    for stake in beside:
        assert stake.ties[0].distance_m == pytest.approx(stake.east_m, abs=0.0051)
        assert stake.ties[1].distance_m == pytest.approx(stake.north_m + 1, abs=0.0051)


def test_corners_of_a_house_are_named_by_the_compass():
    names = fixed_places(yard_with()).names
    assert sorted(names) == [
        f"house, {side} corner" for side in ("north-east", "north-west", "south-east", "south-west")
    ]


def test_without_fixed_places_stakes_have_no_ties_and_say_so():
    _, stakes = staked(yard_with(obstacles=()))
    assert all(stake.ties == () for stake in stakes)
    assert stakes[0].to_dict()["error_m"] is None


def test_what_stands_in_line_is_aimed_at():
    single, _ = staked(yard_with())
    lane = single.lanes[0]
    step = (lane[1] - lane[0]) / np.hypot(*(lane[1] - lane[0]))
    tree = Obstacle("oak", "tree", Point(*(lane[1] + 20 * step)).buffer(1))
    stakes = stake_out(single, fixed_places(yard_with(obstacles=(tree,))), 4)
    assert stakes[1].aim == "oak"


def test_every_lane_has_what_it_is_aimed_at_unless_a_house_hides_it():
    single, _ = staked(yard_with())
    lane = next(one for one in single.lanes if one[1, 0] > one[0, 0] or one[1, 1] > one[0, 1])
    step = (lane[1] - lane[0]) / np.hypot(*(lane[1] - lane[0]))
    oak = Obstacle("oak", "tree", Point(*(lane[1] + 20 * step)).buffer(1))
    shed = Obstacle("shed", "other", Point(*(lane[1] + 10 * step)).buffer(3))
    which = int(np.argmin(np.abs(single.lanes - lane).sum(axis=(1, 2))))
    assert aims_of(single.lanes, fixed_places(yard_with(obstacles=(oak,))))[which] == "oak"
    assert aims_of(single.lanes, fixed_places(yard_with(obstacles=(oak, shed))))[which] == ""
    assert set(aims_of(single.lanes, fixed_places(yard_with(obstacles=())))) == {""}


def test_no_stakes_where_none_are_wanted():
    assert staked(yard_with(), every=0)[1] == ()
