"""What the printed sheets and the workbook cost, beside planning the yard they are for.

Run ``python tests/benchmarks/bench_paper.py``; every ratio is of times from this one run. The bar: a quote with its map
in at most 0.5 s.
"""

import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

import lawnmap
from lawnmap.sheets import pdf_field, pdf_quote, pdf_report, workbook
from lawnmap.sheets.identity import plan_json
from lawnmap.sheets.scene import compose

SAMPLE = Path(__file__).parents[2] / "sample_parcels" / "contractor"
BAR_S = 0.5


def best(function, rounds=5):
    times = []
    for _ in range(rounds):
        compose.cache_clear()  # every sheet by itself, nothing known from the one before
        plan_json.cache_clear()
        begin = time.perf_counter()
        function()
        times.append(time.perf_counter() - begin)
    return min(times)


def main():
    begin = time.perf_counter()
    plan = lawnmap.plan(SAMPLE)
    planning = time.perf_counter() - begin
    with tempfile.TemporaryDirectory() as folder:
        target = Path(folder)
        rows = {
            "quote": best(lambda: pdf_quote.write_quote(plan, target / "quote.pdf")),
            "area report": best(lambda: pdf_report.write_report(plan, target / "report.pdf")),
            "field sheet": best(lambda: pdf_field.write_field_sheet(plan, target / "field.pdf")),
            "workbook": best(lambda: workbook.write_workbook(plan, target / "book.xlsx")),
        }
    print(f"{plan.name}: planned in {planning:.2f} s, with {len(plan.quote.options)} options")
    for name, spent in rows.items():
        print(f"{name:<12} {spent:7.3f} s   {spent / planning:6.3f} of the planning")
    print(f"quote with map: {rows['quote'] / BAR_S:.2f} of the {BAR_S} s allowed")


if __name__ == "__main__":
    main()
