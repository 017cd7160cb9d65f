"""What is on each layer of a drawing or code of a point file: the first look at a file that nobody knows."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import shapely

from lawnmap.errors import FileError, LawnmapError
from lawnmap.survey.codes import SKIP, guess_role
from lawnmap.survey.doors import DOORS
from lawnmap.survey.drafting import Draft, close_rings
from lawnmap.survey.dxf.door import open_dxf
from lawnmap.survey.plain import read_text, text_of
from lawnmap.survey.points.door import plot_points
from lawnmap.survey.points.figures import CHECKS, code_of
from lawnmap.survey.reading import check_file
from lawnmap.survey.source import Source
from lawnmap.units import figure

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from lawnmap.survey.linework import Piece
    from lawnmap.units import UnitSystem


_SHOWN: Final = 3
_TEXTS: Final = tuple(ending for ending, door in DOORS.items() if door is read_text)
_OTHERS: Final = "only drawings have layers, and point files codes, to be listed"
_MEASURE: Final = "measure it as it is"


@dataclass(frozen=True)
class Layer:
    """What is on one layer of a drawing, or of one code of a point file.

    Attributes
    ----------
    name : str
        The layer.
    entities : dict
        Kind of entity to how many; of a code, how many points.
    closed_area_m2 : tuple of float
        Area of each closed outline, largest first; square units of the file where it is `unitless`. [m²]
    role : str or None
        Role, or kind of obstacle, that its name hints at.
    hidden : bool
        Whether it is off or frozen.
    unitless : bool
        Whether nobody says what a drawing unit is.
    """

    name: str
    entities: dict[str, int]
    closed_area_m2: tuple[float, ...]
    role: str | None
    hidden: bool
    unitless: bool = False

    def entities_text(self) -> str:
        """Say how many of each kind there are, and whether they are hidden."""
        text = ", ".join(f"{count} {kind}" for kind, count in sorted(self.entities.items()))
        return f"{text} (off)" if self.hidden else text

    def areas_text(self, units: UnitSystem) -> str:
        """Say what it closes, the largest first.

        Parameters
        ----------
        units : UnitSystem
            What to write areas in.
        """
        if self.unitless:
            shown = [f"{figure(area)} square units of the file" for area in self.closed_area_m2[:_SHOWN]]
        else:
            shown = [units.area(area) for area in self.closed_area_m2[:_SHOWN]]
        more = len(self.closed_area_m2) - len(shown)
        return ", ".join(shown) + (f" and {more} more" if more else "") if shown else "none"

    def role_text(self) -> str:
        """Say what its name hints at."""
        return {"skip": "left out", None: "? (--role)"}.get(self.role, self.role or "")

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "name": self.name,
            "entities": self.entities,
            "closed_area_m2": list(self.closed_area_m2),
            "role": self.role,
            "hidden": self.hidden,
            "unitless": self.unitless,
        }


def list_layers(path: Path, source: Source | None = None) -> tuple[Layer, ...]:
    """Tell for each layer of a drawing, or code of a point file, what is on it, what it closes, what it may be.

    Parameters
    ----------
    path : Path
        The file.
    source : Source, optional
        CRS and unit where the file does not say. Areas are as drawn, not on the ellipsoid.

    Raises
    ------
    FileError
        Where the file is neither.
    """
    source = source or Source()
    door = {**dict.fromkeys(_TEXTS, _of_text), ".dxf": _of_drawing}.get(path.suffix.lower())
    if door is None:
        raise FileError(_OTHERS, where=str(path), mend=_MEASURE)
    try:
        check_file(path)
        return door(path, source)
    except LawnmapError as fault:
        raise fault.at(str(path)) from None


def _of_drawing(path: Path, source: Source) -> tuple[Layer, ...]:
    opened = open_dxf(path, source)
    drawing, unitless = opened.drawing, opened.crs is None and opened.scale.unit is None
    return tuple(
        Layer(
            name,
            entities,
            _closed_m2(drawing.pieces, name, source, opened.unit_m),
            _word(guess_role(name)),
            name in drawing.hidden,
            unitless,
        )
        for name, entities in sorted(drawing.counts.items())
    )


def _of_text(path: Path, source: Source) -> tuple[Layer, ...]:
    text, kind = text_of(path)
    if kind != "points":
        raise FileError(_OTHERS, mend=_MEASURE)
    plot = plot_points(text, source)
    unitless = source.crs is None and plot.scale.unit is None
    counts = Counter(code_of(shot) for shot in plot.shots)
    return tuple(
        Layer(
            code,
            {"POINT": count},
            _closed_m2(plot.pieces, code, source, plot.scale.unit_m),
            _word(SKIP if code in CHECKS else guess_role(code)),
            hidden=False,
            unitless=unitless,
        )
        for code, count in sorted(counts.items())
    )


def _closed_m2(pieces: Sequence[Piece], layer: str, source: Source, unit_m: float) -> tuple[float, ...]:
    """Areas that a layer closes, the largest first. [m²]"""
    closed = close_rings([piece for piece in pieces if piece.layer == layer], Draft(source.gap_m / unit_m))
    areas = [shapely.Polygon(piece.points, piece.holes).area * unit_m**2 for piece in closed]
    return tuple(sorted(areas, reverse=True))


def _word(role: tuple[str, str] | None) -> str | None:
    return (role[1] or role[0]) if role else None
