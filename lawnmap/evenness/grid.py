"""A grid of square cells over a lawn, turned with the lanes, and how much of each cell a piece of ground covers."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil, cos, floor, radians, sin
from typing import TYPE_CHECKING, Final

import numpy as np
import shapely

from lawnmap.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray
    from shapely.geometry import MultiPolygon, Polygon

CELL_M: Final = 0.0762
"""A quarter of a foot: small against any throw. [m]"""

_TILE: Final = 1024
_MOST_CELLS: Final = 4 * 10**9


@dataclass(frozen=True)
class Grid:
    """Square cells in rows and columns; row 0 is the top one.

    Attributes
    ----------
    east_m, north_m : float
        Outer corner of the cell in row 0 and column 0. [m]
    cell_m : float
        Side of a cell. [m]
    turn_deg : float
        Direction of the rows, counter-clockwise from east. [°]
    rows, columns : int
        Size. [count]
    """

    east_m: float
    north_m: float
    cell_m: float
    turn_deg: float
    rows: int
    columns: int

    @property
    def affine(self) -> tuple[float, float, float, float, float, float]:
        """From (column, row) to (east, north): ``east = a·column + b·row + c, north = d·column + e·row + f``.

        The order is that of GIS rasters, so ``affine.Affine(*grid.affine)`` is its transform. [m]
        """
        along, across = self.cell_m * cos(radians(self.turn_deg)), self.cell_m * sin(radians(self.turn_deg))
        return along, across, self.east_m, across, -along, self.north_m

    @property
    def cell_area_m2(self) -> float:
        """Area of a cell. [m²]"""
        return self.cell_m**2

    def to_cells(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Turn coordinates into (column, row), counted in cells from the outer corner.

        Parameters
        ----------
        points : array, shape (n, 2) = [east, north]
            Coordinates. [m]
        """
        turn = radians(self.turn_deg)
        east, north = points[:, 0] - self.east_m, points[:, 1] - self.north_m
        column = (east * cos(turn) + north * sin(turn)) / self.cell_m
        row = (east * sin(turn) - north * cos(turn)) / self.cell_m
        return np.column_stack([column, row])

    def centres(self) -> NDArray[np.float64]:
        """Coordinates of the middle of every cell, shape (rows, columns, 2). [m]"""
        a, b, c, d, e, f = self.affine
        column, row = np.meshgrid(np.arange(self.columns) + 0.5, np.arange(self.rows) + 0.5)
        return np.stack([a * column + b * row + c, d * column + e * row + f], axis=-1)

    def tiles(self) -> Iterator[tuple[slice, slice, Grid]]:
        """Yield the grid in pieces of a million cells at most: rows, columns and the grid of the piece."""
        a, b, c, d, e, f = self.affine
        for row in range(0, self.rows, _TILE):
            for column in range(0, self.columns, _TILE):
                rows, columns = min(_TILE, self.rows - row), min(_TILE, self.columns - column)
                part = replace(
                    self,
                    east_m=a * column + b * row + c,
                    north_m=d * column + e * row + f,
                    rows=rows,
                    columns=columns,
                )
                yield slice(row, row + rows), slice(column, column + columns), part


def grid_over(points: NDArray[np.float64], *, cell_m: float, turn_deg: float, margin_m: float) -> Grid:
    """Return the grid that holds all points with a margin around them.

    Parameters
    ----------
    points : array, shape (n, 2) = [east, north]
        What must lie inside. [m]
    cell_m : float
        Side of a cell. [m]
    turn_deg : float
        Direction of the lanes; the grid takes it, or the one square to it, whichever is nearer to east. [°]
    margin_m : float
        Added on all four sides. [m]
    """
    if not cell_m > 0:
        raise InputError(f"cells of {cell_m:g} m are not possible", mend="give a size above zero")
    turn = (turn_deg + 45) % 90 - 45
    whole = Grid(0.0, 0.0, cell_m, turn, 1, 1)
    cells = whole.to_cells(points)
    margin = margin_m / cell_m
    left, top = (floor(v) for v in cells.min(axis=0) - margin)
    right, bottom = (ceil(v) for v in cells.max(axis=0) + margin)
    rows, columns = bottom - top, right - left
    if rows * columns > _MOST_CELLS:
        raise InputError(
            f"cells of {cell_m:g} m would be {rows * columns:,} in number", mend="choose larger cells"
        )
    a, b, _, d, e, _ = whole.affine
    return Grid(a * left + b * top, d * left + e * top, cell_m, turn, rows, columns)


