"""Where things go on a sheet of any kind: metres to points of the sheet, words where they fit, round lengths."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from lawnmap.units import convert

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from lawnmap.sheets.marks import Label, Scene
    from lawnmap.units import UnitSystem

MARGIN_PX: Final = 28.0
FOOT_PX: Final = 34.0  # the strip with the scale bar
TALL: Final = 1.4  # height of a line over the size of the type
SIZE_PX: Final = {"zone": 13.0, "landmark": 11.0, "obstacle": 11.0}
_LETTER: Final = 0.56  # mean width of a letter over the size of the type, sans serif
_NUMBER_GAP_PX: Final = 22.0
_BAR_PX: Final = 150.0

Box = tuple[float, float, float, float]
"""Left, top, right and foot. [px]"""


@dataclass(frozen=True)
class Paper:
    """Where metres of the yard lie on the sheet.

    Attributes
    ----------
    west_m, north_m : float
        The corner of the yard that comes to lie inside the margin, at the top left. [m]
    px_per_m : float
        Scale. [px/m]
    width_px, height_px : float
        Of the sheet, margins and foot included. [px]
    """

    west_m: float
    north_m: float
    px_per_m: float
    width_px: float
    height_px: float

    def at(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Turn [east, north] into [right, down]. [m] to [px]"""
        return (points - (self.west_m, self.north_m)) * (self.px_per_m, -self.px_per_m) + MARGIN_PX


def fit(scene: Scene, width_px: float, height_px: float) -> Paper:
    """Fit a scene into a width and a greatest height; a yard that is less wide stands in the middle.

    Parameters
    ----------
    scene : Scene
        What to draw.
    width_px, height_px : float
        Width, and greatest height, of the sheet. [px]
    """
    west, south, east, north = scene.bounds
    most_px = height_px - 2 * MARGIN_PX - FOOT_PX
    wide_m, tall_m = max(east - west, 0.1), max(north - south, 0.1)
    scale = min((width_px - 2 * MARGIN_PX) / wide_m, most_px / tall_m)
    spare_m = ((width_px - 2 * MARGIN_PX) / scale - wide_m) / 2
    return Paper(west - spare_m, north, scale, width_px, tall_m * scale + 2 * MARGIN_PX + FOOT_PX)


@dataclass(frozen=True)
class Placed:
    """A label that found room, what it says there, and the room.

    Attributes
    ----------
    label : Label
        Whose words they are.
    lines : tuple of str
        The words.
    box : tuple of float
        Left, top, right and foot. [px]
    """

    label: Label
    lines: tuple[str, ...]
    box: Box

    @property
    def size_px(self) -> float:
        """Size of the type. [px]"""
        return SIZE_PX[self.label.kind]

    @property
    def places(self) -> tuple[tuple[float, float], ...]:
        """Middle and base line of each line. [px]"""
        middle = (self.box[0] + self.box[2]) / 2
        first = self.box[1] + 0.5 * self.size_px * TALL + 0.35 * self.size_px
        return tuple((middle, first + i * self.size_px * TALL) for i in range(len(self.lines)))


def place_labels(scene: Scene, paper: Paper) -> tuple[Placed, ...]:
    """Write each label where it fits; what does not fit is said shorter or not at all.

    Parameters
    ----------
    scene : Scene
        With the labels, in order of importance.
    paper : Paper
        What they are written on.
    """
    places = paper.at(np.array([[label.east_m, label.north_m] for label in scene.labels]).reshape(-1, 2))
    taken: list[Box] = [
        (right - 6, down - 6, right + 6, down + 6)
        for label, (right, down) in zip(scene.labels, places, strict=True)
        if label.kind == "landmark"
    ]
    found = []
    for label, (right, down) in zip(scene.labels, places, strict=True):
        for lines, box in _choices(label, right, down, paper.px_per_m):
            if box[0] > 0 and box[2] < paper.width_px and not any(overlap(box, other) for other in taken):
                taken.append(box)
                found.append(Placed(label, lines, box))
                break
    return tuple(found)


def _choices(
    label: Label, right: float, down: float, px_per_m: float
) -> Iterator[tuple[tuple[str, ...], Box]]:
    """Give what a label may say and the room that takes, the best first."""
    size = SIZE_PX[label.kind]
    pad = 4.0 if label.kind == "zone" else 0.0
    for lines in (label.lines, label.lines[:1], (label.short,)):
        wide = max(len(line) for line in lines) * size * _LETTER + 2 * pad
        half = len(lines) * size * TALL / 2
        if label.kind == "landmark":
            yield lines, (right + 9, down - half, right + 9 + wide, down + half)
            yield lines, (right - 9 - wide, down - half, right - 9, down + half)
            return
        if wide <= label.room_m * px_per_m - 6 or lines == (label.short,) != ("",):
            yield lines, (right - wide / 2, down - half, right + wide / 2, down + half)


def overlap(one: Box, other: Box) -> bool:
    """Tell whether two boxes share more than an edge. [px]"""
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def lane_step(lane_gap_px: float) -> int:
    """Say which lanes carry their number, so that numbers do not crowd: every one, fifth, tenth …

    Parameters
    ----------
    lane_gap_px : float
        Distance of neighbouring lanes. [px]
    """
    return next((step for step in (1, 5, 10, 20, 50) if step * lane_gap_px >= _NUMBER_GAP_PX), 100)


def scale_bar(units: UnitSystem, px_per_m: float) -> tuple[float, str]:
    """Return how long a bar of a round length is on the sheet, and what to write beside it. [px]

    Parameters
    ----------
    units : UnitSystem
        What the length is written in.
    px_per_m : float
        Scale of the sheet. [px/m]
    """
    length = round_length(float(convert(_BAR_PX / px_per_m, units.length_unit)))
    return length / float(convert(1.0, units.length_unit)) * px_per_m, f"{length:g} {units.length_unit}"


def round_length(longest: float) -> float:
    """Return the greatest of 1, 2, 5, 10, 20 … that is not longer.

    Parameters
    ----------
    longest : float
        A length in any unit. [1]

    Examples
    --------
    >>> round_length(73.0), round_length(0.3)
    (50.0, 0.2)
    """
    power = 10.0 ** np.floor(np.log10(longest))
    return float(max(step * power for step in (1, 2, 5) if step * power <= longest))
