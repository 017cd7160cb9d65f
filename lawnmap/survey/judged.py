"""The shapes of a sheet, mended, each with what it is taken for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
import shapely

from lawnmap.errors import LawnmapError, ShapeError
from lawnmap.survey.attributes import meant
from lawnmap.survey.mend import GROUND, LINES, closed_line, mend
from lawnmap.survey.notes import Notes
from lawnmap.survey.roles import Part, judge, roles_by_user
from lawnmap.survey.source import Source

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    from lawnmap.survey.features import Sheet

NEEDS_GROUND: Final = ("lawn", "obstacle", "lot")
"""Roles that only an outline can play."""


@dataclass
class Judged:
    """The shapes of a sheet on their way into yards; every list has one entry per shape.

    Attributes
    ----------
    shapes : array of shapely geometry or None, shape (n,)
        Mended, in the coordinates of the file; None where there is nothing to use.
    parts : list of Part
        What each is taken for.
    means : list of dict
        What the columns say of each.
    places : list of str
        Where each stands in the file.
    notes : Notes
        What was found so far.
    faults : dict of int to LawnmapError
        The shapes that cannot be used, by number.
    """

    shapes: NDArray[np.object_]
    parts: list[Part]
    means: list[dict[str, object]]
    places: list[str]
    notes: Notes
    faults: dict[int, LawnmapError]


def judge_all(sheet: Sheet, source: Source | None = None) -> Judged:
    """Mend every shape of a sheet and tell what it is.

    Parameters
    ----------
    sheet : Sheet
        What a door handed over.
    source : Source, optional
        The user's word on roles, and on the column that names the yard.

    Raises
    ------
    ShapeError
        Where there is no ground at all.
    FileError
        Where the user names a layer or shape that there is not.
    """
    source = source or Source()
    means = [meant(feature.attributes, source.yard_column) for feature in sheet.features]
    places = [
        f'{feature.where} "{what["name"]}"' if "name" in what else feature.where
        for feature, what in zip(sheet.features, means, strict=True)
    ]
    notes = Notes(places)
    given = np.empty(len(places), dtype=object)
    given[:] = [feature.shape for feature in sheet.features]
    shapes, faults = mend(given, places, notes)
    dimensions = _dimensions(shapes)
    if not faults:
        _refuse_without_ground(shapes, dimensions)
    said = [None] * len(places) if sheet.roles_given else roles_by_user(sheet, means, source.layers)
    parts = [
        said[number] or judge(what, feature.layer, dimension, number, notes)
        for number, (feature, what, dimension) in enumerate(
            zip(sheet.features, means, dimensions.tolist(), strict=True)
        )
    ]
    shapes[[number for number, part in enumerate(parts) if not part.role]] = None
    judged = Judged(shapes, parts, means, places, notes, {**faults})
    _make_ground(judged)
    _covers_as_percent(judged, are_shares=sheet.covers_are_shares)
    return judged


def _dimensions(shapes: NDArray[np.object_]) -> NDArray[np.int64]:
    """0 for points, 1 for open lines, 2 for ground and for closed lines, which may be ground."""
    kinds = shapely.get_type_id(shapes)
    closed = np.isin(kinds, LINES) & shapely.is_closed(shapes) & (shapely.get_num_coordinates(shapes) > 3)
    found = np.where(np.isin(kinds, LINES), 1, 0)
    found[np.isin(kinds, GROUND) | closed | shapely.is_missing(shapes)] = 2
    return found


def _refuse_without_ground(shapes: NDArray[np.object_], dimensions: NDArray[np.int64]) -> None:
    present = ~shapely.is_missing(shapes)
    if (dimensions[present] == 2).any():
        return
    if not present.any():
        raise ShapeError("there are no shapes in it", mend="draw the lawn as an outline")
    what = "open lines" if (dimensions[present] == 1).any() else "points"
    raise ShapeError(
        f"it holds only {what}, which enclose no ground", mend="draw the lawn as a closed outline"
    )


def _make_ground(judged: Judged) -> None:
    """Close lines that must be ground; leave out points that ought to be, and refuse open lines."""
    kinds = shapely.get_type_id(judged.shapes)
    for number in np.flatnonzero(~np.isin(kinds, GROUND) & (kinds >= 0)).tolist():
        if judged.parts[number].role not in NEEDS_GROUND:
            continue
        role, place = judged.parts[number].role, judged.places[number]
        if kinds[number] not in LINES:
            judged.shapes[number] = None
            judged.notes.add(
                "point-left-out", f"a point given as {role} has no ground, so it is left out", [number]
            )
            continue
        try:
            ground = closed_line(judged.shapes[number], place, number, judged.notes)
        except ShapeError as fault:
            ground, judged.faults[number] = None, fault
        if ground is None and number not in judged.faults:
            judged.faults[number] = ShapeError(
                f"an open line is given as {role}", where=place, mend="close it, or give it another role"
            )
        judged.shapes[number] = ground


def covers_are_shares(covers: Iterable[float]) -> bool:
    """Whether a cover column holds shares: it never passes 1, and nobody grades all lawns under 1 percent. [% or 1]"""
    return 0 < max(covers, default=0.0) <= 1


def _covers_as_percent(judged: Judged, *, are_shares: bool | None) -> None:
    """Read a cover column of shares as percentages."""
    given = {
        number: float(value)
        for number, what in enumerate(judged.means)
        if isinstance(value := what.get("cover_percent"), int | float) and not isinstance(value, bool)
    }
    if covers_are_shares(given.values()) if are_shares is None else are_shares:
        for number, value in given.items():
            judged.means[number]["cover_percent"] = 100 * value
        judged.notes.add("cover-as-fraction", "covers of 0 to 1 are taken for 0 to 100 percent", given)
