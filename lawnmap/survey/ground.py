"""Which foot a file is in, how far a millimetre is in it, and grid distances brought to the ground."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

from pyproj import CRS
from pyproj.exceptions import CRSError

from lawnmap.errors import ChoiceError, InputError, QuantityError
from lawnmap.units import UNITS
from lawnmap.yard import Finding, finding

if TYPE_CHECKING:
    from lawnmap.survey.source import Source

DEGREE_M: Final = 111_320.0
"""A degree on the equator, enough to turn a tolerance into degrees. [m]"""

_FEET: Final = ("ft", "us_survey_ft")
_AXIS_UNITS: Final = {"metre": "m", "meter": "m", "foot": "ft", "US survey foot": "us_survey_ft"}


class Scale(NamedTuple):
    """What the numbers of a file are.

    Attributes
    ----------
    unit : str or None
        Unit after scaling, a key of `lawnmap.units.UNITS`; None for degrees or where nobody says.
    factor : float
        What to multiply the numbers by. [1]
    unit_m : float
        Size of the unit after scaling; 1 where nobody says. [m]
    findings : tuple of Finding
        Where the file was overruled.
    """

    unit: str | None
    factor: float
    unit_m: float
    findings: tuple[Finding, ...] = ()


def unit_key(word: str, where: str) -> str:
    """Return the key of a unit of length as `lawnmap.units.UNITS` has it.

    Parameters
    ----------
    word : str
        ``"m"``, ``"ft"``, ``"US survey ft"`` and their other spellings.
    where : str
        The place, for the message.

    Raises
    ------
    QuantityError
        Where it is no unit of length.

    Examples
    --------
    >>> unit_key("US survey ft", ""), unit_key("Feet", "")
    ('us_survey_ft', 'feet')
    """
    key = word.strip().lower().replace(" ", "_")
    if key not in UNITS or UNITS[key].measures != "length":
        raise QuantityError(
            f'"{word}" is not a unit of length', where=where, mend="use m, ft or US survey ft"
        )
    return key


def same_unit(one: str, other: str) -> bool:
    """Whether two keys name one unit."""
    return UNITS[one] == UNITS[other]


def size_m(unit: str) -> float:
    """Return the size of a unit of length. [m]"""
    return float(UNITS[unit].si)


def crs_unit(crs: str) -> str | None:
    """Return the unit of a projected CRS, or None for one in degrees or in a unit not known here.

    Parameters
    ----------
    crs : str
        Anything that ``pyproj.CRS.from_user_input`` takes.

    Raises
    ------
    InputError
        Where it is no CRS.
    """
    try:
        axes = CRS.from_user_input(crs).axis_info
    except CRSError:
        raise InputError(
            f'"{crs}" is not a coordinate reference system', mend="give it like EPSG:2263"
        ) from None
    return _AXIS_UNITS.get(axes[0].unit_name) if axes else None


def settle_units(said: str | None, source: Source, crs: str | None) -> Scale:
    """Decide the unit of coordinates from the file's word, the user's word and the CRS.

    Parameters
    ----------
    said : str or None
        Unit that the file states.
    source : Source
        Unit that the user states, if any; it wins.
    crs : str or None
        CRS of the coordinates, from the file or the user.

    Raises
    ------
    InputError
        Where the file and the CRS cannot both be right, or a scale factor cannot be applied.
    """
    wanted = unit_key(source.local_units, "[yard], local_units") if source.local_units else None
    unit = wanted or said
    found: list[Finding] = []
    if wanted and said and not same_unit(wanted, said):
        text = f"the file says its unit is {UNITS[said].name}; it was read in {UNITS[wanted].name} as asked"
        found.append(finding("unit-overruled", text))
    if crs is None:
        factor, more = grid_to_ground(source.scale_factor, georeferenced=False)
        return Scale(unit, factor, size_m(unit) if unit else 1.0, (*found, *more))
    grid_to_ground(source.scale_factor, georeferenced=True)
    axis = crs_unit(crs)
    if axis is None:
        return Scale(None, 1.0, DEGREE_M, tuple(found))
    if unit is None or same_unit(axis, unit):
        return Scale(axis, 1.0, size_m(axis), tuple(found))
    return Scale(axis, 1.0, size_m(axis), (*found, _foot_differs(unit, axis, crs)))


def grid_to_ground(scale_factor: float | None, *, georeferenced: bool) -> tuple[float, tuple[Finding, ...]]:
    """Return what to multiply grid distances by to get ground distances, and what to tell of it.

    Parameters
    ----------
    scale_factor : float or None
        Combined factor, as the user gives it. [1]
    georeferenced : bool
        Whether the coordinates have a place on the earth.

    Raises
    ------
    ChoiceError
        Where they have: their areas are those of the ellipsoid, and a factor would count twice.
    """
    if scale_factor is None:
        return 1.0, ()
    if georeferenced:
        raise ChoiceError(
            "a scale factor is for coordinates without a CRS",
            where="[yard], scale_factor",
            mend="leave out the factor (areas are then true on the ellipsoid) or leave out the CRS",
        )
    text = f"grid coordinates were divided by the combined factor {scale_factor:.8g}: areas are at ground"
    return 1 / scale_factor, (finding("scaled-to-ground", text),)


def _foot_differs(unit: str, axis: str, crs: str) -> Finding:
    """The two feet are told apart by nobody's drawing program: follow the CRS. Anything else is a fault."""
    if {UNITS[axis].name, UNITS[unit].name} != {UNITS[foot].name for foot in _FEET}:
        raise InputError(
            f"the file says its unit is {UNITS[unit].name}, but {crs} is in {UNITS[axis].name}",
            mend="correct the unit in the file, or choose a CRS in that unit",
        )
    text = (
        f"the file says {UNITS[unit].name} and its CRS is in {UNITS[axis].name}; the CRS was followed "
        "(the other foot would move the place by 2 ft in a million)"
    )
    return finding("foot-differs", text)
