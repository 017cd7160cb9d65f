"""The tape sheet: a form of plain lines that a person fills in by hand.

One thing per line, parted by commas: what it is, what it is called, its figure, its measures::

    tape sheet
    unit, ft
    tape, reads 100, is 100.2
    accuracy, 0.2
    base, 50

    lawn, Front, offsets, every 10, 0, 12, 15.5, 18, 14, 9, 0
    lawn, Side, points, 60 0, 80 0, 80 25, 60 30
    lawn, Back, ties, 30 40, 50 22, 62 35, 40 48, behind
    house, House, rectangle, 50, 28, at 0 -28
    pool, Pool, kidney, length 20, widths 10 15, in Back
    bed, Rose bed, circle, diameter 6, tied 30 40

* ``unit`` is ft, US survey ft or m. In feet a measure may be written 12' 6".
* ``tape`` tells a tape that is too long or too short: what it reads, and what that really is.
* ``accuracy`` is how sure a point is east and north, one standard error.
* ``base`` is the distance between two fixed corners A and B, 0 and ``base`` along the baseline.
* What it is: lawn, house, drive, walk, bed, pool, tree, other, water or corner. A lawn may carry its
  stand: ``lawn thin, Front, …``.
* Figures: ``offsets`` (``every 10`` and the offsets, or pairs of distance and offset), ``points``
  (pairs along and off the baseline), ``ties`` (pairs of distances from A and from B),
  ``rectangle`` (length, width), ``triangle`` (three sides, or ``base 40, height 80``), ``circle``
  (``diameter``, ``radius`` or ``around``), ``ellipse`` (length, width), ``kidney`` (length, two
  widths), ``radii`` (readings from one inside point, evenly turned).
* Off the baseline is left as one looks from A to B; a minus sign or ``behind`` is right.
* Where it is: ``at 12 30`` (near left corner, or middle of a round figure), ``tied 30 40`` (the same
  by ties), ``turned 30`` (degrees counter-clockwise), ``in Back`` (somewhere in that lawn).
"""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass, field
from typing import Final

from lawnmap.errors import FileError, LawnmapError, QuantityError, ShapeError, nearest
from lawnmap.survey.codes import part_density, role_of
from lawnmap.survey.ground import unit_key
from lawnmap.units import UNITS

TITLE: Final = "tape sheet"
"""First line of a sheet."""

TEMPLATE: Final = """tape sheet
# Fill in by hand: one thing per line, parted by commas. Lines that begin with # are remarks.
unit, ft
# The tape: what it reads and what that really is (compare it with a good one).
tape, reads 100, is 100
# How sure a taped point is, if you can tell: accuracy, 0.2
# Two fixed corners A and B, for instance of the house: the distance between them.
base,
# What, name, figure, measures. See: lawn, Front, offsets, every 10, 0, 12, 15.5, 18, 14, 9, 0
lawn, Front,
lawn, Back,
house, House, rectangle,
"""
"""A blank sheet."""

FIGURES: Final = (
    "offsets", "points", "ties", "rectangle", "triangle", "circle", "ellipse", "kidney", "radii",
)  # fmt: skip
_WORDS: Final = (
    "every", "at", "tied", "turned", "in", "behind", "base", "height", "diameter", "radius", "around", "length",
    "width", "widths",
)  # fmt: skip
_FEET: Final = re.compile(r"""(-?)(\d+(?:\.\d+)?)\s*['′’]\s*-?\s*(?:(\d+(?:\.\d+)?)\s*["″”]?)?""")
_NUMBER: Final = re.compile(r"-?(?:\d+\.?\d*|\.\d+)")
_MOST: Final = 2000  # lines
_LONGEST: Final = 20_000  # characters of a line, well below what the csv module takes


@dataclass
class Entry:
    """One thing on the sheet.

    Attributes
    ----------
    role : tuple of str
        Role and kind.
    density : str
        Stand of a lawn, if the sheet tells.
    name, figure : str
        As written.
    numbers : list of list of float
        Measures between commas that stand without a word. [unit of the sheet]
    words : dict
        Measures that a word stands before. [unit of the sheet]
    within : str
        Lawn that it is somewhere in.
    line : int
        Line of the file. [count]
    """

    role: tuple[str, str]
    density: str
    name: str
    figure: str
    numbers: list[list[float]] = field(default_factory=list)
    words: dict[str, list[float]] = field(default_factory=dict)
    within: str = ""
    line: int = 0


@dataclass
class Form:
    """A sheet as filled in.

    Attributes
    ----------
    unit : str or None
        Key of `lawnmap.units.UNITS`, if the sheet tells.
    stretch : float
        True length of the tape over what it reads; applied already. [1]
    base : float or None
        Distance between the corners A and B. [unit of the sheet]
    accuracy : float or None
        Standard error of one coordinate of one point, where the sheet tells it. [unit of the sheet]
    entries : list of Entry
        In the order of the sheet.
    """

    unit: str | None = None
    accuracy: float | None = None
    stretch: float = 1.0
    base: float | None = None
    entries: list[Entry] = field(default_factory=list)


