"""The score of a plan: shares, means and what lands where, against figures that follow from the shapes."""

import json

import numpy as np
import pytest
from shapely.geometry import MultiPolygon, Polygon, box

from lawnmap.errors import LawnmapError
from lawnmap.evenness.model import ZoneEvenness
from lawnmap.evenness.overlap import overlap
from lawnmap.evenness.score import BEYOND, Throwing, score, way_of
from lawnmap.evenness.shapes import box as curtain
from lawnmap.evenness.shapes import triangle
from lawnmap.evenness.strips import LaneEnds
from lawnmap.lanes import Rig
from lawnmap.lanes import lay as lay_lanes
from lawnmap.measure import Takeoff, ZoneArea
from lawnmap.yard import Obstacle, Water, Yard, Zone

SWATH = 1.8


def takeoff(zones, obstacles=(), water=(), unfed=None):
    """A take-off of zones that are net ground already."""
    unfed = unfed or {}
    areas = tuple(
        ZoneArea(
            name, "thin", "stated", None, 0.0, shape.area, shape.area, 0.0, shape.area, 0.0,
            by_hand=False, ground=shape, unfed=unfed.get(name, MultiPolygon()),
        )
        for name, shape in zones.items()
    )  # fmt: skip
    yard = Yard("plot", tuple(Zone(n, s) for n, s in zones.items()), tuple(obstacles), tuple(water))
    total = sum(shape.area for shape in zones.values())
    return Takeoff(yard, areas, (), total, total, 0.0, None, 0.01, "test", ())


def test_a_drop_spreader_on_a_rectangle_is_perfect(lay, lanes_over):
    ground = box(0, 0, 30, 10 * SWATH)
    found = score(lay(lanes_over(ground, SWATH)), ground, curtain(SWATH), cell_m=0.1)
    assert found.whole_cv == pytest.approx(0, abs=1e-6)
    assert found.interior_cv == pytest.approx(0, abs=1e-9)
    assert found.outside_share == 0
    assert found.off_lawn_share == pytest.approx(0, abs=1e-9)
    assert found.on_lawn_kg == pytest.approx(found.hopper_kg)
    assert found.zones[0].mean_kg_per_m2 == pytest.approx(1)
    assert found.zones[0].area_m2 == pytest.approx(ground.area)


def test_missed_strips_are_counted(lay, lanes_over):
    """Every lane a tenth too narrow: a tenth of the ground gets nothing, CV = √(0.1 × 0.9) / 0.9."""
    ground = box(0, 0, 27, 10 * SWATH)
    found = score(lay(lanes_over(ground, SWATH)), ground, curtain(0.9 * SWATH), cell_m=SWATH / 40)
    assert found.under_share == pytest.approx(0.1, abs=1e-6)
    assert found.whole_cv == pytest.approx(np.sqrt(1 / 9), abs=1e-6)
    assert found.interior_cv == pytest.approx(np.sqrt(1 / 9), abs=1e-6)
    assert [one.code for one in found.findings] == ["lanes-too-far-apart"]


def test_all_that_leaves_the_hopper_is_accounted_for(lawn, lay, lanes_over, loops_over):
    around = takeoff(
        {"lawn": lawn, "meadow": box(40, 0, 50, 20)},
        [
            Obstacle("house", "house", box(10, 8, 16, 13)),
            Obstacle("drive", "drive", box(30, -3, 33, 23)),
            Obstacle("path", "walk", box(29, 20, 40, 21)),  # crosses the end of the drive
        ],
        [Water("pond", box(-9, 0, 0, 20))],
        {"lawn": box(0, 0, 2, 20)},
    )
    plan = lay(lanes_over(lawn, SWATH, zone="lawn", loops=loops_over(lawn, SWATH)))
    found = score(plan, around, Throwing(triangle(SWATH), LaneEnds(feather_m=0.9)), rates={"lawn": 0.03})
    assert found.on_lawn_kg + sum(found.off_lawn_kg.values()) == pytest.approx(found.hopper_kg, rel=1e-9)
    assert set(found.off_lawn_kg) == {"house", "drive", "walk", "water", "other lawn", BEYOND}
    assert min(found.off_lawn_kg["drive"], found.off_lawn_kg["water"], found.off_lawn_kg["house"]) > 0
    assert found.off_lawn_kg["other lawn"] == 0
    assert found.water_strip_kg > 0
    assert {one.code for one in found.findings} == {"material-off-lawn", "material-near-water"}
    shielded = score(
        plan, around, Throwing(triangle(SWATH), LaneEnds(feather_m=0.9), shield=True), rates={"lawn": 0.03}
    )
    assert shielded.off_lawn_kg["drive"] < found.off_lawn_kg["drive"]
    assert shielded.hopper_kg == pytest.approx(found.hopper_kg)


def test_zones_are_judged_against_their_own_rate(lay, lanes_over):
    zones = {"front": box(0, 0, 30, 9), "back": box(0, 20, 30, 29)}
    plan = lay(*(lanes_over(shape, SWATH, zone=name) for name, shape in zones.items()))
    found = score(plan, takeoff(zones), curtain(SWATH), rates={"front": 0.04, "back": 0.01}, cell_m=0.1)
    assert [zone.mean_kg_per_m2 for zone in found.zones] == pytest.approx([0.04, 0.01])
    assert found.whole_cv == pytest.approx(0, abs=1e-6)
    frame = found.to_frame()
    assert list(frame["name"]) == ["front", "back"]
    assert json.loads(json.dumps(found.to_dict()))["zones"][0]["target_kg_per_m2"] == 0.04
    assert "off the lawn" in found.line()


