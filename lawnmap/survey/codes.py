"""What a layer of a drawing or the code of a survey point stands for, told from the words in its name."""

from __future__ import annotations

import re
from typing import Final

from lawnmap.errors import ChoiceError, nearest
from lawnmap.survey.attributes import WORDS, told_by
from lawnmap.yard import DENSITIES

SKIP: Final = ("skip", "")
"""Role of a layer that is left out, with no kind."""

_SHORT: Final[dict[str, str]] = {
    short: word
    for word, shorts in (
        ("tree", "trnk"),
        ("bed", "plnt plant bush"),
        ("building", "bldg bld hse resi gar"),
        ("drive", "driv drv drwy pkng park asph pvmt pave pavement rd ep eop"),
        ("walk", "swlk sw conc pavers"),
        ("lot", "prop pl bndy bdy"),
        ("water", "watr bank tow eow"),
        ("corner", "prcnr cor"),
        (
            "skip",
            "text txt anno dim dims note cont contour topo ttlb title nplt defpoints patt ease util grid chk",
        ),
    )
    for short in shorts.split()
}
"""Short words of layer names and point codes to plain ones.

BLDG, ROAD, TOPO, PLNT, PKNG, PROP are major groups of layer names as public drawings carry them
(L-PLNT-TURF, V-PROP-LINE, C-ROAD, A-BLDG-OTLN), EP is the edge of pavement. *common practice*
"""


def guess_role(name: str) -> tuple[str, str] | None:
    """Return the role and kind that a name hints at, or None.

    Parameters
    ----------
    name : str
        Layer name, point code or description.

    Examples
    --------
    >>> guess_role("L-PLNT-TURF"), guess_role("V-PROP-LINE"), guess_role("Swimming pool"), guess_role("0")
    (('lawn', ''), ('lot', ''), ('obstacle', 'pool'), None)
    """
    words = [_SHORT.get(word, word) for word in re.split(r"[^a-z]+", name.lower()) if word]
    if "skip" in words:
        return SKIP
    told = told_by(" ".join(words))
    if told is None:  # words that run together: FRONTLAWN
        told = next((told_by(word) for word in WORDS if len(word) > 3 and word in "".join(words)), None)
    return told


def role_of(word: str, where: str) -> tuple[str, str]:
    """Return the role and kind that the user wrote, or say which he may have meant.

    Parameters
    ----------
    word : str
        ``"lawn"``, a kind of obstacle or of landmark, ``"water"``, ``"lot"`` or ``"skip"``.
    where : str
        The place, for the message.

    Raises
    ------
    ChoiceError
        Where there is no such role.
    """
    plain = word.strip().lower()
    if plain == "skip":
        return SKIP
    if plain == "other":
        return ("obstacle", "other")
    told = told_by(plain)
    if told is None:
        raise ChoiceError(
            f'"{word}" is not a role that a layer can have',
            where=where,
            mend=nearest(plain, [*WORDS, "skip"]),
        )
    return told


def part_density(words: str) -> tuple[str, str]:
    """Part what a shape is from the class of its stand, where that comes last.

    Parameters
    ----------
    words : str
        As a person wrote them.

    Examples
    --------
    >>> part_density("Lawn thin"), part_density("house"), part_density("bare")
    (('lawn', 'thin'), ('house', ''), ('bare', ''))
    """
    what = words.lower().split()
    density = what.pop() if len(what) > 1 and what[-1] in DENSITIES else ""
    return " ".join(what), density


def attributes_of(role: tuple[str, str] | None, name: str = "") -> dict[str, object]:
    """Return a shape's attributes as the exchange format names them.

    Parameters
    ----------
    role : tuple of str or None
        Role and kind; None where nothing is known.
    name : str
        What people call it, where the file tells.
    """
    said: dict[str, object] = {"name": name} if name else {}
    if role is not None:
        said["role"] = role[0]
        if role[1]:
            said["kind"] = role[1]
    return said
