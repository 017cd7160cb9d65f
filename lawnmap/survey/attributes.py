"""What the columns of a file mean, and the words in them: one table for every door."""

from __future__ import annotations

import re
from functools import lru_cache
from math import atan, isfinite, pi, tan
from typing import TYPE_CHECKING, Final

from lawnmap.errors import FileError, QuantityError, nearest
from lawnmap.units import parse
from lawnmap.yard import DENSITIES

if TYPE_CHECKING:
    from collections.abc import Mapping

MEANINGS: Final[dict[str, tuple[str, ...]]] = {
    "role": ("role", "feature_role", "lawnmap_role"),
    "name": ("name", "label", "title", "zone_name", "zone", "zone_id", "text"),
    "density": ("density", "density_class", "stand", "stand_density", "turf_density"),
    "cover_percent": (
        "cover_percent", "cover_pct", "percent_cover", "pct_cover", "coverpct", "cover", "turf_cover",
        "grass_cover",
    ),
    "kind": ("kind", "obstacle_kind", "obstacle", "category", "class", "type", "surface", "landuse"),
    "slope_percent": ("slope_percent", "slope_pct", "percent_slope", "slopepct", "slope"),
    "slope_deg": ("slope_deg", "slope_degrees", "slopedeg"),
    "yard": (
        "yard", "yard_id", "yard_name", "parcel", "parcel_id", "parcel_no", "parcel_name", "lot", "lot_id",
        "lot_no", "lot_name", "property", "property_id", "plot_id", "site", "site_id", "site_name",
    ),
    "setback_m": ("setback_m", "setback_metres", "setback_meters"),
    "setback_ft": ("setback_ft", "setback_feet"),
    "setback": ("setback", "water_setback", "buffer"),
    "vertex_accuracy_m": ("vertex_accuracy_m", "vertex_sigma_m", "accuracy_m", "sigma_m"),
    "vertex_accuracy": ("vertex_accuracy", "accuracy"),
}  # fmt: skip
"""Meaning to the spellings it is read from, the first one present winning. Case, blanks and dashes
do not matter, and a spelling cut to the ten characters of a shapefile counts too."""

ROLES: Final = ("lawn", "obstacle", "water", "landmark", "lot")
"""What a shape can be. A lot is the outline of a whole property, lawn only where nothing else is."""

WORDS: Final[dict[str, tuple[str, str]]] = {
    word: (role, kind)
    for role, kind, words in (
        ("lawn", "", "lawn turf grass sod turfgrass zone grassland"),
        ("lot", "", "lot parcel plot boundary property perimeter site"),
        ("obstacle", "other", "obstacle exclusion exclude cutout keepout void"),
        (
            "obstacle",
            "house",
            "house building home garage shed barn dwelling structure residence roof greenhouse",
        ),
        ("obstacle", "drive", "drive driveway road street parking asphalt carport"),
        (
            "obstacle",
            "walk",
            "walk sidewalk walkway path footpath patio terrace deck paving paver step porch concrete",
        ),
        (
            "obstacle",
            "bed",
            "bed planting mulch flower shrub hedge garden vegetable landscaping flowerbed",
        ),
        ("obstacle", "pool", "pool spa"),
        ("obstacle", "tree", "tree trunk stump"),
        (
            "water",
            "",
            "water pond creek stream river lake ditch wetland shoreline brook canal shore",
        ),
        ("landmark", "other", "landmark benchmark"),
        ("landmark", "corner", "corner monument stake"),
        ("landmark", "wall", "wall fence"),
        ("landmark", "gate", "gate"),
        ("landmark", "refill", "refill hydrant"),
        ("landmark", "aim", "aim"),
    )
    for word in words.split()
}
"""Word to the role and kind that it tells."""

_STANDS: Final[dict[str, str]] = {
    **{word: word for word in DENSITIES},
    **dict.fromkeys(("none", "dead", "dirt", "soil"), "bare"),
    **dict.fromkeys(("sparse", "weak", "poor"), "thin"),
    **dict.fromkeys(("spotty", "medium", "fair", "moderate"), "patchy"),
    **dict.fromkeys(("good", "dense", "thick", "healthy"), "full"),
}


def _plain(key: str) -> str:
    return re.sub(r"[^a-z0-9]+", "_", key.lower()).strip("_")


_SPELLINGS: Final = {
    form: (meaning, rank)
    for meaning, spellings in reversed(MEANINGS.items())
    for rank, spelling in reversed(list(enumerate(spellings)))
    for form in (spelling[:10], spelling)
}


@lru_cache(maxsize=1024)
def columns(keys: tuple[str, ...]) -> dict[str, str]:
    """Find which column carries which meaning.

    Parameters
    ----------
    keys : tuple of str
        Names of the columns, as the file has them.

    Returns
    -------
    dict
        Meaning to column.

    Examples
    --------
    >>> columns(("Name", "COVER_PERC", "fid"))
    {'name': 'Name', 'cover_percent': 'COVER_PERC'}
    """
    best: dict[str, tuple[int, str]] = {}
    for key in keys:
        meaning, rank = _SPELLINGS.get(_plain(key), ("", 0))
        if meaning and (meaning not in best or rank < best[meaning][0]):
            best[meaning] = (rank, key)
    return {meaning: key for meaning, (_, key) in best.items()}


