"""One yard put together from its shapes."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

import shapely

from lawnmap.errors import LawnmapError, ShapeError
from lawnmap.survey.attributes import read_density, read_length, read_percent, read_slope
from lawnmap.yard import LANDMARK_KINDS, Landmark, Obstacle, Origin, Plane, Water, Yard, Zone

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    import numpy as np
    from numpy.typing import NDArray

    from lawnmap.survey.judged import Judged


def assemble(
    name: str,
    numbers: Sequence[int],
    shapes: NDArray[np.object_],
    judged: Judged,
    plane: Plane,
    origin: Origin,
) -> Yard:
    """Put one yard together.

    Parameters
    ----------
    name : str
        What the yard is called.
    numbers : sequence of int
        Its shapes, by their numbers in the file. [count]
    shapes : array of shapely geometry or None, shape (n,)
        The same shapes on the plane. [m]
    judged : Judged
        What each shape is.
    plane : Plane
        Where the shapes lie.
    origin : Origin
        Where they come from.

    Raises
    ------
    LawnmapError
        At the first shape that cannot be used, and where there is no lawn.
    """
    for number in numbers:
        if number in judged.faults:
            raise judged.faults[number]
    return _Assembly(name, numbers, shapes, judged).yard(plane, origin)


class _Assembly:
    """The shapes of one yard, sorted by role, with their names given out once each."""

    def __init__(
        self, name: str, numbers: Sequence[int], shapes: NDArray[np.object_], judged: Judged
    ) -> None:
        self.name = name
        self.numbers = numbers
        self.judged = judged
        self.by_role: dict[str, list[tuple[int, Any]]] = {}
        for number, shape in zip(numbers, shapes, strict=True):
            if shape is not None:
                self.by_role.setdefault(judged.parts[number].role, []).append((number, shape))
        self.taken: set[tuple[str, str]] = set()
        self.counts: Counter[str] = Counter()

    def yard(self, plane: Plane, origin: Origin) -> Yard:
        lawns = self._lawns()
        if not lawns:
            raise ShapeError(
                f'yard "{self.name}" has no lawn', mend='give an outline the role "lawn" in its column "role"'
            )
        zones = tuple(self._zone(number, shape) for number, shape in lawns)
        obstacles = tuple(
            Obstacle(self._name(number), self.judged.parts[number].kind or "other", shape)
            for number, shape in self.by_role.get("obstacle", ())
        )
        water = tuple(
            Water(self._name(number), shape, self._setback(number))
            for number, shape in self.by_role.get("water", ())
            if shape.geom_type not in {"Point", "MultiPoint"} or self._note_point(number)
        )
        landmarks = tuple(self._landmarks())
        found = self.judged.notes.told((-1, *self.numbers))
        return Yard(self.name, zones, obstacles, water, landmarks, plane, origin, found)

    def _lawns(self) -> list[tuple[int, Any]]:
        lawns, lots = self.by_role.get("lawn", []), self.by_role.get("lot", [])
        numbers = [number for number, _ in lots]
        if lawns:
            self.judged.notes.add(
                "lot-set-aside", "the outline of the lot is set aside, since lawn is drawn", numbers
            )
            return lawns
        self.judged.notes.add(
            "lot-as-lawn", "the lot is taken as lawn, less every obstacle drawn, since no lawn is", numbers
        )
        return lots

    def _zone(self, number: int, shape: Any) -> Zone:
        means, notes = self.judged.means[number], self.judged.notes
        name = self._name(number)
        try:
            cover = read_percent(means["cover_percent"]) if "cover_percent" in means else None
            density = None
            if "density" in means:
                density, percent, other = read_density(means["density"])
                cover = percent if percent is not None else cover
                if other:
                    read_as = density or f"{percent:g} % cover"
                    notes.add("density-read", f'density "{means["density"]}" is read as {read_as}', [number])
            slope = 0.0
            if "slope_percent" in means:
                slope = read_slope(means["slope_percent"])
            elif "slope_deg" in means:
                slope = read_slope(means["slope_deg"], degrees=True)
        except LawnmapError as fault:
            raise fault.at(self.judged.places[number]) from None
        return Zone(name, shape, density, cover, slope)

    def _setback(self, number: int) -> float | None:
        means = self.judged.means[number]
        for meaning, unit in (("setback_m", "m"), ("setback_ft", "ft"), ("setback", "")):
            if meaning in means:
                try:
                    return read_length(means[meaning], unit)
                except LawnmapError as fault:
                    raise fault.at(self.judged.places[number]) from None
        return None

    def _note_point(self, number: int) -> bool:
        self.judged.notes.add(
            "point-left-out", "a point given as water has no bank, so it is left out", [number]
        )
        return False

    def _landmarks(self) -> Iterator[Landmark]:
        for number, shape in self.by_role.get("landmark", ()):
            kind = self.judged.parts[number].kind
            placed = shape
            if shape.geom_type in {"Polygon", "MultiPolygon"}:
                placed = shape.representative_point()
                self.judged.notes.add(
                    "landmark-moved", "a landmark drawn as ground is put at a point in it", [number]
                )
            for part in shapely.get_parts(placed):
                yield Landmark(self._name(number), part, kind if kind in LANDMARK_KINDS else "other")

    def _name(self, number: int) -> str:
        """The shape's own name, or one made from what it is; never one already given out."""
        part = self.judged.parts[number]
        role = "lawn" if part.role == "lot" else part.role
        given = self.judged.means[number].get("name")
        if given is None:
            label = (part.kind if part.kind not in {"", "other"} else role).capitalize()
            self.counts[label] += 1
            wanted = f"{label} {self.counts[label]}"
            self.judged.notes.add(
                "name-made", "has no name and is called by what it is, with a number", [number]
            )
        else:
            wanted = " ".join(str(given).split())
        name, again = wanted, 1
        while (role, name) in self.taken:
            again += 1
            name = f"{wanted} ({again})"
        if again > 1 and given is not None:
            self.judged.notes.add("name-repeated", f'a second "{wanted}" is called "{name}"', [number])
        self.taken.add((role, name))
        return name
