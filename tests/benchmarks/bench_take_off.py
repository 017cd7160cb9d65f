"""Taking off many parcels against the bare shapely difference and area on the same arrays.

Run: ``python tests/benchmarks/bench_take_off.py [PARCELS]``. Two portfolios: every obstacle inside its parcel (house,
bed, pool), and one of the three, the drive, running out over the edge. The bar is twice the bare figure.
"""

import sys
import time
from pathlib import Path

import numpy as np
import shapely

sys.path.insert(0, str(Path(__file__).parents[2]))

from lawnmap.measure import take_off_many
from lawnmap.yard import Obstacle, Yard, Zone

BAR = 2.0


def blobs(rng, count, middle, radius_m, corners):
    """Star-shaped outlines round one point, no two alike. [m]"""
    angle = np.linspace(0, 2 * np.pi, corners, endpoint=False) + rng.uniform(0, 0.3, (count, corners))
    radius = radius_m * rng.uniform(0.8, 1, (count, corners))
    return shapely.polygons(
        np.stack([middle[0] + radius * np.cos(angle), middle[1] + radius * np.sin(angle)], axis=-1)
    )


def portfolio(count, *, crossing, seed=7):
    rng = np.random.default_rng(seed)
    parcels = blobs(rng, count, (0, 0), 30, 12)
    first = blobs(rng, count, (-26, 0) if crossing else (-12, 0), 6, 4)
    others = [blobs(rng, count, (8, 8), 5, 8), blobs(rng, count, (6, -12), 5, 12)]
    return parcels, np.stack([first, *others], axis=1)


def bare(parcels, obstacles):
    """The least that can be done: three holes in one multipolygon, one difference, one area."""
    count = len(parcels)
    together = shapely.multipolygons(obstacles.ravel(), indices=np.repeat(np.arange(count), 3))
    return shapely.area(shapely.difference(parcels, together))


def best_of(actions, rounds):
    """Least time of each action; they take turns, so that all see the same machine."""
    least = [float("inf")] * len(actions)
    results = [None] * len(actions)
    for _ in range(rounds):
        for place, action in enumerate(actions):
            results[place] = None
            start = time.perf_counter()
            results[place] = action()
            least[place] = min(least[place], time.perf_counter() - start)
    return results, least


def run(count, *, crossing, rounds=7):
    parcels, obstacles = portfolio(count, crossing=crossing)
    yards = [
        Yard(
            f"parcel {number}",
            (Zone("lawn", parcel, "thin"),),
            tuple(
                Obstacle(kind, kind, shape)
                for kind, shape in zip(("house", "bed", "pool"), three, strict=True)
            ),
        )
        for number, (parcel, three) in enumerate(zip(parcels, obstacles, strict=True))
    ]
    (plain, takeoffs), (bare_s, ours_s) = best_of(
        [lambda: bare(parcels, obstacles), lambda: take_off_many(yards)], rounds
    )
    worst = max(abs(takeoff.net_area_m2 - area) for takeoff, area in zip(takeoffs, plain, strict=True))
    case = "one crossing" if crossing else "all inside"
    print(
        f"{count:,} parcels, {case}: bare {bare_s * 1e3:.0f} ms, take_off_many {ours_s * 1e3:.0f} ms, "
        f"ratio {ours_s / bare_s:.2f} (bar {BAR:g}), largest difference {worst:.1e} m²"
    )


if __name__ == "__main__":
    parcels_wanted = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    run(parcels_wanted, crossing=False)
    run(parcels_wanted, crossing=True)
