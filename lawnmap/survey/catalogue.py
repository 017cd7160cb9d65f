"""Which yards a table of shapes holds and where their rows are, from its columns alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING, Any, Final

import numpy as np
import shapely

from lawnmap.errors import FileError, nearest
from lawnmap.survey import layers
from lawnmap.survey.attributes import columns, is_empty
from lawnmap.survey.doors import Door, open_parquet, parquet
from lawnmap.survey.features import Sheet
from lawnmap.survey.judged import covers_are_shares
from lawnmap.survey.notes import Notes
from lawnmap.survey.owners import NEAR_M, NO_NAME, key_of
from lawnmap.survey.place import place_of

if TYPE_CHECKING:
    from pathlib import Path

    from numpy.typing import NDArray

    from lawnmap.survey.source import Source

    Index = NDArray[np.int64]

_NEAR_DEG: Final = 6 * NEAR_M / 111_320.0
"""`NEAR_M` in degrees with room for longitudes up to 80° north. [°]"""

_LOOSE: Final = -1


@dataclass(frozen=True, eq=False)
class Part:
    """Some of the yards of a file.

    Attributes
    ----------
    names : tuple of str
        The yards.
    rows : dict of str to array of int, or None
        Layer to the numbers of the rows that they need; None where the file has to be read whole.
    covers_are_shares : bool or None
        What the whole file tells of its column of percent cover.
    """

    names: tuple[str, ...]
    rows: dict[str, Index] | None = None
    covers_are_shares: bool | None = None


@dataclass(frozen=True, eq=False)
class Rows:
    """The rows of one layer, sorted by yard: numbers of the rows, and of the yard of each."""

    layer: str
    row: Index
    yard: Index

    def of(self, first: int, last: int) -> Index:
        """Return the numbers of the rows of some yards, the last one not included. [count]"""
        start, stop = np.searchsorted(self.yard, [first, last])
        return self.row[start:stop]

    def with_loose_last(self, place: int) -> Rows:
        """Return the rows with those that name no yard put under a place of their own. [count]"""
        loose = self.yard == _LOOSE
        yard = np.concatenate([self.yard[~loose], np.full(loose.sum(), place)])
        return Rows(self.layer, np.concatenate([self.row[~loose], self.row[loose]]), yard)


@dataclass(frozen=True, eq=False)
class Contents:
    """Which yards a file holds, and where their rows are.

    Attributes
    ----------
    names : tuple of str
        The yards, in the order in which they first appear.
    said : tuple of str
        What the extra column says of each yard; empty where nothing, or without such a column.
    lost : int
        Shapes that name no yard and are near to none. [count]
    """

    names: tuple[str, ...]
    said: tuple[str, ...] = ()
    lost: int = 0
    rows: tuple[Rows, ...] = field(default=(), repr=False)
    loose: tuple[Rows, ...] = field(default=(), repr=False)
    shares: bool | None = None

    def part(self, first: int, last: int) -> Part:
        """Return some of the yards with the rows that they need.

        Parameters
        ----------
        first, last : int
            Places of the yards, the last one not included. [count]
        """
        names = self.names[first:last]
        if not self.rows:
            return Part(names)
        rows = {
            own.layer: np.unique(np.concatenate([own.of(first, last), near.of(first, last)]))
            for own, near in zip(self.rows, self.loose, strict=True)
        }
        return Part(names, rows, self.shares)


def list_yards(door: Door, path: Path, source: Source, column: str | None) -> Contents | None:
    """List the yards by their column; None where the file is no table, or holds but one yard.

    Parameters
    ----------
    door : callable
        The door for the kind of file.
    path : Path
        The file.
    source : Source
        The user's choices.
    column : str or None
        An extra column to hand on.

    Raises
    ------
    FileError
        Where a column that is named is not there.
    """
    if door not in _TABLES:
        return None
    tables = _TABLES[door](path, source)
    _refuse_unknown(column, tables)
    _refuse_unknown(source.yard_column, tables)
    listing = _Listing()
    for layer, table in tables.items():
        listing.add(layer, table, source.yard_column, column)
    if len(listing.place) <= 1:
        return None
    return listing.contents(tables, source)


@dataclass(frozen=True)
class _Table:
    """A layer as it can be read without its shapes."""

    fields: tuple[str, ...]
    crs: str | None
    cells: Callable[[list[str]], Iterator[tuple[Index, list[list[Any]]]]]
    bounds: Callable[[], tuple[Index, NDArray[np.float64]]]


def _tables_of_layers(path: Path, source: Source) -> dict[str, _Table]:
    return {
        layer: _Table(
            fields,
            layers.crs_of(path, layer),
            partial(layers.cells_of, path, layer),
            partial(layers.bounds_of, path, layer),
        )
        for layer, fields in layers.layers_of(path, source).items()
    }


def _tables_of_parquet(path: Path, source: Source) -> dict[str, _Table]:  # noqa: ARG001  it has one layer
    table = parquet.open_table(path)
    return {
        parquet.LAYER: _Table(
            table.fields, table.crs, partial(parquet.cells_of, path), partial(parquet.bounds_of, path)
        )
    }


_TABLES: Final[dict[Door, Callable[[Path, Source], dict[str, _Table]]]] = {
    layers.open_geopackage: _tables_of_layers,
    layers.open_shapefile: _tables_of_layers,
    open_parquet: _tables_of_parquet,
}


def _refuse_unknown(column: str | None, tables: dict[str, _Table]) -> None:
    known = {name.lower() for table in tables.values() for name in table.fields}
    if column is not None and column.lower() not in known:
        raise FileError(f'there is no column "{column}" in it', mend=nearest(column, known))


@dataclass
class _Listing:
    """The rows of a file sorted by yard, layer by layer."""

    place: dict[str, int] = field(default_factory=dict)
    said: dict[int, str] = field(default_factory=dict)
    rows: list[Rows] = field(default_factory=list)
    greatest_cover: float = 0.0
    covers: bool = False

    def add(self, layer: str, table: _Table, yard_column: str | None, column: str | None) -> None:
        """Read the columns of a layer that matter here."""
        means = columns(table.fields)
        spelt = {name.lower(): name for name in table.fields}
        if yard_column is not None and yard_column.lower() in spelt:
            means = {**means, "yard": spelt[yard_column.lower()]}
        wanted: dict[str, str] = {what: means[what] for what in ("yard", "cover_percent") if what in means}
        if column is not None and column.lower() in spelt:
            wanted["said"] = spelt[column.lower()]
        fields = list(dict.fromkeys(wanted.values()))
        numbers, owners = [], []
        for row, cells in table.cells(fields):
            by_name = dict(zip(fields, cells, strict=True))
            said = {what: by_name[name] for what, name in wanted.items()}
            owner = self._owners(said.get("yard"), len(row))
            self._note_cover(said.get("cover_percent", ()))
            self._note_said(owner, said.get("said", ()))
            numbers.append(row)
            owners.append(owner)
        yard = np.concatenate(owners)
        order = np.argsort(yard, kind="stable")
        self.rows.append(Rows(layer, np.concatenate(numbers)[order], yard[order]))

    def _owners(self, cells: list[Any] | None, count: int) -> Index:
        if cells is None:
            return np.full(count, _LOOSE, np.int64)
        place, found = self.place, np.empty(count, np.int64)
        for number, cell in enumerate(cells):
            key = "" if is_empty(cell) else key_of(cell)
            found[number] = place.setdefault(key, len(place)) if key else _LOOSE
        return found

    def _note_cover(self, cells: Iterable[Any]) -> None:
        covers = [float(cell) for cell in cells if isinstance(cell, int | float) and cell == cell]  # noqa: PLR0124  not a number is unlike itself
        self.covers = self.covers or bool(covers)
        self.greatest_cover = max(self.greatest_cover, *covers, 0.0)

    def _note_said(self, owner: Index, cells: Iterable[Any]) -> None:
        for yard, cell in zip(owner.tolist(), cells, strict=False):
            if not is_empty(cell):
                self.said.setdefault(yard, str(cell).strip())

    def contents(self, tables: dict[str, _Table], source: Source) -> Contents:
        """Give the rows that name no yard to the yards near to them, and to one for lawns without a name."""
        names, rows = tuple(self.place), self.rows
        near, lost = [_none(own.layer) for own in rows], 0
        if any(len(own.of(_LOOSE, 0)) for own in rows):
            near, lost = self._near(tables, source)
            rows = [own.with_loose_last(len(names)) for own in rows]
            names = (*names, NO_NAME)
        return Contents(
            names,
            tuple(self.said.get(number, "") for number in range(len(names))),
            lost,
            tuple(rows),
            tuple(near),
            covers_are_shares([self.greatest_cover]) if self.covers else None,
        )

    def _near(self, tables: dict[str, _Table], source: Source) -> tuple[list[Rows], int]:
        """Find the yards whose boxes are near to those of loose rows; the reading decides which of them it is."""
        boxes = [tables[own.layer].bounds() for own in self.rows]
        bounds = np.full((len(self.place), 4), [np.inf, np.inf, -np.inf, -np.inf])
        loose: list[tuple[Index, NDArray[np.float64]]] = []
        for own, (row, box) in zip(self.rows, boxes, strict=True):
            order = np.argsort(row)
            mine = box[order[np.searchsorted(row[order], own.row)]]
            kept = own.yard >= 0
            np.minimum.at(bounds[:, :2], own.yard[kept], mine[kept, :2])
            np.maximum.at(bounds[:, 2:], own.yard[kept], mine[kept, 2:])
            loose.append((own.row[~kept], mine[~kept]))
        margin = self._margin(tables, source)
        tree = shapely.STRtree(shapely.box(*(bounds + np.array([-margin, -margin, margin, margin])).T))
        found, lost = [], 0
        for own, (row, box) in zip(self.rows, loose, strict=True):
            here, yard = tree.query(shapely.box(*box.T))
            lost += len(row) - len(np.unique(here))
            order = np.argsort(yard, kind="stable")
            found.append(Rows(own.layer, row[here[order]], yard[order]))
        return found, lost

    def _margin(self, tables: dict[str, _Table], source: Source) -> float:
        sheet = Sheet((), "", crs=next(iter(tables.values())).crs)
        unit_m = place_of(sheet, source, Notes([])).unit_m
        return NEAR_M / unit_m if np.isfinite(unit_m) else _NEAR_DEG


def _none(layer: str) -> Rows:
    return Rows(layer, np.empty(0, np.int64), np.empty(0, np.int64))
