"""A sheet turned into yards, each on its own equal-area plane."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely

from lawnmap.errors import FileError, LawnmapError, nearest
from lawnmap.survey.assemble import assemble
from lawnmap.survey.attributes import read_length
from lawnmap.survey.judged import Judged, judge_all
from lawnmap.survey.owners import owners
from lawnmap.survey.place import Place, check_site, check_widths, onto, place_of, site_plane, to_datum
from lawnmap.yard import Origin, Plane, Yard

if TYPE_CHECKING:
    from pathlib import Path

    from numpy.typing import NDArray

    from lawnmap.survey.features import Sheet
    from lawnmap.survey.source import Source

_CELL_DEG = 0.1  # yards of one cell share a plane: 8 km from its middle lengths are true to 2 in 10⁷
_LISTED = 5


def build_yard(sheet: Sheet, source: Source, path: Path) -> Yard:
    """Turn a sheet into the one yard that it holds, or the one that the user names.

    Parameters
    ----------
    sheet : Sheet
        What a door handed over.
    source : Source
        The user's choices.
    path : Path
        The file, for the yard's name and origin.

    Raises
    ------
    FileError
        Where the coordinates have no place, or there are several yards and none is named.
    ShapeError
        Where an outline is not a piece of ground, or there is no lawn.
    """
    judged, place = _judged(sheet, source)
    yards = owners(judged, place, path.stem)
    if len(yards) > 1 and source.yard is None:
        names = ", ".join(list(yards)[:_LISTED])
        more = f" and {len(yards) - _LISTED} more" if len(yards) > _LISTED else ""
        raise FileError(f"it holds {len(yards)} yards: {names}{more}", mend="say which one with --yard")
    return _Builder(sheet, source, path, judged, place).built(_wanted(yards, source))[0]


def build_yards(sheet: Sheet, source: Source, path: Path) -> tuple[Yard, ...]:
    """Turn a sheet into every yard that it holds; arguments and faults as for `build_yard`."""
    judged, place = _judged(sheet, source)
    yards = owners(judged, place, path.stem)
    return _Builder(sheet, source, path, judged, place).built(_wanted(yards, source))


def build_each(
    sheet: Sheet, source: Source, path: Path, *, several: bool = False
) -> dict[str, Yard | LawnmapError]:
    """Turn a sheet into every yard that it holds, a fault standing in place of a yard that cannot be used.

    Parameters
    ----------
    sheet : Sheet
        What a door handed over.
    source : Source
        The user's choices.
    path : Path
        The file.
    several : bool
        Whether the sheet is a part of a file of several yards, even if it holds but one of them.

    Raises
    ------
    LawnmapError
        For what is wrong with the whole sheet.
    """
    judged, place = _judged(sheet, source)
    yards = owners(judged, place, path.stem, several=several)
    builder = _Builder(sheet, source, path, judged, place, shared=several or len(yards) > 1)
    return builder.each(_wanted(yards, source))


def _judged(sheet: Sheet, source: Source) -> tuple[Judged, Place]:
    column = source.yard_column
    if column is not None:
        known = {key for feature in sheet.features for key in feature.attributes}
        if column.lower() not in known:
            raise FileError(f'there is no column "{column}" in it', mend=nearest(column, known))
    judged = judge_all(sheet, source)
    return judged, place_of(sheet, source, judged.notes)


def _wanted(yards: dict[str, list[int]], source: Source) -> dict[str, list[int]]:
    if source.yard is None:
        return yards
    if source.yard not in yards:
        raise FileError(
            f'there is no yard "{source.yard}" in it', mend=nearest(source.yard, list(yards)[:50])
        )
    return {source.yard: yards[source.yard]}


@dataclass(frozen=True)
class _Builder:
    """A sheet that has been judged, on its way into yards.

    `shared` planes lie about the middle of a cell of the globe: those of one yard do not depend on the others read
    with it. A yard alone has a plane about its own middle.
    """

    sheet: Sheet
    source: Source
    path: Path
    judged: Judged
    place: Place
    shared: bool | None = None

    def built(self, yards: dict[str, list[int]]) -> tuple[Yard, ...]:
        """Project the shapes of the wanted yards, all at once, and put each yard together."""
        for name, numbers in yards.items():
            _refuse_faults(self.judged, name, numbers, alone=len(yards) == 1)
        shared = len(yards) > 1 if self.shared is None else self.shared
        flat = [number for numbers in yards.values() for number in numbers]
        ends = np.cumsum([len(numbers) for numbers in yards.values()])
        shapes, planes = _projected(
            self.judged.shapes[flat], ends, list(yards), (self.place, shared), self.judged
        )
        built = []
        for (name, numbers), end, plane in zip(yards.items(), ends, planes, strict=True):
            own = shapes[end - len(numbers) : end]
            yard = assemble(name, numbers, own, self.judged, plane, self.origin(numbers))
            built.append(yard.with_findings(self.sheet.findings))
        return tuple(built)

    def each(self, yards: dict[str, list[int]]) -> dict[str, Yard | LawnmapError]:
        """Build every yard, and halve the yards at a fault until it stands alone."""
        if not yards:
            return {}
        try:
            return dict(zip(yards, self.built(yards), strict=True))
        except LawnmapError as fault:
            if len(yards) == 1:
                return dict.fromkeys(yards, fault)
        names, half = list(yards), len(yards) // 2
        first = self.each({name: yards[name] for name in names[:half]})
        return first | self.each({name: yards[name] for name in names[half:]})

    def origin(self, numbers: list[int]) -> Origin:
        """Return where a yard comes from, with the worst accuracy that its shapes state."""
        sheet, source = self.sheet, self.source
        sigma_m, method = sheet.vertex_sigma_m, sheet.method
        measured = f"{method}; " if method else ""
        column = [
            read_length(what[meaning], unit)
            for what in (self.judged.means[number] for number in numbers)
            for meaning, unit in (("vertex_accuracy_m", "m"), ("vertex_accuracy", ""))
            if meaning in what
        ]
        if column:
            sigma_m, method = max(column), f"{measured}sure as its column of vertex accuracy says"
        if source.vertex_accuracy_m is not None and not sheet.sigma_settled:
            sigma_m, method = source.vertex_accuracy_m, f"{measured}sure as the user states"
        return Origin(
            str(self.path), sheet.format, sheet.layer, sigma_m, method, sheet.closure, source.scale_factor
        )


def _refuse_faults(judged: Judged, name: str, numbers: list[int], *, alone: bool) -> None:
    faults = [judged.faults[number] for number in numbers if number in judged.faults]
    if not faults:
        return
    fault = faults[0]
    what = fault.what if len(faults) == 1 else f"{fault.what} ({len(faults) - 1} more shapes are faulty)"
    where = fault.where if alone else f'yard "{name}", {fault.where}'
    raise type(fault)(what, where=where, mend=fault.mend)


def _projected(
    shapes: NDArray[np.object_],
    ends: NDArray[np.int64],
    names: list[str],
    where: tuple[Place, bool],
    judged: Judged,
) -> tuple[NDArray[np.object_], list[Plane]]:
    place, shared = where
    points, shape_of = shapely.get_coordinates(shapes, return_index=True)
    yard_of = np.searchsorted(ends, shape_of, side="right")
    starts = np.flatnonzero(np.diff(yard_of, prepend=-1))
    if len(starts) < len(names):
        missing = sorted(set(range(len(names))) - set(yard_of[starts].tolist()))
        raise FileError(f'yard "{names[missing[0]]}" has no shapes that can be used', mend="draw its lawn")
    if place.crs is None:
        moved, planes = points * place.unit_m, [Plane("local", unit=place.unit)] * len(names)
    else:
        lonlat = to_datum(points, place)
        check_site(lonlat, judged.notes)
        if shared:
            moved, planes = _on_planes(lonlat, yard_of, starts, place)
        else:
            plane = site_plane(lonlat, place)
            moved, planes = plane.from_datum(lonlat), [plane]
    low, high = np.minimum.reduceat(moved, starts), np.maximum.reduceat(moved, starts)
    check_widths((high - low).max(axis=1), names)
    return onto(shapes, moved), planes


def _on_planes(
    lonlat: NDArray[np.float64], yard_of: NDArray[np.int64], starts: NDArray[np.int64], place: Place
) -> tuple[NDArray[np.float64], list[Plane]]:
    """Move every yard onto the plane of its cell of the globe."""
    low, high = np.minimum.reduceat(lonlat, starts), np.maximum.reduceat(lonlat, starts)
    middle = (low + high) / 2
    across = high[:, 0] - low[:, 0] > 180  # the date line
    if across.any():
        east = lonlat[:, 0] % 360
        turned = (np.minimum.reduceat(east, starts) + np.maximum.reduceat(east, starts)) / 2
        middle[across, 0] = (turned[across] + 180) % 360 - 180
    cells, cell_of_yard = np.unique(np.floor(middle / _CELL_DEG), axis=0, return_inverse=True)
    cell_of_yard = cell_of_yard.reshape(-1)
    cell_of = cell_of_yard[yard_of]
    order = np.argsort(cell_of, kind="stable")
    cuts = np.flatnonzero(np.diff(cell_of[order])) + 1
    moved = np.empty_like(lonlat)
    planes: list[Plane] = []
    for cell, members in zip(cells, np.split(order, cuts), strict=True):
        longitude, latitude = ((cell + 0.5) * _CELL_DEG).round(6).tolist()
        plane = Plane(place.source, place.datum, longitude, latitude, place.unit)
        moved[members] = plane.from_datum(lonlat[members])
        planes.append(plane)
    return moved, [planes[cell] for cell in cell_of_yard]
