"""All linework and text of a drawing, blocks opened wherever they are inserted."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import isfinite
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from lawnmap.errors import FileError, LawnmapError
from lawnmap.survey.dxf.entities import Line, Tilted, trace
from lawnmap.survey.dxf.notes import read_note
from lawnmap.survey.linework import Label, Piece

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

_DEEPEST: Final = 16
"""Blocks within blocks, at most. [count]"""

_MOST: Final = 1_000_000
"""Entities that inserted blocks may stand for: a few blocks can stand for billions. [count]"""

_AIDS: Final = frozenset(
    {
        "ACAD_TABLE",
        "ATTDEF",
        "DIMENSION",
        "IMAGE",
        "LARGE_RADIAL_DIMENSION",
        "LEADER",
        "MULTILEADER",
        "POINT",
        "RAY",
    }
    | {
        "SOLID",
        "TOLERANCE",
        "VIEWPORT",
        "WIPEOUT",
        "XLINE",
        "PDFUNDERLAY",
        "DWFUNDERLAY",
        "OLE2FRAME",
        "SEQEND",
    }
)  # drawing aids: no ground is bounded by them


@dataclass(slots=True)
class Drawing:
    """What was found in the model space.

    Attributes
    ----------
    pieces : list of Piece
        Linework, flattened. [drawing units]
    labels : list of Label
        Texts.
    counts : dict
        For each layer, how many entities of each kind.
    skipped : dict
        Kind of entity to how many were left out because they have no outline in plan.
    hidden : set of str
        Layers that are off or frozen.
    """

    pieces: list[Piece] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    counts: dict[str, dict[str, int]] = field(default_factory=dict)
    skipped: dict[str, int] = field(default_factory=dict)
    hidden: set[str] = field(default_factory=set)


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where the entities of one block come to lie: a 2 × 2 matrix, a shift, and the insert they stand in."""

    matrix: NDArray[np.float64]
    shift: NDArray[np.float64]
    layer: str = "0"
    blocks: tuple[str, ...] = ()

    def place(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        return points @ self.matrix + self.shift if self.blocks else points

    @property
    def stretch(self) -> float:
        """Greatest factor by which a length grows. [1]"""
        return float(np.linalg.norm(self.matrix, 2)) if self.blocks else 1.0


def walk(document: Any, tolerance: float) -> Drawing:
    """Collect the linework and the texts of a drawing's model space.

    Parameters
    ----------
    document : ezdxf.document.Drawing
        The drawing.
    tolerance : float
        Greatest distance between a curve and its chords. [drawing units]

    Raises
    ------
    FileError
        Where a block holds itself, or blocks stand for more entities than any yard has.
    """
    walker = _Walker(tolerance)
    _weigh_blocks(document)
    walker.drawing.hidden = {
        layer.dxf.name for layer in document.layers if layer.is_off() or layer.is_frozen()
    }
    walker.visit(document.modelspace(), _Frame(np.eye(2), np.zeros(2)))
    return walker.drawing


def _weigh_blocks(document: Any) -> None:
    """Refuse a drawing whose blocks hold themselves or multiply, before any is opened."""
    weights: dict[str, int] = {}

    def weigh(entities: Iterable[Any], above: tuple[str, ...]) -> int:
        total = 0
        for entity in entities:
            if entity.dxftype() != "INSERT":
                total += bool(above)
                continue
            name = entity.dxf.name
            if name in above or len(above) >= _DEEPEST:
                raise FileError(
                    f'block "{name}" is inserted within itself or more than {_DEEPEST} deep',
                    where=f"INSERT {entity.dxf.handle}",
                    mend="purge the drawing, or explode that block",
                )
            if name not in weights:
                weights[name] = weigh(entity.block() or (), (*above, name))
            total += weights[name] * max(entity.dxf.row_count, 1) * max(entity.dxf.column_count, 1)
            if total > _MOST:
                raise FileError(
                    f"its blocks stand for more than {_MOST:,} entities",
                    where=f'block "{name}"',
                    mend="insert each block once, or draw the outlines without blocks",
                )
        return total

    weigh(document.modelspace(), ())


class _Walker:
    def __init__(self, tolerance: float) -> None:
        self.tolerance = tolerance
        self.drawing = Drawing()

    def visit(self, entities: Iterable[Any], frame: _Frame) -> None:
        for entity in entities:
            try:
                self.meet(entity, frame)
            except LawnmapError:
                raise
            except Exception:  # noqa: BLE001  what is damaged in an entity fails anywhere in the library
                self.skip(f"damaged {entity.dxftype()}")

    def meet(self, entity: Any, frame: _Frame) -> None:
        kind, layer = entity.dxftype(), entity.dxf.layer
        # What is on layer 0 of a block is on the layer of its insert.
        layer = frame.layer if frame.blocks and layer == "0" else layer
        if entity.dxf.get("invisible", 0):
            return
        if kind == "INSERT":
            self.insert(entity, frame, layer)
            return
        counts = self.drawing.counts.setdefault(layer, {})
        counts[kind] = counts.get(kind, 0) + 1
        if kind == "POINT" and entity.xdata:  # a landmark of our own; other points are survey shots
            self.add(
                _point(entity),
                frame,
                layer,
                where=f"layer {layer}, POINT {entity.dxf.handle}",
                said=read_note(entity),
            )
            return
        if kind in {"TEXT", "MTEXT", "ATTRIB"}:
            self.label(entity, frame, layer)
            return
        where = f"layer {layer}, {kind} {entity.dxf.handle or counts[kind]}"
        try:
            said = read_note(entity) if entity.xdata else None
            for line in trace(entity, self.tolerance / (frame.stretch or 1.0)):
                self.add(line, frame, layer, where, said)
        except Tilted:
            self.skip(f"{kind} out of plan")
            return
        if kind not in _KNOWN and kind not in _AIDS:
            self.skip(kind)

    def add(self, line: Line, frame: _Frame, layer: str, where: str, said: dict[str, object] | None) -> None:
        points = frame.place(line.points)
        if not isfinite(points.sum()):
            raise ValueError
        holes = tuple([frame.place(hole) for hole in line.holes]) if line.holes else ()
        self.drawing.pieces.append(Piece(points, line.closed, layer, where, holes, attributes=said))

    def skip(self, what: str) -> None:
        self.drawing.skipped[what] = self.drawing.skipped.get(what, 0) + 1

    def label(self, entity: Any, frame: _Frame, layer: str) -> None:
        text = (entity.plain_text() if entity.dxftype() != "ATTRIB" else entity.dxf.text).strip()
        at = frame.place(np.array([[entity.dxf.insert.x, entity.dxf.insert.y]]))[0]
        if text and np.isfinite(at).all():
            self.drawing.labels.append(Label(" ".join(text.split()), (float(at[0]), float(at[1])), layer))

    def insert(self, entity: Any, frame: _Frame, layer: str) -> None:
        name = entity.dxf.name
        for attribute in entity.attribs:
            self.label(attribute, frame, layer)
        block = entity.block()
        if block is None:
            self.skip("INSERT without its block")
            return
        matrix = np.array(list(entity.matrix44()), dtype=np.float64).reshape(4, 4)
        leaning = max(np.abs(matrix[:2, 2]).max(), np.abs(matrix[2, :2]).max())
        if not np.isfinite(matrix).all() or leaning > 1e-9 * np.abs(matrix[:2, :2]).max():
            self.skip("INSERT out of plan")
            return
        for shift in _grid(entity):
            self.visit(
                block,
                _Frame(
                    matrix[:2, :2] @ frame.matrix,
                    frame.place((matrix[3, :2] + shift)[None])[0],
                    layer,
                    (*frame.blocks, name),
                ),
            )


def _point(entity: Any) -> Line:
    return Line(np.array([[entity.dxf.location.x, entity.dxf.location.y]]), closed=False)


def _grid(entity: Any) -> Iterable[NDArray[np.float64]]:
    """Shifts of an array of inserts; they turn with it but are not scaled."""
    rows, columns = max(entity.dxf.row_count, 1), max(entity.dxf.column_count, 1)
    turn, ocs = np.radians(entity.dxf.rotation), entity.ocs()
    for row in range(rows):
        for column in range(columns):
            right, up = column * entity.dxf.column_spacing, row * entity.dxf.row_spacing
            place = ocs.to_wcs(
                (right * np.cos(turn) - up * np.sin(turn), right * np.sin(turn) + up * np.cos(turn), 0.0)
            )
            yield np.array([place.x, place.y])


_KNOWN: Final = frozenset(
    {"LWPOLYLINE", "POLYLINE", "LINE", "CIRCLE", "ARC", "ELLIPSE", "SPLINE", "HATCH", "MPOLYGON"}
)
