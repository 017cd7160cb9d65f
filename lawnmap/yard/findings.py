"""What a reader or a room mended, doubted or assumed: the one channel for all of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True)
class Finding:
    """One thing that the user should know.

    Attributes
    ----------
    code : str
        Stable name of the kind, a key of `FINDINGS`.
    text : str
        One plain sentence.
    where : str
        The place: file, layer, feature, zone.
    mended : bool
        Whether the program put it right; if not, it only tells.
    """

    code: str
    text: str
    where: str
    mended: bool

    def to_dict(self) -> dict[str, str | bool]:
        """Return the four attributes as a mapping."""
        return {"code": self.code, "text": self.text, "where": self.where, "mended": self.mended}

    def __str__(self) -> str:
        place = f"{self.where}: " if self.where else ""
        return f"{place}{self.text} [{self.code}]"


@dataclass(frozen=True)
class FindingKind:
    """What a code means.

    Attributes
    ----------
    meaning : str
        What was seen, in one sentence.
    mend : str
        How the user can put the source right.
    mended : bool
        Whether the program has put it right in the result.
    """

    meaning: str
    mend: str
    mended: bool


_SURVEY: Final[dict[str, FindingKind]] = {
    "drawing-recovered": FindingKind(
        "The drawing was damaged; what could be read was read.",
        "Open it in the program that made it, audit it and save it again.",
        mended=True,
    ),
    "entity-left-out": FindingKind(
        "Entities that have no outline in plan were left out.",
        "Draw the outline flat, as a polyline.",
        mended=False,
    ),
    "foot-differs": FindingKind(
        "The file states one kind of foot and its CRS is in the other.",
        "Set the drawing's unit to the foot of its CRS.",
        mended=True,
    ),
    "gap-closed": FindingKind(
        "Ends of linework that did not quite meet were joined.",
        "Join the lines in the drawing, with end-point snap on.",
        mended=True,
    ),
    "geodata-unread": FindingKind(
        "The drawing names a place on the earth in a way that is not understood.",
        "Give the CRS with --crs.",
        mended=False,
    ),
    "layer-left-out": FindingKind(
        "Closed outlines stand on a layer that nothing is known about.",
        "Say what the layer is with --map LAYER=ROLE or in [yard.layers].",
        mended=False,
    ),
    "layer-role-guessed": FindingKind(
        "The role of a layer was told from the words in its name.",
        "Say what the layer is with --map LAYER=ROLE or in [yard.layers].",
        mended=True,
    ),
    "lot-taken-as-lawn": FindingKind(
        "No layer is lawn, so the whole lot was taken, obstacles cut out.",
        "Draw the lawn, or map its layer.",
        mended=True,
    ),
    "open-linework": FindingKind(
        "Lines on a layer of outlines bound no closed shape.",
        "Close the outline, or allow a wider gap with [yard] gap.",
        mended=False,
    ),
    "scaled-to-ground": FindingKind(
        "Grid coordinates were divided by the combined factor that was given.",
        "Nothing to mend: the areas are at ground.",
        mended=True,
    ),
    "unit-overruled": FindingKind(
        "The unit given by the user is not the one that the file states.",
        "Leave out --local-units, or correct the file.",
        mended=True,
    ),
}

_MEASURE: Final[dict[str, FindingKind]] = {}

_RATES: Final[dict[str, FindingKind]] = {}

_LANES: Final[dict[str, FindingKind]] = {}

_EVENNESS: Final[dict[str, FindingKind]] = {}

FINDINGS: Final[dict[str, FindingKind]] = {**_SURVEY, **_MEASURE, **_RATES, **_LANES, **_EVENNESS}
"""Every code that a room may raise, with its meaning and how to mend the source."""


def finding(code: str, text: str, where: str = "") -> Finding:
    """Make a finding of a registered kind.

    Parameters
    ----------
    code : str
        A key of `FINDINGS`.
    text : str
        One plain sentence.
    where : str
        The place.
    """
    return Finding(code, text, where, FINDINGS[code].mended)
