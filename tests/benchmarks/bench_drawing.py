"""How quick the drawing page is with 200 shapes and 5,000 corners; run ``python tests/benchmarks/bench_drawing.py``.

Prints, beside the bar: milliseconds until the page is ready, of redrawing while a corner is dragged (median and 95th
percentile over all frames, measured in the browser), of a save from the page to the disk and back, and the memory of
the server. On a machine that has other work the wall time says little: the processor time of the server stands beside.
"""

import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from math import cos, pi, sin
from pathlib import Path

from playwright.sync_api import sync_playwright

from lawnmap.drawing import Sketch, open_folder
from lawnmap.drawing.sketch import Shape, Sheet

ROOT = Path(__file__).parents[2]
SHAPES, CORNERS = 200, 25
TICKS_PER_S = os.sysconf("SC_CLK_TCK")

DRAG = """async () => {
  const grip = document.querySelector('[data-corner="0:0:false"]');
  const box = grip.getBoundingClientRect();
  const fire = (what, x, y, on) => on.dispatchEvent(new MouseEvent(what, {
    bubbles: true, cancelable: true, view: window, clientX: x, clientY: y, button: 0, buttons: 1 }));
  const [x, y] = [box.x + 7, box.y + 7];
  fire("mousedown", x, y, grip);
  const spent = [];
  const frames = [];
  for (let i = 1; i <= 200; i += 1) {
    frames.push(await new Promise(requestAnimationFrame));
    const begun = performance.now();
    fire("mousemove", x + i % 40, y + (i * 7) % 30, document);
    document.body.getBoundingClientRect();
    spent.push(performance.now() - begun);
  }
  fire("mouseup", x, y, document);
  return { spent, frames: frames.slice(1).map((at, i) => at - frames[i]) };
}"""

SAVE = """async (name) => {
  const { tag, sketch } = await (await fetch("/state")).json();
  const begun = performance.now();
  const answer = await fetch("/sketch", { method: "PUT", headers: { "Content-Type": "application/json", "If-Match": tag },
    body: JSON.stringify({ ...sketch, shapes: sketch.shapes.map((shape, i) => i ? shape : { ...shape, name }) }) });
  await answer.json();
  return answer.status === 200 ? performance.now() - begun : NaN;
}"""


def ring(number):
    right, up = 4 + 6 * (number % 20), 4 + 6 * (number // 20)
    return tuple(
        (right + 2.5 * cos(2 * pi * k / CORNERS), up + 2.5 * sin(2 * pi * k / CORNERS))
        for k in range(CORNERS)
    )


def sketch():
    shapes = (
        Shape(id=f"s{n}", role="lawn", form="polygon", points=ring(n), density="thin") for n in range(SHAPES)
    )
    return Sketch(paper=Sheet(kind="grid", wide=125.0, high=65.0, metres_per_unit=1.0), shapes=tuple(shapes))


def processor_s(number):
    fields = Path(f"/proc/{number}/stat").read_text("ascii").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / TICKS_PER_S


def memory_mb(number, which):
    return (
        int(re.search(rf"{which}:\s+(\d+) kB", Path(f"/proc/{number}/status").read_text("ascii"))[1]) / 1024
    )


def measure(page, program, address):
    begun, worked = time.perf_counter(), processor_s(program.pid)
    page.goto(address)
    page.wait_for_selector("body[data-ready]")
    took, used = 1e3 * (time.perf_counter() - begun), 1e3 * (processor_s(program.pid) - worked)
    print(f"{'page ready':<28}{took:>8.0f} ms, server works {used:.0f} ms (bar: 1,000)")
    page.locator("[data-shape]").first.click()
    drag = page.evaluate(DRAG)
    for what, spent in (("drag, redrawn", drag["spent"]), ("drag, frame to frame", drag["frames"])):
        median, late = statistics.median(spent), statistics.quantiles(spent, n=20)[-1]
        print(
            f"{what:<28}{median:>8.1f} ms median, {late:.1f} ms p95 (bar: 16, 50; a screen shows one in 16.7)"
        )
    page.wait_for_timeout(1000)
    page.goto("about:blank")
    page.goto(address.partition("/open")[0])
    page.wait_for_selector("body[data-ready]")
    worked = processor_s(program.pid)
    saves = [page.evaluate(SAVE, str(number)) for number in range(20)]
    used = 1e3 * (processor_s(program.pid) - worked) / len(saves)
    print(f"{'save and back':<28}{statistics.median(saves):>8.0f} ms median, worst {max(saves):.0f} ms, "
          f"server works {used:.0f} ms with the reading before it (bar: 150)")  # fmt: skip
    now, most = (memory_mb(program.pid, which) for which in ("VmRSS", "VmHWM"))
    print(f"{'memory of the server':<28}{now:>8.0f} MB, at most {most:.0f} MB (bar: 120)")


def main():
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as player:
        open_folder(Path(folder) / "job", sketch())
        program = subprocess.Popen(
            [sys.executable, "-m", "lawnmap", "draw", "--no-browser", str(Path(folder) / "job")],
            cwd=folder, env=os.environ | {"PYTHONPATH": str(ROOT)}, text=True,
            stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        address = program.stdout.readline().rpartition(" ")[2].strip()
        path = os.environ.get("CHROMIUM") or shutil.which("chromium")
        chromium = player.chromium.launch(executable_path=path, args=["--no-sandbox", "--disable-gpu"])
        try:
            measure(chromium.new_page(viewport={"width": 1400, "height": 950}), program, address)
        finally:
            program.kill()
            program.wait()


if __name__ == "__main__":
    main()
