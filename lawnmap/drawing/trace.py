"""From what was clicked to a yard: scale the sheet, put every shape on the ground, say what cannot be used."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import TYPE_CHECKING, Final

import numpy as np
from shapely.geometry import LineString, Point, Polygon
from shapely.validation import explain_validity

from lawnmap.drawing.fit import Fit, fit_lengths, fit_points, tie
from lawnmap.errors import InputError, LawnmapError
from lawnmap.units import parse
from lawnmap.yard import Landmark, Obstacle, Origin, Plane, Water, Yard, Zone

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from lawnmap.drawing.sketch import Control, Shape, Sketch, Spot

ROUND_SIDES: Final = 96
"""Sides of the polygon that stands for a circle; its area is the circle's own."""

FEWEST: Final = {"polygon": 3, "circle": 2, "line": 2, "point": 1}
"""Points that each form needs."""


@dataclass(frozen=True)
class Trouble:
    """A shape that was left out of the yard, and why.

    Attributes
    ----------
    shape : str
        Its id.
    text : str
        One plain sentence.
    """

    shape: str
    text: str

    def to_dict(self) -> dict[str, str]:
        """Return the attributes as a mapping."""
        return {"shape": self.shape, "text": self.text}


def fit_of(sketch: Sketch) -> Fit:
    """Work out how the sheet lies on the ground.

    Parameters
    ----------
    sketch : Sketch
        What was clicked: two or more control points go before known lengths, and these before the
        scale that the paper states.

    Raises
    ------
    InputError
        Without any of the three, or where one of them is not possible.
    """
    if sketch.control:
        sheet = np.array([control.at for control in sketch.control])
        return fit_points(sheet, np.array(_control_ground(sketch.control)), sketch.map_kind)
    if sketch.known:
        lengths = [
            _length(known.length, f"known length {n}") for n, known in enumerate(sketch.known, start=1)
        ]
        return fit_lengths(np.array([known.ends for known in sketch.known]), lengths)
    if sketch.paper.ground is not None:
        return Fit("affine", np.array([*sketch.paper.ground, (0.0, 0.0, 1.0)]), np.empty(0), 0.0)
    stated = sketch.paper.metres_per_unit
    if stated is None:
        raise InputError(
            "the sketch has no scale yet", mend="click both ends of a length that you know and type it"
        )
    matrix = np.array([[stated, 0, sketch.paper.east_m], [0, stated, sketch.paper.north_m], [0, 0, 1.0]])
    return Fit("scale", matrix, np.empty(0), 0.0)


def trace(sketch: Sketch, fit: Fit) -> tuple[Yard, tuple[Trouble, ...]]:
    """Turn a sketch into a yard.

    Parameters
    ----------
    sketch : Sketch
        What was clicked.
    fit : Fit
        How the sheet lies on the ground.

    Returns
    -------
    yard : Yard
        All shapes that can be used, in metres.
    troubles : tuple of Trouble
        Those that cannot, each with the reason.

    Raises
    ------
    ShapeError
        Never for a single bad shape: those are troubles.
    """
    parts: dict[str, list[Zone | Obstacle | Water | Landmark]] = {
        "lawn": [], "obstacle": [], "water": [], "landmark": [],
    }  # fmt: skip
    troubles = []
    names = own_names(sketch.shapes)
    for shape, name in zip(sketch.shapes, names, strict=True):
        try:
            parts[shape.role].append(_part(shape, name, fit))
        except LawnmapError as fault:
            troubles.append(Trouble(shape.id, str(fault)))
    yard = Yard(
        sketch.name or "Yard",
        zones=tuple(part for part in parts["lawn"] if isinstance(part, Zone)),
        obstacles=tuple(part for part in parts["obstacle"] if isinstance(part, Obstacle)),
        water=tuple(part for part in parts["water"] if isinstance(part, Water)),
        landmarks=tuple(part for part in parts["landmark"] if isinstance(part, Landmark)),
        plane=_plane(sketch),
        origin=Origin("sketch.json", "sketch", method="traced"),
    )
    return yard, tuple(troubles)


