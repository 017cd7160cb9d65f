"""The door for DXF drawings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from lawnmap.errors import FileError, LawnmapError, nearest
from lawnmap.survey.arcs import TOLERANCE_M
from lawnmap.survey.drafting import Draft, draft_features
from lawnmap.survey.dxf.notes import read_plane
from lawnmap.survey.dxf.opening import INSUNITS, georeference, open_drawing
from lawnmap.survey.dxf.walk import Drawing, walk
from lawnmap.survey.features import Sheet
from lawnmap.survey.ground import Scale, settle_units
from lawnmap.survey.source import Source
from lawnmap.units import UNITS
from lawnmap.yard import Finding, finding
from lawnmap.yard.many import collector_paused

if TYPE_CHECKING:
    from pathlib import Path

    from numpy.typing import NDArray

    from lawnmap.survey.linework import Label, Piece


Move = Callable[["NDArray[np.float64]"], "NDArray[np.float64]"]
"""Takes vertices from the drawing into the coordinates of its sheet."""


@dataclass(frozen=True)
class Opened:
    """A drawing in its own units, and the way from there to the coordinates of its sheet.

    Attributes
    ----------
    drawing : Drawing
        What was found in the model space. [drawing units]
    move : callable
        Takes vertices into the coordinates of the sheet.
    unit_m : float
        What a drawing unit is; 1 where nobody says. [m]
    crs : str or None
        CRS of the sheet.
    scale : Scale
        Its unit.
    findings : tuple of Finding
        What was mended or doubted.
    """

    drawing: Drawing
    move: Move
    unit_m: float
    crs: str | None
    scale: Scale
    findings: tuple[Finding, ...]


def read_dxf(path: Path, source: Source) -> Sheet:
    """Read a drawing: closed outlines and chained linework by layer, arcs without loss of area.

    It takes no more than 1.5 times as long as the library alone, and twice its memory: up to 40 times the file where
    that is all loose lines, some 11 times where it is polylines (``tests/benchmarks/bench_dxf.py``).

    Parameters
    ----------
    path : Path
        The file.
    source : Source
        Layer, roles of layers, CRS and unit where the drawing does not say.

    Returns
    -------
    Sheet
        Features with roles; GEODATA applied where the drawing has it and the user names no CRS.

    Raises
    ------
    FileError
        Where it is no drawing, has no outline, or its blocks are inserted without end.
    """
    with collector_paused():
        return _read(open_dxf(path, source), source)


def _read(opened: Opened, source: Source) -> Sheet:
    draft = Draft(source.gap_m / opened.scale.unit_m, findings=list(opened.findings))
    if opened.scale.unit:
        draft.unit = UNITS[opened.scale.unit].name
    _move(opened.drawing, opened.move)
    pieces, labels = _wanted(opened.drawing, source)
    features = draft_features(pieces, labels, source, draft)
    layers = ", ".join(sorted({feature.layer for feature in features}))
    unit = None if opened.crs else opened.scale.unit
    return Sheet(
        features,
        "DXF",
        layers,
        opened.crs,
        unit,
        tuple(draft.findings),
        method="drawn; the drawing does not tell how its corners were measured",
        combined_factor=source.scale_factor,
        roles_given=True,
    )


def open_dxf(path: Path, source: Source) -> Opened:
    """Open a drawing and walk it, without moving anything.

    Parameters
    ----------
    path : Path
        The file.
    source : Source
        CRS and unit where the drawing does not say.

    Raises
    ------
    FileError
        Where it is no drawing, or a damaged one.
    """
    document, found = open_drawing(path)
    try:
        return _placed(document, source, found)
    except LawnmapError:
        raise
    except Exception:  # noqa: BLE001  damage in tables and blocks fails anywhere in the library
        raise FileError("the drawing is damaged in its blocks or layers", mend="export it again") from None


def _placed(document: Any, source: Source, found: tuple[Finding, ...]) -> Opened:
    own = None if source.crs else read_plane(document)
    place, more = (None, ()) if source.crs or own else georeference(document)
    said, per_unit = INSUNITS.get(_insunits(document.header.get("$INSUNITS", 0)), (None, 1.0))
    crs = source.crs or (own.datum if own else place.crs if place else None)
    # A plane of our own and GEODATA know the drawing's units themselves.
    scale = settle_units(None if own or place else said, source, crs)
    factor = scale.factor * (per_unit if said and not source.local_units else 1.0)
    move, unit_m = _as_it_is if factor == 1.0 else _scaled(factor), factor * scale.unit_m
    if own:
        move, unit_m = own.to_datum, 1.0
    elif place:
        move, unit_m = place.apply, place.stretch * scale.unit_m
    drawing = walk(document, TOLERANCE_M / unit_m)
    skipped = tuple(
        finding("entity-left-out", f"{count} × {kind} left out: no outline in plan")
        for kind, count in sorted(drawing.skipped.items())
    )
    return Opened(drawing, move, unit_m, crs, scale, (*found, *more, *scale.findings, *skipped))


def _insunits(code: object) -> int:
    return int(code) if isinstance(code, int | float) and code == code else 0  # noqa: PLR0124  not a number


def _scaled(factor: float) -> Move:
    return lambda points: points * factor


def _as_it_is(points: NDArray[np.float64]) -> NDArray[np.float64]:
    return points


def _move(drawing: Drawing, move: Move) -> None:
    if move is _as_it_is:
        return
    drawing.pieces = [_moved(piece, move) for piece in drawing.pieces]
    drawing.labels = [
        replace(label, at=tuple(move(np.array([label.at]))[0].tolist())) for label in drawing.labels
    ]


def _moved(piece: Piece, move: Move) -> Piece:
    return replace(piece, points=move(piece.points), holes=tuple(move(hole) for hole in piece.holes))


def _wanted(drawing: Drawing, source: Source) -> tuple[list[Piece], list[Label]]:
    """Take the one layer asked for, or all that are not hidden; a hidden layer that is mapped is read."""
    layers = {piece.layer.upper(): piece.layer for piece in drawing.pieces}
    if source.layer is not None:
        if source.layer.upper() not in layers:
            raise FileError(
                f'there is no linework on a layer "{source.layer}"',
                mend=nearest(source.layer, layers.values()) if layers else "the drawing has no linework",
            )
        return [p for p in drawing.pieces if p.layer.upper() == source.layer.upper()], drawing.labels
    mapped = {layer.upper() for layer in source.layers}
    hidden = {layer.upper() for layer in drawing.hidden} - mapped
    return (
        [piece for piece in drawing.pieces if piece.layer.upper() not in hidden],
        [label for label in drawing.labels if label.layer.upper() not in hidden],
    )
