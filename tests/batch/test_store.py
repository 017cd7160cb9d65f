"""The folder of a batch: taken by one at a time, kept from others' files, whole after any interruption."""

import errno
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from lawnmap.batch import Options, run
from lawnmap.batch.store import MARK, WORK, taken
from lawnmap.errors import OutputError
from lawnmap.job import Choices, General

ROOT = Path(__file__).parents[2]
QUICK = Choices(general=General(leave_out=("lanes",)))
ONE = Options(yards_per_task=1)


def chunks(folder):
    return sorted(path for path in folder.glob(f"{WORK}/*/*.parquet") if not path.name.startswith("."))


def test_two_batches_cannot_write_one_folder(town, tmp_path):
    path = town(2).save(tmp_path / "town.gpkg")
    with (
        taken(tmp_path / "out"),
        pytest.raises(OutputError, match="another batch is writing this folder; wait for it"),
    ):
        run([path], tmp_path / "out", QUICK)
    assert run([path], tmp_path / "out", QUICK).totals.planned == 2


def test_the_lock_goes_with_a_killed_process(tmp_path):
    code = (
        "import sys, time\nfrom pathlib import Path\nfrom lawnmap.batch.store import taken\n"
        "with taken(Path(sys.argv[1])):\n    print('taken', flush=True)\n    time.sleep(60)\n"
    )
    holder = subprocess.Popen(
        [sys.executable, "-c", code, str(tmp_path / "out")],
        stdout=subprocess.PIPE, text=True, env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert holder.stdout.readline() == "taken\n"
    with pytest.raises(OutputError, match="another batch"), taken(tmp_path / "out"):
        pass
    holder.kill()
    holder.communicate()
    with taken(tmp_path / "out"):
        pass


def test_other_peoples_files_are_left_alone(town, tmp_path):
    path = town(1).save(tmp_path / "town.gpkg")
    with pytest.raises(
        OutputError, match=r'holds files that are not results of a batch, "town\.gpkg" for one'
    ):
        run([path], tmp_path, QUICK)
    with pytest.raises(OutputError, match="there is a file of this name"):
        run([path], path, QUICK)


def test_a_second_run_does_nothing_again(town, tmp_path):
    path = town(4).save(tmp_path / "town.gpkg")
    first = run([path], tmp_path / "out", QUICK, ONE)
    stamps = {chunk: chunk.stat().st_mtime_ns for chunk in chunks(tmp_path / "out")}
    second = run([path], tmp_path / "out", QUICK, ONE)
    assert (first.resumed, second.resumed) == (0, 4)
    assert {chunk: chunk.stat().st_mtime_ns for chunk in chunks(tmp_path / "out")} == stamps
    assert second.totals.to_dict() == first.totals.to_dict()


def test_what_is_missing_or_damaged_is_done_again(town, tmp_path):
    path = town(5).save(tmp_path / "town.gpkg")
    first = run([path], tmp_path / "out", QUICK, ONE)
    held = chunks(tmp_path / "out")
    held[1].unlink()
    held[3].write_bytes(held[3].read_bytes()[:100])
    (held[0].parent / ".unfinished.1234.000002.parquet").write_bytes(b"half")
    second = run([path], tmp_path / "out", QUICK, ONE)
    assert second.resumed == 3
    assert second.totals.to_dict() == first.totals.to_dict()
    assert not list(held[0].parent.glob(".unfinished*"))


def test_other_choices_are_other_work(town, tmp_path):
    path = town(3).save(tmp_path / "town.gpkg")
    run([path], tmp_path / "out", QUICK, ONE)
    unsown = Choices(general=General(leave_out=("lanes", "seed")))
    other = run([path], tmp_path / "out", unsown, ONE)
    assert other.resumed == 0
    assert [one.kind for one in other.totals.purchases.values()] == ["fertilizer"]
    assert len(list((tmp_path / "out" / WORK).iterdir())) == 1, "what is of no use is dropped"


def test_a_changed_yard_file_is_other_work(town, tmp_path):
    path = town(3).save(tmp_path / "town.gpkg")
    run([path], tmp_path / "out", QUICK, ONE)
    path.unlink()
    town(3).spoil("lot 0", "lawn", density="bare").save(path)
    assert run([path], tmp_path / "out", QUICK, ONE).totals.density_area_m2["bare"] == pytest.approx(
        520, rel=1e-6
    )


def killed_after(count, command, folder):
    """Start a batch and kill it, as a power cut would, when it has saved so many tasks."""
    batch = subprocess.Popen(
        command,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    until = time.monotonic() + 60
    while len(chunks(folder)) < count and batch.poll() is None:
        assert time.monotonic() < until
        time.sleep(0.002)
    batch.send_signal(signal.SIGKILL)
    batch.wait()
    return len(chunks(folder))


@pytest.mark.parametrize("count", [0, 3])
def test_killed_at_any_moment_it_goes_on_from_there(town, tmp_path, count):
    path = town(12).save(tmp_path / "town.gpkg")
    whole = run([path], tmp_path / "whole", options=ONE)
    command = [
        sys.executable,
        "-m",
        "lawnmap",
        "batch",
        path,
        "-o",
        tmp_path / "out",
        "--size",
        "1",
        "--processes",
        "1",
    ]
    saved = killed_after(count, list(map(str, command)), tmp_path / "out")
    again = run([path], tmp_path / "out", options=ONE)
    assert again.resumed == saved if saved else again.totals.yards == 12
    assert again.totals.to_dict() == whole.totals.to_dict()
    assert json.loads((tmp_path / "out" / MARK).read_text())["complete"]


LIMITED = """
import resource, sys
from pathlib import Path
import lawnmap
from lawnmap.batch import Options, run
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[3]), resource.RLIM_INFINITY))
try:
    run([sys.argv[1]], sys.argv[2], options=Options(yards_per_task=int(sys.argv[4]), processes=1))
except lawnmap.errors.OutputError as fault:
    print(fault)
"""


@pytest.mark.parametrize(("most_bytes", "size"), [(12_000, 12), (30_000, 2)])
def test_a_disk_that_takes_no_more(town, tmp_path, most_bytes, size):
    """The system itself refuses to write on (a limit on the size of a file, setrlimit(2)): in a task, or at the end."""
    path = town(12).save(tmp_path / "town.gpkg")
    done = subprocess.run(
        [sys.executable, "-c", LIMITED, path, tmp_path / "out", str(most_bytes), str(size)],
        capture_output=True, text=True, check=True, env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert "cannot be written" in done.stdout
    assert "what was done is kept, and the same command goes on from there" in done.stdout
    saved = len(chunks(tmp_path / "out"))
    assert (saved > 0) == (size == 2)
    again = run([path], tmp_path / "out", options=Options(yards_per_task=size))
    assert again.resumed == saved * size
    assert again.totals.planned == 12


def test_a_full_disk_in_plain_words(town, tmp_path, monkeypatch):
    path = town(4).save(tmp_path / "town.gpkg")
    written, write = [], Path.write_bytes

    def until_full(self, data):
        if ".unfinished." in self.name and len(written) == 2:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        written.append(self)
        return write(self, data)

    with monkeypatch.context() as patch:
        patch.setattr(Path, "write_bytes", until_full)
        with pytest.raises(OutputError, match=r"cannot be written \(No space left on device\); make room"):
            run([path], tmp_path / "out", QUICK, ONE)
    assert run([path], tmp_path / "out", QUICK, ONE).resumed == 2
