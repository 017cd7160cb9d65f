"""Strips that run at a slant to the grid, and the short edges of headland loops."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import ceil
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from lawnmap.evenness.grid import Grid
    from lawnmap.evenness.pattern import Pattern
    from lawnmap.evenness.strips import Strips

_FINE: Final = 256
"""Places per cell at which throws and lane ends are worked out; the error is 1/512 of a cell."""

_LEAST_SIDEWAYS: Final = 0.7
"""A strip crosses the rows at 45° or more. [1]"""

_BLOCK: Final = 1 << 17
"""Cells of short strips that are worked out at once; so many stay close to the processor. [count]"""


def add_slanted(rate: NDArray[np.float64], strips: Strips, chosen: NDArray[np.int64], grid: Grid) -> None:
    """Add slanted strips to the rates on a grid, in place.

    A strip crosses every row (or, if it runs more along them, every column) in a run of cells of the
    same length, so it is laid row by row: a lane by itself, the short edges of loops all together. The mean of the throw over a turned square is taken as that
    over a span one cell wide: both have the same variance whatever the turn. Each strip is then
    scaled, by a hair, to the mass that left the hopper along it.

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
    kind, mass = strips.kind[chosen], strips.mass_kg_per_m[chosen] / grid.cell_m
    throws = {number: _Throw(strips.patterns[number], grid.cell_m) for number in np.unique(kind)}
    gate = _gate(feather)
    rows = run.max(axis=1) + 2 * (strips.reach_m / grid.cell_m + feather + 2)
    short = rows < _FINE
    for turned in (False, True):
        own = np.flatnonzero(upright != turned)
        if not len(own):
            continue
        target = rate.T if turned else rate
        pad = ceil(3 * strips.reach_m / grid.cell_m) + 8  # the longest run of cells in one row
        buffer = np.zeros((target.shape[0], target.shape[1] + 2 * pad))
        order, hand = slice(None, None, -1 if turned else 1), -1.0 if turned else 1.0
        for i in own[~short[own]]:
            strip = _Slanted(start[i, order], end[i, order], hand, feather, throws[kind[i]], gate)
            strip.lay(buffer, pad, mass[i])
        for number, throw in throws.items():
            few = own[short[own] & (kind[own] == number)]
            cells = rows[few].sum() * 2 * throw.half(_LEAST_SIDEWAYS)
            for some in np.array_split(few, ceil(cells / _BLOCK)) if len(few) else ():
                edges = _Edges(start[some, order], end[some, order], hand, feather, throw, gate)
                edges.lay(buffer, pad, mass[some])
        target += buffer[:, pad:-pad]


class _Throw:
    """Mean of a pattern over a span one cell wide, ready to be read at any offset in cells."""

    def __init__(self, pattern: Pattern, cell_m: float) -> None:
        self.reach = pattern.reach_m / cell_m + 0.5
        self.middle = ceil(self.reach * _FINE) + 1
        at = np.arange(-self.middle, self.middle + 1) / _FINE
        self.share = pattern.cumulative((at + 0.5) * cell_m) - pattern.cumulative((at - 0.5) * cell_m)
        self.share[[0, -1]] = 0.0
        self.tables: dict[float, NDArray[np.float64]] = {}

    def rows(self, phase: NDArray[np.float64], sideways: float) -> NDArray[np.float64]:
        """Share of the throw in the cells of rows, each adding up to what its length of strip lays.

        The walking line crosses a row ``phase`` cells right of the left side of its middle cell.
        """
        half = self.half(sideways)
        cell = np.arange(-half, half + 1) * (sideways * _FINE) + (self.middle + 0.5)
        place = ((0.5 - phase) * (sideways * _FINE))[:, None] + cell
        share: NDArray[np.float64] = self.share.take(place.astype(np.int64), mode="clip")
        share /= share.sum(axis=1, keepdims=True) * abs(sideways)
        return share

    def table(self, sideways: float) -> NDArray[np.float64]:
        """Rows at every phase, kept, as lanes run side by side."""
        key = round(sideways, 12)
        if key not in self.tables:
            self.tables[key] = self.rows(np.arange(_FINE + 1) / _FINE, sideways)
        return self.tables[key]

    def half(self, sideways: float) -> int:
        """Cells to each side of the middle one that a row can reach."""
        return ceil(self.reach / abs(sideways)) + 1


