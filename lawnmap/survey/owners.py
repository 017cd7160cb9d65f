"""Which yard each shape of a file belongs to."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, Final

import numpy as np
import shapely

from lawnmap.survey.notes import WHOLE_FILE

if TYPE_CHECKING:
    from lawnmap.survey.judged import Judged
    from lawnmap.survey.place import Place

NEAR_M: Final = 30.0
"""Water and landmarks that name no yard belong to every yard this near. [m]"""

NO_NAME: Final = "no name"
"""What the yard of all lawns is called that name none, beside others that do."""

_DEGREE_M = 111_320.0
_NAMED = 3


def owners(judged: Judged, place: Place, name: str, *, several: bool = False) -> dict[str, list[int]]:
    """Sort the shapes by yard.

    A column names the yard of each lawn (`lawnmap.survey.attributes.MEANINGS`). Obstacles, water and
    landmarks belong to the yard that they name; those that name none, to every yard they touch.

    Parameters
    ----------
    judged : Judged
        The shapes.
    place : Place
        Where their coordinates lie.
    name : str
        Name of the yard of a file that names none.
    several : bool
        Whether there are several yards, even if only one is named here.

    Returns
    -------
    dict of str to list of int
        Yard to the numbers of its shapes, in the order of the file.
    """
    keys = [key_of(what.get("yard")) for what in judged.means]
    lawns = [number for number, part in enumerate(judged.parts) if part.role in {"lawn", "lot"}]
    named = dict.fromkeys(keys[number] for number in lawns if keys[number])
    if len(named) <= 1 and not several:
        return {next(iter(named), name): list(range(len(keys)))}
    yards: dict[str, list[int]] = {key: [] for key in named}
    nameless = [number for number in lawns if not keys[number]]
    if nameless:
        yards[NO_NAME] = []
        judged.notes.add("yard-missing", 'names no yard and is put into one called "no name"', nameless)
    for number in nameless:
        keys[number] = NO_NAME
    loose, lost = [], []
    for number, key in enumerate(keys):
        if key in yards:
            yards[key].append(number)
        elif key:
            lost.append(number)
        else:
            loose.append(number)
    lost += _touching(judged, place, keys, loose, yards)
    _tell_lost(judged, lost)
    return {key: sorted(numbers) for key, numbers in yards.items()}


def key_of(value: object) -> str:
    """Write the cell of a yard column alike, whether the file kept it as text or as a number."""
    if value is None:
        return ""
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return str(value).strip()


def _touching(
    judged: Judged, place: Place, keys: list[str], loose: list[int], yards: dict[str, list[int]]
) -> list[int]:
    """Give loose shapes to the yards they touch, or are near to; return those that touch none."""
    grounds = [
        number
        for number, key in enumerate(keys)
        if key in yards and judged.parts[number].role in {"lawn", "lot"} and judged.shapes[number] is not None
    ]
    tree = shapely.STRtree(judged.shapes[grounds])
    unit_m = place.unit_m if np.isfinite(place.unit_m) else _DEGREE_M
    found: dict[int, set[str]] = defaultdict(set)
    for near_m, roles in ((0.0, {"obstacle"}), (NEAR_M, {"water", "landmark"})):
        asking = [number for number in loose if judged.parts[number].role in roles]
        pairs = tree.query(judged.shapes[asking], predicate="dwithin", distance=near_m / unit_m)
        for asked, ground in pairs.T.tolist():
            found[asking[asked]].add(keys[grounds[ground]])
    for number in loose:
        if number in judged.faults:  # nobody knows whose it is, so nobody may miss it
            found[number] = set(yards)
        for key in found[number]:
            yards[key].append(number)
    return [number for number in loose if not found[number]]


def _tell_lost(judged: Judged, lost: list[int]) -> None:
    if not lost:
        return
    places = ", ".join(judged.places[number] for number in sorted(lost)[:_NAMED])
    more = f" and {len(lost) - _NAMED} more" if len(lost) > _NAMED else ""
    judged.notes.add("no-yard", f"left out, since no yard is theirs: {places}{more}", [WHOLE_FILE])
