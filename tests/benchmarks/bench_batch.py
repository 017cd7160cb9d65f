"""Many yards at once: against bare shapely, per core, with two processes, and how memory grows.

Run: ``python tests/benchmarks/bench_batch.py [amounts|plans|processes|memory] ...``; all four without a word. Every
ratio is of two figures taken in the same run. Bars: take-off and amounts for 100,000 yards with three obstacles each
at most twice the bare difference and area; 60 full plans of quarter-acre yards with five obstacles per second and
core; two processes at least 1.8 times one; memory within 20 % from 10,000 to 100,000 yards.
"""

import os

os.environ.setdefault("OMP_NUM_THREADS", "1")

import argparse
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import geopandas
import numpy as np
import shapely
from bench_take_off import bare, portfolio
from shapely.affinity import rotate
from shapely.geometry import Point, box

sys.path.insert(0, str(Path(__file__).parents[2]))

from lawnmap.job import Choices, General, plan_yard
from lawnmap.measure import take_off_many
from lawnmap.rates import Fertilizer, Seed, prescribe_many
from lawnmap.yard import Obstacle, Yard, Zone

QUARTER_ACRE_M2 = 0.25 * 43560 * 0.3048**2
ROOT = Path(__file__).parents[2]


def amounts(count=100_000):
    """Take-off and amounts on arrays beside the bare difference and area."""
    for crossing in (False, True):
        parcels, obstacles = portfolio(count, crossing=crossing)
        kinds = ("house", "bed", "pool")
        yards = [
            Yard(
                f"parcel {number}",
                (Zone("lawn", parcel, "thin"),),
                tuple(Obstacle(kind, kind, shape) for kind, shape in zip(kinds, three, strict=True)),
            )
            for number, (parcel, three) in enumerate(zip(parcels, obstacles, strict=True))
        ]

        def work(yards=yards):
            return prescribe_many(take_off_many(yards), seed=Seed(), fertilizer=Fertilizer())

        plain, many, bare_s, ours_s = None, None, np.inf, np.inf
        for _ in range(3):  # in turn, in processor time, so that others on the machine do not count
            began = time.process_time()
            plain = bare(parcels, obstacles)
            between = time.process_time()
            many = None
            many = work()
            bare_s, ours_s = min(bare_s, between - began), min(ours_s, time.process_time() - between)
        worst = np.abs(many.materials[0].area_m2 - plain).max()
        case = "one of three crossing the edge" if crossing else "all inside"
        print(
            f"{count:,} yards, {case}: bare {bare_s:.2f} s, take-off and amounts {ours_s:.2f} s, "
            f"ratio {ours_s / bare_s:.2f} (bar 2), largest difference {worst:.1e} m²"
        )


def quarter(seed):
    """A quarter-acre lot with house, drive, bed, tree and shed, turned anyhow."""
    random = np.random.default_rng(seed)
    wide = random.uniform(22, 28)
    deep = QUARTER_ACRE_M2 / wide
    drive = 6 + wide * 0.5
    shapes = [
        ("lawn", box(0, 0, wide, deep)),
        ("house", box(6, 10, drive, 19)),
        ("drive", box(drive - 3.2, 0, drive, 10)),
        ("bed", Point(6, deep - 8).buffer(random.uniform(1, 2), quad_segs=6)),
        ("tree", Point(wide - 5, deep - 6).buffer(0.8, quad_segs=6)),
        ("other", box(wide - 5, 22, wide - 2, 25)),
    ]
    return [(kind, rotate(shape, 7 * seed % 180, origin=(0, 0))) for kind, shape in shapes]


def yard_of(seed):
    (_, lawn), *rest = quarter(seed)
    return Yard(
        f"yard {seed}",
        (Zone("lawn", lawn, "thin"),),
        tuple(Obstacle(f"{kind} {number}", kind, shape) for number, (kind, shape) in enumerate(rest)),
    )