def _control_ground(control: Sequence[Control]) -> list[tuple[float, float]]:
    """Work out where the control points are: by their coordinates, or by tapes from earlier ones. [m]"""
    ground: list[tuple[float, float]] = []
    for number, point in enumerate(control, start=1):
        where = f"control point {number}"
        if point.tie is None:
            ground.append((_length(point.east, where), _length(point.north, where)))
            continue
        first, second = point.tie.points
        if max(first, second) >= number:
            raise InputError(
                f"it is taped from point {max(first, second)}, which comes after it",
                where=where,
                mend="tape it from two points that are there already",
            )
        one, two = (_length(text, where) for text in point.tie.distances)
        try:
            ground.append(tie(ground[first - 1], ground[second - 1], (one, two), left=point.tie.left))
        except InputError as fault:
            raise fault.at(where) from None
    return ground


def _length(text: str, where: str) -> float:
    try:
        return parse(text, "length")
    except LawnmapError as fault:
        raise fault.at(where) from None


def _plane(sketch: Sketch) -> Plane:
    place = sketch.paper.place
    if place is None or sketch.control or sketch.known:
        return Plane("local")
    return place.plane()


def own_names(shapes: Sequence[Shape]) -> list[str]:
    """Give every shape a name of its own, the typed one where there is one.

    Parameters
    ----------
    shapes : sequence of Shape
        In the order of the sketch.
    """
    taken: set[str] = set()
    names = []
    for shape in shapes:
        stem = shape.name.strip() or (shape.kind if shape.role != "lawn" else "") or shape.role
        name, number = stem, 1
        while name in taken:
            number += 1
            name = f"{stem} {number}"
        taken.add(name)
        names.append(name)
    return names


def _part(shape: Shape, name: str, fit: Fit) -> Zone | Obstacle | Water | Landmark:
    if len(shape.points) < FEWEST[shape.form]:
        raise InputError(
            f"it has {len(shape.points)} points, and a {shape.form} needs {FEWEST[shape.form]}",
            where=name,
            mend="add corners or delete it",
        )
    form = _form(shape, name, fit)
    if shape.role == "landmark":
        if isinstance(form, Polygon):
            raise InputError("a landmark is a point or a line", where=name, mend="draw it so")
        return Landmark(name, form, shape.kind or "corner")
    if isinstance(form, Point):
        raise InputError("it is a single point", where=name, mend="draw its outline")
    if shape.role == "water":
        return Water(name, form)
    if isinstance(form, LineString):
        raise InputError("it is a line", where=name, mend="draw its outline")
    if shape.role == "obstacle":
        return Obstacle(name, shape.kind or "other", form)
    return Zone(name, form, shape.density, shape.cover_percent, shape.slope_percent)


def _form(shape: Shape, name: str, fit: Fit) -> Polygon | LineString | Point:
    ring = _ring(shape, fit)
    if shape.form == "point":
        return Point(ring[0])
    if shape.form == "line":
        line = LineString(ring)
        if line.length == 0:
            raise InputError("it has no length", where=name, mend="draw it again")
        return line
    polygon = Polygon(ring, [_ground(hole, fit) for hole in shape.holes if len(hole) > 2])
    if polygon.convex_hull.area < 1e-6:
        raise InputError("it covers no ground", where=name, mend="draw it again")
    if not polygon.is_valid:
        reason = explain_validity(polygon).partition("[")[0].strip().lower()
        said = (
            "its outline crosses itself"
            if "self-intersection" in reason
            else f"its outline is faulty ({reason})"
        )
        raise InputError(said, where=name, mend="move the corner that lies on the wrong side")
    return polygon


def _ring(shape: Shape, fit: Fit) -> NDArray[np.float64]:
    if shape.form != "circle":
        return _ground(shape.points, fit)
    centre, edge = np.array(shape.points[0]), np.array(shape.points[1])
    turn = 2 * pi * np.arange(ROUND_SIDES) / ROUND_SIDES
    # a regular polygon of n sides has the circle's area at this radius: r² = π R² / (n/2 · sin(2π/n))
    grown = np.sqrt(pi / (ROUND_SIDES / 2 * np.sin(2 * pi / ROUND_SIDES)))
    radius = np.hypot(*(edge - centre)) * grown
    return fit.apply(centre + radius * np.column_stack([np.cos(turn), np.sin(turn)]))


def _ground(points: Sequence[Spot], fit: Fit) -> NDArray[np.float64]:
    return fit.apply(np.array(points, dtype=float))
