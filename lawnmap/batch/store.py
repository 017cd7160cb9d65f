"""The folder of a batch: one batch at a time, every file whole or not there, and what is done is kept."""

from __future__ import annotations

import json
import os
import secrets
import shutil
import sys
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any, Final

import pyarrow as pa
from pyarrow import parquet

from lawnmap.batch.model import Done
from lawnmap.batch.rows import REFUSED_KEY
from lawnmap.errors import OutputError

if TYPE_CHECKING:
    from collections.abc import Iterator

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

MARK: Final = "batch.json"
"""The file that tells the folder of a batch from any other: JSON with the key ``lawnmap_batch``."""

WORK: Final = "work"
"""Folder of what single tasks have saved."""

MAPS: Final = "yards"
"""Folder of the folders of single yards."""

VERSION: Final = 1

_LOCK: Final = ".batch.lock"
_UNFINISHED: Final = ".unfinished."


@dataclass(frozen=True)
class Store:
    """The folder of one batch.

    Attributes
    ----------
    folder : Path
        Where the results stand.
    fingerprint : str
        Of the yard files and choices: what was saved under another one is of no use here.
    """

    folder: Path
    fingerprint: str

    @property
    def chunks(self) -> Path:
        """Folder of what the tasks have saved."""
        return self.folder / WORK / self.fingerprint

    def chunk(self, number: int) -> Path:
        """Return the file of a task. [count]"""
        return self.chunks / f"{number:06}.parquet"

    def begin(self) -> None:
        """Make the folder ready; what an earlier run of the same batch saved stays.

        Raises
        ------
        OutputError
            Where it cannot be written.
        """
        with said_plainly(self.folder):
            self.chunks.mkdir(parents=True, exist_ok=True)
            for path in self.chunks.glob(f"{_UNFINISHED}*"):
                path.unlink(missing_ok=True)
            if not (self.folder / MARK).exists():
                write_json(self.folder / MARK, {"lawnmap_batch": VERSION, "complete": False})

    def done(self, number: int) -> Done | None:
        """Return what an earlier run saved of a task, if it is whole. [count]"""
        try:
            said = parquet.read_metadata(self.chunk(number))
        except (OSError, pa.ArrowInvalid):
            return None
        return Done(number, said.num_rows, int(said.metadata.get(REFUSED_KEY, b"0")))

    def finish(self) -> None:
        """Drop what was saved under other fingerprints, now that the results are whole."""
        for path in (self.folder / WORK).iterdir():
            if path.name != self.fingerprint:
                shutil.rmtree(path, ignore_errors=True)


@contextmanager
def taken(folder: Path) -> Iterator[None]:
    """Keep the folder to one batch at a time; the system lets go of it when the process ends, however it ends.

    Parameters
    ----------
    folder : Path
        A new or empty folder, or one of an earlier batch.

    Raises
    ------
    OutputError
        Where the folder holds somebody else's files, another batch is writing it, or it cannot be written.
    """
    with said_plainly(folder):
        _refuse_others(folder)
        folder.mkdir(parents=True, exist_ok=True)
        file = (folder / _LOCK).open("a+b")
    with file:
        if not _lock(file):
            raise OutputError(
                "another batch is writing this folder",
                where=str(folder),
                mend="wait for it, or name another folder",
            )
        yield


def _lock(file: IO[bytes]) -> bool:
    try:
        if sys.platform == "win32":
            file.seek(0)
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        else:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def _refuse_others(folder: Path) -> None:
    if folder.exists() and not folder.is_dir():
        raise OutputError(
            "there is a file of this name", where=str(folder), mend="name a folder for the results"
        )
    held = sorted(path.name for path in folder.iterdir() if path.name != _LOCK) if folder.exists() else []
    if held and not _is_ours(folder):
        raise OutputError(
            f'the folder holds files that are not results of a batch, "{held[0]}" for one',
            where=str(folder),
            mend="name a new or an empty folder",
        )


def _is_ours(folder: Path) -> bool:
    if (folder / WORK).is_dir() and not (folder / MARK).exists():
        return {path.name for path in folder.iterdir()} <= {WORK, _LOCK}  # killed before it was marked
    try:
        held = json.loads((folder / MARK).read_bytes())
    except (OSError, ValueError, RecursionError):
        return False
    return isinstance(held, dict) and "lawnmap_batch" in held


@contextmanager
def said_plainly(place: Path) -> Iterator[None]:
    """Turn a fault of the disk into words.

    Parameters
    ----------
    place : Path
        What was to be written.

    Raises
    ------
    OutputError
        In place of any fault of writing.
    """
    try:
        yield
    except OutputError:
        raise
    except OSError as fault:
        reason = fault.strerror or str(fault)
        raise OutputError(
            f"it cannot be written ({reason})",
            where=str(place),
            mend="make room or name another folder; what was done is kept, and the same command goes on from there",
        ) from None


@contextmanager
def replacing(target: Path) -> Iterator[Path]:
    """Hand out a path beside the target; when all went well, the disk has it and it takes the target's place.

    Parameters
    ----------
    target : Path
        The file to write.

    Raises
    ------
    OutputError
        Where it cannot be written.
    """
    draft = target.with_name(f"{_UNFINISHED}{secrets.token_hex(4)}.{target.name}")
    try:
        with said_plainly(target):
            yield draft
            with draft.open("rb+") as file:
                os.fsync(file.fileno())
            draft.replace(target)
    finally:
        draft.unlink(missing_ok=True)


def save_chunk(table: pa.Table, target: Path) -> None:
    """Save what a task has done.

    Parameters
    ----------
    table : pyarrow.Table
        The rows.
    target : Path
        The file.

    Raises
    ------
    OutputError
        Where the disk is full, or does not take it for another reason.
    """
    held = pa.BufferOutputStream()
    parquet.write_table(table, held, compression="zstd")
    with replacing(target) as draft:
        draft.write_bytes(held.getvalue())


def write_json(path: Path, values: dict[str, Any]) -> None:
    """Write a small file of JSON, whole or not at all.

    Parameters
    ----------
    path : Path
        The file.
    values : dict
        What to write.
    """
    with replacing(path) as draft:
        draft.write_text(json.dumps(values, indent=1, ensure_ascii=False, allow_nan=False) + "\n", "utf-8")
