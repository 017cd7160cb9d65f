"""A folder of results is whole or untouched."""

import errno
import json
import os
from pathlib import Path

import pytest

from lawnmap.errors import OutputError
from lawnmap.sheets import write
from lawnmap.sheets.folder import whole

FILES = {"areas.csv", "map.html", "map.svg", "plan.json", "yard.gpkg"}


def names(folder):
    return {path.name for path in folder.iterdir()}


def test_a_new_folder_gets_all_files_and_nothing_else(plan, tmp_path):
    page = write(plan, tmp_path / "new" / "job")
    assert page == tmp_path / "new" / "job" / "map.html"
    assert names(page.parent) == FILES
    assert names(tmp_path / "new") == {"job"}


def test_an_empty_folder_is_taken_and_a_second_run_replaces(plan, local_plan, tmp_path):
    write(plan, tmp_path)
    (tmp_path / "photo.jpg").write_bytes(b"mine")
    write(local_plan, str(tmp_path))
    assert names(tmp_path) == {*FILES, "photo.jpg"}
    assert (tmp_path / "photo.jpg").read_bytes() == b"mine"
    assert json.loads((tmp_path / "plan.json").read_text("utf-8"))["units"] == "metric"


@pytest.mark.parametrize(
    ("name", "content"),
    [("taxes.xlsx", b"x"), ("plan.json", b'{"rooms": 4}'), ("plan.json", b"[1]"), ("plan.json", b"\xff"),
     ("plan.json", b"[" * 100_000)],
    ids=["other file", "other plan", "a list", "no text", "deeply nested"],
)  # fmt: skip
def test_a_folder_of_somebody_else_is_left_alone(plan, tmp_path, name, content):
    (tmp_path / name).write_bytes(content)
    with pytest.raises(OutputError, match=f'holds files that are not results of lawnmap, "{name}" for one'):
        write(plan, tmp_path)
    assert names(tmp_path) == {name}
    assert (tmp_path / name).read_bytes() == content


def test_a_file_of_that_name(plan, tmp_path):
    (tmp_path / "out").write_text("x")
    with pytest.raises(OutputError, match="there is a file of this name; name a folder"):
        write(plan, tmp_path / "out")


def test_a_folder_under_a_file_cannot_be_made(plan, tmp_path):
    (tmp_path / "file").write_text("x")
    with pytest.raises(OutputError, match=r"cannot be written \(.+\); name a folder that you may write to"):
        write(plan, tmp_path / "file" / "out")


def test_a_full_disk_leaves_the_earlier_run_as_it_was(plan, local_plan, tmp_path, monkeypatch):
    write(plan, tmp_path)
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}

    def full(number):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OutputError, match="No space left on device"):
        write(local_plan, tmp_path)
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_a_fault_in_the_middle_leaves_no_folder(tmp_path):
    def work():
        with whole(tmp_path / "out") as draft:
            (draft / "plan.json").write_text("{}")
            raise ZeroDivisionError("in the middle")

    with pytest.raises(ZeroDivisionError, match="in the middle"):
        work()
    assert names(tmp_path) == set()


def test_a_folder_named_like_a_file_of_ours_is_not_replaced(plan, tmp_path):
    write(plan, tmp_path)
    (tmp_path / "map.html").unlink()
    (tmp_path / "map.html").mkdir()
    before = (tmp_path / "areas.csv").read_bytes()
    with pytest.raises(OutputError, match=r'"map\.html" is a folder there'):
        write(plan, tmp_path)
    assert (tmp_path / "areas.csv").read_bytes() == before
    assert names(tmp_path) == FILES


def test_a_run_broken_off_between_two_files_is_known_as_ours(plan, tmp_path, monkeypatch):
    """The mark is moved first, so that the next run goes on instead of refusing."""
    tmp_path.joinpath("out").mkdir()
    real, moved = Path.replace, []

    def breaks(path, target):
        if moved:
            raise OSError(errno.EIO, "Input/output error")
        moved.append(Path(target).name)
        return real(path, target)

    monkeypatch.setattr(Path, "replace", breaks)
    with pytest.raises(OutputError, match="Input/output error"):
        write(plan, tmp_path / "out")
    monkeypatch.undo()
    assert moved == ["plan.json"]
    write(plan, tmp_path / "out")
    assert names(tmp_path / "out") == FILES
