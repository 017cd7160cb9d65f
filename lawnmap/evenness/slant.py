"""Strips that run at a slant to the grid, and the short edges of headland loops."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import ceil
from typing import TYPE_CHECKING, Final

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from lawnmap.evenness.grid import Grid
    from lawnmap.evenness.pattern import Pattern
    from lawnmap.evenness.strips import Strips

_PHASES: Final = 48
"""A strip that crosses more rows than this reads its throw between so many places inside a cell."""


def add_slanted(rate: NDArray[np.float64], strips: Strips, chosen: NDArray[np.int64], grid: Grid) -> None:
    """Add slanted strips to the rates on a grid, in place.

    A strip crosses every row (or, if it runs more along them, every column) in a run of cells of the
    same length, so it is laid row by row. The mean of the throw over a turned square is that over a
    span one cell wide: both have the same variance whatever the turn. Each strip is then scaled, by a
    hair, to the mass that left the hopper along it.

    Parameters
    ----------
    rate : array, shape (rows, columns)
        Changed. [kg/m²]
    strips : Strips
        All strips.
    chosen : array of int
        Which of them.
    grid : Grid
        The cells.
    """
    start, end = grid.to_cells(strips.start_m[chosen]), grid.to_cells(strips.end_m[chosen])
    run = np.abs(end - start)
    upright = run[:, 1] >= run[:, 0]
    feather = strips.feather_m / grid.cell_m
    tables = {
        number: _Throw(strips.patterns[number], grid.cell_m) for number in np.unique(strips.kind[chosen])
    }
    for turned in (False, True):
        own = np.flatnonzero(upright != turned)
        if not len(own):
            continue
        target = rate.T if turned else rate
        pad = ceil(3 * strips.reach_m / grid.cell_m) + 8  # the longest run of cells in one row
        buffer = np.zeros((target.shape[0], target.shape[1] + 2 * pad))
        for i in own:
            order = slice(None, None, -1 if turned else 1)
            throw = tables[strips.kind[chosen[i]]]
            strip = _Slanted(start[i, order], end[i, order], -1.0 if turned else 1.0, feather, throw)
            strip.lay(buffer, pad, strips.mass_kg_per_m[chosen[i]] / grid.cell_m)
        target += buffer[:, pad:-pad]


class _Throw:
    """Mean of a pattern over a span one cell wide, ready to be read at any offset in cells."""

    def __init__(self, pattern: Pattern, cell_m: float) -> None:
        self.reach = pattern.reach_m / cell_m + 0.5
        self.fine = 32
        count = 2 * ceil(self.reach * self.fine) + 3
        self.middle = (count - 1) // 2
        at = (np.arange(count) - self.middle) / self.fine
        share = pattern.cumulative((at + 0.5) * cell_m) - pattern.cumulative((at - 0.5) * cell_m)
        share[0] = share[-1] = 0.0
        self.share = share
        self.step = np.append(np.diff(share), 0.0)

    def read(self, offset: NDArray[np.float64]) -> NDArray[np.float64]:
        """Share of the throw in a cell, from a table that is straight between 32 places a cell."""
        place = np.clip(offset * self.fine + self.middle, 0, len(self.share) - 1)
        whole = place.astype(np.int64)
        value: NDArray[np.float64] = self.share[whole] + self.step[whole] * (place - whole)
        return value


@dataclass
class _Slanted:
    """One strip that crosses the rows; all lengths in cells, points as (column, row)."""

    start: NDArray[np.float64]
    end: NDArray[np.float64]
    hand: float
    feather: float
    throw: _Throw
    length: float = field(init=False)
    unit: NDArray[np.float64] = field(init=False)
    half: int = field(init=False)

    def __post_init__(self) -> None:
        run = self.end - self.start
        self.length = float(np.hypot(*run))
        self.unit = run / self.length
        self.half = ceil(self.throw.reach / abs(self.unit[1])) + 1

    def lay(self, buffer: NDArray[np.float64], pad: int, mass: float) -> None:
        """Add the strip to a buffer that is wider than the grid on both sides."""
        rows = self._rows()
        cells = 2 * self.half + 1
        ends = self._ends(rows)
        share = self._share(rows)
        share[ends] *= self._open(rows[ends])
        # whole rows hold exactly what the strip's length in them does
        total = (len(rows) - len(ends)) / abs(self.unit[1]) + share[ends].sum()
        first = np.floor(self._middle(rows)).astype(np.int64) - self.half + pad
        inside = (rows >= 0) & (rows < buffer.shape[0]) & (first >= 0) & (first + cells <= buffer.shape[1])
        if not inside.any():
            return
        if not inside.all():
            rows, first, share = rows[inside], first[inside], share[inside]
        flat = (rows * buffer.shape[1] + first)[:, None] + np.arange(cells)
        share *= mass * self.length / total
        buffer.ravel()[flat] += share

    def _rows(self) -> NDArray[np.int64]:
        """Rows that the strip reaches, its throw and feather counted."""
        out = self.feather * abs(self.unit[1]) + self.throw.reach * abs(self.unit[0]) + 2
        low, high = sorted((self.start[1], self.end[1]))
        return np.arange(int(np.floor(low - out)), int(np.ceil(high + out)))

    def _middle(self, rows: NDArray[np.int64]) -> NDArray[np.float64]:
        """Column in which the walking line crosses the middle of each row."""
        crossing: NDArray[np.float64] = (
            self.start[0] + (rows + 0.5 - self.start[1]) * self.unit[0] / self.unit[1]
        )
        return crossing

    def _ends(self, rows: NDArray[np.int64]) -> NDArray[np.int64]:
        """Rows in which a lane end is felt."""
        along = (rows + 0.5 - self.start[1]) / self.unit[1]  # at the walking line
        felt = self.half * abs(self.unit[0]) + self.feather + 1.5
        return np.flatnonzero((along < felt) | (along > self.length - felt))

    def _share(self, rows: NDArray[np.int64]) -> NDArray[np.float64]:
        """Share of the throw in every cell of each row, each row adding up to what it must."""
        middle = self._middle(rows)
        phase = middle - np.floor(middle)
        if len(rows) <= _PHASES:
            return self._at(phase)
        table = self._at(np.arange(_PHASES + 1) / _PHASES)
        place = phase * _PHASES
        whole = np.minimum(place.astype(np.int64), _PHASES - 1)
        between = (place - whole)[:, None]
        share: NDArray[np.float64] = table[whole]
        share += between * np.diff(table, axis=0)[whole]
        return share

    def _at(self, phase: NDArray[np.float64]) -> NDArray[np.float64]:
        cell = np.arange(-self.half, self.half + 1) + 0.5
        sideways = -self.hand * self.unit[1]
        share = self.throw.read((cell - phase[:, None]) * sideways)
        share /= share.sum(axis=1, keepdims=True) * abs(sideways)
        return share

    def _open(self, rows: NDArray[np.int64]) -> NDArray[np.float64]:
        """Share of every cell for which the gate was open."""
        column = np.floor(self._middle(rows))[:, None] + np.arange(-self.half, self.half + 1) + 0.5
        along = (column - self.start[0]) * self.unit[0]
        along += ((rows + 0.5 - self.start[1]) * self.unit[1])[:, None]
        share: NDArray[np.float64] = (
            ramp(along + 0.5, self.feather)
            - ramp(along - 0.5, self.feather)
            - ramp(along + 0.5 - self.length, self.feather)
            + ramp(along - 0.5 - self.length, self.feather)
        )
        return share


def ramp(along: NDArray[np.float64], feather: float) -> NDArray[np.float64]:
    """Return how much of a strip lies behind points, its beginning drawn out to a straight rise.

    Parameters
    ----------
    along : array
        Distance from the beginning of the strip. [cells]
    feather : float
        Half the length of the rise. [cells]
    """
    if feather <= 0:
        return np.maximum(along, 0.0)
    return np.clip(along + feather, 0.0, 2 * feather) ** 2 / (4 * feather) + np.maximum(along - feather, 0.0)
