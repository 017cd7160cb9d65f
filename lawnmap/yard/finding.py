"""One thing that was mended, doubted or assumed, and the kinds there are of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Severity = Literal["note", "doubt"]
"""A note only tells: the result is what the source says. A doubt is a guess, a default, a thing left out, or
something that looks wrong; strict reading refuses it."""


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
    severity : str
        ``"note"`` or ``"doubt"``.
    """

    code: str
    text: str
    where: str
    mended: bool
    severity: Severity = "doubt"

    def to_dict(self) -> dict[str, str | bool]:
        """Return the five attributes as a mapping."""
        return {
            "code": self.code,
            "text": self.text,
            "where": self.where,
            "mended": self.mended,
            "severity": self.severity,
        }

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
    severity : str
        ``"note"`` or ``"doubt"``.
    example : str
        What a file or a job looks like that brings it up.
    """

    meaning: str
    mend: str
    mended: bool
    severity: Severity = "doubt"
    example: str = ""
