"""Reading a GeoPackage of a million vertices against what GeoPandas needs for it.

Run: ``python tests/benchmarks/bench_reading.py [VERTICES]``. A yard has to be read, checked ring by ring and projected
to its own plane, so three bare figures stand beside ours: reading alone, reading and projecting, and reading,
projecting and checking that no ring crosses itself. The bar is 1.5 times the middle one, the least that gives metres.
"""

import sys
import tempfile
import time
import tracemalloc
from pathlib import Path

import geopandas
import numpy as np
import shapely

sys.path.insert(0, str(Path(__file__).parents[2]))

from lawnmap.survey import read

BAR = 1.5
CORNERS = 100
SITE_PLANE = "+proj=laea +lon_0=-74 +lat_0=40.7 +ellps=GRS80"


def parcels(count):
    """Outlines of 100 corners each, side by side, in the US survey feet of EPSG:2263."""
    turn = np.linspace(0, 2 * np.pi, CORNERS, endpoint=False)
    middle = np.column_stack(
        [990_000 + 300 * (np.arange(count) % 100), 200_000 + 300 * (np.arange(count) // 100)]
    )
    radius = 100 * (1 + 0.1 * np.sin(7 * turn))
    outline = np.column_stack([radius * np.cos(turn), radius * np.sin(turn)])
    return shapely.polygons(middle[:, None, :] + outline[None, :, :])


def best(work, repeats=5):
    """The shortest of some runs. [s]"""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def checked(path):
    return geopandas.read_file(path).to_crs(SITE_PLANE).is_valid.all()


def main():
    count = int(sys.argv[1] if len(sys.argv) > 1 else 1_000_000) // CORNERS
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "parcels.gpkg"
        names = [f"zone {number}" for number in range(count)]
        frame = {"role": ["lawn"] * count, "name": names}
        geopandas.GeoDataFrame(frame, geometry=parcels(count), crs="EPSG:2263").to_file(path)
        ours = best(lambda: read(path))
        local = best(lambda: read(path, local_units="US survey ft"))
        bare = best(lambda: geopandas.read_file(path))
        moved = best(lambda: geopandas.read_file(path).to_crs(SITE_PLANE))
        sure = best(lambda: checked(path))
        tracemalloc.start()
        read(path)
        peak = tracemalloc.get_traced_memory()[1]
        size = path.stat().st_size
    print(f"{count * CORNERS:,} vertices, {size / 2**20:.0f} MB")
    print(
        f"ours {ours:.3f} s; with local coordinates {local:.3f} s; Python memory {peak / size:.1f} times the file"
    )
    for what, bare_s in (("reading", bare), ("and projecting", moved), ("and checking rings", sure)):
        print(f"  GeoPandas, {what}: {bare_s:.3f} s, ratio {ours / bare_s:.2f}")
    print(f"bar {BAR:g} on reading and projecting: {'kept' if ours <= BAR * moved else 'missed'}")


if __name__ == "__main__":
    main()
