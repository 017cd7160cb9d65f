"""How quick the drawing page is with 200 shapes and 5,000 corners: ready, drag, save; run it as a script.

Prints milliseconds of this machine, and of the drag its median and 95th percentile over all frames.
"""

import os
import shutil
import statistics
import sys
import tempfile
import threading
import time
from math import cos, pi, sin
from pathlib import Path

from playwright.sync_api import sync_playwright

from lawnmap.drawing import Service, Sketch, Studio, open_folder
from lawnmap.drawing.sketch import Shape, Sheet

SHAPES, CORNERS = 200, 25

DRAG = """async () => {
  const grip = document.querySelector('[data-corner="0:0:false"]');
  const box = grip.getBoundingClientRect();
  const fire = (what, x, y, on) => on.dispatchEvent(new MouseEvent(what, {
    bubbles: true, cancelable: true, view: window, clientX: x, clientY: y, button: 0, buttons: 1 }));
  const [x, y] = [box.x + 7, box.y + 7];
  fire("mousedown", x, y, grip);
  const spent = [];
  for (let i = 1; i <= 200; i += 1) {
    await new Promise(requestAnimationFrame);
    const begun = performance.now();
    fire("mousemove", x + i % 40, y + (i * 7) % 30, document);
    document.body.getBoundingClientRect();
    await new Promise((done) => { const line = new MessageChannel(); requestAnimationFrame(() => line.port2.postMessage(0)); line.port1.onmessage = done; });
    spent.push(performance.now() - begun);
  }
  fire("mouseup", x, y, document);
  return spent;
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


def main():
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as player:
        studio = Studio(open_folder(Path(folder) / "job", sketch()))
        service = Service(studio)
        threading.Thread(target=service.run, daemon=True).start()
        path = os.environ.get("CHROMIUM") or shutil.which("chromium")
        page = player.chromium.launch(executable_path=path, args=["--no-sandbox", "--disable-gpu"]).new_page()
        begun = time.perf_counter()
        page.goto(service.address)
        page.wait_for_selector("body[data-ready]")
        print(f"ready {1000 * (time.perf_counter() - begun):.0f} ms")
        page.locator("[data-shape]").first.click()
        spent = page.evaluate(DRAG)
        print(
            f"drag median {statistics.median(spent):.1f} ms, p95 {statistics.quantiles(spent, n=20)[-1]:.1f} ms"
        )
        held, saves = sketch(), []
        for number in range(10):
            text = held.model_copy(update={"name": str(number)}).text()
            begun = time.perf_counter()
            studio.save(text, studio.store.tag())
            saves.append(1000 * (time.perf_counter() - begun))
        print(f"save median {statistics.median(saves):.0f} ms, worst {max(saves):.0f} ms")
        service.stop()


if __name__ == "__main__":
    sys.exit(main())