def plans(count=200):
    """Full plans with lanes: yards per second of processor time of one core."""
    yards = [yard_of(seed) for seed in range(count)]
    for passes in ("one direction", "two directions"):
        general = General(leave_out=("evenness",))
        choices = Choices(general=general)
        choices = Choices(general=general, rig=choices.rig.model_copy(update={"passes": passes}))
        plan_yard(yards[0], choices)
        began = time.process_time()
        for yard in yards:
            plan_yard(yard, choices)
        took = time.process_time() - began
        print(
            f"{count} quarter-acre yards, five obstacles, {passes}: {count / took:.0f} per second and core (bar 60)"
        )


def town(path, count, *, lanes):
    """Yards in rows, written to one GeoPackage in batches."""
    kinds = {
        "drive": "drive",
        "bed": "bed",
        "tree": "tree",
        "other": "other",
        "house": "house",
        "lawn": "lawn",
    }
    for first in range(0, count, 5_000):
        rows = []
        for number in range(first, min(count, first + 5_000)):
            east, north = 60.0 * (number % 200), 60.0 * (number // 200)
            for kind, shape in quarter(number % 97)[: 6 if lanes else 4]:
                placed = shapely.transform(shape, lambda xy, at=(east, north): xy + at)
                rows.append(
                    {
                        "yard": f"lot {number}",
                        "role": kinds[kind],
                        "density": "thin" if kind == "lawn" else None,
                        "geometry": placed,
                    }
                )
        geopandas.GeoDataFrame(rows, crs="EPSG:5070").to_file(path, layer="town", mode="a" if first else "w")


def processes(count=600):
    """Two processes against one on the same town, start-up included; on a busy machine the clock says nothing.

    So the processor time of both is told as well: with two cores free, the work that is shared takes half of it.
    """
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "town.gpkg"
        town(path, count, lanes=True)
        took, used = {}, {}
        for number in (1, 2):
            before = children_s()
            began = time.perf_counter()
            subprocess.run(
                [sys.executable, "-c", RUN, path, Path(folder) / f"out{number}", str(number)],
                check=True, env={**os.environ, "PYTHONPATH": str(ROOT)},
            )  # fmt: skip
            took[number] = time.perf_counter() - began
            used[number] = children_s() - before
        print(
            f"{count} yards with lanes: one process {took[1]:.1f} s, two {took[2]:.1f} s, ratio "
            f"{took[1] / took[2]:.2f} (bar 1.8); processor time {used[1]:.1f} s and {used[2]:.1f} s, "
            f"so {2 * used[1] / used[2]:.2f} at most"
        )


def children_s():
    """Processor time of all processes that have been waited for. [s]"""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


RUN = """
import sys
from lawnmap.batch import Options, run
if __name__ == "__main__":
    run([sys.argv[1]], sys.argv[2], options=Options(processes=int(sys.argv[3]), yards_per_task=25))
"""

PEAK = """
import resource, sys
from lawnmap.batch import Options, run
from lawnmap.job import Choices, General
run([sys.argv[1]], sys.argv[2], Choices(general=General(leave_out=("lanes",))), Options(processes=1))
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""


def memory(small=10_000, large=100_000):
    """Greatest memory of a batch with take-off and amounts, in a process of its own."""
    peaks = []
    for count in (small, large):
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "town.gpkg"
            town(path, count, lanes=False)
            began = time.perf_counter()
            done = subprocess.run(
                [sys.executable, "-c", PEAK, path, Path(folder) / "out"],
                capture_output=True, text=True, check=True, env={**os.environ, "PYTHONPATH": str(ROOT)},
            )  # fmt: skip
            peaks.append(int(done.stdout) / 1024)
            print(
                f"{count:,} yards: {peaks[-1]:.0f} MB at most, {count / (time.perf_counter() - began):.0f} yards/s from file to files"
            )
    print(f"growth {100 * (peaks[1] / peaks[0] - 1):.0f} % (bar 20 %)")


PARTS = {"amounts": amounts, "plans": plans, "processes": processes, "memory": memory}

if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("parts", nargs="*", choices=[[], *PARTS], help="what to measure")
    for part in parser.parse_args().parts or PARTS:
        PARTS[part]()
