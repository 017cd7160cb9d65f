import dataclasses
import re

import numpy as np
import pytest
from shapely.geometry import LineString, MultiPolygon, Point, Polygon, box

from lawnmap.errors import ChoiceError
from lawnmap.lanes import Rig, lay
from lawnmap.measure.model import Takeoff, ZoneArea
from lawnmap.yard import Landmark, Obstacle, Yard, Zone

LAWN = box(0, 0, 40, 30)
WALL = Landmark("north wall", LineString([(0, 31), (40, 38)]), "wall")


def takeoff_of(zones, obstacles=(), landmarks=()):
    """A measured yard as the measuring room would hand it over, straight from the shapes."""
    areas = tuple(
        ZoneArea(
            name,
            "thin",
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
        for name, p in zones
    )
    yard = Yard("yard", tuple(Zone(name, p) for name, p in zones), obstacles, landmarks=landmarks)
    total = sum(area.net_area_m2 for area in areas)
    return Takeoff(yard, areas, (), total, total, 0.1, None, 0.05, "test", ())


def rig(**more):
    return Rig(swath_m=2, passes="one direction", **more)


def test_the_walk_begins_at_the_refill_point_before_a_gate():
    marks = (Landmark("side gate", Point(0, 30), "gate"), Landmark("tap", Point(40, 0), "refill"))
    made = lay(takeoff_of([("lawn", LAWN)], landmarks=marks), rig()).passes[0]
    assert made.legs[0].points[0].tolist() == [40, 0]
    named = lay(takeoff_of([("lawn", LAWN)], landmarks=marks), rig(start="side gate")).passes[0]
    assert named.legs[0].points[0].tolist() == [0, 30]


def test_a_start_on_the_roof_is_told_and_the_plan_still_made():
    house = Obstacle("house", "house", box(10, 10, 30, 20))
    marks = (Landmark("chimney", Point(20, 15), "refill"),)
    plan = lay(takeoff_of([("lawn", LAWN.difference(house.polygon))], (house,), marks), rig())
    assert [found.code for found in plan.findings] == ["start-off-ground"]
    assert re.search(r"is [\d.]+ m \([\d.]+ ft\) from any ground", plan.findings[0].text)
    assert len(plan.lanes) > 5


def test_an_unknown_start_is_refused():
    with pytest.raises(ChoiceError, match=r'no landmark "tapp".*did you mean "tap"'):
        lay(
            takeoff_of([("lawn", LAWN)], landmarks=(Landmark("tap", Point(0, 0), "refill"),)),
            rig(start="tapp"),
        )


def test_lanes_run_along_a_wall_and_the_price_is_told():
    made = lay(takeoff_of([("lawn", LAWN)], landmarks=(WALL,)), rig(direction="north wall")).passes[0]
    assert made.direction_deg == pytest.approx(np.degrees(np.arctan2(7, 40)))
    assert 0 < made.direction_price < 0.3
    free = lay(takeoff_of([("lawn", LAWN)]), rig()).passes[0]
    assert free.direction_price is None


def test_lanes_run_along_the_longest_side_of_an_obstacle():
    drive = Obstacle("drive", "drive", box(40, 0, 43, 30))
    made = lay(takeoff_of([("lawn", LAWN)], (drive,)), rig(direction="drive")).passes[0]
    assert made.direction_deg == pytest.approx(90)


def test_a_zone_may_have_its_own_direction():
    zones = [("front", box(0, 0, 40, 10)), ("back", box(0, 20, 40, 50))]
    first, second = lay(takeoff_of(zones), rig(zone_directions={"back": 90})).passes
    assert (first.direction_deg, second.direction_deg) == (pytest.approx(0), pytest.approx(90))


@pytest.mark.parametrize(
    ("choices", "says"),
    [
        ({"direction": "fence"}, r'no wall or obstacle "fence"'),
        ({"zone_directions": {"bak": 90}}, r'no zone "bak".*did you mean "back"'),
    ],
)
def test_directions_that_name_nothing_are_refused(choices, says):
    with pytest.raises(ChoiceError, match=says):
        lay(takeoff_of([("back", LAWN)]), rig(**choices))


def test_a_gate_joins_two_lawns_and_without_it_the_way_is_told():
    parts = MultiPolygon([box(0, 0, 20, 20), box(20.5, 0, 40, 20)])
    shut = lay(takeoff_of([("lawn", parts)]), rig())
    assert [found.code for found in shut.findings] == ["no-way-through"]
    gate = Landmark("gate", Point(20.25, 10), "gate")
    assert not lay(takeoff_of([("lawn", parts)], landmarks=(gate,)), rig()).findings


def test_a_hairline_between_a_lawn_and_a_drive_does_not_part_them():
    parts = MultiPolygon([box(0, 0, 20, 20), box(23, 0, 43, 20)])
    drive = Obstacle("drive", "drive", box(20.01, 0, 22.99, 20))
    assert not lay(takeoff_of([("lawn", parts)], (drive,)), rig()).findings


def test_a_yard_with_nothing_to_lay_gives_an_empty_plan():
    takeoff = takeoff_of([("spot", box(0, 0, 1, 1))])
    by_hand = dataclasses.replace(takeoff, zones=(dataclasses.replace(takeoff.zones[0], by_hand=True),))
    plan = lay(by_hand, rig())
    assert plan.passes == ()
    assert plan.walk.is_empty


def test_lanes_are_set_out_from_the_corners_of_a_house():
    house = Obstacle("house", "house", box(10, 32, 30, 44))
    made = lay(takeoff_of([("lawn", LAWN)], (house,)), rig()).passes[0]
    assert {stake.lane for stake in made.stakes} >= {1, 5, made.lane_count}
    assert all(tie.place.startswith("house, ") for stake in made.stakes for tie in stake.ties)


def test_stakes_that_nothing_fixes_are_told():
    marks = (Landmark("a", Point(0, 100)), Landmark("b", Point(0.5, 100)))
    codes = [found.code for found in lay(takeoff_of([("lawn", LAWN)], landmarks=marks), rig()).findings]
    assert codes == ["stake-without-ties"]


def test_stakes_out_of_reach_of_the_tape_are_told():
    marks = (Landmark("a", Point(0, 70)), Landmark("b", Point(60, 70)))
    found = lay(takeoff_of([("lawn", LAWN)], landmarks=marks), rig()).findings
    assert [one.code for one in found] == ["stake-beyond-tape"]
    assert "30.5 m (100 ft)" in found[0].text
