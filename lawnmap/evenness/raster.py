"""The deposit as a GeoTIFF, for a GIS."""

from __future__ import annotations

import os
import tempfile
import warnings
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from lazy_loader import load

from lawnmap.errors import InputError, OutputError
from lawnmap.evenness.deposit import Deposit
from lawnmap.evenness.layer import Layer

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from lawnmap.yard import Plane

rasterio = load("rasterio")  # an extra, and slow to load


def write_raster(layer: Layer | Deposit, path: Path, plane: Plane | None = None) -> Path:
    """Write a layer or a deposit as a GeoTIFF with its affine, turned grids included.

    Parameters
    ----------
    layer : Layer or Deposit
        Rate over target, or rate in kg/m².
    path : Path
        Where; written whole or not at all.
    plane : Plane, optional
        The yard's plane, for the place on the earth; metres without one if left out or local.

    Returns
    -------
    Path
        The file.

    Raises
    ------
    InputError
        If rasterio is not installed.
    OutputError
        If the file cannot be written.
    """
    if find_spec("rasterio") is None:
        raise InputError(
            "writing a GeoTIFF needs the package rasterio",
            where=path.name,
            mend="install lawnmap with its extra: pip install 'lawnmap[raster]'",
        )
    values = layer.ratio if isinstance(layer, Layer) else layer.rate_kg_per_m2
    name = "rate over target" if isinstance(layer, Layer) else "rate, kg/m2"
    try:
        _write(values, layer.grid.affine, path, name, _crs(plane))
    except OSError as fault:
        raise OutputError(
            f"the raster cannot be written ({fault.strerror or fault})",
            where=str(path),
            mend="choose another folder",
        ) from fault
    return path


def _crs(plane: Plane | None) -> str | None:
    """The plane as WKT, or nothing for local metres."""
    return plane.crs().to_wkt() if plane is not None and plane.georeferenced else None


def _write(
    values: NDArray[np.float64],
    affine: tuple[float, float, float, float, float, float],
    path: Path,
    name: str,
    crs: str | None,
) -> None:
    rows, columns = values.shape
    form = {"driver": "GTiff", "dtype": "float32", "nodata": float("nan"), "compress": "deflate"}
    with (
        tempfile.TemporaryDirectory(dir=path.parent, prefix=".lawnmap-") as folder,
        warnings.catch_warnings(),
    ):
        # a raster in local metres has no place on the earth, and is meant to
        warnings.simplefilter("ignore", rasterio.errors.NotGeoreferencedWarning)
        new = Path(folder) / "layer.tif"
        with rasterio.open(
            new,
            "w",
            width=columns,
            height=rows,
            count=1,
            crs=crs,
            transform=rasterio.Affine(*affine),
            **form,
        ) as file:
            file.write(values.astype(np.float32), 1)
            file.set_band_description(1, name)
        with new.open("rb") as written:
            os.fsync(written.fileno())
        new.replace(path)