def test_ground_left_to_the_hand_is_left_out(lay, lanes_over):
    ground = box(0, 0, 30, 9 + 2)
    plan = lay(lanes_over(box(0, 0, 30, 9), SWATH, by_hand=box(0, 9, 30, 11)))
    found = score(plan, ground, curtain(SWATH), cell_m=0.1)
    assert found.by_hand_area_m2 == pytest.approx(60)
    assert found.under_share == pytest.approx(0, abs=1e-9)


def test_interior_of_crossing_passes_is_the_root_of_the_squares(lay, lanes_over):
    ground = box(0, 0, 30, 30)
    wide = 1.5 * SWATH
    plan = lay(lanes_over(ground, wide, count=2), lanes_over(ground, wide, 90, count=2, number=2))
    found = score(plan, ground, triangle(SWATH), cell_m=0.2)
    assert found.interior_cv == pytest.approx(0.25 / np.sqrt(2))


def test_edges_not_spacing_make_a_small_lawn_uneven(lawn, lay, lanes_over):
    found = score(lay(lanes_over(lawn, SWATH)), lawn, Throwing(triangle(SWATH), LaneEnds(feather_m=0.9)))
    assert found.interior_cv == pytest.approx(0, abs=1e-9)
    assert 0.08 < found.whole_cv < 0.25


def test_way_is_read_off_the_lanes(lay, lanes_over):
    ground = box(0, 0, 30, 20)
    single = lanes_over(ground, SWATH)
    assert way_of(single) == "back and forth"
    single.lanes[1::2] = single.lanes[1::2, ::-1]
    assert way_of(single) == "round and round"
    lopsided = triangle(SWATH, left_share=0.3)
    found = score(lay(single), ground, lopsided, cell_m=0.3)
    assert found.interior_cv == pytest.approx(overlap(lopsided, SWATH, "round and round").cv)


def test_small_tiles_give_the_same_score(lawn, lay, lanes_over, loops_over, monkeypatch):
    plan = lay(lanes_over(lawn, SWATH, 25, loops=loops_over(lawn, SWATH)))
    throwing = Throwing(triangle(SWATH), LaneEnds(feather_m=0.9), shield=True)
    whole = score(plan, lawn, throwing, cell_m=0.15)
    monkeypatch.setattr("lawnmap.evenness.grid._TILE", 64)
    pieces = score(plan, lawn, throwing, cell_m=0.15)
    assert pieces.whole_cv == pytest.approx(whole.whole_cv, rel=1e-9)
    assert pieces.off_lawn_kg == pytest.approx(whole.off_lawn_kg, rel=1e-9)


def test_lanes_of_other_ground(lay, lanes_over):
    plan = lay(lanes_over(box(0, 0, 30, 20), SWATH, zone="front"))
    with pytest.raises(LawnmapError, match="give the ground that they were laid for"):
        score(plan, takeoff({"back": box(0, 0, 9, 9)}), triangle(SWATH))
    with pytest.raises(LawnmapError, match="give the ground that they were laid for"):
        score(plan, Polygon(), triangle(SWATH))


def test_a_zone_row_names_its_units():
    row = ZoneEvenness("front", 1.0, 1.0, 1.0, 0.0, 0.0, 0.0, 0.0).to_dict()
    assert {"area_m2", "target_kg_per_m2", "mean_kg_per_m2", "cv", "under_share"} <= row.keys()


def test_a_second_pass_between_the_lanes_of_the_first_counts_as_half_spacing(lay, lanes_over):
    ground = box(0, 0, 30, 20)
    wide = 1.5 * SWATH
    plan = lay(lanes_over(ground, wide, count=2), lanes_over(ground, wide, count=2, number=2, first_m=1.0))
    found = score(plan, ground, triangle(SWATH), cell_m=0.2)
    assert found.interior_cv == pytest.approx(0.0625)
    same = lay(lanes_over(ground, wide, count=2), lanes_over(ground, wide, count=2, number=2))
    assert score(same, ground, triangle(SWATH), cell_m=0.2).interior_cv == pytest.approx(0.25)


@pytest.mark.parametrize("passes", ["one direction", "two directions", "half spacing"])
def test_a_real_plan(lawn, passes):
    """Lanes laid by the lanes room: nothing is lost, and the shield keeps it on the lawn."""
    rig = Rig(swath_m=SWATH, passes=passes)
    plan = lay_lanes(lawn, rig)
    throwing = Throwing(triangle(SWATH), LaneEnds(feather_m=0.9))
    found = score(plan, lawn, throwing, cell_m=0.1)
    assert found.on_lawn_kg + sum(found.off_lawn_kg.values()) == pytest.approx(found.hopper_kg, rel=1e-9)
    assert found.interior_cv == pytest.approx(0, abs=1e-9)
    assert found.whole_cv < 0.35
    assert found.zones[0].mean_kg_per_m2 == pytest.approx(1, abs=0.15)
    kept = score(plan, lawn, Throwing(triangle(SWATH), LaneEnds(feather_m=0.9), shield=True), cell_m=0.1)
    assert kept.off_lawn_share < 0.3 * found.off_lawn_share
