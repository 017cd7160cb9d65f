"""Pictures that say where they lie: a world file beside the picture, or the tags of a GeoTIFF.

A world file has six lines A, D, B, E, C, F: a pixel in column *i* and row *j* has its middle at
``A i + B j + C`` east and ``D i + E j + F`` north (GDAL, *ESRI World File*, raster driver documentation).
The tags are those of OGC 19-008r4, *OGC GeoTIFF Standard* 1.1, annex B; keys: clause 7.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from lawnmap.drawing.sketch import Place
from lawnmap.errors import FileError
from lawnmap.survey import Sheet as SurveySheet
from lawnmap.survey import Source
from lawnmap.survey.notes import Notes
from lawnmap.survey.place import place_of, site_plane, to_datum

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from lawnmap.drawing.sketch import Ground

PIXEL_SCALE, TIE_POINTS, TRANSFORMATION, KEYS = 33550, 33922, 34264, 34735
_RASTER, _GEODETIC, _PROJECTED = 1025, 2048, 3072
_USER_DEFINED: Final = 32767
_PIXEL_IS_POINT: Final = 2

MOST_BEND_M: Final = 0.02
"""A picture over so much ground that a plane misses it by more is refused. [m]"""


@dataclass(frozen=True)
class Placement:
    """Where a picture lies.

    Attributes
    ----------
    ground : tuple
        Rows of the affine map from the sheet (right and up from its lower left corner) to the plane. [m]
    place : Place or None
        The plane; None for one without a place on the earth.
    """

    ground: Ground
    place: Place | None


def place_picture(
    path: Path, tags: Mapping[int, Any], size: tuple[int, int], said: Source, shrunk: tuple[int, int]
) -> Placement | None:
    """Find where a picture lies.

    Parameters
    ----------
    path : Path
        The picture; its world file and ``.prj`` are looked for beside it.
    tags : mapping
        TIFF tags by number; empty for another kind of picture.
    size : tuple of int = (wide, high)
        Of the picture as its file has it. [pixels]
    said : Source
        What the user says of its CRS or unit.
    shrunk : tuple of int = (wide, high)
        Of the sheet that is drawn on. [pixels]

    Returns
    -------
    Placement or None
        None where nothing says it, and nobody asked.

    Raises
    ------
    FileError
        Where what says it is damaged, or leaves the CRS open.
    """
    world, crs = _from_tags(tags, path), _crs_of_tags(tags)
    if world is None:
        world, crs = _from_world_file(path), _text_beside(path, ".prj")
    if world is None:
        if said.crs or said.local_units:
            raise FileError(
                "the picture does not say where it lies",
                where=str(path),
                mend="put its world file beside it, or leave out --crs and --local-units",
            )
        return None
    try:
        return _placed(world, crs, size, said, shrunk)
    except FileError as fault:
        raise fault.at(str(path)) from None


def _placed(
    world: NDArray[np.float64], crs: str | None, size: tuple[int, int], said: Source, shrunk: tuple[int, int]
) -> Placement:
    place = place_of(SurveySheet((), "picture", crs=crs), said, Notes([]))
    wide, high = shrunk
    right, up = (part.ravel() for part in np.meshgrid([0, wide / 2, wide], [0, high / 2, high]))
    pixels = np.column_stack([right * size[0] / wide, (high - up) * size[1] / high, np.ones(9)])
    there = pixels @ world.T
    if place.crs is None:
        plane, ground = None, there * place.unit_m
    else:
        lonlat = to_datum(there, place)
        plane = site_plane(lonlat, place)
        ground = plane.from_datum(lonlat)
    design = np.column_stack([right, up, np.ones(9)])
    fitted = np.linalg.lstsq(design, ground, rcond=None)[0].T
    if abs(np.linalg.det(fitted[:, :2])) < 1e-12:
        raise FileError("its pixels have no size on the ground", mend="export its world file again")
    if np.abs(design @ fitted.T - ground).max() > MOST_BEND_M:
        raise FileError("the picture shows too much ground for one yard", mend="crop it to the yard")
    rows = tuple((float(row[0]), float(row[1]), float(row[2])) for row in fitted)
    return Placement((rows[0], rows[1]), None if plane is None else Place.of(plane))


def _from_world_file(path: Path) -> NDArray[np.float64] | None:
    ending = path.suffix[1:]
    names = (f".{ending[:1]}{ending[-1:]}w", f".{ending}w", ".wld")
    found = next(
        (beside for name in names for beside in _spellings(path.with_suffix(name)) if beside.is_file()), None
    )
    if found is None:
        return None
    try:
        numbers = [float(word.replace(",", ".")) for word in found.read_text("utf-8-sig").split()]
    except (OSError, ValueError):
        numbers = []
    if len(numbers) != 6 or not np.isfinite(numbers).all():
        raise FileError("it is no world file of six numbers", where=str(found), mend="export it again")
    a, d, b, e, c, f = numbers
    return _from_middle(np.array([[a, b, c], [d, e, f]]))


def _from_middle(world: NDArray[np.float64]) -> NDArray[np.float64]:
    """Turn a map of the middles of pixels into one that counts from the corner of the first."""
    shifted = world.copy()
    shifted[:, 2] -= (world[:, 0] + world[:, 1]) / 2
    return shifted


def _from_tags(tags: Mapping[int, Any], path: Path) -> NDArray[np.float64] | None:
    if TRANSFORMATION in tags and len(tags[TRANSFORMATION]) == 16:
        rows = np.array(tags[TRANSFORMATION], dtype=float).reshape(4, 4)[:2]
        world = rows[:, [0, 1, 3]]
    elif PIXEL_SCALE in tags and TIE_POINTS in tags:
        scale, tie = tags[PIXEL_SCALE], tags[TIE_POINTS]
        if len(tie) != 6:
            raise FileError(
                "it is tied by single points and not by its whole grid",
                where=str(path),
                mend="export it as a GeoTIFF with north up",
            )
        column, row, _, east, north, _ = (float(part) for part in tie)
        world = np.array(
            [[scale[0], 0.0, east - column * scale[0]], [0.0, -scale[1], north + row * scale[1]]]
        )
    else:
        return None
    return _from_middle(world) if _keys(tags).get(_RASTER) == _PIXEL_IS_POINT else world


def _crs_of_tags(tags: Mapping[int, Any]) -> str | None:
    keys = _keys(tags)
    code = next((keys[key] for key in (_PROJECTED, _GEODETIC) if key in keys), _USER_DEFINED)
    return None if code in {0, _USER_DEFINED} else f"EPSG:{code}"


def _keys(tags: Mapping[int, Any]) -> dict[int, int]:
    """Read the short keys of the directory: rows of key, location, count, value; location 0 holds the value itself."""
    numbers = [int(number) for number in tags.get(KEYS, ())]
    rows = [numbers[start : start + 4] for start in range(4, len(numbers) - 3, 4)]
    return {row[0]: row[3] for row in rows if row[1] == 0}


def _text_beside(path: Path, ending: str) -> str | None:
    found = next((beside for beside in _spellings(path.with_suffix(ending)) if beside.is_file()), None)
    return found.read_text("utf-8", errors="replace").strip() or None if found else None


def _spellings(path: Path) -> tuple[Path, Path]:
    return path, path.with_suffix(path.suffix.upper())
