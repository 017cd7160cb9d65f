"""A folder or file of results that is either whole or untouched, and never somebody else's."""

from __future__ import annotations

import json
import os
import secrets
import shutil
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Final

from lawnmap.errors import OutputError

if TYPE_CHECKING:
    from collections.abc import Iterator

MARK: Final = "plan.json"
"""The file that tells our folder from any other: JSON with the key ``lawnmap``."""


@contextmanager
def whole(folder: Path) -> Iterator[Path]:
    """Lend an empty folder to write into; on success its files become those of `folder`, else nothing changes.

    Parameters
    ----------
    folder : Path
        Where the files shall stand: a new folder, an empty one, or one of ours, whose files of the
        same name are replaced while all others stay.

    Raises
    ------
    OutputError
        If the folder holds other people's files or cannot be written.
    """
    try:
        _refuse_others(folder)
        is_new = not folder.exists()
        # inside a folder that exists, so that its parent need not be writable nor on the same disk
        draft = folder.with_name(f".{folder.name}.{secrets.token_hex(4)}") if is_new else folder / _hidden()
        draft.parent.mkdir(parents=True, exist_ok=True)
        draft.mkdir()
        try:
            yield draft
            _settle(draft)
            if is_new:
                draft.rename(folder)
            else:
                _move(draft, folder)
        finally:
            shutil.rmtree(draft, ignore_errors=True)
    except OutputError:
        raise
    except OSError as fault:
        reason = fault.strerror or str(fault)
        raise OutputError(
            f"the results cannot be written ({reason})",
            where=str(folder),
            mend="name a folder that you may write to, on a disk with room",
        ) from fault


@contextmanager
def whole_file(path: Path) -> Iterator[Path]:
    """Lend a name to write under; on success the file becomes `path`, else what was there stays.

    Parameters
    ----------
    path : Path
        Where the file shall stand; one that is there is replaced.

    Raises
    ------
    OutputError
        If it cannot be written.
    """
    draft = path.with_name(_hidden())
    try:
        try:
            yield draft
            with draft.open("rb+") as file:
                os.fsync(file.fileno())
            draft.replace(path)
        finally:
            draft.unlink(missing_ok=True)
    except OutputError:
        raise
    except OSError as fault:
        reason = fault.strerror or str(fault)
        raise OutputError(
            f"cannot be written ({reason})",
            where=str(path),
            mend="name a file in a folder that you may write to, on a disk with room",
        ) from fault


def _hidden() -> str:
    return f".lawnmap.{secrets.token_hex(4)}"


def _refuse_others(folder: Path) -> None:
    if not folder.exists():
        return
    if not folder.is_dir():
        raise OutputError(
            "there is a file of this name", where=str(folder), mend="name a folder for the results"
        )
    held = sorted(path.name for path in folder.iterdir())
    if held and not _is_ours(folder / MARK):
        raise OutputError(
            f'the folder holds files that are not results of lawnmap, "{held[0]}" for one',
            where=str(folder),
            mend="name a new or an empty folder",
        )


def _is_ours(mark: Path) -> bool:
    try:
        held = json.loads(mark.read_bytes())
    except (OSError, ValueError, RecursionError):
        return False
    return isinstance(held, dict) and "lawnmap" in held


def _settle(draft: Path) -> None:
    """Wait until the disk has every file."""
    for path in draft.iterdir():
        with path.open("rb+") as file:
            os.fsync(file.fileno())


def _move(draft: Path, folder: Path) -> None:
    """Put every file in its place, the mark first: a folder that was begun is known as ours."""
    names = sorted((path.name for path in draft.iterdir()), key=lambda name: (name != MARK, name))
    for name in names:
        if (folder / name).is_dir():
            raise OutputError(
                f'"{name}" is a folder there', where=str(folder), mend="move it away or name another folder"
            )
    for name in names:
        (draft / name).replace(folder / name)
