"""The workbook of a portfolio: totals with live sums, one purchase, every yard, and what was not planned."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Final

import xlsxwriter
from xlsxwriter.exceptions import XlsxWriterException
from xlsxwriter.utility import xl_col_to_name

from lawnmap.batch.model import PLANNED
from lawnmap.batch.store import replacing
from lawnmap.sheets.elements import plain
from lawnmap.units import convert
from lawnmap.yard import DENSITIES

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    import pyarrow as pa

    from lawnmap.batch.totals import Purchase, Totals
    from lawnmap.units import UnitSystem

WORKBOOK: Final = "summary.xlsx"

_MOST_ROWS: Final = 1_048_576
_LONGEST: Final = 32_767
_MOST_MATERIALS: Final = 12


class _Book:
    """A workbook that is written row by row, so that it takes no memory; text stays text."""

    def __init__(self, path: Path, totals: Totals, units: UnitSystem) -> None:
        options = {"constant_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
        self.book = xlsxwriter.Workbook(path, options)
        self.head = self.book.add_format({"bold": True, "text_wrap": True, "valign": "top", "bottom": 1})
        self.whole = self.book.add_format({"num_format": "#,##0"})
        self.tenth = self.book.add_format({"num_format": "#,##0.0"})
        self.totals, self.units = totals, units
        self.materials = list(dict.fromkeys(purchase.material for purchase in totals.purchases.values()))
        self.materials = self.materials[:_MOST_MATERIALS]
        self.first = self.book.add_worksheet("Totals")  # filled last, stands first
        self.purchase = self.book.add_worksheet("Purchase")
        self.yards: list[tuple[Any, int]] = []
        self.missing = self.sheet(
            "Not planned", ["Yard", "File", "What became of it", "Why"], [28, 40, 16, 90]
        )
        self.missing_row = 0

    def sheet(self, name: str, heads: list[str], widths: list[int]) -> Any:
        """Add a sheet with its head."""
        sheet = self.book.add_worksheet(name)
        self.begin(sheet, heads, widths)
        return sheet

    def begin(self, sheet: Any, heads: list[str], widths: list[int]) -> None:
        """Write the head of a sheet."""
        for column, (head, width) in enumerate(zip(heads, widths, strict=True)):
            sheet.set_column(column, column, width)
            sheet.write_string(0, column, _text(head), self.head)
        sheet.freeze_panes(1, 1)

    @property
    def heads(self) -> list[str]:
        """Heads of the sheet of yards."""
        area, length, mass = self.units.area_unit, self.units.length_unit, self.units.mass_unit
        return [
            "Yard", "What became of it", f"Net lawn, {area}", f"Standard error, {area}",
            *(f"{density.capitalize()}, {area}" for density in DENSITIES),
            *(f"{material}, {mass}" for material in self.materials),
            "Lanes", f"Walk, {length}", "Walking and turning, h", "Filling the hopper, h", "Quote", "Remarks",
        ]  # fmt: skip

    def add_yard(self, row: dict[str, Any]) -> None:
        """Write a yard, on a further sheet where one is full."""
        if not self.yards or self.yards[-1][1] == _MOST_ROWS - 1:
            number = len(self.yards) + 1
            sheet = self.sheet(
                "Yards" if number == 1 else f"Yards {number}",
                self.heads,
                [28, 16, *[13] * (len(self.heads) - 2)],
            )
            self.yards.append((sheet, 0))
        sheet, last = self.yards[-1]
        line = last + 1
        self.yards[-1] = (sheet, line)
        sheet.write_string(line, 0, _text(row["yard"]))
        sheet.write_string(line, 1, row["status"])
        for column, value in enumerate(self._figures(row), start=2):
            if value is not None:
                sheet.write_number(line, column, value, self.whole if abs(value) >= 100 else self.tenth)
        sheet.write_number(line, len(self.heads) - 1, len(row["findings"] or ()))

    def _figures(self, row: dict[str, Any]) -> list[float | None]:
        units = self.units
        areas = ("net_area_m2", "net_area_se_m2", *(f"{density}_area_m2" for density in DENSITIES))
        given = dict.fromkeys(self.materials, 0.0)
        for one in row["given"] or ():
            if one["material"] in given:
                given[one["material"]] += one["amount_kg"]
        return [
            *(_convert(row[name], units.area_unit) for name in areas),
            *(convert(amount, units.mass_unit) for amount in given.values()),
            row["lanes"],
            _convert(row["path_length_m"], units.length_unit),
            *(None if row[name] is None else row[name] / 3600 for name in ("walk_time_s", "refill_time_s")),
            None if row["quote_total"] is None else float(row["quote_total"]),
        ]

    def add_missing(self, row: dict[str, Any]) -> None:
        """Write a yard that was not planned."""
        if row["status"] == PLANNED or self.missing_row == _MOST_ROWS - 1:
            return
        self.missing_row += 1
        for column, name in enumerate(("yard", "file", "status", "reason")):
            self.missing.write_string(self.missing_row, column, _text(row[name]))

    def finish(self, title: str) -> None:
        """Write the totals, as sums over the sheets of yards with their values beside them."""
        totals, units = self.totals, self.units
        self.begin(self.first, [title, "", ""], [34, 18, 16])
        counts = (
            ("Yards planned", totals.planned),
            ("No lawn left", totals.no_lawn),
            ("Not planned", totals.refused),
        )
        line = 1
        for name, count in counts:
            self.first.write_string(line, 0, name)
            self.first.write_number(line, 1, count, self.whole)
            line += 1
        area = units.area_unit
        sums = [("Net lawn", 2, convert(totals.net_area_m2, area), area)]
        sums += [
            (f"of it {density}", 4 + number, convert(totals.density_area_m2[density], area), area)
            for number, density in enumerate(DENSITIES)
        ]
        sums += [
            (
                material,
                4 + len(DENSITIES) + number,
                convert(self._amount(material), units.mass_unit),
                units.mass_unit,
            )
            for number, material in enumerate(self.materials)
        ]
        behind = 4 + len(DENSITIES) + len(self.materials)
        sums += [
            ("Walk", behind + 1, convert(totals.path_length_m, units.length_unit), units.length_unit),
            ("Walking and turning", behind + 2, totals.walk_time_s / 3600, "h"),
            ("Filling the hopper", behind + 3, totals.refill_time_s / 3600, "h"),
        ]
        for name, column, value, unit in sums:
            self.first.write_string(line, 0, _text(name))
            self.first.write_formula(line, 1, self._sum(column), self.tenth, value)
            self.first.write_string(line, 2, unit)
            line += 1
        self.first.write_string(line, 0, "Crew hours on the lawns")
        self.first.write_formula(line, 1, f"=B{line - 1}+B{line}", self.tenth, totals.crew_time_s / 3600)
        self.first.write_string(line, 2, "h")
        self.first.write_string(line + 1, 0, "Without travel, loading and setting up.")
        self._purchase()

    def _amount(self, material: str) -> float:
        return sum(one.amount_kg for one in self.totals.purchases.values() if one.material == material)

    def _sum(self, column: int) -> str:
        name = xl_col_to_name(column)
        parts = [f"SUM('{sheet.get_name()}'!{name}2:{name}{last + 1})" for sheet, last in self.yards]
        return f"={'+'.join(parts) or '0'}"

    def _purchase(self) -> None:
        units = self.units
        heads = [
            "Material", "Kind", "Yards", f"Area, {units.area_unit}", f"Amount, {units.mass_unit}", "Allowance",
            "Buy once for all yards", "Cost",
        ]  # fmt: skip
        self.begin(self.purchase, heads, [34, 14, 10, 16, 16, 12, 44, 14])
        for line, one in enumerate(self.totals.purchases.values(), start=1):
            self.purchase.write_string(line, 0, _text(one.material))
            self.purchase.write_string(line, 1, one.kind)
            self.purchase.write_number(line, 2, one.yards, self.whole)
            self.purchase.write_number(line, 3, convert(one.area_m2, units.area_unit), self.whole)
            self.purchase.write_number(line, 4, convert(one.amount_kg, units.mass_unit), self.tenth)
            self.purchase.write_number(line, 5, one.allowance, self.book.add_format({"num_format": "0.#%"}))
            self.purchase.write_string(line, 6, packs_words(one, units))
            if one.cost is not None:
                self.purchase.write_number(
                    line, 7, float(one.cost), self.book.add_format({"num_format": "#,##0.00"})
                )


def packs_words(purchase: Purchase, units: UnitSystem) -> str:
    """Write what to buy, or nothing where no pack sizes are known.

    Parameters
    ----------
    purchase : Purchase
        One material for all yards.
    units : UnitSystem
        What to write sizes in.
    """
    return " + ".join(f"{pack.count:,} × {units.mass(pack.size_kg)}" for pack in purchase.bought())


def _convert(value: float | None, unit: str) -> float | None:
    return None if value is None else convert(value, unit)


def _text(text: str) -> str:
    return plain(text)[:_LONGEST]


class _Sink:
    def __init__(self, book: _Book) -> None:
        self.book = book

    def add(self, table: pa.Table, rows: list[dict[str, Any]]) -> None:
        """Write the yards of a task."""
        _ = table
        for row in rows:
            self.book.add_yard(row)
            self.book.add_missing(row)


@contextmanager
def workbook(path: Path, totals: Totals, units: UnitSystem, title: str) -> Iterator[_Sink]:
    """Write the workbook; it takes its place when all went well.

    Parameters
    ----------
    path : Path
        The file.
    totals : Totals
        Sums over all yards.
    units : UnitSystem
        What to write figures in.
    title : str
        What the portfolio is called.

    Raises
    ------
    OutputError
        Where it cannot be written.
    """
    with replacing(path) as draft:
        book = _Book(draft, totals, units)
        yield _Sink(book)
        book.finish(title)
        try:
            book.book.close()
        except XlsxWriterException as fault:
            raise OSError(str(fault)) from fault
