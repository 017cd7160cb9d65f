"""What really lands where: every strip of a lane plan added up on a grid."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

import numpy as np

from lawnmap.errors import InputError
from lawnmap.evenness.grid import CELL_M, Grid, grid_over
from lawnmap.evenness.slant import add_slanted, ramp
from lawnmap.evenness.strips import LaneEnds, Strips, strips_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray
    from shapely.geometry import MultiPolygon, Polygon

    from lawnmap.evenness.pattern import Pattern
    from lawnmap.lanes import LanePlan

_STRAIGHT: Final = 1e-7
"""A strip that leaves its row by less than this many cells follows it. [cells]"""

_MOST_CELLS: Final = 40_000_000


@dataclass(frozen=True, eq=False)
class Deposit:
    """Material on the ground.

    Attributes
    ----------
    rate_kg_per_m2 : array, shape (rows, columns)
        Mean rate of every cell. [kg/m²]
    grid : Grid
        Where the cells lie; ``grid.affine`` goes from (column, row) to (east, north).
    hopper_kg : float
        What left the hopper. [kg]
    """

    rate_kg_per_m2: NDArray[np.float64] = field(repr=False)
    grid: Grid
    hopper_kg: float

    @property
    def affine(self) -> tuple[float, float, float, float, float, float]:
        """From (column, row) to (east, north), as GIS rasters have it. [m]"""
        return self.grid.affine

    @property
    def landed_kg(self) -> float:
        """Sum over the grid. [kg]"""
        return float(self.rate_kg_per_m2.sum() * self.grid.cell_area_m2)


def deposit(
    lane_plan: LanePlan,
    pattern: Pattern,
    *,
    cell_m: float = CELL_M,
    rates: Mapping[str, float] | None = None,
    ends: LaneEnds | None = None,
    shield: Polygon | MultiPolygon | None = None,
) -> Deposit:
    """Add up every lane and headland loop of a plan on one grid.

    Each cell holds its mean rate. Strips along or square to the rows of the grid are exact; slanted
    ones are exact in their sum, and within a cell of where they land.

    Parameters
    ----------
    lane_plan : LanePlan
        The lanes.
    pattern : Pattern
        What the spreader leaves across one swath.
    cell_m : float
        Side of a cell. [m]
    rates : mapping of str to float, optional
        Product per area by zone, all passes together; 1 everywhere if left out. [kg/m²]
    ends : LaneEnds, optional
        How lanes begin and end.
    shield : Polygon or MultiPolygon, optional
        Ground at whose edge a side shield is held on the headland loops. [m]
    """
    strips = strips_of(lane_plan, pattern, rates=rates, ends=ends, shield=shield)
    points = np.concatenate([strips.start_m, strips.end_m])
    grid = grid_over(
        points, cell_m=cell_m, turn_deg=strips.main_direction_deg, margin_m=strips.reach_m + 2 * cell_m
    )
    if grid.rows * grid.columns > _MOST_CELLS:
        raise InputError(
            f"one map of {grid.rows * grid.columns:,} cells does not fit into memory with room to work",
            mend="choose larger cells; the score works through a site of any size piece by piece",
        )
    return Deposit(lay_on(strips, grid), grid, strips.hopper_kg)


def lay_on(strips: Strips, grid: Grid) -> NDArray[np.float64]:
    """Add up strips on a grid; what falls outside of it is left out.

    Strips along the rows are a matrix product: share of the throw in each row × share of each column
    that lies inside the strip. Strips along the columns are the same, transposed, in the same product.

    Parameters
    ----------
    strips : Strips
        What is laid.
    grid : Grid
        Where.

    Returns
    -------
    array, shape (rows, columns)
        Mean rate of every cell. [kg/m²]
    """
    start, end = grid.to_cells(strips.start_m), grid.to_cells(strips.end_m)
    run = np.abs(end - start)
    reach = strips.reach_m / grid.cell_m + 2
    low, high = np.minimum(start, end) - reach, np.maximum(start, end) + reach
    near = ((high > 0) & (low < [grid.columns, grid.rows])).all(axis=1)
    along_row = near & (run[:, 1] < _STRAIGHT)
    along_column = near & (run[:, 0] < _STRAIGHT) & ~along_row
    left, right = [], []
    if along_row.any():
        across, along = _factors(strips, along_row, (start, end), (grid.rows, grid.columns, grid.cell_m))
        left.append(across)
        right.append(along)
    if along_column.any():
        turned = start[:, ::-1], end[:, ::-1]
        across, along = _factors(
            strips, along_column, turned, (grid.columns, grid.rows, grid.cell_m), hand=-1.0
        )
        left.append(along)
        right.append(across)
    if left:
        one = len(left) == 1
        # kept strip by strip in memory; the product takes the transpose as it is
        rate: NDArray[np.float64] = (left[0] if one else np.concatenate(left)).T @ (
            right[0] if one else np.concatenate(right)
        )
    else:
        rate = np.zeros((grid.rows, grid.columns))
    slanted = near & ~along_row & ~along_column
    if slanted.any():
        add_slanted(rate, strips, np.flatnonzero(slanted), grid)
    return rate


def _factors(
    strips: Strips,
    chosen: NDArray[np.bool_],
    cells: tuple[NDArray[np.float64], NDArray[np.float64]],
    size: tuple[int, int, float],
    hand: float = 1.0,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Both factors of strips along the rows: shape (strips, rows) across, (strips, columns) along."""
    start, end = cells[0][chosen], cells[1][chosen]
    mass, kind = strips.mass_kg_per_m[chosen], strips.kind[chosen]
    rows, columns, cell_m = size
    onward = np.sign(end[:, 0] - start[:, 0])
    middle = (start[:, 1] + end[:, 1]) / 2
    across = np.zeros((len(start), rows))
    for number in np.unique(kind):
        own = np.flatnonzero(kind == number)
        _throw(across, own, strips.patterns[number], (middle[own], hand * onward[own], mass[own], cell_m))
    edge = np.arange(columns + 1.0)
    low = np.minimum(start[:, 0], end[:, 0])[:, None]
    high = np.maximum(start[:, 0], end[:, 0])[:, None]
    feather = strips.feather_m / cell_m
    open_until = ramp(edge - low, feather) - ramp(edge - high, feather)
    return across, np.diff(open_until, axis=1)


def _throw(
    across: NDArray[np.float64],
    own: NDArray[np.int64],
    pattern: Pattern,
    strip: tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64], float],
) -> None:
    """Fill the rows that each strip reaches with the exact mean of its throw."""
    middle, hand, mass, cell_m = strip
    rows = across.shape[1]
    first = np.floor(middle - pattern.reach_m / cell_m).astype(np.int64)
    count = int(np.ceil(2 * pattern.reach_m / cell_m)) + 2
    row = first[:, None] + np.arange(count + 1)
    left_of = pattern.cumulative((row - middle[:, None]) * (hand[:, None] * cell_m))
    share = np.diff(left_of, axis=1) * (hand * mass / cell_m)[:, None]
    row = row[:, :-1]
    inside = (row >= 0) & (row < rows)
    if inside.all():
        across[own[:, None], row] = share
    else:
        lane = np.broadcast_to(own[:, None], row.shape)
        across[lane[inside], row[inside]] = share[inside]
