"""What a pass covers and what it leaves, as shapes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
import shapely
from shapely.geometry import MultiPolygon

from lawnmap.lanes.headland import MITRE_LIMIT, Headland, polygons_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray
    from shapely.geometry import LineString

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


def left_over(edge: Headland, lanes: NDArray[np.float64], swath_m: float) -> MultiPolygon:
    """Return the ground that no lane or round reaches, slivers left out.

    Parameters
    ----------
    edge : Headland
        The rounds, and what they leave.
    lanes : array, shape (n, 2, 2)
        Parallel lanes. [m]
    swath_m : float
        Width of a lane. [m]
    """
    rest = edge.core
    for strips in _apart(lanes, swath_m):
        rest = polygons_of(shapely.difference(rest, strips))
    polygons = np.concatenate([shapely.get_parts(rest), shapely.get_parts(edge.corners)])
    core = shapely.buffer(polygons, -_NARROWEST * swath_m / 2, join_style="mitre")
    return MultiPolygon(polygons[~shapely.is_empty(core)].tolist())


def _apart(lanes: NDArray[np.float64], swath_m: float) -> list[MultiPolygon]:
    """Return the ground under every second strip, and under the others: neither touches itself."""
    if not len(lanes):
        return []
    step = lanes[np.argmax(np.hypot(*(lanes[:, 1] - lanes[:, 0]).T))]
    along = (step[1] - step[0]) / max(float(np.hypot(*(step[1] - step[0]))), 1e-12)
    across = lanes[:, 0] @ np.array([-along[1], along[0]])
    odd = np.rint((across - across.min()) / swath_m) % 2 == 1
    ground = swaths(lanes, (), (1 + _OVERLAP) * swath_m)
    return [MultiPolygon(ground[which].tolist()) for which in (~odd, odd) if which.any()]
