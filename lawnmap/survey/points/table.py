"""The rows of a point file, in whatever order their columns are."""

from __future__ import annotations

import math
import re
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from lawnmap.errors import ChoiceError, FileError, QuantityError
from lawnmap.yard import Finding, finding

if TYPE_CHECKING:
    from collections.abc import Iterable

_LETTERS: Final = {"P": "P", "N": "N", "Y": "N", "E": "E", "X": "E", "Z": "Z", "D": "D"}
_HEADS: Final = {
    "p": "P", "pt": "P", "point": "P", "no": "P", "number": "P", "pointnumber": "P", "id": "P", "name": "P",
    "n": "N", "y": "N", "north": "N", "northing": "N", "e": "E", "x": "E", "east": "E", "easting": "E",
    "z": "Z", "elev": "Z", "elevation": "Z", "height": "Z", "h": "Z",
    "d": "D", "desc": "D", "description": "D", "code": "D", "descriptor": "D",
}  # fmt: skip
_MOST: Final = 2_000_000


@dataclass(frozen=True, slots=True)
class Shot:
    """One survey point.

    Attributes
    ----------
    number : str
        Its number or name.
    east, north : float
        [unit of the file]
    text : str
        Description: code, line commands, remarks.
    line : int
        Line of the file. [count]
    """

    number: str
    east: float
    north: float
    text: str
    line: int


def read_table(text: str, order: str | None) -> tuple[list[Shot], list[Finding]]:
    """Read the rows of a point file.

    Parameters
    ----------
    text : str
        Columns parted by commas, tabs, semicolons or blanks. Empty lines and lines that begin with
        ``#`` are passed over.
    order : str or None
        Letters of the columns: P number, N (or Y) north, E (or X) east, Z height, D description.
        Without it a line of headings, or else a guess, which is told.

    Raises
    ------
    FileError
        Where a row does not fit.
    """
    lines = [
        (number, _split(line))
        for number, line in enumerate(text.splitlines(), 1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    if not lines:
        raise FileError("there are no points in it", mend="export it again")
    if len(lines) > _MOST:
        raise FileError(f"it has more than {_MOST:,} points", mend="export the points of one yard")
    found: list[Finding] = []
    headed = _headed(lines[0][1])
    lines = lines[1:] if headed else lines
    columns = _asked(order) if order else headed or _guessed([row for _, row in lines], found)
    shots = [_shot(row, columns, number, i) for i, (number, row) in enumerate(lines, 1)]
    found += _repeated(shots)
    return shots, found


def _split(line: str) -> list[str]:
    for mark in (",", ";", "\t"):
        if mark in line:
            return [cell.strip().strip('"').strip() for cell in line.rstrip("\r\n ,;").split(mark)]
    return line.split()


def _headed(row: list[str]) -> str:
    """Columns that a line of headings names, or nothing."""
    named = [_HEADS.get(re.sub(r"[^a-z]", "", re.sub(r"\(.*?\)", "", cell.lower())), "?") for cell in row]
    letters = "".join(named)
    return letters if {"N", "E"} <= set(named) and not any(_is_number(cell) for cell in row) else ""


def _asked(order: str) -> str:
    letters = "".join(_LETTERS.get(letter, "!") for letter in order.upper())
    if (
        "!" in letters
        or letters.count("N") != 1
        or letters.count("E") != 1
        or len(set(letters)) < len(letters)
    ):
        raise ChoiceError(
            f'"{order}" is no order of columns',
            where="[yard], point_order",
            mend="use PNEZD, PENZD, PNE, PNEZ, NEZ, ENZ or XYZ",
        )
    return letters


def _guessed(rows: list[list[str]], found: list[Finding]) -> str:
    """Guess the columns from their number and from which hold numbers; north before east, as most do."""
    width = Counter(len(row) for row in rows).most_common(1)[0][0]
    typical = [row for row in rows if len(row) == width]
    numeric = [all(_is_number(row[i]) for row in typical) for i in range(width)]
    figures = numeric.index(False, 1) if False in numeric[1:] else width
    numbered = not numeric[0] or all(row[0].isdigit() for row in typical)
    if figures + (not numeric[0]) < 2 or (numbered and figures < 3):
        raise FileError(
            f"its rows of {width} columns do not look like points",
            mend="say the order of its columns with [yard] point_order",
        )
    guess = ("P" if numbered else "") + "NEZ"[: figures - numbered] + ("D" if width > figures else "")
    text = f"the columns were taken as {guess}; north and east the other way round would mirror the yard"
    found.append(finding("point-order-guessed", text))
    return guess


def _is_number(cell: str) -> bool:
    try:
        return math.isfinite(float(cell))
    except ValueError:
        return False


def _shot(row: list[str], columns: str, line: int, count: int) -> Shot:
    cells = dict(zip(columns, row, strict=False))
    if columns.endswith("D"):
        cells["D"] = " ".join(row[len(columns) - 1 :])
    numbers = []
    for letter, word in (("E", "east"), ("N", "north")):
        cell = cells.get(letter, "")
        if not _is_number(cell) or abs(float(cell)) > 1e9:
            said = f'its {word} "{cell}" is not a coordinate' if cell else f"it has no {word}"
            raise QuantityError(
                said, where=f"line {line}", mend=f"correct the line; the columns were read as {columns}"
            )
        numbers.append(float(cell))
    return Shot(cells.get("P") or str(count), numbers[0], numbers[1], cells.get("D", ""), line)


def _repeated(shots: Iterable[Shot]) -> list[Finding]:
    seen: dict[str, Shot] = {}
    for shot in shots:
        before = seen.setdefault(shot.number, shot)
        if (before.east, before.north) != (shot.east, shot.north):
            text = f"point {shot.number} stands in lines {before.line} and {shot.line} with different coordinates"
            return [finding("point-repeated", text, f"line {shot.line}")]
    return []
