"""A file of many yards, some of them at a time: which it holds, and reading only their rows."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache, partial
from typing import TYPE_CHECKING, Final

import numpy as np

from lawnmap.errors import FileError, LawnmapError, nearest
from lawnmap.survey import layers
from lawnmap.survey.build import build_each
from lawnmap.survey.catalogue import Contents, Part, Rows, list_yards
from lawnmap.survey.doors import Door, open_parquet, parquet
from lawnmap.survey.features import Sheet
from lawnmap.survey.owners import NO_NAME
from lawnmap.survey.reading import through
from lawnmap.survey.source import Source

if TYPE_CHECKING:
    from pathlib import Path

    from numpy.typing import NDArray

    from lawnmap.yard import Yard

    Index = NDArray[np.int64]

Yards = dict[str, "Yard | LawnmapError"]
"""Name to the yard, or to what keeps it from being one."""

_LARGEST_BYTES: Final = 2**50  # a file that is read in parts may have any size


def contents(path: Path, source: Source, *, column: str | None = None) -> Contents:
    """Find out which yards a file holds.

    Of a GeoPackage, a shapefile or a GeoParquet file only the columns are read, in batches; any other file is read
    whole.

    Parameters
    ----------
    path : Path
        The file.
    source : Source
        The user's choices.
    column : str, optional
        An extra column to hand on, the first cell that is not empty for every yard.

    Raises
    ------
    LawnmapError
        Where the file cannot be read, or has no such column.
    """
    found = through(path, source, partial(list_yards, column=column), largest_bytes=_LARGEST_BYTES)
    if found is None:
        if column is not None:
            raise FileError(
                f'the column "{column}" cannot be read: that takes a GeoPackage, a shapefile or a GeoParquet file '
                "with a column that names several yards",
                where=str(path),
                mend="save it as one of these",
            )
        return Contents(tuple(read_each(path, source)))
    if source.yard is None:
        return found
    if source.yard not in found.names:
        raise FileError(
            f'there is no yard "{source.yard}" in it',
            where=str(path),
            mend=nearest(source.yard, found.names[:50]),
        )
    place = found.names.index(source.yard)
    chosen = found.part(place, place + 1)
    rows = tuple(Rows(layer, row, np.zeros(len(row), np.int64)) for layer, row in (chosen.rows or {}).items())
    return Contents(chosen.names, found.said[place : place + 1], 0, rows, rows, found.shares)


def read_each(path: Path, source: Source) -> Yards:
    """Read every yard of a file, a fault standing in place of a yard that cannot be used.

    The last file is remembered, so that the parts of a file that has to be read whole cost one reading.

    Parameters
    ----------
    path : Path
        The file.
    source : Source
        The user's choices.

    Raises
    ------
    LawnmapError
        Where the file as a whole cannot be read.
    """
    stamp = path.stat().st_mtime_ns if path.exists() else 0
    return dict(_remembered(path, source.model_dump_json(exclude_unset=True), stamp))


@lru_cache(maxsize=1)
def _remembered(path: Path, source: str, stamp: int) -> Yards:  # noqa: ARG001  a changed file is another
    return _placed(through(path, Source.model_validate_json(source), _whole), path)


def _whole(door: Door, path: Path, source: Source) -> Yards:
    return build_each(door(path, source), source, path)


def read_part(path: Path, source: Source, part: Part) -> Yards:
    """Read some of the yards of a file, a fault standing in place of a yard that cannot be used.

    Parameters
    ----------
    path : Path
        The file.
    source : Source
        The user's choices.
    part : Part
        Which yards.

    Returns
    -------
    dict of str to Yard or LawnmapError
        One entry per yard; none for `NO_NAME` where every lawn has a name.

    Raises
    ------
    LawnmapError
        Where none of them can be read.
    """
    if part.rows is None:
        found = read_each(path, source)
    else:
        work = partial(_some, part=part)
        found = _placed(through(path, source, work, largest_bytes=_LARGEST_BYTES), path)
    return {
        name: found.get(name, _without_lawn(name, path))
        for name in part.names
        if name in found or name != NO_NAME or part.rows is None
    }


def _some(door: Door, path: Path, source: Source, part: Part) -> Yards:
    assert part.rows is not None  # else the file is read whole
    sheet = _ROW_DOORS[door](path, source, part.rows)
    source = source.model_copy(update={"yard": None})
    sheet = replace(sheet, layer=", ".join(part.rows), covers_are_shares=part.covers_are_shares)
    return {
        name: yard if isinstance(yard, LawnmapError) else _of_itself(yard)
        for name, yard in build_each(sheet, source, path, several=True).items()
    }


def _of_itself(yard: Yard) -> Yard:
    """Leave out what is said of shapes of other parts, which look as if no yard were theirs."""
    kept = tuple(found for found in yard.findings if found.code != "no-yard")
    return yard if len(kept) == len(yard.findings) else replace(yard, findings=kept)


def _placed(yards: Yards, path: Path) -> Yards:
    """Let every fault name the file."""
    return {
        name: yard.at(str(path)) if isinstance(yard, LawnmapError) else yard for name, yard in yards.items()
    }


def _without_lawn(name: str, path: Path) -> LawnmapError:
    return FileError(
        f'yard "{name}" has no lawn',
        where=str(path),
        mend='give an outline the role "lawn" in its column "role"',
    )


_ROW_DOORS: Final[dict[Door, Callable[[Path, Source, dict[str, Index]], Sheet]]] = {
    layers.open_geopackage: layers.open_geopackage,
    layers.open_shapefile: layers.open_shapefile,
    open_parquet: lambda path, source, rows: parquet.open_parquet(path, source, rows),  # noqa: PLW0108  loads it when asked
}
