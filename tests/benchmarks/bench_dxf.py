"""How long a drawing of a million vertices takes, in units of what ezdxf alone needs to read it.

Run ``python tests/benchmarks/bench_dxf.py [SHARE]``: each drawing is read once by the library and once by the door, each
in a process of its own, and processor times, their ratio and the largest memory of both are printed. A share of 0.1 makes
drawings a tenth as large.
"""

import math
import resource
import sys
import tempfile
import time
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

import ezdxf
import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from lawnmap.survey.dxf.door import read_dxf
from lawnmap.survey.source import Source


def circles(space, share):
    """100,000 beds of ten corners each."""
    ring = [(3 * math.cos(k * math.pi / 5), 3 * math.sin(k * math.pi / 5)) for k in range(10)]
    for i in range(int(100_000 * share)):
        east, north = (10 * part for part in divmod(i, 316))
        corners = [(east + x, north + y) for x, y in ring]
        space.add_lwpolyline(corners, close=True, dxfattribs={"layer": "LAWN"})


def one_outline(space, share):
    """One outline of 1,000,000 corners, a tenth of its edges bowed."""
    count = int(1_000_000 * share)
    turn = np.linspace(0, 2 * np.pi, count, endpoint=False)
    corners = np.zeros((count, 5))  # east, north, two widths, bulge
    corners[:, :2] = 5000 * np.column_stack([np.cos(turn), np.sin(turn)])
    corners[::10, 4] = 0.1
    outline = space.add_lwpolyline([(0, 0), (1, 0), (0, 1)], close=True, dxfattribs={"layer": "LAWN"})
    outline.lwpoints.values = corners  # to append a million corners would take many minutes


def linework(space, share):
    """25,000 squares of four loose lines each."""
    for i in range(int(25_000 * share)):
        east, north = (10 * part for part in divmod(i, 158))
        ring = [(east, north), (east + 8, north), (east + 8, north + 8), (east, north + 8)]
        for k in range(4):
            space.add_line(ring[k], ring[(k + 1) % 4], dxfattribs={"layer": "LAWN"})


def read_alone(path):
    """Read by the library; nothing comes back but how long and how large it was."""
    return _timed(lambda: ezdxf.readfile(path) and 0)


def read_by_the_door(path):
    """Read by our door."""
    return _timed(lambda: len(read_dxf(Path(path), Source()).features))


def _timed(work):
    begin = time.process_time()
    count = work()
    return time.process_time() - begin, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3, count


def main():
    share = float(sys.argv[1]) if len(sys.argv) > 1 else 1.0
    pool = ProcessPoolExecutor(1, mp_context=get_context("spawn"), max_tasks_per_child=1)
    with pool, tempfile.TemporaryDirectory() as folder:
        for make in (linework, circles, one_outline):
            path = str(Path(folder) / f"{make.__name__}.dxf")
            document = ezdxf.new(units=6)
            make(document.modelspace(), share)
            document.saveas(path)
            del document
            alone_s, alone_mb, _ = pool.submit(read_alone, path).result()
            door_s, door_mb, count = pool.submit(read_by_the_door, path).result()
            size_mb = Path(path).stat().st_size / 1e6
            print(
                f"{make.__name__}: {size_mb:.0f} MB, {count:,} outlines; ezdxf {alone_s:.1f} s and {alone_mb:.0f} MB, "
                f"door {door_s:.1f} s and {door_mb:.0f} MB; time {door_s / alone_s:.2f}, memory {door_mb / alone_mb:.2f} "
                f"of its own and {door_mb / size_mb:.0f} times the file"
            )


if __name__ == "__main__":
    main()
