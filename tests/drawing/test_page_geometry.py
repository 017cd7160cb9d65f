"""The page's geometry, tested by node's own runner, and the size of its scripts."""

import json
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest

from lawnmap.drawing.sketch import Control, Known, Sheet, Sketch, Tie
from lawnmap.drawing.trace import fit_of

PAGE = Path(__file__).parents[2] / "lawnmap" / "drawing" / "page"


@pytest.fixture
def node():
    found = shutil.which("node")
    if found is None:
        pytest.skip("no node found; the page's geometry is also run in the browser tests")
    return found


def test_geometry(node):
    done = subprocess.run(
        [node, "--test", str(Path(__file__).with_name("geom.test.mjs"))],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr


def control(*spots):
    return tuple(Control(at=at, east=f"{east} m", north=f"{north} m") for at, east, north in spots)


SLANTED = control(
    ((300.0, 600.0), 0, 30), ((900.0, 600.0), 40, 30), ((1060.0, 80.0), 40, 0), ((100.0, 80.0), 0, 0)
)
TAPED = Control(at=(700.0, 500.0), tie=Tie(points=(1, 2), distances=("30 m", "40 m"), left=False))
SKETCHES = {
    "lengths": {"known": (Known(ends=((0.0, 0.0), (100.0, 0.0)), length="10 m"), Known(ends=((0.0, 0.0), (0.0, 90.0)), length="30 ft"))},
    "similarity": {"control": SLANTED[:2]},
    "three points": {"control": (*SLANTED[:2], TAPED)},
    "affine": {"control": SLANTED, "map_kind": "affine"},
    "projective": {"control": SLANTED},
    "five points": {"control": (*SLANTED, *control(((580.0, 300.0), 19.58, 9.43)))},
    "negative": {"control": control(((0.0, 0.0), -5, -3), ((100.0, 0.0), -2, 9))},
}  # fmt: skip


@pytest.mark.parametrize("name", SKETCHES)
def test_the_preview_fits_as_python_does(node, name):
    """The phone's own fit is a second way to the same least squares."""
    sketch = Sketch(paper=Sheet(kind="picture", wide=1200.0, high=900.0), units="metric", **SKETCHES[name])
    script = (
        f'import {{ fitOf }} from "{(PAGE / "fitting.js").as_uri()}";'
        f"console.log(JSON.stringify(fitOf({sketch.model_dump_json()})));"
    )
    done = subprocess.run(
        [node, "--input-type=module", "-e", script], capture_output=True, text=True, check=True
    )
    theirs, ours = json.loads(done.stdout), fit_of(sketch)
    assert theirs["kind"] == ours.kind
    spots = np.array([[0, 0, 1], [1200, 0, 1], [1200, 900, 1], [0, 900, 1], [500, 400, 1]])
    there = spots @ np.array(theirs["matrix"]).T
    within = 0.05 if name == "five points" else 1e-6  # two ways of weighing what five points do not agree on
    assert there[:, :2] / there[:, 2:] == pytest.approx(ours.apply(spots[:, :2]), abs=within)
    assert theirs["residuals"] == pytest.approx(ours.residuals_m, abs=within)


@pytest.mark.parametrize("path", sorted(PAGE.iterdir()), ids=lambda path: path.name)
def test_files_are_short_and_fetch_nothing(path):
    text = path.read_text("utf-8")
    assert len(text.splitlines()) <= 300
    assert "https://" not in text
    assert "innerHTML" not in text
    if path.suffix == ".js":
        assert text.startswith("/* "), "a sentence stands at the head"
