"""A yard read from a file, through the door for its kind."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final, TypeVar

import numpy as np
from shapely.errors import ShapelyError

from lawnmap.errors import FileError, LawnmapError, ShapeError
from lawnmap.survey.build import build_yard, build_yards
from lawnmap.survey.doors import Door, door_for
from lawnmap.survey.source import Source

if TYPE_CHECKING:
    from collections.abc import Callable
    from os import PathLike

    from lawnmap.survey.features import Sheet
    from lawnmap.yard import Yard

Result = TypeVar("Result")

LARGEST_BYTES: Final = 2 * 2**30
"""Larger files are refused before they are opened. [byte]"""


def read(
    path: str | PathLike[str],
    *,
    source: Source | None = None,
    crs: str | None = None,
    local_units: str | None = None,
    layer: str | None = None,
    yard: str | None = None,
) -> Yard:
    """Read one yard from a file.

    Parameters
    ----------
    path : path
        The file; its extension tells its kind, see `lawnmap.survey.doors.DOORS`.
    source : Source, optional
        The ``[yard]`` section of a job file. The arguments below go before it.
    crs : str, optional
        CRS of the coordinates, ``"EPSG:2263"`` or WKT; without it what the file says.
    local_units : str, optional
        Unit of local coordinates: ``"m"``, ``"ft"``, ``"US survey ft"``.
    layer : str, optional
        The one layer to read; without it all of them.
    yard : str, optional
        Which yard, where a column names several.

    Returns
    -------
    Yard
        In metres on its own equal-area plane; ``findings`` tells what was mended, guessed or doubted.

    Raises
    ------
    FileError
        Where the file cannot be read, or does not say where its coordinates lie.
    ShapeError
        Where an outline is not a piece of ground.
    """
    given = {"crs": crs, "local_units": local_units, "layer": layer, "yard": yard}
    choices = (source or Source()).changed(given)
    return through(Path(path), choices, _opened(build_yard))


def read_all(
    path: str | PathLike[str],
    *,
    source: Source | None = None,
    crs: str | None = None,
    local_units: str | None = None,
    layer: str | None = None,
    yard: str | None = None,
) -> tuple[Yard, ...]:
    """Read every yard that a column of a file names, in the order in which they first appear.

    Parameters and faults are those of `read`. Yards near each other share a plane. Obstacles, water
    and landmarks that name no yard belong to each yard that they touch.
    """
    given = {"crs": crs, "local_units": local_units, "layer": layer, "yard": yard}
    choices = (source or Source()).changed(given)
    return through(Path(path), choices, _opened(build_yards))


def _opened(
    build: Callable[[Sheet, Source, Path], Result],
) -> Callable[[Door, Path, Source], Result]:
    """Build from what the door hands over."""
    return lambda door, path, source: build(door(path, source), source, path)


def through(
    path: Path,
    source: Source,
    work: Callable[[Door, Path, Source], Result],
    *,
    largest_bytes: int = LARGEST_BYTES,
) -> Result:
    """Work on a file with the door for its kind; every fault names the file.

    Parameters
    ----------
    path : Path
        The file.
    source : Source
        The user's choices.
    work : callable
        Is given the door, the path and the choices.
    largest_bytes : int
        A larger file is refused before it is opened. [byte]

    Raises
    ------
    LawnmapError
        For whatever is wrong with the file.
    """
    try:
        door = door_for(path)
        check_file(path, largest_bytes)
        # Numbers out of all measure are refused once it is known where they lie; until then they may overflow.
        with np.errstate(over="ignore", invalid="ignore"):
            return work(door, path, source)
    except LawnmapError as fault:
        raise fault.at(str(path)) from None
    except ShapelyError as fault:
        why = str(fault).strip().split("\n")[0]
        raise ShapeError(f"a shape cannot be used ({why})", where=str(path), mend="redraw it") from None
    except PermissionError:
        raise FileError("it may not be read", where=str(path), mend="change its permissions") from None


def check_file(path: Path, largest_bytes: int = LARGEST_BYTES) -> None:
    """Refuse what is no file, or none of a bearable size.

    Parameters
    ----------
    path : Path
        The file.
    largest_bytes : int
        What is bearable. [byte]

    Raises
    ------
    FileError
        With the reason.
    """
    if path.is_dir():
        raise FileError("it is a folder", mend="give a file in it")
    if not path.exists():
        raise FileError("there is no such file", mend="check the name and the folder")
    size = path.stat().st_size
    if not size:
        raise FileError("it is empty", mend="export it again")
    if size > largest_bytes:
        raise FileError(
            f"it is larger than {largest_bytes // 2**30} GB, the most that is read", mend="split it by yards"
        )
