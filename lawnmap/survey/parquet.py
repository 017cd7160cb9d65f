"""The GeoParquet door: a table of shapes, whole or by the numbers of its rows."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

import numpy as np
import shapely
from pyarrow import parquet

from lawnmap.errors import FileError
from lawnmap.survey.features import Feature, Sheet

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from pathlib import Path

    from numpy.typing import NDArray

    from lawnmap.survey.source import Source

LAYER: Final = ""
"""Such a file has one layer, without a name."""

DEFAULT_CRS: Final = "OGC:CRS84"
"""CRS of a file that does not say (OGC 24-013, *GeoParquet*, section 7.2.4): longitude and latitude on WGS 84."""

_BATCH: Final = 50_000


@dataclass(frozen=True)
class Table:
    """A file that has been opened.

    Attributes
    ----------
    file : pyarrow.parquet.ParquetFile
        The file.
    geometry : str
        Column of the shapes.
    crs : str or None
        Their CRS; None where the file says that it knows none.
    """

    file: Any
    geometry: str
    crs: str | None

    @property
    def fields(self) -> tuple[str, ...]:
        """Names of the plain columns, as the file has them."""
        schema = self.file.schema_arrow
        return tuple(
            schema.field(number).name
            for number in range(len(schema))
            if schema.field(number).name != self.geometry and not schema.field(number).type.num_fields
        )


def open_table(path: Path) -> Table:
    """Open a GeoParquet file and read what it says of its shapes.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    FileError
        Where it is no GeoParquet, or its shapes are not written as well-known binary.
    """
    try:
        file = parquet.ParquetFile(path)
    except (ValueError, OSError):  # what pyarrow raises for damaged files descends from both
        raise FileError("it is no Parquet file, or a damaged one", mend="export it again") from None
    try:
        said = json.loads((file.schema_arrow.metadata or {})[b"geo"])
        geometry = said["primary_column"]
        column = said["columns"][geometry]
        encoding, crs = column["encoding"], column.get("crs", DEFAULT_CRS)
    except (KeyError, TypeError, ValueError):
        raise FileError(
            "it is a Parquet file, but does not say where its shapes are", mend="export it as GeoParquet"
        ) from None
    if encoding != "WKB" or geometry not in file.schema_arrow.names:
        raise FileError(f"its shapes are written as {encoding}", mend="export it with the encoding WKB")
    return Table(file, geometry, json.dumps(crs) if isinstance(crs, dict) else crs)


def open_parquet(path: Path, source: Source, rows: Mapping[str, NDArray[np.int64]] | None = None) -> Sheet:
    """Read a GeoParquet file.

    Parameters
    ----------
    path : Path
        The file.
    source : Source
        Not needed: the file has one layer.
    rows : mapping of str to array of int, optional
        Numbers of the rows to read, under `LAYER`; all without it. [count]

    Raises
    ------
    FileError
        Where it is no GeoParquet.
    """
    _ = source
    table = open_table(path)
    wanted = np.arange(table.file.metadata.num_rows) if rows is None else rows[LAYER]
    if not len(wanted):
        raise FileError("the layer is empty", mend="draw the lawn, or choose another file")
    features = list(_features(table, np.sort(wanted)))
    return Sheet(features, "GeoParquet", crs=table.crs)


def _features(table: Table, wanted: NDArray[np.int64]) -> Iterator[Feature]:
    """Read the row groups that hold the wanted rows, one at a time."""
    meta = table.file.metadata
    ends = np.cumsum([meta.row_group(number).num_rows for number in range(meta.num_row_groups)])
    group_of = np.searchsorted(ends, wanted, side="right")
    fields = table.fields
    keys = [name.lower() for name in fields]
    for group in np.unique(group_of).tolist():
        numbers = wanted[group_of == group]
        first = int(ends[group - 1]) if group else 0
        held = table.file.read_row_group(group, columns=[*fields, table.geometry]).take(numbers - first)
        with np.errstate(invalid="ignore"):  # what is not a number is refused later, with its place
            shapes = shapely.from_wkb(held.column(table.geometry).to_numpy(), on_invalid="fix")
        cells = [held.column(name).to_pylist() for name in fields]
        table_rows = zip(*cells, strict=True) if cells else ((),) * len(numbers)
        for number, shape, row in zip(numbers.tolist(), shapes, table_rows, strict=True):
            yield Feature(shape, dict(zip(keys, row, strict=True)), f"row {number + 1}")


def cells_of(path: Path, fields: Sequence[str]) -> Iterator[tuple[NDArray[np.int64], list[list[Any]]]]:
    """Read some columns in batches, without the shapes.

    Parameters
    ----------
    path : Path
        The file.
    fields : sequence of str
        Names of the columns.

    Yields
    ------
    tuple of (array of int, list of list)
        Numbers of the rows and the cells of each column.
    """
    file = open_table(path).file
    first = 0
    for batch in file.iter_batches(_BATCH, columns=list(fields) or [file.schema_arrow.names[0]]):
        count = batch.num_rows
        yield np.arange(first, first + count), [batch.column(name).to_pylist() for name in fields]
        first += count


def bounds_of(path: Path) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """Return the numbers of the rows and the boxes of their shapes.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    tuple of (array of int, array, shape (n, 4) = [west, south, east, north])
        In the order of the file. [unit of the file]
    """
    table = open_table(path)
    boxes = [
        shapely.bounds(shapely.from_wkb(batch.column(0).to_numpy(zero_copy_only=False), on_invalid="ignore"))
        for batch in table.file.iter_batches(_BATCH, columns=[table.geometry])
    ]
    together = np.concatenate([np.empty((0, 4)), *boxes])
    return np.arange(len(together)), together
