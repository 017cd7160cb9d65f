"""How near the order of the lanes comes to the very best one, where that can be found out.

Run ``python tests/benchmarks/bench_order.py``. On small lawns the shortest order is exact, by dynamic programming
over all sets of lanes and both ends of each (M. Held and R. M. Karp, *A dynamic programming approach to
sequencing problems*, Journal of SIAM 10, 1962), with every way at its true length round what is in between.
"""

import os

os.environ.setdefault("OMP_NUM_THREADS", "1")

from time import process_time

import numpy as np
import shapely
from yards import lawns300

from lawnmap.lanes import Rig
from lawnmap.lanes.direction import Spacing
from lawnmap.lanes.grids import best_grids
from lawnmap.lanes.headland import headland
from lawnmap.lanes.joining import join
from lawnmap.lanes.pieces import mover_on

MOST_LANES = 12


def shortest_ways(ends, mover):
    """Length of the ways of the best order: over all sets of lanes and the end at which one stands."""
    count = len(ends) // 2
    way = np.array([[mover.true_m(ends, one, two) if one // 2 != two // 2 else 0.0
                     for two in range(2 * count)] for one in range(2 * count)])  # fmt: skip
    least = np.full((1 << count, 2 * count), np.inf)
    for end in range(2 * count):
        least[1 << end // 2, end] = 0.0  # the lane was entered at its other end
    for done in range(1, 1 << count):
        here = least[done]
        if not np.isfinite(here).any():
            continue
        for lane in range(count):
            if not done >> lane & 1:
                for enter in (2 * lane, 2 * lane + 1):
                    gone = float((here + way[:, enter]).min())
                    there = done | 1 << lane
                    least[there, enter ^ 1] = min(least[there, enter ^ 1], gone)
    return float(least[-1].min())


def small_cases():
    """Lanes of the small lawns of the 300, as the planner lays them."""
    for lawn, swath in lawns300():
        edge = headland(lawn, swath, 1)
        if edge.core.is_empty:
            continue
        lanes = best_grids(edge.core, Spacing(swath, 0.5, 12.0))[0].lanes
        if 5 <= len(lanes) <= MOST_LANES:
            yield lawn, swath, lanes


if __name__ == "__main__":
    rows = []
    for lawn, swath, lanes in small_cases():
        mover = mover_on(lawn, Rig(swath_m=swath))
        began = process_time()
        found = join(lanes, mover, None)
        took = 1e3 * (process_time() - began)
        ways = sum(
            shapely.LineString(mover.walkway.way(one, two)).length
            for one, two in zip(found.lanes[:-1, 1], found.lanes[1:, 0], strict=True)
        )
        rows.append((ways, shortest_ways(lanes.reshape(-1, 2), mover), len(lanes), took))
    ways, best, count, took = np.array(rows).T
    over = ways / best - 1
    print(f"{len(rows)} lawns of 5 to {MOST_LANES} lanes; ways between lanes against the best order there is")
    print(
        f"  found the best order: {(over < 1e-6).mean():.0%}; mean {over.mean():.2%} longer, worst {over.max():.2%}"
    )
    print(
        f"  of all walking that is {(ways - best).sum() / ways.sum():.2%} of the ways; {took.mean():.1f} ms each"
    )
