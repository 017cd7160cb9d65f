"""Where the coordinates of a file lie, and how they come onto a yard's own plane."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np
import shapely
from pyproj import CRS, Transformer
from pyproj.exceptions import CRSError, ProjError

from lawnmap.errors import FileError, nearest
from lawnmap.survey.ground import grid_to_ground
from lawnmap.survey.notes import WHOLE_FILE
from lawnmap.units import UNITS
from lawnmap.yard import Plane

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from lawnmap.survey.features import Sheet
    from lawnmap.survey.notes import Notes
    from lawnmap.survey.source import Source

WIDEST_M: Final = 50_000.0
"""A yard wider than this is a mistake of units or of CRS. [m]"""

_NARROWEST_M = 0.1
_POLAR_DEG = 70.0
_ASK = (
    "say which CRS with --crs EPSG:2263, for instance, or the unit of local coordinates with --local-units ft"
)
_LENGTHS = {spelling: unit for spelling, unit in UNITS.items() if unit.measures == "length"}


@dataclass(frozen=True)
class Place:
    """How the coordinates of a file lie on the earth.

    Attributes
    ----------
    crs : CRS or None
        Horizontal CRS; None for local coordinates.
    source, datum, unit : str
        As in `lawnmap.yard.Plane`.
    unit_m : float
        Length of the unit; not a number where the unit is an angle. [m]
    """

    crs: CRS | None
    source: str
    datum: str
    unit: str
    unit_m: float


def place_of(sheet: Sheet, source: Source, notes: Notes) -> Place:
    """Find where the coordinates of a sheet lie, from the file or from what the user says.

    Parameters
    ----------
    sheet : Sheet
        What the door handed over.
    source : Source
        The user's word, which goes before the file's.
    notes : Notes
        Takes what was overruled.

    Raises
    ------
    FileError
        Where neither says it, or both the user's words contradict each other.
    ChoiceError
        Where a combined factor is given for coordinates with a CRS.
    """
    return _to_ground(_place_of(sheet, source, notes), sheet, source, notes)


def _place_of(sheet: Sheet, source: Source, notes: Notes) -> Place:
    if source.crs and source.local_units:
        raise FileError("both a CRS and local units are given", mend="give one of them")
    if source.local_units:
        if sheet.crs is not None and not _is_engineering(sheet.crs):
            notes.add(
                "crs-overruled",
                f"the CRS of the file, {_name(sheet.crs)}, is set aside for local {source.local_units}",
                [WHOLE_FILE],
            )
        return _local(source.local_units)
    if source.crs:
        if sheet.crs is not None and not _same(sheet.crs, source.crs):
            notes.add(
                "crs-overruled",
                f"the CRS of the file, {_name(sheet.crs)}, is set aside for {source.crs}",
                [WHOLE_FILE],
            )
        return _on_earth(source.crs)
    if sheet.crs is not None:
        return _on_earth(sheet.crs)
    if sheet.unit is None:
        raise FileError("the file does not say where its coordinates lie", mend=_ASK)
    return _local(sheet.unit)


def _to_ground(place: Place, sheet: Sheet, source: Source, notes: Notes) -> Place:
    """Divide grid coordinates by the combined factor, unless the door has done so."""
    if source.scale_factor is None or sheet.combined_factor is not None:
        return place
    factor, found = grid_to_ground(source.scale_factor, georeferenced=place.crs is not None)
    for note in found:
        notes.add(note.code, note.text, [WHOLE_FILE])
    return replace(place, unit_m=place.unit_m * factor)


def _local(unit: str) -> Place:
    spelling = unit.strip().lower().replace(" ", "_")
    if spelling not in _LENGTHS:
        raise FileError(f'"{unit}" is not a unit of length', mend=nearest(spelling, _LENGTHS))
    known = _LENGTHS[spelling]
    return Place(None, "local", "", known.name, float(known.si))


def _crs(text: str) -> CRS:
    try:
        return CRS.from_user_input(text)
    except CRSError:
        shown = text if len(text) < 80 else text[:77] + "…"
        raise FileError(
            f'"{shown}" is not a CRS known here', mend="give an EPSG code such as EPSG:2263, or WKT"
        ) from None


def _is_engineering(text: str) -> bool:
    return _crs(text).type_name == "Engineering CRS"


def _same(one: str, other: str) -> bool:
    return bool(_crs(one).equals(_crs(other), ignore_axis_order=True))


def _name(text: str) -> str:
    crs = _crs(text)
    return ":".join(crs.to_authority() or (crs.name,))


def _on_earth(text: str) -> Place:
    crs = _crs(text)
    if crs.is_compound:
        crs = crs.sub_crs_list[0]
    if crs.is_bound and crs.source_crs is not None:
        crs = crs.source_crs
    if crs.type_name == "Engineering CRS":
        return _engineering(crs)
    datum = crs.geodetic_crs
    if datum is None or crs.is_geocentric or not (crs.is_geographic or crs.is_projected):
        raise FileError(f"the CRS {_name(text)} has no plane coordinates to draw a yard in", mend=_ASK)
    if len(crs.axis_info) == 3:
        crs, datum = crs.to_2d(), datum.to_2d()
    name = ":".join(crs.to_authority(min_confidence=100) or (crs.name,))
    if crs.is_geographic:
        return Place(crs, name, _in_degrees(datum), "degree", float("nan"))
    factor = crs.axis_info[0].unit_conversion_factor
    return Place(crs, name, _in_degrees(datum), _unit_name(factor), factor)


def _engineering(crs: CRS) -> Place:
    axis = crs.axis_info[0] if crs.axis_info else None
    if axis is None or "unknown" in f"{axis.unit_name} {crs.name}".lower():
        raise FileError(
            "the file has local coordinates but does not name their unit",
            mend="say it with --local-units ft, for instance",
        )
    return Place(None, "local", "", _unit_name(axis.unit_conversion_factor), axis.unit_conversion_factor)


def _unit_name(factor: float) -> str:
    for name in ("m", "ft", "us_survey_ft", "yd", "km", "chain", "link", "cm", "mm"):
        if abs(float(UNITS[name].si) / factor - 1) < 1e-9:
            return UNITS[name].name
    return f"{factor:.12g} m"


def _in_degrees(datum: CRS) -> str:
    """Name a geographic CRS of the datum whose angles are degrees."""
    if abs(datum.axis_info[0].unit_conversion_factor - np.pi / 180) < 1e-15:
        authority = datum.to_authority(min_confidence=100)
        return ":".join(authority) if authority else datum.to_wkt()
    described = datum.to_json_dict()
    for axis in described["coordinate_system"]["axis"]:
        axis["unit"] = "degree"
    described.pop("id", None)
    return CRS.from_json_dict(described).to_wkt()


def to_datum(points: NDArray[np.float64], place: Place) -> NDArray[np.float64]:
    """Turn coordinates of the file into longitude and latitude on their own datum.

    Parameters
    ----------
    points : array, shape (n, 2) = [east, north] or [longitude, latitude]
        Coordinates of the file. [unit of the place]
    place : Place
        Where they lie; not a local one.

    Returns
    -------
    array, shape (n, 2) = [longitude, latitude]
        [°]

    Raises
    ------
    FileError
        Where the numbers cannot be coordinates of the CRS.
    """
    assert place.crs is not None  # local coordinates have no datum
    if place.crs.is_geographic:
        _check_angles(points, place)
    datum = CRS.from_user_input(place.datum)
    if place.crs.is_geographic and abs(place.crs.axis_info[0].unit_conversion_factor - np.pi / 180) < 1e-15:
        return points
    try:
        around = Transformer.from_crs(place.crs, datum, always_xy=True)
        found = np.column_stack(around.transform(points[:, 0], points[:, 1]))
    except ProjError as fault:
        raise FileError(
            f"the coordinates do not fit {place.source} ({fault})", mend="check the CRS"
        ) from None
    if not np.isfinite(found).all():
        raise FileError(
            f"the coordinates, up to {np.abs(points).max():.6g}, do not fit {place.source}",
            mend="check the CRS",
        )
    return found


def _check_angles(points: NDArray[np.float64], place: Place) -> None:
    assert place.crs is not None  # only called for a geographic CRS
    turn = 2 * np.pi / place.crs.axis_info[0].unit_conversion_factor  # 360 degrees or 400 grads
    east, north = np.abs(points).max(axis=0)
    if east <= turn / 2 * 1.0001 and north <= turn / 4:
        return
    if east <= turn / 4 and north <= turn / 2:
        raise FileError(
            f"a latitude of {north:.6g} is not on the earth; longitude and latitude seem to be swapped",
            mend="write longitude first",
        )
    beyond = (np.abs(points) > (turn / 2, turn / 4)).any(axis=1)
    worst = points[np.argmax(beyond)]
    raise FileError(
        f"{worst[0]:.8g}, {worst[1]:.8g} is no longitude and latitude; the numbers seem to be projected",
        mend=_ASK,
    )


def check_site(lonlat: NDArray[np.float64], notes: Notes) -> None:
    """Refuse a yard in the Antarctic, where swapped coordinates often end, and doubt one near a pole.

    Parameters
    ----------
    lonlat : array, shape (n, 2) = [longitude, latitude]
        All vertices. [°]
    notes : Notes
        Takes the doubt.
    """
    lowest, highest = lonlat[:, 1].min(), lonlat[:, 1].max()
    if lowest < -60:
        raise FileError(
            f"latitude {lowest:.6g} is in the Antarctic; longitude and latitude seem to be swapped",
            mend="write longitude first",
        )
    if highest > _POLAR_DEG:
        text = f"latitude {highest:.6g} is far north for a lawn; are longitude and latitude swapped?"
        notes.add("perhaps-swapped", text, [WHOLE_FILE])


def check_widths(widths_m: NDArray[np.float64], names: list[str]) -> None:
    """Refuse the first yard of impossible size.

    Parameters
    ----------
    widths_m : array, shape (n,)
        Longer side of the box about each yard. [m]
    names : list of str
        What the yards are called, for the message.

    Raises
    ------
    FileError
        Where a yard is wider than `WIDEST_M`, or so small that the unit must be wrong.
    """
    odd = np.flatnonzero((widths_m > WIDEST_M) | (widths_m < _NARROWEST_M))
    if not len(odd):
        return
    width_m, where = float(widths_m[odd[0]]), f'yard "{names[odd[0]]}"' if len(names) > 1 else ""
    if width_m > WIDEST_M:
        raise FileError(
            f"the shapes spread over {width_m / 1000:,.0f} km, and a yard is at most {WIDEST_M / 1000:.0f} km wide",
            where=where,
            mend="check the CRS, or give --local-units if the numbers are local",
        )
    raise FileError(
        f"the whole yard is {width_m * 1000:.3g} mm wide", where=where, mend="check the CRS or the unit"
    )


def site_plane(lonlat: NDArray[np.float64], place: Place) -> Plane:
    """Return the plane centred on the middle of some vertices.

    Parameters
    ----------
    lonlat : array, shape (n, 2) = [longitude, latitude]
        Vertices on the datum of the place. [°]
    place : Place
        Where they come from.
    """
    longitude, latitude = lonlat[:, 0], lonlat[:, 1]
    if np.ptp(longitude) > 180:  # across the date line
        longitude = longitude % 360
    middle = [float((part.min() + part.max()) / 2) for part in (longitude, latitude)]
    middle[0] = (middle[0] + 180) % 360 - 180
    return Plane(place.source, place.datum, middle[0], middle[1], place.unit)


def onto(shapes: NDArray[np.object_], points: NDArray[np.float64]) -> NDArray[np.object_]:
    """Return shapes with other coordinates in the same order.

    Parameters
    ----------
    shapes : array of shapely geometry or None, shape (n,)
        Shapes.
    points : array, shape (n, 2) = [east, north]
        New coordinates. [m]
    """
    return shapely.set_coordinates(shapes.copy(), points)
