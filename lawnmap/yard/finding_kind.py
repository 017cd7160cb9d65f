"""What the code of a finding means, and how the user can put the source right."""

from __future__ import annotations

from dataclasses import dataclass


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
