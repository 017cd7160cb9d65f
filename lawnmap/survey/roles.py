"""What a layer or a point code stands for, told from the words in its name."""

from __future__ import annotations

import re
from typing import Final

from lawnmap.errors import ChoiceError, nearest
from lawnmap.yard import LANDMARK_KINDS, OBSTACLE_KINDS

ROLES: Final = ("lawn", *OBSTACLE_KINDS, "water", "boundary", "landmark", *LANDMARK_KINDS[:-1], "skip")
"""What a layer may be mapped to. ``boundary`` is the lot: it is lawn where nothing else is."""

_WORDS: Final[tuple[tuple[str, str], ...]] = (
    # Topography and lettering are often named after what they are next to.
    (
        "skip",
        r"TEXT|TXT|ANNO|DIM(?:S|ENSION)?|NOTE|CONT(?:OUR)?|TOPO|TTLB|TITLE|NPLT|DEFPOINTS|HATCH|PATT|EASE|UTIL|GRID",
    ),
    ("lawn", r"TURF|LAWN|GRASS|SOD"),
    ("pool", r"POOL|SPA"),
    ("tree", r"TREE|TREES|TRUNK"),
    ("bed", r"BED|BEDS|PLNT|PLANT|PLANTING|BUSH|SHRUB|SHRUBS|MULCH|GARDEN|FLOWER|HEDGE"),
    ("house", r"BLDG|BLD|BUILDING|HOUSE|HSE|DWELLING|RESIDENCE|GARAGE|SHED|BARN|STRUCTURE|ROOF"),
    (
        "drive",
        r"DRIVE|DRIV|DRV|DRWY|DRIVEWAY|PKNG|PARKING|ROAD|STREET|ASPH|ASPHALT|PVMT|PAVE|PAVEMENT|EP|EOP",
    ),
    ("walk", r"WALK|SIDEWALK|SWLK|SW|PATH|PATIO|TERRACE|DECK|CONC|CONCRETE|STEPS|PAVERS?"),
    ("water", r"WATER|WATR|POND|CREEK|STREAM|LAKE|RIVER|SHORE|BANK|DITCH"),
    ("boundary", r"PROP|PROPERTY|BNDY|BDY|BOUNDARY|PARCEL|LOT|PL|LIMIT"),
)
"""Words of the trade, the first match wins: turf before planting, so L-PLNT-TURF is lawn.

BLDG, ROAD, TOPO, PLNT, PKNG, PROP and the likes are major groups of layer names as public drawings
carry them (L-PLNT-TURF, V-PROP-LINE, C-ROAD, A-BLDG-OTLN). *common practice*
"""


def guess_role(name: str) -> str | None:
    """Return the role that a name hints at, or None.

    Parameters
    ----------
    name : str
        Layer name, point code or description.

    Examples
    --------
    >>> guess_role("L-PLNT-TURF"), guess_role("V-PROP-LINE"), guess_role("Swimming pool"), guess_role("0")
    ('lawn', 'boundary', 'pool', None)
    """
    words = [word for word in re.split(r"[^A-Z]+", name.upper()) if word]
    for role, pattern in _WORDS:
        if any(re.fullmatch(f"(?:{pattern})S?", word) for word in words):
            return role
    # Words that run together: "FRONTLAWN".
    run_together = "".join(words)
    for role, pattern in _WORDS[1:]:
        if any(len(word) >= 4 and word in run_together for word in pattern.split("|")):
            return role
    return None


def check_role(word: str, where: str) -> str:
    """Return a role that the user wrote, or say which he may have meant.

    Parameters
    ----------
    word : str
        What the user wrote.
    where : str
        The place, for the message.

    Raises
    ------
    ChoiceError
        Where there is no such role.
    """
    role = word.strip().lower()
    if role not in ROLES:
        raise ChoiceError(
            f'"{word}" is not a role that a layer can have', where=where, mend=nearest(role, ROLES)
        )
    return role


def attributes_of(role: str, name: str = "") -> dict[str, object]:
    """Return a shape's attributes as the exchange format names them.

    Parameters
    ----------
    role : str
        One of `ROLES`, neither ``boundary`` nor ``skip``.
    name : str
        What people call it, where the file tells.
    """
    named: dict[str, object] = {"name": name} if name else {}
    if role in OBSTACLE_KINDS:
        return {"role": "obstacle", "kind": role, **named}
    if role in LANDMARK_KINDS:
        return {"role": "landmark", "kind": role, **named}
    return {"role": role, **named}
