from itertools import combinations, pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box

from lawnmap.errors import InputError
from lawnmap.lanes import Leg, Rig, lay
from lawnmap.lanes.detours import Walkway, length_m
from lawnmap.lanes.refills import split_refills
from lawnmap.lanes.stops import Depot, cheapest_stops

LAWN = box(0, 0, 40, 30)
WALKWAY = Walkway(LAWN, 0.0)
TAP = np.array([0.0, 0.0])
DEPOT = Depot(TAP, WALKWAY)


def legs_of(swath=2):
    return lay(LAWN, Rig(swath_m=swath, passes="one direction")).passes[0].legs


def work_of(legs):
    return sum(leg.length_m for leg in legs if leg.kind != "way")


@pytest.mark.parametrize("fills", [1, 2, 3, 5, 9])
def test_fillings_add_up_and_none_overflows(fills):
    legs = legs_of()
    reach = work_of(legs) / fills * 1.001
    found = split_refills(legs, reach, DEPOT)
    assert len(found) >= fills  # no fewer than the amount over the hopper, rounded up
    assert sum(one.work_length_m for one in found) == pytest.approx(work_of(legs))
    assert sum(one.share for one in found) == pytest.approx(1)
    assert max(one.work_length_m for one in found) <= reach + 1e-6
    assert [one.number for one in found] == list(range(1, len(found) + 1))


def brute_force(lengths, added, reach):
    """The cheapest set of stops, by trying every one."""
    count, best = len(lengths), np.inf
    for size in range(count):
        for stops in combinations(range(1, count), size):
            edges = [0, *stops, count]
            loads = [sum(lengths[a:b]) for a, b in pairwise(edges)]
            if max(loads) <= reach + 1e-9:
                best = min(best, sum(added[stop - 1] for stop in stops))
    return best


@given(st.integers(0, 10**6), st.integers(3, 9), st.floats(1.0, 3.0), st.floats(0, 20))
@settings(max_examples=40, deadline=None)
def test_no_other_stops_cost_less(seed, count, slack, stop):
    random = np.random.default_rng(seed)
    ends = random.uniform(0, 30, (count, 2, 2))
    legs = [Leg("lane", lane, number) for number, lane in enumerate(ends, 1)]
    ways = [Leg("way", np.stack([ends[i, 1], ends[i + 1, 0]])) for i in range(count - 1)]
    lengths = [leg.length_m for leg in legs]
    reach = max(lengths) * slack
    added = [
        np.hypot(*(ends[i, 1] - TAP))
        + np.hypot(*(ends[i + 1, 0] - TAP))
        - np.hypot(*(ends[i + 1, 0] - ends[i, 1]))
        for i in range(count - 1)
    ]
    walk = [leg for pair in zip(legs, [*ways, None], strict=True) for leg in pair if leg]
    found = split_refills(walk, reach, Depot(TAP, WALKWAY, stop))
    cost = sum(one.detour_m + stop for one in found[1:])
    assert cost == pytest.approx(brute_force(lengths, np.array(added) + stop, reach))


def test_ways_round_a_house_count_at_their_length():
    """The lazy bounds give the same stops as all ways worked out beforehand."""
    lawn = box(0, 0, 40, 30).difference(box(8, 4, 30, 26))
    walkway = Walkway(lawn, 0.0)
    legs = lay(lawn, Rig(swath_m=2, passes="one direction")).passes[0].legs
    rows = [(i, leg) for i, leg in enumerate(legs) if leg.kind != "way"]
    lengths = np.array([leg.length_m for _, leg in rows])
    for fills in (2.5, 4, 7.3):
        reach = lengths.sum() / fills
        if lengths.max() > reach:
            continue
        depot = Depot(TAP, walkway, 30.0)
        gone = np.concatenate([[0], np.cumsum([leg.length_m for leg in legs])])
        cost = np.zeros(len(rows))
        for k in range(1, len(rows)):
            end, begin = rows[k - 1][1].points[-1], rows[k][1].points[0]
            way = gone[rows[k][0]] - gone[rows[k - 1][0] + 1]
            cost[k] = length_m(walkway.way(end, TAP)) + length_m(walkway.way(TAP, begin)) - way + 30
        best = cost[cheapest_stops(lengths / reach, cost)].sum()
        found = split_refills(legs, reach, depot)
        assert sum(one.detour_m + 30 for one in found[1:]) == pytest.approx(best)
        for one in found[1:]:
            assert shapely.covers(lawn.buffer(1e-6), shapely.LineString(one.there))


def test_a_lane_longer_than_a_filling_is_broken_off():
    lane = Leg("lane", np.array([[0.0, 5.0], [40.0, 5.0]]), 1)
    found = split_refills([lane], 15, DEPOT)
    assert [(one.after_leg, round(one.after_m, 6)) for one in found] == [
        (-1, 0),
        (0, 13.333333),
        (0, 26.666667),
    ]


def test_dear_stops_are_fewer():
    legs = legs_of()
    reach = work_of(legs) / 4.5
    free, dear = (split_refills(legs, reach, Depot(TAP, WALKWAY, stop)) for stop in (0.0, 1000.0))
    assert len(dear) <= len(free)


def test_a_hopper_that_reaches_nowhere_is_refused():
    with pytest.raises(InputError, match="reaches nowhere"):
        split_refills(legs_of(), 0.0, DEPOT)
