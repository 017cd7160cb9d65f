"""One entity of a drawing as flattened lines in plan, heights dropped."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from lawnmap.survey.arcs import bulge_of, circle, ellipse, flatten
from lawnmap.survey.linework import nest

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from numpy.typing import NDArray

_FLAT = 1e-9  # how far an extrusion may lean before the entity no longer lies in plan


class Line(NamedTuple):
    """Vertices [east, north] in the drawing's units, whether they close, and inner rings."""

    points: NDArray[np.float64]
    closed: bool
    holes: tuple[NDArray[np.float64], ...] = ()


class Tilted(Exception):  # noqa: N818  it is caught within the room, an entity left out is no fault
    """An entity stands out of the plan and has no outline there."""


def trace(entity: Any, tolerance: float) -> Iterator[Line]:
    """Return the lines of one entity.

    Parameters
    ----------
    entity : ezdxf entity
        Any; an entity without linework gives nothing.
    tolerance : float
        Greatest distance between curve and chords. [drawing units]

    Raises
    ------
    Tilted
        Where the entity does not lie in plan.
    """
    how = _TRACES.get(entity.dxftype())
    return how(entity, tolerance) if how else iter(())


def _handedness(entity: Any) -> float:
    """1 for an entity seen from above, −1 for one seen from below: its east runs west, its arcs turn over."""
    lean = entity.dxf.extrusion
    if abs(lean.x) > _FLAT * abs(lean.z) or abs(lean.y) > _FLAT * abs(lean.z):
        raise Tilted
    return 1.0 if lean.z > 0 else -1.0


def _run(run: NDArray[np.float64], hand: float, *, closed: bool, tolerance: float) -> Line:
    """Flatten vertices with bulges; a ring that repeats its first vertex is closed whatever its flag says."""
    if hand < 0:
        run = run * np.array([-1.0, 1.0, -1.0])
    if len(run) > 2 and (run[0, :2] == run[-1, :2]).all():
        run, closed = run[:-1], True
    return Line(flatten(run, tolerance, closed=closed), closed)


def _lwpolyline(entity: Any, tolerance: float) -> Iterator[Line]:
    # east, north, two widths, bulge
    values = np.array(entity.lwpoints.values, dtype=np.float64).reshape(-1, 5)
    if len(values) > 1:
        yield _run(values[:, [0, 1, 4]], _handedness(entity), closed=entity.closed, tolerance=tolerance)


def _polyline(entity: Any, tolerance: float) -> Iterator[Line]:
    if not (entity.is_2d_polyline or entity.is_3d_polyline):
        return  # meshes are no outlines
    # Control points of a fitted curve (flag 16) are no part of the line that is drawn.
    vertices = [vertex.dxf for vertex in entity.vertices if not vertex.dxf.flags & 16]
    flat = entity.is_2d_polyline
    run = np.array(
        [(v.location.x, v.location.y, v.bulge if flat else 0.0) for v in vertices], dtype=np.float64
    )
    if len(run) > 1:
        hand = _handedness(entity) if flat else 1.0
        yield _run(run, hand, closed=entity.is_closed, tolerance=tolerance)


def _line(entity: Any, _: float) -> Iterator[Line]:
    start, end = entity.dxf.start, entity.dxf.end
    yield Line(np.array([[start.x, start.y], [end.x, end.y]]), closed=False)


def _circle(entity: Any, tolerance: float) -> Iterator[Line]:
    hand, radius = _handedness(entity), abs(entity.dxf.radius)
    if radius > 0:
        centre = np.array([hand * entity.dxf.center.x, entity.dxf.center.y])
        yield Line(centre + radius * circle(tolerance / radius), closed=True)


def _arc(entity: Any, tolerance: float) -> Iterator[Line]:
    hand, radius = _handedness(entity), abs(entity.dxf.radius)
    begin = np.radians(entity.dxf.start_angle)
    turn = np.radians((entity.dxf.end_angle - entity.dxf.start_angle) % 360) or 2 * np.pi
    if radius > 0:
        # Two halves: the bulge of nearly a whole turn would be out of all measure.
        angle = begin + np.array([0, turn / 2, turn])
        centre = np.array([entity.dxf.center.x, entity.dxf.center.y])
        points = centre + radius * np.column_stack([np.cos(angle), np.sin(angle)])
        run = np.column_stack([points, np.full(3, bulge_of(turn / 2))])
        yield _run(run, hand, closed=False, tolerance=tolerance)