@dataclass
class _Slanted:
    """One strip that crosses the rows; all lengths in cells, points as (column, row)."""

    start: NDArray[np.float64]
    end: NDArray[np.float64]
    hand: float
    feather: float
    throw: _Throw
    gate: NDArray[np.float64]
    length: float = field(init=False)
    unit: NDArray[np.float64] = field(init=False)

    def __post_init__(self) -> None:
        run = self.end - self.start
        self.length = float(np.hypot(*run))
        self.unit = run / self.length
        self.sideways = -self.hand * float(self.unit[1])
        self.half = self.throw.half(self.sideways)

    def lay(self, buffer: NDArray[np.float64], pad: int, mass: float) -> None:
        """Add the strip to a buffer that is wider than the grid on both sides."""
        rows = self._rows()
        middle = self.start[0] + (rows + 0.5 - self.start[1]) * self.unit[0] / self.unit[1]
        first = np.floor(middle).astype(np.int64)
        phase = middle - first
        first -= self.half
        ends = self._ends(rows)
        table, pick = self._table(phase)
        opened = [(part, self._open(rows[part], first[part])) for part in ends]
        # rows that feel no end hold exactly what the strip's length in them lays
        whole = len(rows) - sum(len(rows[part]) for part in ends)
        total = whole / abs(self.sideways) + sum(
            float(np.vdot(table[pick[part]], gate)) for part, gate in opened
        )
        share = (table * (mass * self.length / total))[pick]
        for part, gate in opened:
            share[part] *= gate
        self._add(buffer, rows, first + pad, share)

    @staticmethod
    def _add(
        buffer: NDArray[np.float64],
        rows: NDArray[np.int64],
        first: NDArray[np.int64],
        share: NDArray[np.float64],
    ) -> None:
        """Add one run of cells to each row, as far as they lie on the buffer."""
        cells = share.shape[1]
        inside = (rows >= 0) & (rows < buffer.shape[0]) & (first >= 0) & (first + cells <= buffer.shape[1])
        if not inside.all():
            rows, first, share = rows[inside], first[inside], share[inside]
        if len(rows):
            sliding_window_view(buffer, cells, axis=1, writeable=True)[rows, first] += share

    def _rows(self) -> NDArray[np.int64]:
        """Rows that the strip reaches, its throw and feather counted."""
        out = (self.feather + 1) * abs(self.unit[1]) + self.throw.reach * abs(self.unit[0]) + 1
        low, high = sorted((self.start[1], self.end[1]))
        return np.arange(int(np.floor(low - out)), int(np.ceil(high + out)))

    def _ends(self, rows: NDArray[np.int64]) -> list[slice]:
        """The rows at each end of the strip in which the lane end is felt; all, if they meet."""
        along = np.sort((rows + 0.5 - self.start[1]) / self.unit[1])  # at the walking line
        felt = (self.half + 1) * abs(self.unit[0]) + self.feather + 1.5
        lead, tail = int(np.sum(along < felt)), int(np.sum(along > self.length - felt))
        if lead + tail >= len(rows):
            return [slice(0, len(rows))]
        if self.unit[1] < 0:
            lead, tail = tail, lead
        return [slice(0, lead), slice(len(rows) - tail, len(rows))]

    def _table(self, phase: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
        """Rows of the throw, and which of them each row of the grid takes."""
        if len(phase) < _FINE:
            return self.throw.rows(phase, self.sideways), np.arange(len(phase))
        return self.throw.table(self.sideways), np.rint(phase * _FINE).astype(np.int64)

    def _open(self, rows: NDArray[np.int64], first: NDArray[np.int64]) -> NDArray[np.float64]:
        """Share of every cell for which the gate was open."""
        begin = (rows + 0.5 - self.start[1]) * self.unit[1] + (first + 0.5 - self.start[0]) * self.unit[0]
        cell = np.arange(2 * self.half + 1) * (self.unit[0] * _FINE) + (self.gate.size // 2 + 0.5)
        place = ((begin * _FINE)[:, None] + cell).astype(np.int64)
        opened: NDArray[np.float64] = self.gate.take(place, mode="clip")
        place -= round(self.length * _FINE)
        opened -= self.gate.take(place, mode="clip")
        return opened


@dataclass
class _Edges:
    """Many short strips that cross the rows, worked out together; all lengths in cells, points as (column, row)."""

    start: NDArray[np.float64]
    end: NDArray[np.float64]
    hand: float
    feather: float
    throw: _Throw
    gate: NDArray[np.float64]

    def lay(self, buffer: NDArray[np.float64], pad: int, mass: NDArray[np.float64]) -> None:
        """Add the strips to a buffer that is wider than the grid on both sides."""
        run = self.end - self.start
        length = np.hypot(run[:, 0], run[:, 1])
        unit = run / length[:, None]
        of, rows = self._rows(unit)
        along = unit[of, 1]
        middle = self.start[of, 0] + (rows + 0.5 - self.start[of, 1]) * unit[of, 0] / along
        first = np.floor(middle)
        half = self.throw.half(np.abs(unit[:, 1]).min())
        cell = np.arange(-half, half + 1)
        share = self._throws(middle - first, -self.hand * along, cell)
        begin = (rows + 0.5 - self.start[of, 1]) * along + (first + 0.5 - self.start[of, 0]) * unit[of, 0]
        share *= self._open(begin, unit[of, 0], length[of], cell)
        total = np.bincount(of, share.sum(axis=1), len(mass))
        share *= (mass * length / total)[of, None]
        self._add(buffer, rows, first.astype(np.int64) + (pad - half), share)

    def _rows(self, unit: NDArray[np.float64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """The strip, and the row, of every row that a strip reaches, its throw and feather counted."""
        out = (self.feather + 1) * np.abs(unit[:, 1]) + self.throw.reach * np.abs(unit[:, 0]) + 1
        low = np.floor(np.minimum(self.start[:, 1], self.end[:, 1]) - out).astype(np.int64)
        high = np.ceil(np.maximum(self.start[:, 1], self.end[:, 1]) + out).astype(np.int64)
        count = high - low
        of = np.repeat(np.arange(len(count)), count)
        return of, np.arange(len(of)) + (low - np.cumsum(count) + count)[of]

    def _throws(
        self, phase: NDArray[np.float64], sideways: NDArray[np.float64], cell: NDArray[np.int64]
    ) -> NDArray[np.float64]:
        """Share of the throw in the cells of every row; see `_Throw.rows`."""
        place = (cell + (0.5 - phase)[:, None]) * (sideways * _FINE)[:, None]
        place += self.throw.middle + 0.5
        share: NDArray[np.float64] = self.throw.share.take(place.astype(np.int64), mode="clip")
        share /= (share.sum(axis=1) * np.abs(sideways))[:, None]
        return share

    def _open(
        self,
        begin: NDArray[np.float64],
        across: NDArray[np.float64],
        length: NDArray[np.float64],
        cell: NDArray[np.int64],
    ) -> NDArray[np.float64]:
        """Share of every cell for which the gate was open; see `_Slanted._open`."""
        place = begin[:, None] * _FINE + cell * (across * _FINE)[:, None]
        place += self.gate.size // 2 + 0.5
        at = place.astype(np.int64)
        opened: NDArray[np.float64] = self.gate.take(at, mode="clip")
        at -= np.rint(length * _FINE).astype(np.int64)[:, None]
        opened -= self.gate.take(at, mode="clip")
        return opened

    @staticmethod
    def _add(
        buffer: NDArray[np.float64],
        rows: NDArray[np.int64],
        first: NDArray[np.int64],
        share: NDArray[np.float64],
    ) -> None:
        """Add one run of cells to each row, as far as they lie on the buffer; rows may stand several times."""
        cells = share.shape[1]
        inside = (rows >= 0) & (rows < buffer.shape[0]) & (first >= 0) & (first + cells <= buffer.shape[1])
        if not inside.all():
            rows, first, share = rows[inside], first[inside], share[inside]
        place = (rows * buffer.shape[1] + first)[:, None] + np.arange(cells)
        np.add.at(buffer.reshape(-1), place.ravel(), share.ravel())


def _gate(feather: float) -> NDArray[np.float64]:
    """Share of a cell behind the beginning of a strip, at every place where it is neither 0 nor 1."""
    middle = ceil((feather + 0.5) * _FINE) + 1
    at = np.arange(-middle, middle + 1) / _FINE
    return ramp(at + 0.5, feather) - ramp(at - 0.5, feather)


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
