"""The green cover of a yard on a grid, from a georeferenced orthophoto."""

from __future__ import annotations

import os
import tempfile
from dataclasses import dataclass, field
from importlib import import_module
from importlib.util import find_spec
from math import ceil, floor, sqrt
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np
import shapely
from lazy_loader import load
from shapely.geometry import MultiPolygon

from lawnmap.errors import FileError, InputError, OutputError
from lawnmap.measure.cover import GreenLimits, green
from lawnmap.measure.takeoff import take_off
from lawnmap.yard import finding

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from lawnmap.yard import Finding, Plane, Yard

rasterio = load("rasterio")  # an extra, and slow to load

CELL_M: Final = 0.6096
"""Two feet: a fraction of a swath, and thousands of leaves. [m]"""

_MOST_PIXELS: Final = 30_000_000
_MOST_CELLS: Final = 4_000_000
_FINE_M: Final = 0.02
_ENOUGH: Final = 0.95


def part_of_rasterio(name: str) -> Any:
    """Return a module of rasterio, which loads its parts on its own terms and only when they are asked for.

    Parameters
    ----------
    name : str
        ``"warp"``, ``"features"`` and so on.
    """
    return import_module(f"rasterio.{name}")


@dataclass(frozen=True, eq=False)
class CoverGrid:
    """Green cover of every cell of the lawn; rows run from north to south.

    Attributes
    ----------
    share : array, shape (rows, columns)
        Green cover; not a number off the lawn and where the photo shows nothing. [1]
    west_m, north_m : float
        Outer corner of the first cell on the yard's plane. [m]
    cell_m : float
        Side of a cell. [m]
    pixel_m : float
        Side of a pixel of the photo, as it was read. [m]
    plane : Plane
        The yard's plane.
    findings : tuple of Finding
        What the user should know.
    """

    share: NDArray[np.float64] = field(repr=False)
    west_m: float
    north_m: float
    cell_m: float
    pixel_m: float
    plane: Plane
    findings: tuple[Finding, ...] = ()

    @property
    def affine(self) -> tuple[float, float, float, float, float, float]:
        """From (column, row) to (east, north), in the order of GIS rasters. [m]"""
        return self.cell_m, 0.0, self.west_m, 0.0, -self.cell_m, self.north_m

    @property
    def percent(self) -> float:
        """Mean cover of the lawn. [%]"""
        return float(100 * np.nanmean(self.share))

    def centres(self) -> NDArray[np.float64]:
        """Middles of the cells, shape (rows, columns, 2) = [east, north]. [m]"""
        rows, columns = self.share.shape
        east = self.west_m + (np.arange(columns) + 0.5) * self.cell_m
        north = self.north_m - (np.arange(rows) + 0.5) * self.cell_m
        return np.stack(np.meshgrid(east, north), axis=-1)

    def to_dict(self) -> dict[str, object]:
        """Return the figures as a mapping, without the cells."""
        return {
            "cover_percent": self.percent,
            "cells": int(np.isfinite(self.share).sum()),
            "cell_m": self.cell_m,
            "pixel_m": self.pixel_m,
            "findings": [one.to_dict() for one in self.findings],
        }

    def write_raster(self, path: Path) -> None:
        """Write the cover of every cell as a GeoTIFF, whole or not at all.

        Parameters
        ----------
        path : Path
            Where.

        Raises
        ------
        OutputError
            If it cannot be written.
        """
        rows, columns = self.share.shape
        form = {"driver": "GTiff", "dtype": "float32", "count": 1, "nodata": float("nan")}
        place = {"crs": self.plane.crs().to_wkt(), "transform": rasterio.Affine(*self.affine)}
        try:
            with tempfile.TemporaryDirectory(dir=path.parent, prefix=".lawnmap-") as folder:
                new = Path(folder) / "cover.tif"
                with rasterio.open(new, "w", width=columns, height=rows, **form, **place) as file:
                    file.write(self.share.astype(np.float32), 1)
                    file.set_band_description(1, "green cover, share")
                with new.open("rb") as written:
                    os.fsync(written.fileno())
                new.replace(path)
        except OSError as fault:
            raise OutputError(
                f"the grid cannot be written ({fault.strerror or fault})",
                where=str(path),
                mend="choose another folder",
            ) from fault


