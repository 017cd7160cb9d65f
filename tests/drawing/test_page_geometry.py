"""The page's geometry, tested by node's own runner, and the size of its scripts."""

import shutil
import subprocess
from pathlib import Path

import pytest

PAGE = Path(__file__).parents[2] / "lawnmap" / "drawing" / "page"


def test_geometry():
    node = shutil.which("node")
    if node is None:
        pytest.skip("no node found; the page's geometry is also run in the browser tests")
    done = subprocess.run(
        [node, "--test", str(Path(__file__).with_name("geom.test.mjs"))],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize("path", sorted(PAGE.iterdir()), ids=lambda path: path.name)
def test_files_are_short_and_fetch_nothing(path):
    text = path.read_text("utf-8")
    assert len(text.splitlines()) <= 300
    assert "https://" not in text
    assert "innerHTML" not in text
    if path.suffix == ".js":
        assert text.startswith("/* "), "a sentence stands at the head"
