"""What the sheets cost, beside what importing their libraries costs.

Run ``python tests/benchmarks/bench_sheets.py``; every ratio is of times from this one run.
"""

import subprocess
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

import lawnmap
from lawnmap.sheets.layers import write_layers
from lawnmap.sheets.page import write_page

SAMPLE = Path(__file__).parents[2] / "sample_parcels" / "contractor"


def best(function, rounds=7):
    times = []
    for _ in range(rounds):
        begin = time.perf_counter()
        function()
        times.append(time.perf_counter() - begin)
    return min(times)


def main():
    plan = lawnmap.plan(SAMPLE)
    write_page(plan)  # imports are counted apart
    imports = best(lambda: subprocess.run([sys.executable, "-c", "import geopandas, folium"], check=True), 3)
    with tempfile.TemporaryDirectory() as folder:
        layers = Path(folder) / "yard.gpkg"
        rows = {
            "map.html": best(lambda: write_page(plan)),
            "yard.gpkg": best(lambda: (layers.unlink(missing_ok=True), write_layers(plan, layers))),
            "all four, on disk": best(lambda: lawnmap.write(plan, Path(folder) / "out")),
        }
    print(f"import geopandas, folium: {imports:.3f} s")
    for name, seconds in rows.items():
        print(f"{name:<18} {seconds:.3f} s = {seconds / imports:.2f} of that")


if __name__ == "__main__":
    main()
