"""A page of a workbook, filled from top to bottom: words stay words, a formula brings its value."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

CREATED: Final = datetime(2000, 1, 1)  # noqa: DTZ001  a workbook knows no zones; one day for all, for the same bytes
_BLUE: Final = "#1f4fbf"
_LONGEST: Final = 32_767  # signs in a cell, a limit of the format


def looks(book: Any, places: int) -> dict[str, Any]:
    """Return the formats of a workbook by name: what a cell holds, and "in" before it for what may be changed.

    Parameters
    ----------
    book : Workbook
        The workbook.
    places : int
        Decimal places of the currency. [count]
    """
    money = "#,##0" + ("." + "0" * places if places else "")
    numbers = {"money": money, "price": money + "##", "amount": "#,##0.00", "count": "#,##0", "share": "0.0##%",
               "rate": "0.00##", "area": "#,##0.0"}  # fmt: skip
    found = {name: book.add_format({"num_format": form, "valign": "top"}) for name, form in numbers.items()}
    found |= {
        f"in {name}": book.add_format({"num_format": form, "valign": "top", "font_color": _BLUE})
        for name, form in numbers.items()
    }
    found["sum"] = book.add_format({"num_format": money, "bold": True, "top": 1})
    found["total area"] = book.add_format({"num_format": "#,##0.0", "bold": True, "top": 1})
    found["title"] = book.add_format({"bold": True, "font_size": 14})
    found["head"] = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"})
    found["bold"] = book.add_format({"bold": True, "top": 1})
    found["note"] = book.add_format({"italic": True})
    found["wrap"] = book.add_format({"text_wrap": True, "valign": "top"})
    return found


class Page:
    """One page while it is filled.

    Attributes
    ----------
    name : str
        Of the page; our own word, so that formulas may name it.
    row : int
        The row that is filled next, counted from 1. [count]
    """

    def __init__(self, book: Any, name: str, faces: dict[str, Any]) -> None:
        self.name, self.row, self._faces = name, 1, faces
        self._sheet = book.add_worksheet(name)
        self._sheet.set_landscape()
        self._sheet.fit_to_pages(1, 0)

    def widths(self, *signs: float) -> None:
        """Set the widths of the columns from the first on. [signs]"""
        for column, wide in enumerate(signs):
            self._sheet.set_column(column, column, wide)

    def text(self, column: str, words: str, look: str = "wrap") -> None:
        """Write words that are never taken for a formula, a number or an address."""
        self._sheet.write_string(f"{column}{self.row}", words[:_LONGEST], self._faces[look])

    def number(self, column: str, value: float, look: str) -> str:
        """Write a number, and return the address of its cell. [1]"""
        self._sheet.write_number(f"{column}{self.row}", value, self._faces[look])
        return self.at(column)

    def formula(self, column: str, formula: str, value: float, look: str) -> str:
        """Write a formula with its value, and return the address of its cell. [1]"""
        self._sheet.write_formula(f"{column}{self.row}", f"={formula}", self._faces[look], value)
        return self.at(column)

    def at(self, column: str) -> str:
        """Return the address of a cell of this row as any page may name it."""
        return (
            f"{self.name}!${column}${self.row}"
            if " " not in self.name
            else f"'{self.name}'!${column}${self.row}"
        )

    def line(self, words: str, look: str = "wrap") -> None:
        """Write a line of words by itself."""
        self.text("A", words, look)
        self.row += 1

    def heads(self, words: Sequence[str]) -> None:
        """Write the heads of a table, which stay in sight."""
        for column, word in zip("ABCDEFGHIJKLMNOP", words, strict=False):
            self.text(column, word, "head")
        self.row += 1

    def freeze(self) -> None:
        """Keep what is above this row in sight."""
        self._sheet.freeze_panes(self.row - 1, 0)


def total(cells: Iterable[str]) -> str:
    """Return the formula that adds up cells, as a range where they stand below each other; of none it is 0."""
    found = list(cells)
    if not found:
        return "0"
    heads, rows = zip(*(cell.rsplit("$", 1) for cell in found), strict=True)
    first, last = int(rows[0]), int(rows[-1])
    if len(set(heads)) == 1 and [int(row) for row in rows] == list(range(first, last + 1)):
        column = heads[0].rpartition("!")[2]
        return f"SUM({found[0]}:{column}${last})"
    return f"SUM({','.join(found)})"
