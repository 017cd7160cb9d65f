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


_SURVEY: Final[dict[str, FindingKind]] = {}

_MEASURE: Final[dict[str, FindingKind]] = {}

_RATES: Final[dict[str, FindingKind]] = {
    "species-not-in-table": FindingKind(
        "The tables hold no figure for a species; the user's own rate is used.",
        "Check its spelling, and that the rate is for this species.",
        mended=False,
    ),
    "provisional-rate": FindingKind(
        "The rate of a species rests on one or two thin sources.",
        "Give your own rate, from your extension service or the bag.",
        mended=False,
    ),
    "unusual-rate": FindingKind(
        "A rate is far outside what is published.",
        "Check its unit: a rate per acre is 43.56 times one per 1000 square feet.",
        mended=False,
    ),
    "nothing-to-seed": FindingKind(
        "No zone gets any seed.",
        "Grade the thin parts of the lawn as zones of their own, or leave the seed out.",
        mended=False,
    ),
    "nitrogen-over-ceiling": FindingKind(
        "One dose holds more nitrogen than any published ceiling in the tables.",
        "Lower the rate, or give the ceiling of your place.",
        mended=False,
    ),
    "zone-unfed": FindingKind(
        "A whole zone lies within the setback of water.",
        "Check the setback of your place, or split the zone.",
        mended=False,
    ),
    "nothing-to-spray": FindingKind(
        "No zone is sprayed.",
        "Check the densities and zones that the spray goes on.",
        mended=False,
    ),
    "rate-mixed-up": FindingKind(
        "A rate is so far below its yearly maximum that one of the two may be per acre, the other per 1000 sq ft.",
        "Read both on the label again.",
        mended=False,
    ),
    "unusual-carrier": FindingKind(
        "A sprayer puts down far more or less than turf sprayers do.",
        "Check its unit, and calibrate the sprayer.",
        mended=False,
    ),
    "strong-mix": FindingKind(
        "Product makes up an unusual share of the spray.",
        "Check the rate and the carrier on the label.",
        mended=False,
    ),
}

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