def map_cover(
    photo: Path, yard: Yard, *, cell_m: float = CELL_M, limits: GreenLimits | None = None
) -> CoverGrid:
    """Measure the green cover of a yard's lawn on a grid, from an orthophoto.

    Parameters
    ----------
    photo : Path
        A GeoTIFF, or anything else with red, green and blue that rasterio reads and that knows its
        place on the earth.
    yard : Yard
        Outlines of the lawn, with obstacles.
    cell_m : float
        Side of a cell. [m]
    limits : GreenLimits, optional
        Which pixels count.

    Raises
    ------
    FileError
        For what is no such photo.
    InputError
        For a yard without a place on the earth, a photo of another place, or cells that do not fit it.
    """
    _check(yard, photo, cell_m)
    ground = MultiPolygon(
        [part for zone in take_off(yard).zones for part in shapely.get_parts(zone.ground) if part.area]
    )
    if ground.is_empty:
        raise InputError("the yard has no lawn to look at", mend="check its outlines")
    west, south, east, north = ground.bounds
    west_m, north_m = floor(west / cell_m) * cell_m, ceil(north / cell_m) * cell_m
    size = ceil((north_m - south) / cell_m), ceil((east - west_m) / cell_m)
    if size[0] * size[1] > _MOST_CELLS:
        raise InputError(f"{size[0] * size[1]:,} cells are too many", mend="choose larger cells")
    empty = CoverGrid(np.full(size, np.nan), west_m, north_m, cell_m, cell_m, yard.plane)
    try:
        with rasterio.open(photo) as held:
            _check_photo(held, photo)
            share, pixel_m = _measure(held, empty, photo, limits or GreenLimits())
    except rasterio.errors.RasterioError:
        raise FileError(
            "it is not a photo with a place on the earth, or a damaged one",
            where=photo.name,
            mend="give a GeoTIFF with red, green and blue",
        ) from None
    on = _inside(ground, empty)
    share[~on] = np.nan
    found = _findings(share, on, pixel_m, photo)
    return CoverGrid(share, west_m, north_m, cell_m, pixel_m, yard.plane, found)


def _check(yard: Yard, photo: Path, cell_m: float) -> None:
    if find_spec("rasterio") is None:
        raise InputError(
            "reading an orthophoto needs the package rasterio",
            where=photo.name,
            mend="install lawnmap with its extra: pip install 'lawnmap[raster]'",
        )
    if not yard.plane.georeferenced:
        raise InputError(
            "the yard has no place on the earth, so the photo cannot be laid under it",
            where=yard.origin.path or yard.name,
            mend="give the yard a CRS",
        )
    if not 0.05 <= cell_m <= 50:
        raise InputError(f"cells of {cell_m:g} m are not possible", mend="give a side between 5 cm and 50 m")
    if not photo.is_file():
        raise FileError("there is no such file", where=photo.name, mend="check its name")


def _check_photo(held: Any, photo: Path) -> None:
    if held.crs is None:
        raise FileError(
            "the photo does not say where on the earth it lies",
            where=photo.name,
            mend="give an orthophoto with a CRS, or measure single photos without a yard",
        )
    if held.count < 3:
        raise FileError(
            f"it has {held.count} band{'s' * (held.count > 1)}, not red, green and blue",
            where=photo.name,
            mend="give a colour photo",
        )


def _measure(
    held: Any, grid: CoverGrid, photo: Path, limits: GreenLimits
) -> tuple[NDArray[np.float64], float]:
    """Green share of every cell, and the side of the pixels that were read."""
    window = _window(held, grid, photo)
    shrink = max(1.0, sqrt(window.width * window.height / _MOST_PIXELS))
    size = max(1, round(window.height / shrink)), max(1, round(window.width / shrink))
    rgb = np.moveaxis(held.read(_bands(held), window=window, out_shape=(3, *size)), 0, -1)
    seen = held.dataset_mask(window=window, out_shape=size) > 0
    shares = np.where(seen, green(rgb, limits), np.nan).astype(np.float32)
    place = _placed(held, window, size)
    pixel_m = _pixel_m(place, held, grid, size)
    if pixel_m > grid.cell_m / 2:
        raise InputError(
            f"pixels of {pixel_m:.2g} m are too coarse for cells of {grid.cell_m:.2g} m",
            where=photo.name,
            mend="choose larger cells, or a sharper photo",
        )
    landed = np.full(grid.share.shape, np.nan, np.float32)
    part_of_rasterio("warp").reproject(
        shares,
        landed,
        src_transform=place,
        src_crs=held.crs,
        src_nodata=np.nan,
        dst_transform=rasterio.Affine(*grid.affine),
        dst_crs=grid.plane.crs().to_wkt(),
        dst_nodata=np.nan,
        resampling=part_of_rasterio("enums").Resampling.average,
    )
    return landed.astype(np.float64), pixel_m


