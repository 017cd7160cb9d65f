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

_RATES: Final[dict[str, FindingKind]] = {}

_LANES: Final[dict[str, FindingKind]] = {
    "narrower-than-swath": FindingKind(
        "A piece of ground is too narrow for a single lane.",
        "Spread it by hand, or use a narrower swath.",
        mended=False,
    ),
    "hand-spots": FindingKind(
        "Corners and necks that no lane or round reaches.",
        "Spread them by hand; they are drawn on the map.",
        mended=False,
    ),
    "no-way-through": FindingKind(
        "Two parts of the ground are not joined by ground that may be walked on; the way is drawn straight.",
        "Add the drive, path or gate that joins them, or work the parts one by one.",
        mended=False,
    ),
    "order-cut-short": FindingKind(
        "The search for a short order of the lanes was cut short; the best one so far is used.",
        "Split the ground into zones if the order looks poor.",
        mended=False,
    ),
}

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
