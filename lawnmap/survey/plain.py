"""The door for plain text: a tape sheet, a deed or a point file, told apart by what they say."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from lawnmap.errors import FileError
from lawnmap.survey.deed.door import read_deed
from lawnmap.survey.deed.words import AZIMUTH, QUADRANT
from lawnmap.survey.points.door import read_points
from lawnmap.survey.tape.door import read_tape
from lawnmap.survey.tape.form import TITLE

if TYPE_CHECKING:
    from pathlib import Path

    from lawnmap.survey.features import Sheet
    from lawnmap.survey.source import Source

_LARGEST: Final = 200 * 2**20
_THENCE: Final = re.compile(r"\bthence\b", re.IGNORECASE)


def read_text(path: Path, source: Source) -> Sheet:
    """Read a text file by what it says.

    A first line "tape sheet" makes it a tape sheet; the word "thence", or a bearing, a deed;
    anything else is a table of points.

    Parameters
    ----------
    path : Path
        The file, in UTF-8, UTF-16 or the old Western character set.
    source : Source
        What the file does not say of itself.

    Raises
    ------
    LawnmapError
        Where it cannot be read as what it seems to be.
    """
    text, kind = text_of(path)
    return {"tape sheet": read_tape, "deed": read_deed, "points": read_points}[kind](text, source)


def text_of(path: Path) -> tuple[str, str]:
    """Return what a text file says, and whether that is a ``"tape sheet"``, a ``"deed"`` or ``"points"``.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    FileError
        Where it is too large to be either.
    """
    if path.stat().st_size > _LARGEST:
        raise FileError(f"it is larger than {_LARGEST // 2**20} MB", mend="give the points of one yard")
    text = _decoded(path.read_bytes())
    said = (line for line in text.splitlines() if line.strip(" ,") and not line.lstrip().startswith("#"))
    first = next(said, "")
    if first.strip(' ,"').lower().startswith(TITLE):
        return text, "tape sheet"
    if path.suffix.lower() == ".deed" or _THENCE.search(text) or _bearings(text):
        return text, "deed"
    return text, "points"


def _decoded(data: bytes) -> str:
    if data[:2] in {b"\xff\xfe", b"\xfe\xff"}:
        return data.decode("utf-16", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


def _bearings(text: str) -> bool:
    """Whether most of the first lines hold a bearing or an azimuth."""
    lines = [" ".join(line[:500].split()) for line in text.splitlines()[:40]]
    lines = [line for line in lines if line and not line.startswith("#")]
    calls = sum(bool(QUADRANT.search(line) or AZIMUTH.search(line)) for line in lines)
    return calls * 2 > len(lines)
