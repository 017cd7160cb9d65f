"""The deposit as a layer of a map: rate over target, in classes with colours, as an array and as a PNG."""

from __future__ import annotations

import struct
import zlib
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

import numpy as np
import shapely

from lawnmap.errors import InputError
from lawnmap.evenness.deposit import lay_on
from lawnmap.evenness.grid import Grid, cover_part, grid_over
from lawnmap.evenness.strips import strips_of
from lawnmap.evenness.target import areas_of, targets
from lawnmap.measure import Takeoff

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray
    from shapely.geometry import MultiPolygon, Polygon

    from lawnmap.evenness.score import Throwing
    from lawnmap.lanes import LanePlan

BREAKS: Final = (0.5, 0.75, 0.9, 1.1, 1.25, 1.5)
"""Where the classes of rate over target begin. [1]"""

COLOURS: Final = ("#542788", "#998ec3", "#d8daeb", "#f7f7f7", "#fee0b6", "#f1a340", "#b35806")
"""One colour per class, from too little to too much: the seven-class diverging scheme PuOr.

C. A. Brewer and M. Harrower, *ColorBrewer 2.0*, listed there as safe for colour-blind readers.
"""

LABELS: Final = (
    "under 50 % of target",
    "50 to 75 %",
    "75 to 90 %",
    "90 to 110 %",
    "110 to 125 %",
    "125 to 150 %",
    "over 150 %",
)
"""What each class is, for a legend."""

_OFF_LAWN: Final = (0.30, 0.30, 0.30)
_MOST_CELLS: Final = 4_000_000
_LEAST_STRAY: Final = 0.05
_SQUEEZE: Final = 7  # of 9: a tenth larger than the most, in a quarter of the time (measured)


@dataclass(frozen=True, eq=False)
class Layer:
    """Rate over target on a grid.

    Attributes
    ----------
    ratio : array, shape (rows, columns)
        Rate over the target of the zone; not a number off the lawn. [1]
    stray : array, shape (rows, columns)
        Off the lawn: rate over the mean target; 0 on it. [1]
    rate_kg_per_m2 : array, shape (rows, columns)
        What lands, on the lawn and off it. [kg/m²]
    grid : Grid
        Where the cells lie.
    """

    ratio: NDArray[np.float64] = field(repr=False)
    stray: NDArray[np.float64] = field(repr=False)
    rate_kg_per_m2: NDArray[np.float64] = field(repr=False)
    grid: Grid

    @property
    def corners_m(self) -> NDArray[np.float64]:
        """Outer corners: top left, top right, bottom right, bottom left, shape (4, 2) = [east, north]. [m]"""
        a, b, c, d, e, f = self.grid.affine
        column = np.array([0, self.grid.columns, self.grid.columns, 0])
        row = np.array([0, 0, self.grid.rows, self.grid.rows])
        return np.column_stack([a * column + b * row + c, d * column + e * row + f])

    def classes(self) -> NDArray[np.int64]:
        """Class of every cell, an index of `COLOURS`; -1 off the lawn."""
        number = np.digitize(np.nan_to_num(self.ratio), BREAKS).astype(np.int64)
        number[np.isnan(self.ratio)] = -1
        return number

    def rgba(self) -> NDArray[np.uint8]:
        """Colours of every cell, shape (rows, columns, 4): red, green, blue, how opaque.

        Material off the lawn is grey, the darker the more.
        """
        table = np.array([[int(c[i : i + 2], 16) for i in (1, 3, 5)] + [255] for c in COLOURS], np.uint8)
        number = self.classes()
        picture = table[np.maximum(number, 0)]
        off = number < 0
        picture[off] = 0
        spilt = off & (self.stray > _LEAST_STRAY)
        picture[spilt, :3] = np.rint(255 * np.array(_OFF_LAWN)).astype(np.uint8)
        picture[spilt, 3] = np.rint(200 * np.minimum(self.stray[spilt], 1.0)).astype(np.uint8)
        return picture

    def png(self) -> bytes:
        """The colours as a PNG file."""
        return png(self.rgba())

    @staticmethod
    def legend() -> tuple[tuple[str, str], ...]:
        """Label and colour of every class, and of what lands off the lawn."""
        grey = "#" + 3 * f"{round(255 * _OFF_LAWN[0]):02x}"
        return (*zip(LABELS, COLOURS, strict=True), ("off the lawn, the darker the more", grey))


def layer(
    lane_plan: LanePlan,
    ground: Polygon | MultiPolygon | Takeoff,
    throwing: Throwing,
    *,
    rates: Mapping[str, float] | None = None,
    cell_m: float = 0.15,
    turn_deg: float = 0.0,
) -> Layer:
    """Add up a lane plan as a layer of a map.

    Parameters
    ----------
    lane_plan : LanePlan
        The lanes.
    ground : Polygon, MultiPolygon or Takeoff
        What they were laid for. [m]
    throwing : Throwing
        How the spreader throws.
    rates : mapping of str to float, optional
        Product per area by zone, all passes together; 1 everywhere if left out. [kg/m²]
    cell_m : float
        Side of a cell. [m]
    turn_deg : float
        Direction of the rows; 0 is a picture with north at the top. [°]
    """
    treated = targets(lane_plan, ground, rates)
    whole = areas_of([zone.ground for zone in ground.zones]) if isinstance(ground, Takeoff) else ground
    strips = strips_of(
        lane_plan,
        throwing.pattern,
        rates=rates,
        ends=throwing.ends,
        shield=whole if throwing.shield else None,
    )
    hull = shapely.get_coordinates(areas_of([target.ground for target in treated]).convex_hull)
    points = np.concatenate([strips.start_m, strips.end_m, hull])
    grid = grid_over(points, cell_m=cell_m, turn_deg=turn_deg, margin_m=strips.reach_m + cell_m)
    if grid.rows * grid.columns > _MOST_CELLS:
        raise InputError(
            f"a picture of {grid.rows * grid.columns:,} cells is too large for a map",
            mend="choose larger cells",
        )
    rate = lay_on(strips, grid)
    mean = sum(one.rate_kg_per_m2 * one.ground.area for one in treated) / sum(
        one.ground.area for one in treated
    )
    ratio, stray = np.full_like(rate, np.nan), rate / mean
    for one in treated:
        place, share = cover_part(one.ground, grid)
        on = share >= 0.5  # a cell belongs to the ground that has most of it
        ratio[place][on] = rate[place][on] / one.rate_kg_per_m2
        stray[place][on] = 0.0
    return Layer(ratio, stray, rate, grid)


def png(rgba: NDArray[np.uint8]) -> bytes:
    """Write a picture as a PNG file.

    W3C, *Portable Network Graphics (PNG) Specification*, second edition: 8 bits per channel, colour
    type 6, filter 0 in every row, one IDAT chunk.

    Parameters
    ----------
    rgba : array, shape (rows, columns, 4)
        Red, green, blue and how opaque, from 0 to 255. [1]
    """
    rows, columns, _ = rgba.shape
    lines = np.zeros((rows, 1 + 4 * columns), np.uint8)
    lines[:, 1:] = rgba.reshape(rows, 4 * columns)
    head = struct.pack(">IIBBBBB", columns, rows, 8, 6, 0, 0, 0)
    parts = ((b"IHDR", head), (b"IDAT", zlib.compress(lines.tobytes(), _SQUEEZE)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
        for name, data in parts
    )