def meant(attributes: Mapping[str, object], yard_column: str | None = None) -> dict[str, object]:
    """Return what a feature's attributes mean, empty values left out.

    Parameters
    ----------
    attributes : mapping
        Columns, in lower case, and cells.
    yard_column : str, optional
        Column that names the yard, where the user says which.
    """
    found = columns(tuple(attributes))
    if yard_column is not None and yard_column.lower() in attributes:
        found = {**found, "yard": yard_column.lower()}
    return {meaning: attributes[key] for meaning, key in found.items() if not is_empty(attributes[key])}


def is_empty(value: object) -> bool:
    """Whether a cell of a table says nothing: none, blank, not a number, not a time."""
    if isinstance(value, str):
        return not value.strip()
    if value is None:
        return True
    if isinstance(value, bool | int):
        return False
    if isinstance(value, float):
        return value != value  # noqa: PLR0124  not a number is the one value unlike itself
    return str(value) in {"NaT", "nan", "<NA>"}


@lru_cache(maxsize=65536)
def told_by(text: str) -> tuple[str, str] | None:
    """Return the role and kind that the words of a text tell, or None.

    A word for lawn decides; otherwise the last known word does, since English puts the thing last.

    Examples
    --------
    >>> told_by("Pool lawn"), told_by("Flower-beds south"), told_by("Tract 4")
    (('lawn', ''), ('obstacle', 'bed'), None)
    """
    found = [entry for word in _plain(text).split("_") if (entry := _word(word)) is not None]
    for entry in found:
        if entry[0] == "lawn":
            return entry
    return found[-1] if found else None


def _word(word: str) -> tuple[str, str] | None:
    if word == "yard":  # "front yard" in a name is lawn; as a column it names the property
        return ("lawn", "")
    return WORDS.get(word) or WORDS.get(word.removesuffix("s")) or WORDS.get(word.removesuffix("es"))


def read_density(value: object) -> tuple[str | None, float | None, bool]:
    """Read a density column: a class, a synonym of one, or a percent cover.

    Parameters
    ----------
    value : object
        A cell that is not empty.

    Returns
    -------
    tuple of (class or None, cover in % or None, whether the words were not ours)

    Raises
    ------
    FileError
        For any other word, and for a percentage outside 0 to 100.
    """
    if isinstance(value, str) and not re.search(r"\d", value):
        word = _plain(value)
        if word not in _STANDS:
            raise FileError(f'"{value}" is not a density class', mend=nearest(word, DENSITIES))
        return _STANDS[word], None, word not in DENSITIES
    return None, read_percent(value), True


def read_percent(value: object) -> float:
    """Read a percent cover from a number or from ``"60 %"``. [%]

    Raises
    ------
    FileError
        Where it is no number or not within 0 to 100.
    """
    number = _number(value, suffix="%")
    if not 0 <= number <= 100:
        raise FileError(f"a cover of {value} is not possible", mend="give 0 to 100 percent")
    return number


def read_slope(value: object, *, degrees: bool = False) -> float:
    """Read a slope as a percentage. [%]

    Raises
    ------
    FileError
        Where it is no number, negative or steeper than 45°.
    """
    number = _number(value, suffix="%°")
    percent = 100 * tan(min(number, 89.0) * pi / 180) if degrees else number
    if not 0 <= percent <= 100.0001:
        steep = f" ({atan(percent / 100) * 180 / pi:.0f}°)" if percent > 0 else ""
        raise FileError(
            f"a slope of {value}{steep} is not possible here",
            mend="give 0 to 100 percent, that is level to 45°",
        )
    return percent


def read_length(value: object, unit: str = "") -> float:
    """Read a length, in a unit that its column names or that it carries itself. [m]

    Raises
    ------
    FileError
        Without a unit, without a number, or below 0.
    """
    text = f"{value} {unit}" if unit and not isinstance(value, str) else str(value)
    if unit and isinstance(value, str) and re.fullmatch(r"[\s\d.+-]+", value):
        text = f"{value} {unit}"
    try:
        length_m = parse(text, "length")
    except QuantityError as fault:
        raise FileError(fault.what, mend=fault.mend) from None
    if not 0 <= length_m < 1e6:
        raise FileError(f"a length of {text} is not possible here", mend="correct it")
    return length_m


def _number(value: object, suffix: str) -> float:
    try:
        number = float(str(value).strip().rstrip(suffix).strip())
    except ValueError:
        number = float("nan")
    if isinstance(value, bool) or not isfinite(number):
        raise FileError(f'"{value}" is not a number', mend="write a plain number")
    return number
