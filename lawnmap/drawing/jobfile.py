"""Set single values in a job file and leave all else in it as the user wrote it: comments, order, other sections."""

from __future__ import annotations

import re
import tomllib
from typing import TYPE_CHECKING, Final

import tomlkit

from lawnmap.errors import FileError

if TYPE_CHECKING:
    from collections.abc import Mapping

Value = str | bool | int | float | list[object] | dict[str, object]

_HEADER: Final = re.compile(r"^[ \t]*\[", re.MULTILINE)


def section_of(text: str, section: str) -> dict[str, object]:
    """Return what a section of a job file holds.

    Parameters
    ----------
    text : str
        The job file.
    section : str
        Name of the section; empty for the keys at its head.

    Raises
    ------
    FileError
        Where the text is not TOML.
    """
    values = _parsed(text)
    if not section:
        return {key: value for key, value in values.items() if not isinstance(value, dict)}
    held = values.get(section, {})
    return held if isinstance(held, dict) else {}


def with_values(text: str, section: str, values: Mapping[str, Value | None]) -> str:
    r"""Set or take out values of one section.

    Parameters
    ----------
    text : str
        The job file.
    section : str
        Name of the section; empty for the keys at its head.
    values : mapping
        By key; ``factors.bare`` is the key ``bare`` of the table ``factors``. None takes a key out, so that it is at
        its default again.

    Returns
    -------
    str
        The job file with these values.

    Raises
    ------
    FileError
        Where the text is not TOML.

    Examples
    --------
    >>> print(with_values('[rig]\nswath = "6 ft"  # taped\n', "rig", {"swath": "8 ft"}))
    [rig]
    swath = "8 ft"  # taped
    <BLANKLINE>
    """
    _parsed(text)
    for path, value in values.items():
        text = _set(text, section, path.split("."), value)
    return text


def _parsed(text: str) -> dict[str, object]:
    try:
        return tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as fault:
        raise FileError(
            f"is not valid TOML: {fault}", where="job.toml", mend="mend that line in an editor"
        ) from None


def _set(text: str, section: str, path: list[str], value: Value | None) -> str:
    """Change what is there in its place; what is not there yet comes in as a line of its own."""
    document = tomlkit.parse(text)
    table = document.get(section) if section else document
    key, *inner = path
    if inner and isinstance(table, dict) and isinstance(table.get(key), dict):
        table, key = table[key], inner[0]
    elif inner:
        value = None if value is None else {inner[0]: value}
    if isinstance(table, dict) and key in table:
        if value is None or value == {}:
            del table[key]
        else:
            table[key] = _item(value)
        return document.as_string()
    if value is None or value == {}:
        return text
    if table is not None and len(path) > 1 and key == path[1]:
        table[key] = value
        return document.as_string()
    added = _added(text, section, f"{key} = {written(value)}")
    return added if _holds(added, section, key) else _put(document, section, key, value)


def _holds(text: str, section: str, key: str) -> bool:
    try:
        return key in section_of(text, section)
    except FileError:
        return False


def _put(document: tomlkit.TOMLDocument, section: str, key: str, value: Value) -> str:
    """Add a value where the file writes its section in some other way, ``rig.swath = ...`` for instance."""
    table = document[section] if section else document
    assert isinstance(table, dict)  # anything else has been refused before
    table[key] = _item(value)
    return document.as_string()


def written(value: object) -> str:
    """Write a value on one line of TOML, as the template does.

    Parameters
    ----------
    value : object
        A text, number, truth value, list or table.

    Examples
    --------
    >>> written([{"size": "50 lb"}])
    '[{size = "50 lb"}]'
    """
    return tomlkit.item(_item(value)).as_string()


def _item(value: object) -> object:
    if isinstance(value, dict):
        inline = tomlkit.inline_table()
        inline.update({key: _item(part) for key, part in value.items()})
        return inline
    if isinstance(value, list | tuple):
        row = tomlkit.array()
        row.extend([_item(part) for part in value])
        return row
    return value


def _added(text: str, section: str, line: str) -> str:
    """Put a new line in place of the template's ``# key =``, else at the head of its section."""
    start, end = _span(text, section)
    if start is None:
        gap = "" if not text or text.endswith("\n\n") else "\n" if text.endswith("\n") else "\n\n"
        return f"{text}{gap}[{section}]\n{line}\n"
    key = line.partition(" ")[0]
    waiting = re.compile(rf"^# {re.escape(key)} =[ \t]*$", re.MULTILINE).search(text, start, end)
    if waiting:
        return text[: waiting.start()] + line + text[waiting.end() :]
    if start and not text[:start].endswith("\n"):
        line = f"\n{line}"
    return f"{text[:start]}{line}\n{text[start:]}"


def _span(text: str, section: str) -> tuple[int | None, int]:
    """Where the body of a section stands; no start where there is no such section."""
    start: int | None = 0
    if section:
        header = re.compile(rf"^[ \t]*\[[ \t]*{re.escape(section)}[ \t]*\][^\n]*\n?", re.MULTILINE).search(
            text
        )
        start = header.end() if header else None
    following = _HEADER.search(text, start or 0)
    return start, following.start() if following else len(text)
