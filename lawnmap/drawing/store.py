"""The job folder on disk: every save is whole or not at all, and what it would overwrite unseen is kept."""

from __future__ import annotations

import os
import tempfile
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Final

from lawnmap.errors import FileError, OutputError

SKETCH: Final = "sketch.json"
YARD: Final = "yard.geojson"
KEPT: Final = "kept"
"""Folder of the versions that two writers made at once."""

PAPERS: Final = ("paper.png", "paper.jpg")


class ChangedError(Exception):
    """The files are not those that the page has read; both versions are in the folder ``kept``."""


@dataclass
class Store:
    """The files of one sketch.

    Attributes
    ----------
    folder : Path
        The job folder.
    yard_digest : str
        Of the yard file as this process last read or wrote it.
    """

    folder: Path
    yard_digest: str = ""

    def __post_init__(self) -> None:
        self.yard_digest = _digest(self._held(YARD))

    def sketch(self) -> bytes:
        """Return the sketch as it stands on disk; empty without one."""
        return self._held(SKETCH)

    def yard(self) -> bytes:
        """Return the yard file as it stands on disk; empty without one."""
        return self._held(YARD)

    def paper(self) -> Path | None:
        """Return the picture to draw on, if there is one."""
        return next((self.folder / name for name in PAPERS if (self.folder / name).is_file()), None)

    def tag(self) -> str:
        """Return the entity tag of what stands on disk (RFC 9110, section 8.8.3)."""
        return f'"{_digest(self._held(SKETCH) + b"|" + self._held(YARD))[:32]}"'

    def save(self, sketch: bytes, yard: bytes | None, tag: str | None) -> str:
        """Save a sketch and the yard made of it.

        Parameters
        ----------
        sketch : bytes
            The sketch.
        yard : bytes, optional
            The yard file; without one the yard file on disk stays as it is.
        tag : str, optional
            Entity tag of what the page has read; without one nothing may be on disk.

        Returns
        -------
        str
            Entity tag of what stands there now.

        Raises
        ------
        ChangedError
            Where somebody else has written meanwhile; nothing is replaced.
        OutputError
            Where the folder cannot be written.
        """
        before, yard_before = self._held(SKETCH), self._held(YARD)
        if (before or yard_before) and tag != self.tag():
            self._keep("page", SKETCH, sketch)
            self._keep("disk", SKETCH, before)
            self._keep("disk", YARD, yard_before)
            raise ChangedError
        if yard is not None and yard_before and _digest(yard_before) != self.yard_digest:
            self._keep("disk", YARD, yard_before)
        if sketch != before:
            write_whole(self.folder / SKETCH, sketch)
        if yard is not None and yard != yard_before:
            write_whole(self.folder / YARD, yard)
            self.yard_digest = _digest(yard)
        return self.tag()

    def _held(self, name: str) -> bytes:
        try:
            return (self.folder / name).read_bytes()
        except FileNotFoundError:
            return b""
        except OSError as fault:
            raise FileError(
                f"cannot be read ({fault.strerror})", where=str(self.folder / name), mend="check its rights"
            ) from None

    def _keep(self, whose: str, name: str, held: bytes) -> None:
        """Keep a version under the name of its contents, so that keeping it twice makes one file."""
        if not held:
            return
        stem, _, ending = name.partition(".")
        path = self.folder / KEPT / f"{stem}-{whose}-{_digest(held)[:8]}.{ending}"
        if not path.exists():
            path.parent.mkdir(exist_ok=True)
            write_whole(path, held)


def write_whole(path: Path, held: bytes) -> None:
    """Write a file so that it is either the old one or the new one, whatever happens.

    Parameters
    ----------
    path : Path
        The file; its mode is kept.
    held : bytes
        What it shall hold.

    Raises
    ------
    OutputError
        Where it cannot be written.
    """
    draft = ""
    try:
        number, draft = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
        with os.fdopen(number, "wb") as stream:
            stream.write(held)
            stream.flush()
            Path(draft).chmod(_mode(path))
            os.fsync(stream.fileno())
        Path(draft).replace(path)
        _settle(path.parent)
    except OSError as fault:
        if draft:
            Path(draft).unlink(missing_ok=True)
        raise OutputError(
            f"cannot be written ({fault.strerror})",
            where=str(path),
            mend="check the folder's rights and room",
        ) from fault


def _mode(path: Path) -> int:
    try:
        return path.stat().st_mode & 0o777
    except FileNotFoundError:
        mask = os.umask(0)  # there is no way to read it without setting it
        os.umask(mask)
        return 0o666 & ~mask


def _settle(folder: Path) -> None:
    """Wait until the disk has the new name."""
    try:
        number = os.open(folder, os.O_RDONLY)
    except PermissionError:  # Windows opens no folders, and keeps names in its own way
        return
    try:
        os.fsync(number)
    finally:
        os.close(number)


def _digest(held: bytes) -> str:
    return sha256(held).hexdigest()
