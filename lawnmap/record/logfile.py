"""The log as a file: text that a person can read and mend, to which entries are only ever added."""

from __future__ import annotations

import datetime as dt
import json
import os
import re
import tomllib
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from lawnmap.errors import FileError, LawnmapError, OutputError
from lawnmap.record.entry import Entry
from lawnmap.yard import finding

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

    from lawnmap.yard import Finding

LOG_FILE: Final = "log.toml"

_HEAD: Final = """\
# What was really done, one [[entry]] after the other. "lawnmap log" only ever adds at the end;
# correct it by hand as you like: an entry that cannot be read is told with its line, the others count.
"""
# a heading, also one that was cut off; never a line of an array, which would hold a quotation mark
_TABLE: Final = re.compile(r"^[ \t]*\[{1,2}[ \t]*([\w.-]*)[ \t]*\]{0,2}[ \t]*(?:#.*)?$", re.MULTILINE)
_LINE: Final = re.compile(r"\(at line (\d+), column \d+\)")
_LARGEST_BYTES: Final = 20_000_000


@dataclass(frozen=True)
class Line:
    """An entry and the line of the log where it begins.

    Attributes
    ----------
    entry : Entry
        What was done.
    where : str
        File and line, for messages.
    """

    entry: Entry
    where: str


@dataclass(frozen=True)
class Log:
    """A log that was read.

    Attributes
    ----------
    lines : tuple of Line
        All entries that can be read, by date; of one day in the order of the file.
    findings : tuple of Finding
        What could not be read, with its line. It stays in the file.
    """

    lines: tuple[Line, ...] = ()
    findings: tuple[Finding, ...] = ()

    @property
    def last_year(self) -> int | None:
        """Year of the newest entry. [year]"""
        return self.lines[-1].entry.day.year if self.lines else None


def read_log(path: Path) -> Log:
    """Read a log; a file that is not there is an empty log.

    Parameters
    ----------
    path : Path
        The log.

    Raises
    ------
    FileError
        If the file cannot be opened, or is far too large to be a log.
    """
    try:
        if path.stat().st_size > _LARGEST_BYTES:
            raise FileError(
                "is too large to be a log", where=str(path), mend="name the log that lawnmap wrote"
            )
        data = path.read_bytes()
    except FileNotFoundError:
        return Log()
    except OSError as fault:
        reason = (fault.strerror or "it cannot be opened").lower()
        raise FileError(f"cannot be read ({reason})", where=str(path), mend="check its rights") from None
    lines: list[Line] = []
    found = list(_strange_bytes(data, path.name))
    for number, name, block in _blocks(data.decode("utf-8-sig", "replace").replace("\r\n", "\n")):
        read = _entry(name, block, number, path.name)
        if isinstance(read, Entry):
            lines.append(Line(read, f"{path.name}, line {number}"))
        else:
            found += read
    return Log(tuple(sorted(lines, key=lambda line: line.entry.day)), tuple(found))


def _strange_bytes(data: bytes, file: str) -> Iterator[Finding]:
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as fault:
        number = data[: fault.start].count(b"\n") + 1
        text = "a character is not UTF-8 and was read as a question mark"
        yield finding("log-not-utf8", text, f"{file}, line {number}")


def _blocks(text: str) -> Iterator[tuple[int, str, str]]:
    """Cut the text before every heading: first line, name of the heading, text."""
    starts = [match.start() for match in _TABLE.finditer(text)]
    names = [match.group(1) for match in _TABLE.finditer(text)]
    if text[: starts[0] if starts else len(text)].strip():
        yield 1, "", text[: starts[0] if starts else len(text)]
    for place, name in enumerate(names):
        start, end = starts[place], starts[place + 1] if place + 1 < len(starts) else len(text)
        yield text.count("\n", 0, start) + 1, name, text[start:end]


def _entry(name: str, block: str, number: int, file: str) -> Entry | list[Finding]:
    """Read one block: an entry, or what is wrong with it."""
    try:
        values = tomllib.loads(block)
        if name == "entry" and isinstance(values.get("entry"), list):
            return Entry.read(values["entry"][0], file=f"{file}, line {number}")
        if not values:  # remarks above the first entry
            return []
        what = f'"{name or next(iter(values))}" is no entry; begin each with [[entry]]'
    except tomllib.TOMLDecodeError as fault:
        at = _LINE.search(str(fault))
        number += int(at.group(1)) - 1 if at else 0
        why = _LINE.sub("", str(fault)).strip().rstrip(".")
        if why.startswith("Illegal character '\\n'"):
            why = "a quotation mark is missing at the end"
        what = f"the entry cannot be read: {why}"
        if at is None:
            what = "the entry is cut off: " + what.rpartition(": ")[2]
    except LawnmapError as fault:
        key = fault.where.rpartition("[entry]")[2].strip(" ,")
        what = f"{key + ': ' if key else ''}{fault.what}{'; ' + fault.mend if fault.mend else ''}"
    except RecursionError:
        what = "the entry is nested too deeply"
    return [
        finding("log-entry-unread", f"{what}; it counts for nothing until mended", f"{file}, line {number}")
    ]


def entry_text(values: Mapping[str, Any]) -> str:
    """Write an entry as TOML, what it cannot do without at its end: so one that was cut off is known by it.

    Parameters
    ----------
    values : mapping
        By key, as a person writes them; empty ones are left out.
    """
    lines = ["[[entry]]"]
    needed = "note" if values.get("what") == "note" else "amount"
    for key, value in sorted(values.items(), key=lambda pair: pair[0] in (needed, "cover", "plants")):
        if value in (None, "", (), []):
            continue
        if isinstance(value, dt.date):
            written = value.isoformat()
        else:  # JSON's strings, numbers and lists are TOML's as well
            written = json.dumps(list(value) if isinstance(value, tuple) else value, ensure_ascii=False)
        lines.append(f"{key} = {written.replace(chr(127), chr(92) + 'u007f')}")
    return "\n".join(lines) + "\n"


def append_entry(path: Path, values: Mapping[str, Any]) -> Entry:
    """Add an entry at the end of a log, whole or not at all.

    What stands in the file already is never touched: if its last line was cut off, the new entry begins on a line of
    its own.

    Parameters
    ----------
    path : Path
        The log; it is made if there is none.
    values : mapping
        The entry by key, as a person writes it.

    Raises
    ------
    ChoiceError
        For an entry that could not be read again.
    OutputError
        If the log cannot be written.
    """
    given = {key: value for key, value in values.items() if value not in (None, "", (), [])}
    text = entry_text(given | {"date": Entry.read(given, file="new entry").day})
    entry = Entry.read(tomllib.loads(text)["entry"][0], file="new entry")  # as it will be read
    try:
        _append(path, text)
    except OSError as fault:
        reason = (fault.strerror or "no reason given").lower()
        raise OutputError(
            f"cannot be written ({reason}); nothing was added", where=str(path), mend="check rights and room"
        ) from None
    return entry


def _append(path: Path, text: str) -> None:
    is_new = not path.exists()
    with path.open("ab+", buffering=0) as stream:  # "a": every write goes to the end, whoever else writes
        size = stream.seek(0, os.SEEK_END)
        lead = _HEAD
        if size:
            stream.seek(size - 1)
            lead = "" if stream.read(1) == b"\n" else "\n"
        left = f"{lead}\n{text}".encode()
        try:
            while left:
                left = left[stream.write(left) :]
            os.fsync(stream.fileno())
        except OSError:
            os.ftruncate(stream.fileno(), size)  # a part of an entry is none
            raise
    if is_new and os.name == "posix":  # the name of a new file is kept by its folder
        folder = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)
