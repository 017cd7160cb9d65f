"""How long a drawing of a million vertices takes, in units of what ezdxf alone needs to read it.

Run ``python tests/benchmarks/bench_dxf.py``: one process reads each file with the library, then by
the door, and prints both processor times, their ratio and the largest memory so far.
"""

import math
import resource
import tempfile
import time
from pathlib import Path

import ezdxf

from lawnmap.survey.dxf.door import read_dxf
from lawnmap.survey.source import Source


def circles(space):
    """100,000 beds of ten corners each."""
    ring = [(3 * math.cos(k * math.pi / 5), 3 * math.sin(k * math.pi / 5)) for k in range(10)]
    for i in range(100_000):
        east, north = (10 * part for part in divmod(i, 316))
        corners = [(east + x, north + y) for x, y in ring]
        space.add_lwpolyline(corners, close=True, dxfattribs={"layer": "LAWN"})


def one_outline(space):
    """One outline of 200,000 corners, a tenth of its edges bowed."""
    turn = [2 * math.pi * k / 200_000 for k in range(200_000)]
    corners = [(5000 * math.cos(a), 5000 * math.sin(a), 0.1 * (k % 10 == 0)) for k, a in enumerate(turn)]
    space.add_lwpolyline(corners, format="xyb", close=True, dxfattribs={"layer": "LAWN"})


def linework(space):
    """25,000 squares of four loose lines each."""
    for i in range(25_000):
        east, north = (10 * part for part in divmod(i, 158))
        ring = [(east, north), (east + 8, north), (east + 8, north + 8), (east, north + 8)]
        for k in range(4):
            space.add_line(ring[k], ring[(k + 1) % 4], dxfattribs={"layer": "LAWN"})


def timed(work):
    begin = time.process_time()
    result = work()
    return time.process_time() - begin, result


def main():
    for make in (linework, circles, one_outline):
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "big.dxf"
            document = ezdxf.new(units=6)
            make(document.modelspace())
            document.saveas(path)
            del document
            alone, _ = timed(lambda path=path: ezdxf.readfile(path) and None)
            door, sheet = timed(lambda path=path: read_dxf(path, Source()))
            size_mb = path.stat().st_size / 1e6
        peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3
        print(
            f"{make.__name__}: {size_mb:.0f} MB, {len(sheet.features):,} outlines; ezdxf {alone:.1f} s, "
            f"door {door:.1f} s, ratio {door / alone:.2f}, peak {peak_mb:.0f} MB"
        )


if __name__ == "__main__":
    main()
