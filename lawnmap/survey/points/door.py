"""The door for point files."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lawnmap.survey.arcs import TOLERANCE_M
from lawnmap.survey.drafting import Draft, draft_features
from lawnmap.survey.features import Sheet
from lawnmap.survey.ground import Scale, settle_units
from lawnmap.survey.points.figures import join_shots
from lawnmap.survey.points.table import Shot, read_table
from lawnmap.units import UNITS

if TYPE_CHECKING:
    from lawnmap.survey.linework import Piece
    from lawnmap.survey.source import Source
    from lawnmap.yard import Finding


@dataclass(frozen=True)
class Plot:
    """Points and the lines that their codes make, before anyone says what they are.

    Attributes
    ----------
    shots : list of Shot
        In the order of the file.
    pieces : list of Piece
        Lines, each on the layer of its code.
    scale : Scale
        What the coordinates are.
    findings : tuple of Finding
        What was mended or doubted.
    """

    shots: list[Shot]
    pieces: list[Piece]
    scale: Scale
    findings: tuple[Finding, ...]


def plot_points(text: str, source: Source) -> Plot:
    """Join the points of a file to lines.

    Parameters
    ----------
    text : str
        The file.
    source : Source
        Order of the columns, CRS or unit.

    Raises
    ------
    LawnmapError
        Where a row does not fit.
    """
    shots, found = read_table(text, source.point_order)
    scale = settle_units(None, source, source.crs)
    if scale.factor != 1:
        shots = [
            Shot(shot.number, shot.east * scale.factor, shot.north * scale.factor, shot.text, shot.line)
            for shot in shots
        ]
    pieces, more = join_shots(shots, TOLERANCE_M / scale.unit_m)
    return Plot(shots, pieces, scale, (*scale.findings, *found, *more))


def read_points(text: str, source: Source) -> Sheet:
    """Read survey points and the lines that their codes make.

    Parameters
    ----------
    text : str
        The file, see `lawnmap.survey.points.table.read_table`.
    source : Source
        Order of the columns, CRS or unit, and what each code stands for.

    Raises
    ------
    LawnmapError
        Where a row does not fit, or nothing in it can be told to be lawn.
    """
    plot = plot_points(text, source)
    scale, draft = plot.scale, Draft(source.gap_m / plot.scale.unit_m, findings=list(plot.findings))
    if scale.unit:
        draft.unit = UNITS[scale.unit].name
    features = draft_features(plot.pieces, (), source, draft)
    unit = None if source.crs else scale.unit
    codes = ", ".join(sorted({feature.layer for feature in features if feature.layer}))
    return Sheet(
        features,
        "points",
        codes,
        source.crs,
        unit,
        tuple(draft.findings),
        method="surveyed points",
        combined_factor=source.scale_factor,
        roles_given=True,
    )
