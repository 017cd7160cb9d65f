"""The tables of cited figures: each row with its source, each column with its unit."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from statistics import median
from typing import TYPE_CHECKING, Final

from lazy_loader import load

from lawnmap.errors import ChoiceError, FileError, nearest
from lawnmap.rates.model import GRADES, Source
from lawnmap.units import parse

if TYPE_CHECKING:
    from collections.abc import Sequence
    from importlib.resources.abc import Traversable

    import pandas as pd

pandas = load("pandas")  # slow to load, and only `table_rows` needs it

COLUMNS: Final = (
    "item", "use", "low", "high", "text", "title", "publisher", "address", "locator", "grade", "note",
)  # fmt: skip
"""Head of every table. ``low`` and ``high`` are as published, in the unit that the second line gives."""

NOT_USED: Final = "not used"
"""Use of a row that is kept to be seen, but from which nothing is worked out."""


@dataclass(frozen=True)
class Row:
    """One figure, or one rule in words, and where it was read.

    Attributes
    ----------
    table, item, use : str
        Which table, what the figure is of, and what it is for.
    low, high : float or None
        The published range; equal for a single figure, None for a rule in words. [`unit`]
    unit : str
        Unit of the range as the source gives it.
    text : str
        The rule in words.
    source : Source
        Where it was read.
    note : str
        What a reader should know about it.
    """

    table: str
    item: str
    use: str
    low: float | None
    high: float | None
    unit: str
    text: str
    source: Source
    note: str

    def range_si(self, kind: str) -> tuple[float, float]:
        """Return the range in SI.

        Parameters
        ----------
        kind : str
            What is measured, a key of `lawnmap.units.KINDS`.
        """
        return _si(f"{self.low} {self.unit}", kind), _si(f"{self.high} {self.unit}", kind)


@lru_cache(maxsize=1024)  # the tables are read once and asked for every yard of a portfolio
def _si(text: str, kind: str) -> float:
    return parse(text, kind)


@dataclass(frozen=True)
class Figure:
    """What several rows say together: least low, middle of the middles, greatest high.

    Attributes
    ----------
    low, typical, high : float
        The least of the lows, the median of the middles of the ranges, the greatest of the highs. [SI]
    rows : tuple of Row
        What it was made from, in the order of the table.
    nearest : Row
        The row whose middle is nearest to `typical`, a first-hand one where two are as near.
    """

    low: float
    typical: float
    high: float
    rows: tuple[Row, ...]
    nearest: Row


def combine(rows: Sequence[Row], kind: str) -> Figure:
    """Make one figure of rows that answer the same question.

    Sources on seeding differ by up to twice. The range keeps all that was said; the median keeps one
    odd source from moving the typical figure.

    Parameters
    ----------
    rows : sequence of Row
        At least one.
    kind : str
        What is measured, a key of `lawnmap.units.KINDS`.
    """
    ranges = [row.range_si(kind) for row in rows]
    middles = [(low + high) / 2 for low, high in ranges]
    typical = median(middles)
    by_distance = min(
        range(len(rows)),
        key=lambda i: (round(abs(middles[i] / typical - 1), 9) if typical else 0, _is_relayed(rows[i])),
    )
    return Figure(
        min(low for low, _ in ranges),
        typical,
        max(high for _, high in ranges),
        tuple(rows),
        rows[by_distance],
    )


def _is_relayed(row: Row) -> bool:
    """Whether a row was read in a newspaper, a city's leaflet or a quotation, not with the institution itself."""
    return any(word in row.note for word in ("second-hand", "newspaper", "city's guidance", "in a copy"))


@lru_cache(maxsize=1)
def tables() -> dict[str, tuple[Row, ...]]:
    """Return every table of every room by name, read once.

    Raises
    ------
    FileError
        For a row without a source.
    """
    folders = [room / "tables" for room in files("lawnmap").iterdir() if room.is_dir()]
    paths = sorted(
        (
            path
            for folder in folders
            if folder.is_dir()
            for path in folder.iterdir()
            if path.name.endswith(".csv")
        ),
        key=lambda path: path.name,
    )
    return {path.name.removesuffix(".csv"): read_table(path) for path in paths}


def read_table(path: Traversable) -> tuple[Row, ...]:
    """Read one table: a head, a line of units, then one row per published figure.

    Parameters
    ----------
    path : Traversable
        A CSV file with the columns of `COLUMNS`.

    Raises
    ------
    FileError
        With another head, or for a row without title, publisher, locator or a known grade.
    """
    lines = list(csv.reader(path.read_text(encoding="utf-8").splitlines()))
    if tuple(lines[0]) != COLUMNS:
        raise FileError("the head is not that of a table of rates", where=path.name)
    unit = lines[1][COLUMNS.index("low")]
    return tuple(
        _row(path.name, number, unit, dict(zip(COLUMNS, line, strict=True)))
        for number, line in enumerate(lines[2:], start=3)
    )


def _row(file: str, number: int, unit: str, cells: dict[str, str]) -> Row:
    missing = [name for name in ("item", "title", "publisher", "locator") if not cells[name]]
    if missing or cells["grade"] not in GRADES:
        raise FileError(
            f"the row has no {missing[0] if missing else 'known grade'}",
            where=f"{file}, line {number}",
            mend="give every figure its source",
        )
    return Row(
        table=file.removesuffix(".csv"),
        item=cells["item"],
        use=cells["use"],
        low=float(cells["low"]) if cells["low"] else None,
        high=float(cells["high"]) if cells["high"] else None,
        unit=unit,
        text=cells["text"],
        source=Source(cells["title"], cells["publisher"], cells["locator"], cells["grade"], cells["address"]),
        note=cells["note"],
    )


def select(table: str, item: str, use: str | None = None) -> tuple[Row, ...]:
    """Return the rows of one item.

    Parameters
    ----------
    table, item : str
        Names of the table and the item.
    use : str, optional
        Only rows for this use; without it all but those that are not used.
    """
    return tuple(
        row
        for row in tables()[table]
        if row.item == item and (row.use == use if use is not None else row.use != NOT_USED)
    )


def table_rows(table: str | None = None) -> pd.DataFrame:
    """Return every row of the tables, or of one table, with its source.

    Parameters
    ----------
    table : str, optional
        Name of one table, ``"seeding_rates"`` for instance.

    Returns
    -------
    DataFrame
        Columns ``table``, ``item``, ``use``, ``low``, ``high``, ``unit``, ``text``, ``title``,
        ``publisher``, ``locator``, ``grade``, ``note``, ``address``; figures as published.

    Raises
    ------
    ChoiceError
        For a table that there is not.
    """
    known = tables()
    if table is not None and table not in known:
        raise ChoiceError(f'there is no table "{table}"', mend=nearest(table, known))
    rows = [row for name, rows in known.items() if table in (None, name) for row in rows]
    frame: pd.DataFrame = pandas.DataFrame(
        {
            "table": row.table,
            "item": row.item,
            "use": row.use,
            "low": row.low,
            "high": row.high,
            "unit": row.unit,
            "text": row.text,
            "title": row.source.title,
            "publisher": row.source.publisher,
            "locator": row.source.locator,
            "grade": row.source.grade,
            "note": row.note,
            "address": row.source.address,
        }
        for row in rows
    )
    return frame
