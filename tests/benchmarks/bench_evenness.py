"""Processor time of the deposit map: ratios to a bare matrix product, and memory on a large site.

Run with ``python tests/benchmarks/bench_evenness.py``. Bars: one acre at a quarter foot in one direction at
most twice the bare product of the same shapes; any mix of directions and loops at most 30 ms; 40 acres in
bounded memory.
"""

from __future__ import annotations

import os
import resource
import sys
import time
from pathlib import Path

os.environ.setdefault(
    "OPENBLAS_NUM_THREADS", "1"
)  # threads that wait, on a busy machine, count as processor time

import numpy as np
from shapely.geometry import LineString, MultiPolygon, box

sys.path.insert(0, str(Path(__file__).parents[2]))

from lawnmap.evenness.deposit import lay_on
from lawnmap.evenness.grid import CELL_M, grid_over
from lawnmap.evenness.score import Throwing, score
from lawnmap.evenness.shapes import triangle
from lawnmap.evenness.strips import LaneEnds, strips_of
from lawnmap.lanes import LanePlan, Pass
from lawnmap.units import ACRE_M2, FOOT_M

SWATH_M = 6 * float(FOOT_M)


def lanes(side_m, direction_deg, count, loops=()):
    """Lanes over a square, walked back and forth."""
    angle = np.radians(direction_deg)
    along, across = np.array([np.cos(angle), np.sin(angle)]), np.array([-np.sin(angle), np.cos(angle)])
    at = (np.arange(int(side_m // SWATH_M)) + 0.5) * SWATH_M - side_m / 2
    ends = np.stack(
        [at[:, None] * across - along * side_m / 2, at[:, None] * across + along * side_m / 2], axis=1
    )
    ends[1::2] = ends[1::2, ::-1]
    walk = LineString(ends.reshape(-1, 2))
    return Pass("", 1, count, direction_deg, SWATH_M, ends, tuple(loops), walk, 0, 0, 0, MultiPolygon())


def ring(side_m):
    """A headland loop with forty edges at all angles."""
    angle = np.linspace(0, 2 * np.pi, 41)
    radius = side_m / 2 * (1 + 0.08 * np.cos(5 * angle))
    return LineString(np.column_stack([radius * np.cos(angle), radius * np.sin(angle)]))


def times_ms(call, repeat=60):
    """Median and best time of a call."""
    call()
    spent = []
    for _ in range(repeat):
        start = time.process_time()
        call()
        spent.append(1000 * (time.process_time() - start))
    return float(np.median(spent)), min(spent)


def prepared(plan, turn_deg, feather_m=0.0):
    """Strips and a grid over a plan."""
    strips = strips_of(plan, triangle(SWATH_M), ends=LaneEnds(feather_m=feather_m))
    points = np.concatenate([strips.start_m, strips.end_m])
    return strips, grid_over(points, cell_m=CELL_M, turn_deg=turn_deg, margin_m=strips.reach_m + 2 * CELL_M)


def one_direction(side_m):
    """Print the ratio to a bare product of the same shapes, both measured in this run."""
    for feather_m in (0.0, 0.9):
        strips, grid = prepared(LanePlan((lanes(side_m, 0, 1),)), 0, feather_m)
        count = len(strips.start_m)
        rng = np.random.default_rng(1)
        left, right = rng.random((grid.rows, count)), rng.random((count, grid.columns))
        bare, bare_best = times_ms(lambda left=left, right=right: left @ right)
        own, own_best = times_ms(lambda strips=strips, grid=grid: lay_on(strips, grid))
        print(
            f"one acre, one direction, feather {feather_m} m: {grid.rows} x {grid.columns} cells, {count} lanes: "
            f"{own:.2f} ms against {bare:.2f} ms bare, ratio {own / bare:.2f} (best {own_best / bare_best:.2f})"
        )


def mixes(side_m):
    """Print the time of each mix of directions and loops on one grid."""
    plans = {
        "two directions": (lanes(side_m, 0, 2), lanes(side_m, 90, 2)),
        "two directions and a loop": (lanes(side_m, 0, 2, [ring(side_m)]), lanes(side_m, 90, 2)),
        "slanted by 30 degrees": (lanes(side_m, 30, 1),),
        "along, slanted, and a loop": (lanes(side_m, 0, 2, [ring(side_m)]), lanes(side_m, 37, 2)),
        "two slanted, two loops": (
            lanes(side_m * 0.7, 20, 2, [ring(side_m)]),
            lanes(side_m * 0.7, 65, 2, [ring(side_m * 0.9)]),
        ),
    }
    for name, passes in plans.items():
        strips, grid = prepared(LanePlan(passes), 0, 0.9)
        median, best = times_ms(lambda strips=strips, grid=grid: lay_on(strips, grid), 15)
        print(f"{name}: {grid.rows * grid.columns:,} cells, {median:.1f} ms (best {best:.1f})")


def large_site():
    """Print time and memory of a score over 40 acres."""
    side_m = float(40 * ACRE_M2) ** 0.5
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    start = time.process_time()
    plan = LanePlan((lanes(side_m, 12, 2, [ring(side_m * 0.9)]), lanes(side_m, 102, 2)))
    found = score(plan, box(-side_m / 2, -side_m / 2, side_m / 2, side_m / 2), Throwing(triangle(SWATH_M)))
    spent = time.process_time() - start
    after = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"40 acres: {spent:.1f} s, {after - before:.0f} MB more than before; {found.line()}")


if __name__ == "__main__":
    acre_m = float(ACRE_M2) ** 0.5
    one_direction(acre_m)
    mixes(acre_m)
    large_site()
