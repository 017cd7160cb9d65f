"""What was clicked: the paper, the known lengths and control points, and the shapes, as the page keeps them."""

from __future__ import annotations

from typing import Annotated, Final, Literal, Self

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from lawnmap.errors import FileError
from lawnmap.yard import Plane

VERSION: Final = 1
"""Version of a sketch file."""

MOST_SHAPES: Final = 2_000
MOST_CORNERS: Final = 20_000

Spot = tuple[float, float]
"""Right and up on the sheet, from its lower left corner. [sheet units]"""

Text = Annotated[str, Field(max_length=200)]
Density = Literal["bare", "thin", "patchy", "full"]
Row = tuple[float, float, float]
Ground = tuple[Row, Row]
"""Rows of an affine map: east and north from right, up and 1. [m]"""

Corners = Annotated[tuple[Spot, ...], Field(min_length=1, max_length=MOST_CORNERS)]


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, allow_inf_nan=False)


class Place(_Part):
    """Plane of a yard that the sketch started from, see `lawnmap.yard.Plane`."""

    source: Text
    datum: Annotated[str, Field(max_length=10_000)]
    longitude_deg: float
    latitude_deg: float
    unit: Text

    @classmethod
    def of(cls, plane: Plane) -> Place:
        """Write a plane down.

        Parameters
        ----------
        plane : Plane
            One with a place on the earth.
        """
        return cls(
            source=plane.source[:200],
            datum=plane.datum,
            longitude_deg=plane.longitude_deg,
            latitude_deg=plane.latitude_deg,
            unit=plane.unit,
        )

    def plane(self) -> Plane:
        """Return the plane."""
        return Plane(self.source, self.datum, self.longitude_deg, self.latitude_deg, self.unit)


class Sheet(_Part):
    """What lies under the drawing.

    Attributes
    ----------
    kind : str
        ``picture`` or ``grid``.
    wide, high : float
        Its size. [sheet units]
    metres_per_unit : float, optional
        Its scale, where it is known beforehand: a grid, a plan drawn to a stated scale. [m]
    east_m, north_m : float
        Where its lower left corner lies on the yard's plane. [m]
    ground : tuple of rows, optional
        The same for a picture that says where it lies: rows of the affine map to the plane. [m]
    place : Place, optional
        The plane, where it has a place on the earth.
    """

    kind: Literal["picture", "grid"]
    wide: float = Field(gt=0, le=1e6)
    high: float = Field(gt=0, le=1e6)
    metres_per_unit: float | None = Field(default=None, gt=0)
    east_m: float = 0.0
    north_m: float = 0.0
    ground: Ground | None = None
    place: Place | None = None


class Known(_Part):
    """A known length: its two ends on the sheet, and what the user typed."""

    ends: tuple[Spot, Spot]
    length: Text


class Tie(_Part):
    """Two tapes from earlier control points.

    Attributes
    ----------
    points : tuple of int
        Numbers of the two, from 1. [count]
    distances : tuple of str
        The tapes, as typed.
    left : bool
        Whether the point lies left of the way from the first to the second.
    """

    points: tuple[Annotated[int, Field(ge=1)], Annotated[int, Field(ge=1)]]
    distances: tuple[Text, Text]
    left: bool = True


class Control(_Part):
    """A control point: where it is on the sheet, and its coordinates on the ground, or its tapes, as typed."""

    at: Spot
    east: Text = ""
    north: Text = ""
    tie: Tie | None = None


class Shape(_Part):
    """One shape.

    Attributes
    ----------
    id : str
        Its own for as long as the sketch lives.
    role : str
        ``lawn``, ``obstacle``, ``water`` or ``landmark``.
    form : str
        ``polygon``, ``circle`` (its centre and a point of its edge), ``line`` or ``point``.
    points : tuple of (right, up)
        Corners, a ring not closed. [sheet units]
    holes : tuple of rings
        Ground inside a polygon that does not belong to it. [sheet units]
    name, kind, density, cover_percent, slope_percent
        As in `lawnmap.yard`.
    """

    id: Text
    role: Literal["lawn", "obstacle", "water", "landmark"]
    form: Literal["polygon", "circle", "line", "point"]
    points: Corners
    holes: tuple[Corners, ...] = ()
    name: Text = ""
    kind: Text = ""
    density: Density | None = None
    cover_percent: float | None = Field(default=None, ge=0, le=100)
    slope_percent: float = Field(default=0.0, ge=0, le=200)


class Sketch(_Part):
    """All that was clicked and typed.

    Attributes
    ----------
    lawnmap_sketch : int
        Version of the file. [1]
    name : str
        Name of the yard.
    units : str
        ``us`` or ``metric``, for what the page shows.
    paper : Sheet
        What lies under the drawing.
    known : tuple of Known
        Known lengths.
    control : tuple of Control
        Control points; they go before the known lengths.
    map_kind : str, optional
        How the control points are fitted: ``similarity``, ``affine`` or ``projective``; the best guess without.
    shapes : tuple of Shape
        In the order of the yard: where two zones overlap, the earlier one has the ground.
    """

    lawnmap_sketch: Literal[1] = VERSION
    name: Text = "Yard"
    units: Literal["us", "metric"] = "us"
    paper: Sheet
    known: Annotated[tuple[Known, ...], Field(max_length=100)] = ()
    control: Annotated[tuple[Control, ...], Field(max_length=100)] = ()
    map_kind: Literal["similarity", "affine", "projective"] | None = None
    shapes: Annotated[tuple[Shape, ...], Field(max_length=MOST_SHAPES)] = ()

    @model_validator(mode="after")
    def _has_own_ids(self) -> Self:
        if len({shape.id for shape in self.shapes}) < len(self.shapes):
            raise ValueError("two shapes have the same id")
        return self

    def text(self) -> bytes:
        """Return the sketch as the bytes of its file."""
        return self.model_dump_json(indent=1, exclude_defaults=False).encode() + b"\n"


def read_sketch(held: bytes, where: str = "the sketch") -> Sketch:
    """Read a sketch from the bytes of its file.

    Parameters
    ----------
    held : bytes
        JSON in UTF-8.
    where : str
        What to call it in a message.

    Raises
    ------
    FileError
        Where it is no sketch, with the first place that is wrong.
    """
    try:
        return Sketch.model_validate_json(held)
    except ValidationError as fault:
        first = fault.errors(include_url=False, include_input=False, include_context=False)[0]
        place = ".".join(str(step) for step in first["loc"])
        raise FileError(
            f"it is no sketch of this version: {place + ': ' if place else ''}{first['msg']}",
            where=where,
            mend="take an earlier copy from the folder kept",
        ) from None
