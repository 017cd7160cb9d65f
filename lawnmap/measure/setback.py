"""Strips along water: lawn that gets seed but no fertilizer."""

from __future__ import annotations

from math import cos, pi
from typing import TYPE_CHECKING, Final

import shapely
from shapely.geometry import MultiPolygon, Polygon

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lawnmap.measure.ground import Ground
    from lawnmap.measure.model import Shape
    from lawnmap.yard import Yard

_QUARTER: Final = 16
_OUTWARD: Final = 1 / cos(pi / (4 * _QUARTER))
"""A strip is bounded by 16 chords to the quarter circle; laid outside of it, they keep the full distance."""


def unfed(yard: Yard, ground: Ground, lawns: Sequence[Shape]) -> list[Shape]:
    """Return the part of every lawn that lies within the setback of any water.

    Parameters
    ----------
    yard : Yard
        The water and its setbacks.
    ground : Ground
        The setback of water that states none.
    lawns : sequence of Polygon or MultiPolygon
        Net ground of the zones. [m]
    """
    strips = [
        water.shape.buffer(
            _OUTWARD * (ground.water_setback_m if water.setback_m is None else water.setback_m),
            quad_segs=_QUARTER,
        )
        for water in yard.water
    ]
    together = shapely.union_all(strips)
    return [_ground_only(shapely.intersection(lawn, together)) for lawn in lawns]


def _ground_only(shape: shapely.Geometry) -> Shape:
    """Drop the points and lines that an intersection may leave where shapes only touch."""
    if isinstance(shape, Polygon | MultiPolygon):
        return shape
    parts = [part for part in shapely.get_parts(shape) if isinstance(part, Polygon)]
    return MultiPolygon(parts) if parts else Polygon()
