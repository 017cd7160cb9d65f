"""The deposit map: nothing is lost, and a dumb sum over every cell agrees with the fast way."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from shapely.geometry import LineString, box

from lawnmap.errors import InputError
from lawnmap.evenness.deposit import deposit, lay_on
from lawnmap.evenness.grid import Grid, grid_over
from lawnmap.evenness.pattern import Pattern
from lawnmap.evenness.shapes import bell, shaped, trapezoid, triangle
from lawnmap.evenness.shapes import box as curtain
from lawnmap.evenness.strips import LaneEnds, Strips, strips_of

FOOT = 0.3048
SHARP = LaneEnds()


def dumb(strips, grid):
    """Rate at every cell: integrals of the throw and of the open gate, cell by cell and strip by strip."""
    rate = np.zeros((grid.rows, grid.columns))
    centres = grid.centres()
    half = grid.cell_m / 2
    for start, end, mass, kind in zip(
        strips.start_m, strips.end_m, strips.mass_kg_per_m, strips.kind, strict=True
    ):
        length = np.hypot(*(end - start))
        unit = (end - start) / length
        right = np.array([unit[1], -unit[0]])
        offset, along = (centres - start) @ right, (centres - start) @ unit
        pattern = strips.patterns[kind]
        throw = (pattern.cumulative(offset + half) - pattern.cumulative(offset - half)) / (2 * half)
        share = opened(along - half, along + half, length, strips.feather_m)
        rate += mass * throw * share
    return rate


def opened(first, last, length, feather):
    """Mean over a span of a gate that opens at 0 and shuts at the length, each over a straight rise."""

    def until(at):
        rise = np.clip(at + feather, 0.0, 2 * feather)
        return (rise * rise / (4 * feather) if feather else 0.0) + np.maximum(at - feather, 0.0)

    whole = until(last) - until(first) - until(last - length) + until(first - length)
    return whole / (last - first)


def test_the_open_gate_of_the_dumb_sum_is_an_integral():
    def rate(at):
        return np.interp(at, [-0.9, 0.9], [0, 1]) - np.interp(at - 5, [-0.9, 0.9], [0, 1])

    assert opened(0.1, 0.8, 5, 0.9) == pytest.approx(quad(rate, 0.1, 0.8)[0] / 0.7)


place = st.floats(-12, 12)
throws = st.sampled_from([triangle(1.8), trapezoid(1.7), curtain(1.1), triangle(1.6, left_share=0.3)])


@st.composite
def square_strips(draw):
    """Random strips along one direction and the one square to it."""
    count = draw(st.integers(1, 6))
    turn = np.radians(draw(st.floats(-44, 44)))
    axes = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    start = np.array([(draw(place), draw(place)) for _ in range(count)])
    run = np.zeros((count, 2))
    run[np.arange(count), [draw(st.integers(0, 1)) for _ in range(count)]] = [
        draw(st.sampled_from([-1, 1])) * draw(st.floats(0.5, 20)) for _ in range(count)
    ]
    mass = np.array([draw(st.floats(0.1, 3)) for _ in range(count)])
    kind = np.array([draw(st.integers(0, 1)) for _ in range(count)])
    feather = draw(st.sampled_from([0.0, 0.7]))
    return (
        Strips(start @ axes, (start + run) @ axes, mass, kind, (draw(throws), draw(throws)), feather),
        np.degrees(turn),
    )


def around(strips, cell_m, turn):
    points = np.concatenate([strips.start_m, strips.end_m])
    return grid_over(points, cell_m=cell_m, turn_deg=turn, margin_m=strips.reach_m + 1)


@settings(deadline=None, max_examples=25)
@given(square_strips())
def test_matrix_product_equals_the_dumb_sum(made):
    strips, turn = made
    grid = around(strips, 0.37, turn)
    rate = lay_on(strips, grid)
    assert rate == pytest.approx(dumb(strips, grid), abs=1e-12 * rate.max())
    assert rate.sum() * grid.cell_area_m2 == pytest.approx(strips.hopper_kg, rel=1e-9)


@settings(deadline=None, max_examples=25)
@given(square_strips(), st.floats(3, 87))
def test_slanted_strips_equal_the_dumb_sum_and_lose_nothing(made, slant):
    strips, turn = made
    grid = around(strips, 0.09, turn + slant)
    rate = lay_on(strips, grid)
    assert rate.sum() * grid.cell_area_m2 == pytest.approx(strips.hopper_kg, rel=1e-9)
    smooth = [n for n, k in enumerate(strips.kind) if strips.patterns[k].shape != "box"]
    if len(smooth) == len(strips.kind) and strips.feather_m:
        assert rate == pytest.approx(dumb(strips, grid), abs=2e-3 * rate.max())


def test_slanted_strip_against_fine_sampling():
    """A strip over cells 16 times finer, averaged, is what the coarse cells must hold."""
    strips = Strips(
        np.array([[0.0, 0]]), np.array([[9.0, 4]]), np.ones(1), np.zeros(1, int), (triangle(1.8),), 0.6
    )
    coarse = Grid(-4.0, 8.0, 0.16, 0.0, 80, 108)
    fine = Grid(-4.0, 8.0, 0.01, 0.0, 1280, 1728)
    run = np.array([9.0, 4]) / np.hypot(9, 4)
    offset = (fine.centres()) @ np.array([run[1], -run[0]])
    along = (fine.centres()) @ run
    gate = np.interp(along, [-0.6, 0.6], [0, 1]) - np.interp(along - np.hypot(9, 4), [-0.6, 0.6], [0, 1])
    exact = (triangle(1.8).density(offset) * gate).reshape(80, 16, 108, 16).mean(axis=(1, 3))
    assert lay_on(strips, coarse) == pytest.approx(exact, abs=2e-3 * exact.max())


@pytest.mark.parametrize("direction", [0.0, 90.0, 33.0, -71.5])
def test_hopper_is_what_lands(lawn, lay, lanes_over, loops_over, direction):
    plan = lay(
        lanes_over(lawn, 1.8, direction, count=2, loops=loops_over(lawn, 1.8)),
        lanes_over(lawn, 1.8, direction + 90, count=2, number=2),
    )
    for shield in (None, lawn):
        found = deposit(
            plan, triangle(1.8), cell_m=0.15, ends=LaneEnds(0.3, 0.5, 0.9), shield=shield, rates={"": 0.04}
        )
        assert found.landed_kg == pytest.approx(found.hopper_kg, rel=1e-9)
        length = sum(
            sum(np.hypot(*(single.lanes[:, 1] - single.lanes[:, 0]).T) + 0.2)
            + sum(loop.length for loop in single.loops)
            for single in plan.passes
        )
        assert found.hopper_kg == pytest.approx(length * 0.02 * 1.8, rel=1e-9)


def interior(found, radius_m):
    away = np.hypot(*(found.grid.centres() - 0.0).transpose(2, 0, 1))
    return found.rate_kg_per_m2[away < radius_m]


SITE = box(-28, -28, 28, 28)


@pytest.mark.parametrize("direction", [0.0, 30.0])
@pytest.mark.parametrize(
    ("throw", "spacing_ft", "cv"),
    [
        (triangle(6 * FOOT), 6, 0.0),
        (triangle(6 * FOOT), 9, 25.0),
        (trapezoid(9 * FOOT, flat_share=0.5), 9, 0.0),
        (bell(7.064 * FOOT), 9, 15.776),
    ],
)
def test_interior_of_the_map_is_the_closed_form(lay, lanes_over, throw, spacing_ft, cv, direction):
    found = deposit(lay(lanes_over(SITE, spacing_ft * FOOT, direction)), throw)
    away = (found.grid.centres() @ direction_of(direction + 90)) / (spacing_ft * FOOT)
    own = np.hypot(*found.grid.centres().transpose(2, 0, 1)) < 20
    rows = own & (np.abs(away) < 4)
    rate = found.rate_kg_per_m2[rows]
    assert 100 * rate.std() / rate.mean() == pytest.approx(cv, abs=0.1 if cv else 1e-9)


def direction_of(degrees):
    return np.array([np.cos(np.radians(degrees)), np.sin(np.radians(degrees))])


def test_two_directions_lower_the_variation_but_not_the_extremes(lay, lanes_over):
    """Derived here: independent halves add variances, 25 % becomes 25/√2 = 17.678 %, from 0.75 to 1.5."""
    swath = 9 * FOOT
    plan = lay(lanes_over(SITE, swath, 0, count=2), lanes_over(SITE, swath, 90, count=2, number=2))
    rate = interior(deposit(plan, triangle(6 * FOOT)), 22)
    assert 100 * rate.std() / rate.mean() == pytest.approx(17.678, abs=0.15)
    assert rate.min() == pytest.approx(0.75, abs=0.01)
    assert rate.max() == pytest.approx(1.5, abs=0.035)  # a cell takes the tip off a ridge


def test_edge_of_the_lawn(lay, lanes_over):
    """Derived here: a lane 3 ft inside an edge, throw 6 ft: rate 0.5 at it, 0.75 ft-widths land beyond it."""
    swath = 6 * FOOT
    ground = box(0, 0, 40, 40 * swath)
    found = deposit(lay(lanes_over(ground, swath)), triangle(swath))
    east, north = found.grid.centres().transpose(2, 0, 1)
    middle = np.abs(east - 20) < 10
    at_edge = found.rate_kg_per_m2[middle & (np.abs(north) < found.grid.cell_m)]
    assert at_edge.mean() == pytest.approx(0.5, abs=0.01)
    column = middle & (north < 0)
    beyond_ft = found.rate_kg_per_m2[column].sum() * found.grid.cell_area_m2 / 20 / FOOT
    assert beyond_ft == pytest.approx(0.75, abs=0.02)


def test_a_shield_keeps_the_drive_clean(lawn, lay, lanes_over, loops_over):
    inner = lawn.buffer(-1.8, join_style="mitre")
    plan = lay(lanes_over(inner, 1.8, loops=loops_over(lawn, 1.8)))

    def off(shield):
        found = deposit(plan, triangle(1.8), cell_m=0.1, shield=shield)
        east, north = found.grid.centres().transpose(2, 0, 1)
        outside = (east < 0) | (east > 30) | (north < 0) | (north > 20)
        return found.rate_kg_per_m2[outside].sum() * found.grid.cell_area_m2 / found.hopper_kg

    assert off(None) > 0.03
    assert off(lawn) < 0.012


def test_a_late_gate_moves_the_lane(lay, lanes_over):
    plan = lay(lanes_over(box(0, 0, 20, 1.8), 1.8))
    late = deposit(plan, curtain(1.8), cell_m=0.1, ends=LaneEnds(open_late_m=1.0, shut_late_m=0.5))
    east = late.grid.centres()[..., 0]
    assert late.rate_kg_per_m2[(east > 0.1) & (east < 0.9)].max() == pytest.approx(0, abs=1e-12)
    assert late.rate_kg_per_m2[(east > 20.1) & (east < 20.4)].max() == pytest.approx(1)
    assert late.hopper_kg == pytest.approx(19.5 * 1.8)


def test_rates_go_by_zone(lay, lanes_over):
    plan = lay(
        lanes_over(box(0, 0, 20, 9), 1.8, zone="front"), lanes_over(box(0, 30, 20, 39), 1.8, zone="back")
    )
    found = deposit(plan, curtain(1.8), cell_m=0.1, rates={"front": 0.03, "back": 0.01})
    north = found.grid.centres()[..., 1]
    assert found.rate_kg_per_m2[north < 20].max() == pytest.approx(0.03)
    assert found.rate_kg_per_m2[north > 20].max() == pytest.approx(0.01)


def test_tiles_equal_the_whole(lawn, lay, lanes_over, loops_over, monkeypatch):
    monkeypatch.setattr("lawnmap.evenness.grid._TILE", 50)
    plan = lay(lanes_over(lawn, 1.8, 0, loops=loops_over(lawn, 1.8)), lanes_over(lawn, 1.8, 37, number=2))
    found = deposit(plan, triangle(1.8), cell_m=0.2, ends=LaneEnds(feather_m=0.9))
    from_tiles = np.zeros_like(found.rate_kg_per_m2)
    strips = strips_of(plan, triangle(1.8), ends=LaneEnds(feather_m=0.9))
    for rows, columns, tile in found.grid.tiles():
        from_tiles[rows, columns] = lay_on(strips, tile)
    assert from_tiles == pytest.approx(found.rate_kg_per_m2, abs=1e-9)


def test_lopsided_throw_is_mirrored_on_the_way_back(lay, lanes_over):
    throw = Pattern(np.array([-0.5, 2.0]), np.ones(2))  # thrown mostly to the right
    plan = lay(lanes_over(box(0, 0, 20, 12), 6.0))  # the first lane goes east at 3 m, the next west at 9 m
    found = deposit(plan, throw, cell_m=0.1)
    north = found.grid.centres()[..., 1]
    wet = north[(found.rate_kg_per_m2 > 1e-9)]
    assert sorted({round(float(v), 1) for v in (wet.min(), wet.max())}) == pytest.approx(
        [1.05, 10.95], abs=0.06
    )


@pytest.mark.parametrize(
    ("rates", "says"),
    [
        ({"fron": 0.03}, 'no rate is given for the zone "front"; did you mean "fron"'),
        ({}, "give one rate per zone"),
        ({"front": -1.0}, "is not possible"),
        ({"front": 0.0}, "nothing to lay"),
    ],
)
def test_bad_rates(lay, lanes_over, rates, says):
    plan = lay(lanes_over(box(0, 0, 20, 9), 1.8, zone="front"))
    with pytest.raises(InputError, match=says):
        deposit(plan, shaped("box", 1.8), rates=rates)


def test_too_large_a_map_says_what_to_do(lay, lanes_over):
    plan = lay(lanes_over(box(0, 0, 9000, 9000), 900.0))
    with pytest.raises(InputError, match="choose larger cells"):
        deposit(plan, triangle(900.0))


def test_a_ring_is_laid_without_seams(lay, lanes_over):
    """Straight pieces of one line, cut in many, lay what the whole line does."""
    whole = lay(lanes_over(box(0, 0, 20, 1.8), 1.8, loops=[LineString([(0, 9), (20, 9)])]))
    cut = lay(
        lanes_over(box(0, 0, 20, 1.8), 1.8, loops=[LineString([(east, 9) for east in np.linspace(0, 20, 7)])])
    )
    ends = LaneEnds(feather_m=0.9)
    one, many = (deposit(plan, triangle(1.8), cell_m=0.2, ends=ends) for plan in (whole, cut))
    assert many.rate_kg_per_m2 == pytest.approx(one.rate_kg_per_m2, abs=1e-12)
