import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import rotate
from shapely.geometry import Point, Polygon, box

from lawnmap.lanes.coverage import swaths
from lawnmap.lanes.direction import (
    Spacing,
    altitude_sum,
    best_directions,
    candidate_directions,
    direction_cost,
)
from lawnmap.lanes.strips import edges_of, project

L_YARD = Polygon([(0, 0), (100, 0), (100, 40), (40, 40), (40, 100), (0, 100)])
HOUSE_YARD = box(0, 0, 120, 120).difference(box(30, 40, 90, 80))


def altitudes(ground, *degrees):
    return altitude_sum(edges_of(ground), np.radians(degrees))


# W. H. Huang, "Optimal line-sweep-based decompositions for coverage algorithms", IEEE ICRA 2001: the cost
# of sweeping cells is the sum of their altitudes; these cells are seen by eye.
@pytest.mark.parametrize(
    ("ground", "degrees", "answer"),
    [
        (box(0, 0, 120, 60), 0, 60),
        (box(0, 0, 120, 60), 90, 120),
        (box(0, 0, 120, 60), 45, 180 / np.sqrt(2)),
        (L_YARD, 0, 100),
        (L_YARD, 90, 100),
        (HOUSE_YARD, 0, 160),
        (HOUSE_YARD, 90, 180),
    ],
)
def test_altitudes_of_cells_seen_by_eye(ground, degrees, answer):
    assert altitudes(ground, degrees)[0] == pytest.approx(answer)


@pytest.mark.parametrize("degrees", [0, 17, 45, 111])
def test_a_round_bed_costs_its_width_in_every_direction(degrees):
    square = box(0, 0, 100, 100)
    bed = Point(50, 50).buffer(10, quad_segs=256)
    added = altitudes(square.difference(bed), degrees) - altitudes(square, degrees)
    assert added[0] == pytest.approx(20, abs=1e-3)


def random_lawn(seed):
    random = np.random.default_rng(seed)
    angles = np.sort(random.uniform(0, 2 * np.pi, 12))
    radius = random.uniform(10, 40, 12)
    return Polygon(np.stack([radius * np.cos(angles), radius * np.sin(angles)], axis=1)).buffer(0)


@given(st.integers(0, 10**6), st.floats(0, 360))
@settings(max_examples=50, deadline=None)
def test_altitudes_turn_with_the_lawn(seed, turn):
    lawn = random_lawn(seed)
    before = altitudes(lawn, 0, 30, 77)
    after = altitudes(rotate(lawn, turn, origin=(0, 0)), turn, 30 + turn, 77 + turn)
    assert after == pytest.approx(before)


@given(st.integers(0, 10**6), st.floats(0, 1))
@settings(max_examples=50, deadline=None)
def test_no_direction_beats_the_candidates(seed, lane_end):
    """The cost is concave between candidates, so a search over all directions finds nothing better."""
    edges = edges_of(random_lawn(seed))
    every = np.linspace(0, np.pi, 720)
    best = direction_cost(edges, candidate_directions(edges), Spacing(2, lane_end, 4)).min()
    assert best <= direction_cost(edges, every, Spacing(2, lane_end, 4)).min() + 1e-9


def test_best_directions_differ_and_come_best_first():
    edges = edges_of(HOUSE_YARD)
    found = best_directions(edges, Spacing(4, 0.5, 12), 4)
    assert np.degrees(found).round(6).tolist() == [0, 90]


@pytest.mark.parametrize("degrees", [0, 25, 60, 90, 130])
def test_lanes_that_run_on_cover_all_the_ground_there_is(degrees):
    """What lanes cover, summed by Green's theorem strip by strip, is the area that shapely measures."""
    edges, swath = edges_of(HOUSE_YARD), 3.0
    phases = np.arange(24) / 24 * swath
    grids = np.stack([np.full(24, np.radians(degrees)), phases], axis=1)
    strips = project(edges, grids, swath, 1.0)
    covered = np.bincount(strips.candidate, strips.covered_m2)
    assert covered == pytest.approx(np.full(24, HOUSE_YARD.area), rel=1e-3)
    assert len(strips.strip) / 24 >= 0.99 * altitudes(HOUSE_YARD, degrees)[0] / swath


@pytest.mark.parametrize("lane_end", [0.0, 0.3, 0.8])
def test_what_a_lane_covers_is_what_shapely_finds_under_it(lane_end):
    lawn, swath, angle = random_lawn(7), 2.0, 0.4
    strips = project(edges_of(lawn), np.array([[angle, 0.3]]), swath, lane_end)
    under = shapely.intersection(swaths(strips.lanes(angle), (), swath), lawn)
    assert strips.covered_m2 == pytest.approx(shapely.area(under), abs=1e-6)
