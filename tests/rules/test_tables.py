"""Every row of every table names its source, and says how far it can be trusted."""

import csv
from pathlib import Path

import pytest

from lawnmap.rates import GRADES, table_rows

ROOT = Path(__file__).parents[2]
TABLES = sorted((ROOT / "lawnmap").rglob("tables/*.csv"))


def rows_of(path):
    """Rows with their line, without the unit row."""
    with path.open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert rows, "no unit row"
    return rows[0], list(enumerate(rows[1:], 3))


def test_there_are_tables():
    assert len(TABLES) >= 5


@pytest.mark.parametrize("path", TABLES, ids=lambda p: p.stem)
def test_every_row_has_a_source(path):
    _, rows = rows_of(path)
    for line, row in rows:
        assert None not in row, f"{path.name}:{line} has too many cells"
        for column in ("item", "title", "publisher", "locator"):
            assert (row[column] or "").strip(), f"{path.name}:{line} has no {column}"
        assert row["grade"] in GRADES, f"{path.name}:{line} {row['grade']!r} is no grade"


@pytest.mark.parametrize("path", TABLES, ids=lambda p: p.stem)
def test_figures_stand_under_a_unit_and_rise(path):
    unit, rows = rows_of(path)
    for line, row in rows:
        assert bool(row["low"]) == bool(row["high"]), f"{path.name}:{line} has half a range"
        assert row["low"] or row["text"], f"{path.name}:{line} says nothing"
        if row["low"]:
            assert unit["low"], f"{path.name}:{line} has a figure, and its column no unit"
            assert unit["low"] == unit["high"]
            assert float(row["low"]) <= float(row["high"]), f"{path.name}:{line} falls"


def test_every_row_can_be_shown():
    assert len(table_rows()) == sum(len(rows_of(path)[1]) for path in TABLES)
