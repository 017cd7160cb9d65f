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
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from lawnmap.yard import Plane

rasterio = load("rasterio")  # an extra, and slow to load


def write_raster(layer: Layer | Deposit, path: Path, plane: Plane | None = None) -> Path:
    """Write a layer or a deposit as a GeoTIFF with its affine, turned grids included.

    The first band is the rate; a layer has a second one, the rate over its target, without data off
    the lawn.

    Parameters
    ----------
    layer : Layer or Deposit
        What lands. [kg/m²]
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
    bands = {"rate, kg/m2": layer.rate_kg_per_m2}
    if isinstance(layer, Layer):
        bands["rate over target"] = layer.ratio
    try:
        _write(bands, layer.grid.affine, path, _crs(plane))
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
    bands: Mapping[str, NDArray[np.float64]],
    affine: tuple[float, float, float, float, float, float],
    path: Path,
    crs: str | None,
) -> None:
    rows, columns = next(iter(bands.values())).shape
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
            count=len(bands),
            crs=crs,
            transform=rasterio.Affine(*affine),
            **form,
        ) as file:
            for number, (name, values) in enumerate(bands.items(), 1):
                file.write(values.astype(np.float32), number)
                file.set_band_description(number, name)
        with new.open("rb") as written:
            os.fsync(written.fileno())
        new.replace(path)
