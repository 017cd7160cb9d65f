"""Rows of a small CSV table of measurements, notes left out."""

from __future__ import annotations

import csv
from typing import TYPE_CHECKING, Final

from lawnmap.errors import FileError

if TYPE_CHECKING:
    from pathlib import Path

_LARGEST_BYTES: Final = 1_000_000


def rows_of(path: Path, what: str) -> list[list[str]]:
    """Read the rows of a CSV file that hold anything; lines that begin with # are notes.

    Parameters
    ----------
    path : Path
        The file.
    what : str
        What it is to hold, for messages: ``"the catch test"``.

    Raises
    ------
    FileError
        If it is missing, or no text, or far too large to have been weighed by hand.
    """
    try:
        if path.stat().st_size > _LARGEST_BYTES:
            raise FileError(f"is too large to be {what}", where=path.name, mend="check the name of the file")
        text = path.read_text("utf-8-sig")
        lines = (line for line in text.splitlines() if line.strip() and not line.lstrip().startswith("#"))
        return list(csv.reader(lines))
    except (OSError, UnicodeDecodeError, csv.Error) as fault:
        raise FileError(
            f"{what} cannot be read", where=path.name, mend="check the name of the file, and save it as CSV"
        ) from fault