def cover(shape: Polygon | MultiPolygon, grid: Grid) -> NDArray[np.float64]:
    """Return the share of each cell that a piece of ground covers.

    Parameters
    ----------
    shape : Polygon or MultiPolygon
        The ground. [m]
    grid : Grid
        The cells.

    Returns
    -------
    array, shape (rows, columns)
        From 0 to 1. [1]
    """
    whole = np.zeros((grid.rows, grid.columns))
    (rows, columns), part = cover_part(shape, grid)
    whole[rows, columns] = part
    return whole


def cover_part(shape: Polygon | MultiPolygon, grid: Grid) -> tuple[tuple[slice, slice], NDArray[np.float64]]:
    """Return the rows and columns that a piece of ground lies in, and the share of each cell that it covers.

    Edges are cut at every line of the grid. Each piece adds, in its cell and in all cells to the right
    of it, the height that it spans; edges of the other side take it off again, so one running sum along
    the rows fills the ground, and the shares are exact.

    Parameters
    ----------
    shape : Polygon or MultiPolygon
        The ground. [m]
    grid : Grid
        The cells.
    """
    nothing = (slice(0, 0), slice(0, 0)), np.zeros((0, 0))
    if shape.is_empty:
        return nothing
    start, end = _edges(shape, grid)
    both = np.concatenate([start, end])
    low = np.clip(np.floor(both.min(axis=0)), 0, [grid.columns, grid.rows]).astype(int)
    high = np.clip(np.ceil(both.max(axis=0)), 0, [grid.columns, grid.rows]).astype(int)
    columns, rows = (int(v) for v in high - low)
    if rows <= 0 or columns <= 0:
        return nothing
    first, last = _pieces(start - low, end - low, (columns, rows))
    middle = (first + last) / 2
    row = np.clip(np.floor(middle[:, 1]), 0, rows - 1).astype(np.int64)
    at = np.clip(middle[:, 0], 0.0, columns)
    column = np.floor(at).astype(np.int64)
    beyond = at - column
    height = last[:, 1] - first[:, 1]
    flat = row * (columns + 2) + column
    size = rows * (columns + 2)
    steps = np.bincount(flat, height * (1 - beyond), size) + np.bincount(flat + 1, height * beyond, size)
    filled = np.cumsum(steps.reshape(rows, columns + 2), axis=1)[:, :columns]
    np.clip(filled, 0.0, 1.0, out=filled)
    return (slice(int(low[1]), int(high[1])), slice(int(low[0]), int(high[0]))), filled


def _edges(shape: Polygon | MultiPolygon, grid: Grid) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Start and end of every edge in cells; those on the left of the ground run down the rows."""
    rings = shapely.get_rings(shapely.orient_polygons(shapely.get_parts(shape)))
    points, ring = shapely.get_coordinates(rings, return_index=True)
    cells = grid.to_cells(points)
    same = ring[1:] == ring[:-1]
    return cells[:-1][same], cells[1:][same]


def _pieces(
    start: NDArray[np.float64], end: NDArray[np.float64], size: tuple[int, int]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Edges cut at the lines of the grid, those level with the rows and those above or below it left out."""
    columns, rows = size
    run = end - start
    keep = (run[:, 1] != 0) & (np.maximum(start, end)[:, 1] > 0) & (np.minimum(start, end)[:, 1] < rows)
    start, run = start[keep], run[keep]
    # each edge from where it enters the rows to where it leaves them, as shares of its length
    bounds = np.sort((np.array([0.0, rows]) - start[:, 1:]) / run[:, 1:], axis=1)
    share = [np.maximum(bounds[:, 0], 0.0), np.minimum(bounds[:, 1], 1.0)]
    edge = [np.arange(len(start))] * 2
    for axis, count in ((0, columns), (1, rows)):
        which, line = _lines(start[:, axis], start[:, axis] + run[:, axis], count)
        share.append((line - start[which, axis]) / run[which, axis])
        edge.append(which)
    of, at = np.concatenate(edge), np.concatenate(share)
    at = np.clip(at, share[0][of], share[1][of])
    order = np.lexsort((at, of))
    of, at = of[order], at[order]
    point = start[of] + at[:, None] * run[of]
    joined = of[1:] == of[:-1]
    return point[:-1][joined], point[1:][joined]


def _lines(
    start: NDArray[np.float64], end: NDArray[np.float64], count: int
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Edge and number of every line of the grid that an edge crosses."""
    first = np.clip(np.ceil(np.minimum(start, end)), 0, count + 1).astype(np.int64)
    crossed = np.clip(np.floor(np.maximum(start, end)) + 1, 0, count + 1).astype(np.int64) - first
    crossed = np.where(start == end, 0, np.maximum(crossed, 0))
    edge = np.repeat(np.arange(len(start)), crossed)
    line = np.arange(len(edge)) - np.repeat(np.cumsum(crossed) - crossed, crossed) + first[edge]
    return edge, line
