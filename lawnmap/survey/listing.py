"""What is on each layer of a drawing: the first look at a file whose layers nobody knows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import shapely

from lawnmap.errors import FileError, LawnmapError
from lawnmap.survey.codes import guess_role
from lawnmap.survey.drafting import Draft, close_rings
from lawnmap.survey.dxf.door import open_dxf
from lawnmap.survey.reading import check_file
from lawnmap.survey.source import Source
from lawnmap.units import figure

if TYPE_CHECKING:
    from pathlib import Path

    from lawnmap.units import UnitSystem


_SHOWN: Final = 3


@dataclass(frozen=True)
class Layer:
    """What is on one layer of a drawing.

    Attributes
    ----------
    name : str
        The layer.
    entities : dict
        Kind of entity to how many.
    closed_area_m2 : tuple of float
        Area of each closed outline, largest first; square drawing units where it is `unitless`. [m²]
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
            shown = [f"{figure(area)} square drawing units" for area in self.closed_area_m2[:_SHOWN]]
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
    """Tell for each layer of a drawing what is on it, the areas that it closes, and what it may be.

    Parameters
    ----------
    path : Path
        The file.
    source : Source, optional
        CRS and unit where the drawing does not say. Areas are as drawn, not on the ellipsoid.

    Raises
    ------
    FileError
        Where the file is no drawing.
    """
    if path.suffix.lower() != ".dxf":
        raise FileError(
            "only a drawing is listed by its layers",
            where=str(path),
            mend="measure it as it is, or give a .dxf file",
        )
    source = source or Source()
    try:
        check_file(path)
        opened = open_dxf(path, source)
    except LawnmapError as fault:
        raise fault.at(str(path)) from None
    unit_m = opened.unit_m
    unitless = opened.crs is None and opened.scale.unit is None
    rows = []
    for name, entities in sorted(opened.drawing.counts.items()):
        draft = Draft(source.gap_m / unit_m)
        closed = close_rings([piece for piece in opened.drawing.pieces if piece.layer == name], draft)
        areas = [shapely.Polygon(piece.points, piece.holes).area * unit_m**2 for piece in closed]
        rows.append(
            Layer(
                name,
                entities,
                tuple(sorted(areas, reverse=True)),
                _word(guess_role(name)),
                name in opened.drawing.hidden,
                unitless,
            )
        )
    return tuple(rows)


def _word(role: tuple[str, str] | None) -> str | None:
    return (role[1] or role[0]) if role else None
