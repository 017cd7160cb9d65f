"""The results as files for other programs: GeoParquet, GeoPackage and CSV, written task by task."""

from __future__ import annotations

import csv
from contextlib import ExitStack, contextmanager
from typing import TYPE_CHECKING, Any, Final, Protocol

import numpy as np
import pyarrow as pa
from lazy_loader import load
from pyarrow import parquet

from lawnmap.batch.rows import SCHEMA, ZONE
from lawnmap.batch.store import replacing, said_plainly
from lawnmap.sheets.table import harmless

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

pyogrio = load("pyogrio")  # takes geopandas with it

Row = dict[str, Any]

NESTED: Final = ("zones", "given", "findings")
YARD_FIELDS: Final = tuple(name for name in SCHEMA.names if name not in {*NESTED, "geometry"})
GIVEN_FIELDS: Final = ("zone", "material", "kind", "area_m2", "rate_kg_per_m2", "amount_kg")
ZONE_FIELDS: Final = (
    "zone", "density", "slope_percent", "net_area_m2", "surface_area_m2", "unfed_area_m2", "by_hand",
)  # fmt: skip

FILES: Final = {
    "yards.parquet": "one row per yard, with its net lawn, zones and amounts (GeoParquet)",
    "yards.gpkg": "layers of yards and of zones for a GIS (GeoPackage)",
    "yards.csv": "one row per yard for a spreadsheet",
    "amounts.csv": "what goes on every zone",
    "not_planned.csv": "yards that could not be planned or have no lawn, and why",
}
"""Name of each file, and what it is for."""


class Sink(Protocol):
    """Something that takes the results, one task at a time."""

    def add(self, table: pa.Table, rows: list[Row]) -> None:
        """Take the yards of one task, as a table and as its rows."""


@contextmanager
def table_files(folder: Path) -> Iterator[tuple[Sink, ...]]:
    """Open the files of the results; they take their place together when all went well.

    Parameters
    ----------
    folder : Path
        The folder of the batch.

    Raises
    ------
    OutputError
        Where one cannot be written.
    """
    with ExitStack() as stack:
        drafts = [stack.enter_context(replacing(folder / name)) for name in FILES]
        whole, layers, yards, amounts, missing = drafts
        yield (
            stack.enter_context(_parquet(whole)),
            _Layers(layers),
            stack.enter_context(_csv(yards, _yard_rows, (*YARD_FIELDS, "findings"))),
            stack.enter_context(_csv(amounts, _amount_rows, ("yard", "file", *GIVEN_FIELDS))),
            stack.enter_context(_csv(missing, _missing_rows, ("yard", "file", "status", "reason"))),
        )


class _Parquet:
    def __init__(self, writer: Any) -> None:
        self.writer = writer

    def add(self, table: pa.Table, rows: list[Row]) -> None:
        """Write a row group."""
        _ = rows
        self.writer.write_table(table.replace_schema_metadata(SCHEMA.metadata))


@contextmanager
def _parquet(path: Path) -> Iterator[Sink]:
    with parquet.ParquetWriter(path, SCHEMA, compression="zstd") as writer:
        yield _Parquet(writer)


class _Csv:
    def __init__(self, writer: Any, rows_of: Any) -> None:
        self.writer = writer
        self.rows_of = rows_of

    def add(self, table: pa.Table, rows: list[Row]) -> None:
        """Write the lines of a task."""
        _ = table
        self.writer.writerows(line for row in rows for line in self.rows_of(row))


@contextmanager
def _csv(path: Path, rows_of: Any, head: tuple[str, ...]) -> Iterator[Sink]:
    with path.open("w", encoding="utf-8", errors="backslashreplace", newline="") as file:
        writer = csv.writer(file, lineterminator="\r\n")  # as RFC 4180 has it
        writer.writerow(head)
        yield _Csv(writer, rows_of)


def _cell(value: object, name: str = "") -> object:
    if isinstance(value, float):
        if name.endswith("_deg"):  # a place needs more digits than an area
            return f"{value:.7f}"
        return f"{value:.6g}" if abs(value) < 1000 else f"{value:.3f}"
    return harmless(value) if isinstance(value, str) else value


def _yard_rows(row: Row) -> Iterator[list[object]]:
    cells = [_cell(row[name], name) for name in YARD_FIELDS]
    yield [*cells, _cell(" | ".join(row["findings"] or ()))]


def _amount_rows(row: Row) -> Iterator[list[object]]:
    for given in row["given"] or ():
        yield [_cell(row["yard"]), _cell(row["file"]), *(_cell(given[name]) for name in GIVEN_FIELDS)]


def _missing_rows(row: Row) -> Iterator[list[object]]:
    if row["reason"]:
        yield [_cell(row[name]) for name in ("yard", "file", "status", "reason")]


class _Layers:
    """A GeoPackage that grows task by task: layers ``yards`` and ``zones``."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.begun: set[str] = set()

    def add(self, table: pa.Table, rows: list[Row]) -> None:
        """Append the yards and zones of a task."""
        _ = table
        self._append("yards", rows, [row["geometry"] for row in rows], YARD_FIELDS)
        zones = [
            {**zone, "yard": row["yard"], "file": row["file"]} for row in rows for zone in row["zones"] or ()
        ]
        self._append("zones", zones, [zone["ground"] for zone in zones], ("yard", "file", *ZONE_FIELDS))

    def _append(
        self, layer: str, rows: list[Row], shapes: list[bytes | None], fields: tuple[str, ...]
    ) -> None:
        if not rows:
            return
        columns = [_column(name, rows) for name in fields]
        with said_plainly(self.path):
            try:
                pyogrio.raw.write(
                    self.path,
                    geometry=np.array(shapes, dtype=object),
                    field_data=[values for values, _ in columns],
                    field_mask=[absent for _, absent in columns],
                    fields=np.array(fields, dtype=object),
                    geometry_type="MultiPolygon",
                    promote_to_multi=True,
                    crs="OGC:CRS84",
                    driver="GPKG",
                    layer=layer,
                    append=layer in self.begun,
                )
            except RuntimeError as fault:  # what GDAL says of a full disk
                raise OSError(str(fault).split("\n")[0]) from fault
        self.begun.add(layer)


def _column(name: str, rows: list[Mapping[str, Any]] | list[Row]) -> tuple[Any, Any]:
    """One column with the mask of its empty cells."""
    cells = [row[name] for row in rows]
    absent = np.array([cell is None for cell in cells])
    kind = (SCHEMA if name in SCHEMA.names else ZONE).field(name).type
    if pa.types.is_floating(kind):
        return np.array([np.nan if cell is None else cell for cell in cells], np.float64), absent
    if pa.types.is_integer(kind) or pa.types.is_boolean(kind):
        return np.array([cell or 0 for cell in cells], np.int64), absent
    return np.array(cells, dtype=object), absent
