"""``lawnmap draw`` from the outside: what it makes of its argument, and how it ends."""

import http.client
import signal
import subprocess
import sys
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from shapely.geometry import box

from lawnmap.drawing.sketch import read_sketch
from lawnmap.survey import write_yard
from lawnmap.yard import Obstacle, Plane, Yard, Zone

ROOT = Path(__file__).parents[2]


def start(*words, cwd):
    command = [sys.executable, "-m", "lawnmap", "draw", "--no-browser", *map(str, words)]
    return subprocess.Popen(
        command, cwd=cwd, env={"PYTHONPATH": str(ROOT), "PATH": ""}, text=True,
        stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    )  # fmt: skip


def drawn(*words, cwd):
    """Start, fetch the opening page, end by Ctrl+C, and return the exit code and what was said."""
    program = start(*words, cwd=cwd)
    line = program.stdout.readline()
    address = urlsplit(line.rpartition(" ")[2].strip())
    call = http.client.HTTPConnection(address.hostname, address.port, timeout=20)
    call.request("GET", f"{address.path}?{address.query}")
    assert call.getresponse().status == 200
    call.close()
    program.send_signal(signal.SIGINT)
    _, said = program.communicate(timeout=20)
    assert "Traceback" not in said
    return program.returncode, said


def sketch_in(folder):
    return read_sketch((folder / "sketch.json").read_bytes())


def test_blank_paper(tmp_path):
    code, said = drawn("--size", "80 ft x 120 ft", "--units", "metric", cwd=tmp_path)
    assert code == 0
    assert "yard_job" in said
    sketch = sketch_in(tmp_path / "yard_job")
    assert (sketch.units, sketch.paper.wide) == ("metric", pytest.approx(80 * 0.3048))


def test_picture_then_its_folder_again(sheet, tmp_path):
    drawn(sheet, cwd=tmp_path)
    folder = tmp_path / "sketch_job"
    assert (sketch_in(folder).paper.wide, (folder / "paper.png").exists()) == (1200, True)
    assert drawn(folder, cwd=tmp_path)[0] == 0


def test_yard_file_is_not_touched(tmp_path):
    plane = Plane("EPSG:26986", "EPSG:4269", -71.1, 42.3, "m")
    yard = Yard(
        "Lot",
        (Zone("lawn", box(0, 0, 40, 25), "thin"),),
        (Obstacle("h", "house", box(5, 5, 9, 9)),),
        plane=plane,
    )
    write_yard(yard, tmp_path / "lot.geojson")
    before = (tmp_path / "lot.geojson").read_bytes()
    drawn(tmp_path / "lot.geojson", cwd=tmp_path)
    assert (tmp_path / "lot.geojson").read_bytes() == before
    sketch = sketch_in(tmp_path / "lot_job")
    assert [shape.role for shape in sketch.shapes] == ["lawn", "obstacle"]
    assert sketch.paper.place is not None


@pytest.mark.parametrize(
    ("name", "held", "said"),
    [
        ("gone.png", None, "no such file"),
        ("text.png", b"text", "not a picture"),
        ("photo.heic", b"x", "JPEG"),
        ("notes.docx", b"x", "cannot be read"),
    ],
)
def test_wrong_argument_is_one_sentence_and_exit_code_1(tmp_path, name, held, said):
    if held is not None:
        (tmp_path / name).write_bytes(held)
    program = start(name, cwd=tmp_path)
    _, words = program.communicate(timeout=30)
    assert program.returncode == 1
    assert said in words
    assert "Traceback" not in words
    assert not (tmp_path / f"{Path(name).stem}_job").exists()


def test_folder_of_another_sketch_is_refused(sheet, tmp_path):
    drawn(sheet, cwd=tmp_path)
    program = start(sheet, cwd=tmp_path)
    _, words = program.communicate(timeout=30)
    assert (program.returncode, "there is a sketch in this folder already" in words) == (1, True)


def test_phone_file_is_written_and_nothing_is_served(sheet, tmp_path):
    program = start(sheet, "--phone", "yard.html", cwd=tmp_path)
    said, _ = program.communicate(timeout=60)
    assert (program.returncode, said.strip()) == (0, "Phone: yard.html")
    assert "data:image/png" in (tmp_path / "yard.html").read_text("utf-8")
    assert not (tmp_path / "sketch_job").exists()


def test_phone_file_goes_on_with_a_folder(sheet, tmp_path):
    drawn(sheet, cwd=tmp_path)
    program = start(tmp_path / "sketch_job", "--phone", "yard.html", cwd=tmp_path)
    assert program.communicate(timeout=60)[0].strip() == "Phone: yard.html"


def test_a_blank_sheet_is_given_a_place(tmp_path):
    assert drawn("--at", "40.0379, -76.3055", cwd=tmp_path)[0] == 0
    assert sketch_in(tmp_path / "yard_job").paper.place.latitude_deg == 40.0379


def test_only_a_blank_sheet_is_given_a_place(sheet, tmp_path):
    program = start(sheet, "--at", "40, -76", cwd=tmp_path)
    _, said = program.communicate(timeout=60)
    assert program.returncode == 1
    assert "only a blank sheet is given a place" in said