def read_form(text: str) -> Form:
    """Read a tape sheet.

    Parameters
    ----------
    text : str
        The sheet.

    Raises
    ------
    LawnmapError
        At the first line that cannot be read.
    """
    form = Form()
    rows = [
        (number, line.split("#")[0].strip().rstrip(","))
        for number, line in enumerate(text.splitlines(), 1)
        if line.split("#")[0].strip(" ,")
    ]
    if len(rows) > _MOST:
        raise FileError(f"it has more than {_MOST} lines", mend="give the sheet of one yard")
    for number, row in rows:
        if len(row) > _LONGEST:
            raise FileError(
                "it is too long for a line of a tape sheet", where=f"line {number}", mend="shorten it"
            )
        # As a spreadsheet writes it: 12' 6" comes in quotes with the inch mark doubled.
        cells = [cell.strip() for cell in next(csv.reader([row]), [])]
        try:
            _read_row(form, cells, number)
        except LawnmapError as fault:
            raise fault.at(f"line {number}") from None
    if not form.entries:
        raise ShapeError(
            "nothing is measured on the sheet", mend="add a line such as: lawn, Front, rectangle, 50, 30"
        )
    if form.stretch != 1:
        _stretch(form)
    return form


def _read_row(form: Form, cells: list[str], number: int) -> None:
    head = cells[0].lower()
    if head == TITLE:
        return
    if head == "unit":
        form.unit = unit_key(cells[1] if len(cells) > 1 else "", "")
        if form.unit not in UNITS or UNITS[form.unit].name not in {"ft", "m", "US survey ft"}:
            raise QuantityError(
                f'"{form.unit}" is not a unit for a tape sheet', mend="write ft, US survey ft or m"
            )
    elif head == "tape":
        numbers = [value for cell in cells[1:] for value in _numbers(cell)]
        if len(numbers) != 2 or min(numbers) <= 0 or not 0.9 < numbers[1] / numbers[0] < 1.1:
            raise QuantityError("the tape is not told right", mend="write: tape, reads 100, is 100.2")
        form.stretch = numbers[1] / numbers[0]
    elif head == "base":
        form.base = _length(cells, "the base", "base, 50")
    elif head == "accuracy":
        form.accuracy = _length(cells, "the accuracy", "accuracy, 0.2")
    else:
        form.entries.append(_entry(cells, number))


def _length(cells: list[str], what: str, example: str) -> float:
    numbers = [value for cell in cells[1:] for value in _numbers(cell)]
    if len(numbers) != 1 or numbers[0] <= 0:
        raise QuantityError(f"{what} needs one length", mend=f"write: {example}")
    return numbers[0]


def _entry(cells: list[str], number: int) -> Entry:
    if len(cells) < 3:
        raise FileError(
            f'"{", ".join(cells)}" is not complete',
            mend="write what it is, its name, its figure and its measures",
        )
    what, density = part_density(cells[0])
    figure = cells[2].lower()
    if figure not in FIGURES:
        raise FileError(f'"{cells[2]}" is not a figure', mend=nearest(figure, FIGURES))
    entry = Entry(role_of(what, ""), density, cells[1], figure, line=number)
    for cell in cells[3:]:
        word = cell.split(maxsplit=1)[0].lower() if cell else ""
        if not word or word[0].isdigit() or word[0] in "-.":
            if _numbers(cell):
                entry.numbers.append(_numbers(cell))
        elif word == "in":
            entry.within = cell.split(maxsplit=1)[1].strip() if " " in cell else ""
        elif word in _WORDS:
            entry.words[word] = _numbers(cell.split(maxsplit=1)[1] if " " in cell else "")
        else:
            raise FileError(f'"{word}" is not understood', mend=nearest(word, _WORDS))
    return entry


def _numbers(cell: str) -> list[float]:
    """Numbers of a cell; 12' 6" is 12.5."""
    found: list[float] = []
    rest = cell
    while rest:
        match = _FEET.match(rest)
        if match is not None:
            inches = float(match[3] or 0)
            if inches >= 12:
                raise QuantityError(f'"{cell}" has 12 inches or more', mend="correct it")
            found.append((-1 if match[1] else 1) * (float(match[2]) + inches / 12))
        else:
            match = _NUMBER.match(rest)
            if match is None:
                if rest[0].isalpha() or rest[0] in " \t:=;/":
                    rest = rest[1:]
                    continue
                raise QuantityError(f'"{cell}" is not a measure', mend="write numbers, 12.5 or 12' 6\"")
            found.append(float(match[0]))
        rest = rest[match.end() :]
    if any(abs(number) > 1e6 for number in found):
        raise QuantityError(f'"{cell}" is out of all measure', mend="correct it")
    return found


def _stretch(form: Form) -> None:
    """A tape that is too long reads short: every length grows. Angles are not taped."""
    form.base = form.base * form.stretch if form.base else form.base
    for entry in form.entries:
        entry.numbers = [[value * form.stretch for value in row] for row in entry.numbers]
        entry.words = {
            word: row if word == "turned" else [value * form.stretch for value in row]
            for word, row in entry.words.items()
        }