def _window(held: Any, grid: CoverGrid, photo: Path) -> Any:
    """The part of the photo that shows the yard, and a cell more."""
    rows, columns = grid.share.shape
    box = (
        grid.west_m - grid.cell_m,
        grid.north_m - (rows + 1) * grid.cell_m,
        grid.west_m + (columns + 1) * grid.cell_m,
        grid.north_m + grid.cell_m,
    )
    bounds = part_of_rasterio("warp").transform_bounds(grid.plane.crs().to_wkt(), held.crs, *box)
    corners = [(bounds[a], bounds[b]) for a in (0, 2) for b in (1, 3)]
    right, down = zip(*(_through(~held.transform, *corner) for corner in corners), strict=True)
    left, top = max(0, floor(min(right))), max(0, floor(min(down)))
    wide, high = min(held.width, ceil(max(right))) - left, min(held.height, ceil(max(down))) - top
    if wide <= 0 or high <= 0:
        raise InputError(
            "the photo does not show the yard", where=photo.name, mend="check the CRS of both files"
        )
    return part_of_rasterio("windows").Window(left, top, wide, high)


def _bands(held: Any) -> list[int]:
    """Numbers of red, green and blue, as the file says, else the first three."""
    named = {colour.name: number for number, colour in enumerate(held.colorinterp, 1)}
    wanted = ("red", "green", "blue")
    return [named[name] for name in wanted] if all(name in named for name in wanted) else [1, 2, 3]


def _through(transform: Any, column: float, row: float) -> tuple[float, float]:
    a, b, c, d, e, f = tuple(transform)[:6]
    return a * column + b * row + c, d * column + e * row + f


def _placed(held: Any, window: Any, size: tuple[int, int]) -> Any:
    """From (column, row) of the pixels that were read to the photo's own coordinates."""
    a, b, _, d, e, _ = tuple(held.transform)[:6]
    wide, high = window.width / size[1], window.height / size[0]
    east, north = _through(held.transform, window.col_off, window.row_off)
    return rasterio.Affine(a * wide, b * high, east, d * wide, e * high, north)


def _pixel_m(place: Any, held: Any, grid: CoverGrid, size: tuple[int, int]) -> float:
    """Side of a pixel in the middle of what was read, on the ground."""
    row, column = size[0] / 2, size[1] / 2
    corners = [_through(place, column + right, row + down) for right, down in ((0, 0), (1, 0), (0, 1))]
    east, north = zip(*corners, strict=True)
    moved = part_of_rasterio("warp").transform(held.crs, grid.plane.crs().to_wkt(), east, north)
    along = np.array(moved).T[1:] - np.array(moved).T[0]
    return float(sqrt(abs(along[0, 0] * along[1, 1] - along[0, 1] * along[1, 0])))


def _inside(ground: MultiPolygon, grid: CoverGrid) -> NDArray[np.bool_]:
    centres = grid.centres()
    shapely.prepare(ground)
    inside: NDArray[np.bool_] = shapely.contains_xy(ground, centres[..., 0], centres[..., 1])
    return inside


def _findings(
    share: NDArray[np.float64], on: NDArray[np.bool_], pixel_m: float, photo: Path
) -> tuple[Finding, ...]:
    held = np.isfinite(share[on]).mean() if on.any() else 0.0
    if held == 0:
        raise InputError(
            "the photo shows nothing of the lawn", where=photo.name, mend="check the CRS of both files"
        )
    found = []
    if held < _ENOUGH:
        found.append(finding("cover-photo-short", f"it shows {held:.0%} of the lawn", photo.name))
    if pixel_m > _FINE_M:
        text = f"a pixel of {100 * pixel_m:.2g} cm mixes leaves with the soil between them"
        found.append(finding("cover-pixels-coarse", text, photo.name))
    return tuple(found)
