"""Bearings, angles and distances as deeds write them."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from lawnmap.errors import QuantityError
from lawnmap.units import FOOT_M, UNITS

_ANGLE: Final = (
    r"(\d+(?:\.\d+)?)\s*(?:°|º|deg(?:rees?)?\.?|d)?"
    r"(?:[\s\-°º]*(\d+(?:\.\d+)?)\s*(?:'|′|’|min(?:utes?)?\.?|-)?"
    r"(?:[\s\-'′’]*(\d+(?:\.\d+)?)\s*(?:\"|″|”|''|sec(?:onds?)?\.?)?)?)?"
)
# Hyphens or blanks between parts, and signs after them; a decimal part ends the angle.
ANGLE: Final = re.compile(_ANGLE, re.IGNORECASE)
QUADRANT: Final = re.compile(
    rf"\b(?P<from>N(?:orth)?|S(?:outh)?)\.?\s*(?P<angle>{_ANGLE})\s*(?P<to>E(?:ast)?|W(?:est)?)\b\.?",
    re.IGNORECASE,
)
AZIMUTH: Final = re.compile(rf"\baz(?:imuth)?\.?\s*(?:of\s*)?(?P<angle>{_ANGLE})", re.IGNORECASE)
CARDINAL: Final = re.compile(r"\b(?:due\s+)?(?P<way>north|south|east|west)(?:erly)?\b", re.IGNORECASE)

_VARA: Final = Fraction(100, 36) * FOOT_M
_FEET_PER: Final[dict[str, Fraction]] = {
    "chain": Fraction(66),
    "rod": Fraction(33, 2),
    "link": Fraction(66, 100),
    "vara": Fraction(100, 36),
    "inch": Fraction(1, 12),
    "yard": Fraction(3),
}
"""Feet in each older unit, of whichever foot the deed is in.

Chain, rod (perch, pole) and link: NIST Handbook 44, Appendix C. Vara of Texas 33 1/3 in, by statute
of 17 June 1919: 36 varas are 100 ft.
"""
_NAMES: Final[dict[str, str]] = {
    spelling: unit
    for unit, spellings in (
        ("us_survey_ft", "us_survey_feet us_survey_foot us_survey_ft usft sft ftus survey_feet survey_foot"),
        ("ft", "feet foot ft '"),
        ("m", "metres meters metre meter m"),
        ("chain", "chains chain chs ch"),
        ("rod", "rods rod perches perch poles pole rds"),
        ("link", "links link lks"),
        ("vara", "varas vara vrs"),
        ("inch", 'inches inch in "'),
        ("yard", "yards yard yd yds"),
    )
    for spelling in spellings.split()
}
_UNIT: Final = (
    r"(?:u\.?s\.?\s*survey\s*(?:feet|foot|ft)|survey\s+(?:feet|foot)|usft|sft|ftus|feet|foot|ft|"
    r"met(?:er|re)s?|chains?|chs?|rods?|rds|perch(?:es)?|poles?|links?|lks|varas?|vrs|inch(?:es)?|in|yards?|yds?|m)\b\.?|['\"′″]"
)
_NUMBER: Final = r"\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+(?:\.\d+)?|\.\d+"
DISTANCE: Final = re.compile(rf"(?<![\d.\-])(?P<number>{_NUMBER})\s*(?P<unit>{_UNIT})", re.IGNORECASE)
NUMBER: Final = re.compile(_NUMBER)


def degrees(text: str) -> float:
    """Read an angle in degrees, minutes and seconds or in decimal degrees. [°]

    Raises
    ------
    QuantityError
        Where minutes or seconds reach 60.

    Examples
    --------
    >>> degrees("38-30-00"), degrees("26°10'"), degrees("76.215"), round(degrees("38 degrees 30 minutes"), 9)
    (38.5, 26.166666666666668, 76.215, 38.5)
    """
    match = ANGLE.match(text.strip())
    if match is None:
        raise QuantityError(f'"{text}" is not an angle', mend='write it like "38-30-00"')
    whole, minutes, seconds = (float(part) if part else 0.0 for part in match.groups())
    if minutes >= 60 or seconds >= 60:
        raise QuantityError(f'"{text}" has 60 minutes or seconds or more', mend="correct the angle")
    return whole + minutes / 60 + seconds / 3600


def azimuth(text: str) -> tuple[float, str] | None:
    """Find the first direction in a text.

    Parameters
    ----------
    text : str
        A call, or a part of one.

    Returns
    -------
    tuple of (azimuth clockwise from north [°], the text after it), or None

    Raises
    ------
    QuantityError
        Where the angle of a bearing is beyond 90° or that of an azimuth beyond 360°.

    Examples
    --------
    >>> azimuth("S 77-27-10 E 137.00 feet")
    (102.54722222222222, ' 137.00 feet')
    """
    quadrant = QUADRANT.search(text)
    if quadrant is not None:
        angle = degrees(quadrant["angle"])
        if angle > 90:
            raise QuantityError(f'the bearing "{quadrant[0]}" is beyond 90°', mend="correct it")
        north, east = quadrant["from"][0].upper() == "N", quadrant["to"][0].upper() == "E"
        turned = angle if north == east else -angle
        return (turned if north else 180 + turned) % 360, text[quadrant.end() :]
    found = AZIMUTH.search(text)
    if found is not None:
        angle = degrees(found["angle"])
        if angle > 360:
            raise QuantityError(f'the azimuth "{found[0]}" is beyond 360°', mend="correct it")
        return angle % 360, text[found.end() :]
    cardinal = CARDINAL.search(text)
    if cardinal is None:
        return None
    way = ("north", "east", "south", "west").index(cardinal["way"].lower())
    return 90.0 * way, text[cardinal.end() :]


def distance_m(text: str, foot: str, *, unit: str | None = None) -> tuple[float, str] | None:
    """Find the first distance in a text, adding up parts such as 2 chains 35 links.

    Parameters
    ----------
    text : str
        A call, or a part of one.
    foot : str
        ``"ft"`` or ``"us_survey_ft"``: what the deed means by a foot, and by all that is made of feet.
    unit : str, optional
        Unit of a bare number; without it a number needs its own.

    Returns
    -------
    tuple of (distance [m], name of the unit), or None
    """
    total, name, at = Fraction(0), "", None
    for match in DISTANCE.finditer(text):
        if at is not None and text[at : match.start()].strip(" ,and\t"):
            break
        word = re.sub(
            r"[\s.]+", "_", match["unit"].lower().replace("u.s.", "us").replace("′", "'").replace("″", '"')
        )
        key = _NAMES[word.strip("_")]
        size = UNITS[foot].si * _FEET_PER[key] if key in _FEET_PER else UNITS[foot if key == "ft" else key].si
        total += Fraction(match["number"].replace(",", "")) * size
        name, at = name or key, match.end()
    if at is not None:
        return float(total), name
    bare = NUMBER.search(text) if unit else None
    if bare is None or unit is None:
        return None
    return float(Fraction(bare[0].replace(",", "")) * UNITS[unit].si), unit
