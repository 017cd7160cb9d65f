"""The still picture, read back as SVG."""

from xml.etree import ElementTree as ET

import numpy as np
import pytest
import shapely

from lawnmap.sheets import draw_picture
from lawnmap.sheets.placing import lane_step, round_length
from lawnmap.sheets.scene import compose

SVG = "{http://www.w3.org/2000/svg}"


def numbers(path):
    """Area enclosed by the rings of a path, by the shoelace formula, even-odd."""
    area = 0.0
    for ring in path.get("d").rstrip("Z").split("ZM"):
        points = np.array([corner.split() for corner in ring.lstrip("M").split("L")], dtype=float)
        right, down = points.T
        signed = (right * np.roll(down, -1) - np.roll(right, -1) * down).sum() / 2
        area += abs(signed) if area == 0 else -abs(signed)
    return area


def layer(root, name):
    return next(group for group in root.iter(f"{SVG}g") if group.get("data-layer") == name)


def test_areas_on_the_picture_are_in_proportion(plan):
    root = ET.fromstring(draw_picture(plan))
    paths = list(layer(root, "zones").iter(f"{SVG}path"))
    west_side, spot = numbers(paths[2]), numbers(paths[4])
    zones = plan.takeoff.zones
    assert west_side / spot == pytest.approx(zones[2].net_area_m2 / zones[4].net_area_m2, rel=0.01)


def test_every_lane_is_drawn_once_in_its_pass(plan):
    root = ET.fromstring(draw_picture(plan))
    for number in (1, 2):
        group = layer(root, f"pass{number}")
        lines = sum(path.get("d").count("M") for path in group if path.get("fill") == "none")
        assert lines == sum(single.lane_count for single in plan.lanes.passes if single.number == number)
    assert layer(root, "pass2").get("display") == "none"


def test_arrowheads_point_along_their_lanes(plan):
    scene = compose(plan)
    marks = next(layer for layer in scene.layers if layer.id == "pass1").marks
    back = next(single for single in plan.lanes.passes if single.zone == "Back lawn" and single.number == 1)
    heads = next(mark.shape for mark in marks if mark.id == "p2" and mark.shape.geom_type == "MultiPolygon")
    long_lanes = [lane for lane in back.lanes if np.hypot(*(lane[1] - lane[0])) > back.swath_m]
    assert len(heads.geoms) == len(long_lanes)
    for head, lane in zip(heads.geoms, long_lanes, strict=True):
        tip, foot, other = np.asarray(head.exterior.coords)[:3]
        ahead = tip - (foot + other) / 2
        assert shapely.LineString(lane).distance(shapely.Point(tip)) < 1e-9
        assert np.dot(ahead, lane[1] - lane[0]) > 0


def test_zones_by_name_or_by_number_where_the_name_has_no_room(plan):
    words = [text.text for text in ET.fromstring(draw_picture(plan)).iter(f"{SVG}text")]
    assert "Back lawn" in words
    assert "Spot by the gate" not in words
    assert "5" in words


def test_no_label_lies_on_another(plan):
    scene = compose(plan)
    assert len({(label.east_m, label.north_m) for label in scene.labels}) == len(scene.labels)
    for label in scene.labels:
        if label.kind == "zone":
            ground = plan.takeoff.zones[int(label.id[1:])].ground
            assert ground.contains(shapely.Point(label.east_m, label.north_m))
            assert label.room_m > 0


def test_north_is_shown_only_where_it_is_known(plan, local_plan):
    words = [
        [text.text for text in ET.fromstring(draw_picture(one)).iter(f"{SVG}text")]
        for one in (plan, local_plan)
    ]
    assert "N" in words[0]
    assert "N" not in words[1]
    assert {"up is", "not north"} <= set(words[1])


def test_scale_bar_is_as_long_as_it_says(plan):
    root = ET.fromstring(draw_picture(plan))
    bar = next(path.get("d") for path in root.iter(f"{SVG}path") if "v6h" in path.get("d"))
    feet = next(
        float(text.text.split()[0])
        for text in root.iter(f"{SVG}text")
        if text.text[:1].isdigit() and text.text.endswith(" ft")
    )
    wide = float(bar.split("h")[1].split("v")[0])
    west, _, east, _ = compose(plan).bounds
    corners = [
        float(number)
        for path in layer(root, "water")
        for number in path.get("d")[1:].replace("L", " ").split()
    ]
    px_per_m = (max(corners[::2]) - min(corners[::2])) / (east - west)  # the creek is the widest thing
    assert wide / px_per_m == pytest.approx(feet * 0.3048, rel=0.01)


@pytest.mark.parametrize(("gap", "step"), [(30, 1), (22, 1), (21, 5), (3, 10), (0.1, 100)])
def test_lane_numbers_do_not_crowd(gap, step):
    assert lane_step(gap) == step


@pytest.mark.parametrize(("longest", "found"), [(1, 1), (1.99, 1), (2, 2), (99, 50), (0.07, 0.05)])
def test_round_lengths(longest, found):
    assert round_length(longest) == pytest.approx(found)
