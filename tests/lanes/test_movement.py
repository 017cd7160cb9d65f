import itertools

import numpy as np
import pytest
from shapely.geometry import box

from lawnmap.lanes import Rig, lay
from lawnmap.lanes.detours import Walkway
from lawnmap.lanes.joining import join
from lawnmap.lanes.movement import Mover

OPEN = Walkway(box(-200, -200, 300, 300), 0.0)


def rows(count, swath=1.0, length=50.0):
    across = np.arange(count) * swath
    return np.stack(
        [np.stack([np.zeros(count), across], axis=1), np.stack([np.full(count, length), across], axis=1)],
        axis=1,
    )


# The best order of n lanes with forward turns of radius R, found by dynamic programming over all orders (Held
# and Karp): saved in turn length against going from neighbour to neighbour. The case R = w, n = 8 is 24.88 w
# with 1 3 5 7 8 6 4 2, where neighbour order takes 42.23 w.
@pytest.mark.parametrize(
    ("count", "radius", "saved"),
    [
        (8, 0.5, 0.0),
        (8, 0.75, 26.2),
        (8, 1, 41.1),
        (8, 1.5, 48.8),
        (8, 2, 50.1),
        (12, 1, 43.6),
        (14, 0.75, 28.2),
    ],
)
def test_rows_are_skipped_where_the_radius_makes_it_pay(count, radius, saved):
    mover = Mover(OPEN, radius)
    walk = join(rows(count), mover, None)
    neighbour = (count - 1) * mover.direct_m(np.array([[0, 0, 0.0]]), np.array([[0, 1.0, np.pi]]))[0]
    assert 100 * (1 - walk.ways_m / neighbour) == pytest.approx(saved, abs=1.5)


def test_eight_lanes_at_a_radius_of_one_swath():
    walk = join(rows(8), Mover(OPEN, 1.0), None)
    assert walk.ways_m == pytest.approx(24.88, abs=0.01)
    order = (walk.order + 1).tolist()
    forms = [[1, 3, 5, 7, 8, 6, 4, 2], [8, 6, 4, 2, 1, 3, 5, 7]]
    assert order in forms or order[::-1] in forms


def test_reverse_saves_where_lanes_lie_close():
    lanes = rows(3)
    forward, back = (join(lanes, Mover(OPEN, 1.5, reverse=reverse), None) for reverse in (False, True))
    assert back.ways_m < forward.ways_m


@pytest.mark.parametrize("reverse", [False, True])
def test_ways_of_a_towed_machine_begin_and_end_at_its_lanes(reverse):
    rig = Rig(
        swath_m=2,
        passes="one direction",
        machine="tow-behind",
        turning_radius_m=1.5,
        reverse=reverse,
        headland_loops=3,
    )
    plan = lay(box(0, 0, 60, 40), rig)
    legs = plan.passes[0].legs
    for before, after in itertools.pairwise(legs):
        assert before.points[-1] == pytest.approx(after.points[0], abs=1e-6)
    assert plan.passes[0].walk.difference(box(0, 0, 60, 40)).length < 1e-6


def test_a_turn_that_does_not_fit_is_told():
    rig = Rig(swath_m=2, passes="one direction", machine="tow-behind", turning_radius_m=4, headland_loops=0)
    codes = [found.code for found in lay(box(0, 0, 60, 40), rig).findings]
    assert "turn-does-not-fit" in codes