def _ellipse(entity: Any, tolerance: float) -> Iterator[Line]:
    _handedness(entity)
    centre, major, minor = (
        np.array([vector.x, vector.y])
        for vector in (entity.dxf.center, entity.dxf.major_axis, entity.minor_axis)
    )
    span = (entity.dxf.end_param - entity.dxf.start_param) % (2 * np.pi)
    if not np.hypot(*major) > 0:
        return
    if span < 1e-9 or span > 2 * np.pi - 1e-9:
        yield Line(ellipse(centre, major, minor, tolerance), closed=True)
    else:
        begin = entity.dxf.start_param
        yield Line(ellipse(centre, major, minor, tolerance, (begin, begin + span)), closed=False)


def _spline(entity: Any, tolerance: float) -> Iterator[Line]:
    # A drawing's spline may be of any degree with weights: no closed form, so ten times finer chords.
    points = np.array([(p.x, p.y) for p in entity.flattening(tolerance / 10, segments=8)], dtype=np.float64)
    if len(points) > 2:
        closes = bool(np.hypot(*(points[0] - points[-1])) <= tolerance)
        yield Line(points[:-1] if closes else points, closes)
    elif len(points) == 2:
        yield Line(points, closed=False)


def _hatch(entity: Any, tolerance: float) -> Iterator[Line]:
    """Rings of a hatch: a ring inside an odd number of others is a hole of the one around it."""
    hand = _handedness(entity)
    rings = [
        ring
        for path in entity.paths.rendering_paths(entity.dxf.hatch_style)
        for ring in _ring(path, hand, tolerance)
    ]
    for outline, holes in nest(rings):
        yield Line(outline, closed=True, holes=holes)


def _ring(path: Any, hand: float, tolerance: float) -> Iterator[NDArray[np.float64]]:
    if hasattr(path, "vertices"):
        run = np.array([(v[0], v[1], v[2]) for v in path.vertices], dtype=np.float64).reshape(-1, 3)
        if len(run) > 1:
            yield _run(run, hand, closed=True, tolerance=tolerance).points
        return
    parts = [part for edge in path.edges for part in _edge(edge, tolerance)]
    if parts:
        points = np.vstack([part if i == 0 else part[1:] for i, part in enumerate(_head_to_tail(parts))])
        points = points[:-1] if np.allclose(points[0], points[-1], rtol=0, atol=tolerance) else points
        if len(points) > 2:
            yield points * np.array([hand, 1.0])


def _head_to_tail(parts: list[NDArray[np.float64]]) -> list[NDArray[np.float64]]:
    """Turn each part so that it begins where the last one ended."""
    if len(parts) > 1:
        first, second = parts[0], parts[1]
        near = min(np.hypot(*(first[-1] - second[0])), np.hypot(*(first[-1] - second[-1])))
        turned = min(np.hypot(*(first[0] - second[0])), np.hypot(*(first[0] - second[-1])))
        if turned < near:
            parts = [first[::-1], *parts[1:]]
    out = parts[:1]
    for part in parts[1:]:
        last = out[-1][-1]
        ahead = np.hypot(*(part[0] - last)) <= np.hypot(*(part[-1] - last))
        out.append(part if ahead else part[::-1])
    return out


def _edge(edge: Any, tolerance: float) -> Iterator[NDArray[np.float64]]:
    """One edge of a hatch as points; arcs know their own direction only by its flag."""
    kind = type(edge).__name__
    if kind == "LineEdge":
        yield np.array([tuple(edge.start)[:2], tuple(edge.end)[:2]], dtype=np.float64)
    elif kind in {"ArcEdge", "EllipseEdge"}:
        centre = np.array(tuple(edge.center)[:2], dtype=np.float64)
        if kind == "ArcEdge":
            major, minor = np.array([edge.radius, 0.0]), np.array([0.0, edge.radius])
            begin, end = np.radians(edge.start_angle), np.radians(edge.end_angle)
        else:
            major = np.array(tuple(edge.major_axis)[:2], dtype=np.float64)
            minor = np.array([-major[1], major[0]]) * edge.ratio
            begin, end = edge.start_param, edge.end_param
        span = (end - begin) % (2 * np.pi) or 2 * np.pi
        if np.hypot(*major) > 0:
            yield ellipse(centre, major, minor, tolerance, (begin, begin + span))
    elif kind == "SplineEdge":
        curve = edge.construction_tool()
        yield np.array([(p.x, p.y) for p in curve.flattening(tolerance / 10, segments=8)], dtype=np.float64)


_TRACES: dict[str, Callable[[Any, float], Iterator[Line]]] = {
    "LWPOLYLINE": _lwpolyline,
    "POLYLINE": _polyline,
    "LINE": _line,
    "CIRCLE": _circle,
    "ARC": _arc,
    "ELLIPSE": _ellipse,
    "SPLINE": _spline,
    "HATCH": _hatch,
    "MPOLYGON": _hatch,
}
