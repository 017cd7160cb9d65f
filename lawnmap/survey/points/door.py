"""The door for point files."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lawnmap.survey.arcs import TOLERANCE_M
from lawnmap.survey.drafting import Draft, draft_features
from lawnmap.survey.features import Sheet
from lawnmap.survey.ground import settle_units
from lawnmap.survey.points.figures import join_shots
from lawnmap.survey.points.table import Shot, read_table
from lawnmap.units import UNITS

if TYPE_CHECKING:
    from lawnmap.survey.source import Source


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
    shots, found = read_table(text, source.point_order)
    scale = settle_units(None, source, source.crs)
    if scale.factor != 1:
        shots = [
            Shot(shot.number, shot.east * scale.factor, shot.north * scale.factor, shot.text, shot.line)
            for shot in shots
        ]
    pieces, more = join_shots(shots, TOLERANCE_M / scale.unit_m)
    draft = Draft(source.gap_m / scale.unit_m, findings=[*scale.findings, *found, *more])
    if scale.unit:
        draft.unit = UNITS[scale.unit].name
    features = draft_features(pieces, (), source, draft)
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
