"""The order of few lanes against every order there is."""

from itertools import permutations, product

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box

from lawnmap.lanes import Rig
from lawnmap.lanes.exact import FEW, shortest_order
from lawnmap.lanes.joining import join
from lawnmap.lanes.pieces import mover_on


def walk_m(ends, cost):
    """Length of the ways of a walk, from the start."""
    steps = [(len(cost) - 1, ends[0]), *zip(ends[1:-1:2], ends[2::2], strict=True)]
    return sum(cost[a, b] for a, b in steps)


def every_walk(count):
    for order in permutations(range(count)):
        for turned in product((0, 1), repeat=count):
            yield [
                end
                for lane, turn in zip(order, turned, strict=True)
                for end in (2 * lane + turn, 2 * lane + 1 - turn)
            ]


@given(st.integers(0, 10**6), st.integers(1, 4))
@settings(max_examples=40, deadline=None)
def test_no_order_is_shorter(seed, count):
    random = np.random.default_rng(seed)
    cost = random.uniform(0, 10, (2 * count + 2, 2 * count + 2))
    cost = cost + cost.T
    found = shortest_order(cost)
    assert sorted(found) == list(range(2 * count))
    assert all(a // 2 == b // 2 for a, b in zip(found[::2], found[1::2], strict=True))
    assert walk_m(found, cost) == pytest.approx(min(walk_m(walk, cost) for walk in every_walk(count)))


HOUSE = box(6, 4, 14, 12)


@pytest.mark.parametrize("start", [None, (0.0, 0.0)])
@pytest.mark.parametrize("ground", [box(0, 0, 20, 16).difference(HOUSE), box(0, 0, 20, 16)])
def test_ways_round_a_house_are_counted_at_their_length(ground, start):
    lanes = np.array(
        [
            [[1.0, 2.0], [19.0, 2.0]],
            [[1.0, 6.0], [5.5, 6.0]],
            [[14.5, 6.0], [19.0, 6.0]],
            [[1.0, 10.0], [5.5, 10.0]],
            [[1.0, 14.0], [19.0, 14.0]],
        ]
    )
    mover = mover_on(ground, Rig(swath_m=2))
    begin = None if start is None else np.array(start)
    found = join(lanes, mover, begin)
    ends = lanes.reshape(-1, 2)
    count = len(lanes)
    cost = np.zeros((2 * count + 2, 2 * count + 2))
    for a in range(2 * count):
        for b in range(2 * count):
            if a // 2 != b // 2:
                cost[a, b] = mover.true_m(ends, a, b)
    if begin is not None:
        cost[-1, :-2] = np.hypot(*(ends - begin).T)
    best = min(walk_m(walk, cost) for walk in every_walk(count))
    assert found.ways_m == pytest.approx(best, abs=1e-4)
    walked = found.lanes
    drawn = [mover.walkway.way(a, b) for a, b in zip(walked[:-1, 1], walked[1:, 0], strict=True)]
    first = 0.0 if begin is None else float(np.hypot(*(walked[0, 0] - begin)))
    assert first + sum(shapely.LineString(way).length for way in drawn) == pytest.approx(best, abs=1e-4)


def test_more_than_a_few_are_searched():
    lanes = np.array([[[0.0, 2.0 * i], [30.0, 2.0 * i]] for i in range(FEW + 3)])
    found = join(lanes, mover_on(box(-1, -1, 31, 2 * FEW + 6), Rig(swath_m=2)), None)
    assert found.ways_m == pytest.approx(2.0 * (FEW + 2))
