"""What a pass covers and what it leaves, as shapes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
import shapely
from shapely.geometry import MultiPolygon

from lawnmap.lanes.headland import MITRE_LIMIT

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray
    from shapely.geometry import LineString, Polygon

_OVERLAP: Final = 2e-5  # neighbours are made to overlap by this: a union of strips that share edges can
# lose whole strips without a word (a snap grid prevents it as well, ten times slower) [swaths]
_NARROWEST: Final = 0.05  # slivers thinner than this many swaths are within the walker's own wander


def swaths(lanes: NDArray[np.float64], loops: Sequence[LineString], swath_m: float) -> NDArray[np.object_]:
    """Return the ground under each lane and round as a polygon.

    Parameters
    ----------
    lanes : array, shape (n, 2, 2)
        Lanes. [m]
    loops : sequence of LineString
        Rounds. [m]
    swath_m : float
        Width of both. [m]
    """
    step = lanes[:, 1] - lanes[:, 0]
    length = np.maximum(np.hypot(step[:, 0], step[:, 1]), 1e-12)
    side = np.stack([-step[:, 1], step[:, 0]], axis=1) / length[:, None] * (swath_m / 2)
    corners = np.stack(
        [lanes[:, 0] - side, lanes[:, 1] - side, lanes[:, 1] + side, lanes[:, 0] + side], axis=1
    )
    strips = shapely.polygons(corners) if len(lanes) else np.empty(0, dtype=object)
    rounds = shapely.buffer(
        list(loops), swath_m / 2, cap_style="flat", join_style="mitre", mitre_limit=MITRE_LIMIT
    )
    return np.concatenate([strips, np.asarray(rounds, dtype=object).reshape(-1)])


def left_over(
    ground: Polygon | MultiPolygon, lanes: NDArray[np.float64], loops: Sequence[LineString], swath_m: float
) -> Polygon | MultiPolygon:
    """Return the ground that no lane or round reaches, slivers left out.

    Parameters
    ----------
    ground : Polygon or MultiPolygon
        The lawn. [m]
    lanes : array, shape (n, 2, 2)
        Lanes. [m]
    loops : sequence of LineString
        Rounds. [m]
    swath_m : float
        Width of both. [m]
    """
    rounds = shapely.union_all(swaths(lanes[:0], loops, swath_m))
    strips = shapely.union_all(swaths(lanes, (), (1 + _OVERLAP) * swath_m))
    rest = shapely.difference(shapely.difference(ground, rounds), strips)
    thin = _NARROWEST * swath_m / 2
    core = shapely.buffer(rest, -thin, join_style="mitre")
    whole = [part for part in shapely.get_parts(rest) if shapely.intersects(part, core)]
    polygons = [part for part in whole if part.geom_type == "Polygon"]
    return MultiPolygon(polygons)
