import os
import shutil
import threading

import pytest
from PIL import Image, ImageDraw

from lawnmap.drawing import Service, Sketch, Studio, open_folder, open_paper

PIXELS_PER_M = 24  # of the sheet below


@pytest.fixture
def sheet(tmp_path):
    """A sketch of a lot of 40 m by 30 m with a house of 10 m by 10 m, 24 pixels to the metre."""
    picture = Image.new("RGB", (1200, 900), "#faf8f0")
    pencil = ImageDraw.Draw(picture)
    pencil.rectangle((100, 100, 1060, 820), outline="#333333", width=3)
    pencil.rectangle((340, 340, 580, 580), outline="#883333", width=3)
    path = tmp_path / "sketch.png"
    picture.save(path)
    return path


@pytest.fixture
def studio(sheet, tmp_path):
    paper = open_paper(sheet)
    sketch = Sketch(name="Trial", units="metric", paper=paper.sheet)
    return Studio(open_folder(tmp_path / "job", sketch, paper))


@pytest.fixture
def service(studio):
    made = Service(studio)
    thread = threading.Thread(target=made.run, daemon=True)
    thread.start()
    yield made
    made.stop()
    thread.join(10)
    made.socket.close()


@pytest.fixture(scope="session")
def chromium():
    """Path of Chromium; without one a user's machine skips, and a machine that checks changes fails."""
    path = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    if path is None and not os.environ.get("CI"):
        pytest.skip("no Chromium found: install it, or name it in the environment variable CHROMIUM")
    assert path, "no Chromium found"
    return path
