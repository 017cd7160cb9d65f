"""``lawnmap batch`` as a user types it, in a process of its own."""

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PORTFOLIO = ROOT / "sample_parcels" / "portfolio"


def batch(*words, cwd):
    return subprocess.run(
        [sys.executable, "-m", "lawnmap", "batch", *map(str, words)],
        capture_output=True, text=True, encoding="utf-8", check=False, cwd=cwd,
        env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8", "COLUMNS": "200", "NO_COLOR": "1"},
    )  # fmt: skip


@pytest.fixture(scope="module")
def town(tmp_path_factory):
    folder = tmp_path_factory.mktemp("batch")
    return folder, batch(PORTFOLIO / "yards.gpkg", "--job", PORTFOLIO, "-o", "town", cwd=folder)


def test_the_sample_town(town):
    _, done = town
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith(
        "28 of 28 yards planned\nNet lawn: 25,759 m², 2.576 ha\nPerennial ryegrass: 522 kg; buy 55 × 10 kg\n"
    )
    assert "index.html" in done.stdout.splitlines()[-1]


def test_run_again_it_does_nothing_again(town):
    folder, _ = town
    done = batch(PORTFOLIO / "yards.gpkg", "--job", PORTFOLIO, "-o", "town", "--json", cwd=folder)
    assert json.loads(done.stdout)["totals"]["planned"] == 28
    assert done.stderr == "28 yards were done by an earlier run and are kept.\n"


@pytest.mark.skipif(not hasattr(os, "killpg"), reason="no process groups here")
def test_stopped_by_the_user_it_keeps_what_is_done(tmp_path):
    words = ["batch", PORTFOLIO / "yards.gpkg", "-o", "town", "--size", "2", "--processes", "2"]
    running = subprocess.Popen(
        [sys.executable, "-m", "lawnmap", *map(str, words)],
        cwd=tmp_path, stderr=subprocess.PIPE, stdout=subprocess.PIPE, text=True, start_new_session=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    until = time.monotonic() + 60
    while not list((tmp_path / "town").rglob("0*.parquet")):
        assert time.monotonic() < until
        time.sleep(0.01)
    os.killpg(running.pid, signal.SIGINT)
    _, said = running.communicate(timeout=60)
    assert (running.returncode, said) == (
        130,
        "Stopped. What is done is kept; the same command goes on from there.\n",
    )
    assert not (tmp_path / "town" / "index.html").exists()


def test_nothing_planned_is_a_fault_in_one_sentence(tmp_path):
    (tmp_path / "yard.geojson").write_text("{}")
    done = batch("yard.geojson", "-o", "out", cwd=tmp_path)
    assert done.returncode == 1
    assert "0 of 1 yards planned, 1 not planned (not_planned.csv says why)" in done.stdout
    assert done.stderr.rstrip().endswith("no yard could be planned; read there why.")
    assert "not GeoJSON" in (tmp_path / "out" / "not_planned.csv").read_text("utf-8")


def test_a_folder_of_other_files_is_left_alone(tmp_path):
    (tmp_path / "notes.txt").write_text("mine")
    done = batch(PORTFOLIO / "yards.gpkg", "-o", ".", cwd=tmp_path)
    assert done.returncode == 1
    assert 'holds files that are not results of a batch, "notes.txt" for one' in done.stderr


def test_a_scheduler_that_is_not_there(tmp_path):
    done = batch(PORTFOLIO / "yards.gpkg", "-o", "out", "--scheduler", "tcp://127.0.0.1:9", cwd=tmp_path)
    assert done.returncode == 1
    assert done.stderr.startswith("no Dask scheduler answers at tcp://127.0.0.1:9 (")
    assert len(done.stderr.splitlines()) == 1
