"""Which grid of lanes suits a piece of ground: direction and phase, by the lanes they really need."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
import shapely

from lawnmap.lanes.direction import Spacing, best_directions
from lawnmap.lanes.strips import Strips, edges_of, project

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from shapely.geometry import MultiPolygon, Polygon

DIRECTIONS: Final = 4
PHASES: Final = 4
KEPT: Final = 2
_TRIALS: Final = 60  # lanes from which a lawn gets the least number of trials
_MANY_EDGES: Final = 150
_MOST_TRIED: Final = 200_000  # edges times grids looked at; among thousands of obstacles any grid will do
_HOPE: Final = 0.02  # a grid dearer by more than this share is not made up for by shorter ways
_ROUGH: Final = 0.08  # how far outlines may be simplified while grids are compared [swaths]
LARGEST_SPOT: Final = 0.5
"""A spot larger than this always gets a lane. [square swaths]"""


@dataclass(frozen=True, eq=False)
class Grid:
    """One direction and phase, with its lanes.

    Attributes
    ----------
    angle_rad : float
        Direction of the lanes. [rad]
    offset_m : float
        Place across them at which strip 0 begins. [m]
    cost_m : float
        Its estimated cost as walking, for comparison. [m]
    lanes : array, shape (n, 2, 2)
        Lanes, not yet in order. [m]
    """

    angle_rad: float
    offset_m: float
    cost_m: float
    lanes: NDArray[np.float64]


def best_grids(
    core: Polygon | MultiPolygon,
    spacing: Spacing,
    *,
    angles_rad: NDArray[np.float64] | None = None,
    crosswise: bool = False,
) -> list[Grid]:
    """Return the few grids that are worth ordering, the cheapest first; small lawns get more trials.

    Parameters
    ----------
    core : Polygon or MultiPolygon
        The ground to cover. [m]
    spacing : Spacing
        How lanes lie.
    angles_rad : array, shape (m,), optional
        The only directions allowed; else the best by closed form. [rad]
    crosswise : bool
        Whether the ground is walked a second time square to the first, which counts as much.
    """
    rough = edges_of(core)
    if len(rough) > _MANY_EDGES:
        rough = edges_of(shapely.simplify(core, _ROUGH * spacing.swath_m))
    about = max(core.area / spacing.swath_m / math.sqrt(core.area / 2), 1.0)
    more = min(max(_TRIALS / about, 1.0), 4.0)
    if angles_rad is None:
        angles_rad = best_directions(rough, spacing, int(DIRECTIONS * more), crosswise=crosswise)
        angles_rad = angles_rad[:1] if crosswise else angles_rad
    afford = max(_MOST_TRIED // max(len(rough), 1), 1)
    phases = max(min(int(PHASES * more), afford - 2), 1)  # two more are flush with the sides
    angles_rad = angles_rad[: max(afford // (phases + 2), 1)]
    grids = np.concatenate([_phases(rough, angle, spacing.swath_m, phases) for angle in angles_rad])
    strips = project(rough, grids, spacing.swath_m, spacing.lane_end, thin=False)
    cost = _cost(rough, strips, spacing, len(grids))
    order = np.argsort(cost, kind="stable")[: int(KEPT * more)]
    hopeful = order[cost[order] <= (1 + _HOPE) * cost[order[0]]]
    return grids_at(core, grids[hopeful], spacing)


def grids_at(core: Polygon | MultiPolygon, grids: NDArray[np.float64], spacing: Spacing) -> list[Grid]:
    """Return stated grids over some ground, the cheapest first.

    Parameters
    ----------
    core : Polygon or MultiPolygon
        The ground to cover. [m]
    grids : array, shape (m, 2) = [direction, offset]
        Directions and places across them at which strip 0 begins. [rad, m]
    spacing : Spacing
        How lanes lie.
    """
    edges = edges_of(core)
    strips = project(edges, grids, spacing.swath_m, spacing.lane_end)
    strips = strips.only(_worth_walking(strips, spacing))
    cost = _cost(edges, strips, spacing, len(grids))
    return [
        Grid(
            float(grids[i, 0]),
            float(grids[i, 1]),
            float(cost[i]),
            strips.only(strips.candidate == i).lanes(float(grids[i, 0])),
        )
        for i in np.argsort(cost, kind="stable")
    ]


def _worth_walking(strips: Strips, spacing: Spacing) -> NDArray[np.bool_]:
    """Tell which lanes cover more than they cost; what the others would cover is done by hand."""
    if spacing.lane_end >= 1:
        return np.ones(len(strips.strip), dtype=bool)
    walk = strips.end_m - strips.start_m + spacing.swath_m
    saved = _bare_weight(spacing) * strips.covered_m2 / spacing.swath_m
    return (saved > walk) | (strips.covered_m2 > LARGEST_SPOT * spacing.swath_m**2)


def _bare_weight(spacing: Spacing) -> float:
    """What ground left bare weighs against ground walked: as much as where lanes stop on slanted edges."""
    return 2 / (1 - spacing.lane_end) if spacing.lane_end < 1 else 0.0  # nothing but slivers is left then


def _phases(edges: NDArray[np.float64], angle: float, swath_m: float, count: int) -> NDArray[np.float64]:
    """Where strip 0 may begin: flush with either side, centred, and evenly between."""
    across = edges[:, :, 1] * np.cos(angle) - edges[:, :, 0] * np.sin(angle)
    low, high = float(across.min()), float(across.max())
    spare = np.ceil((high - low) / swath_m - 0.01) * swath_m - (high - low)
    centred = low - max(spare, 0.0) / 2
    offsets = np.concatenate(
        [centred + np.array([-0.5, 0.5]) * spare, centred - np.arange(count) / count * swath_m]
    )
    return np.stack([np.full(len(offsets), angle), offsets], axis=1)


def _cost(edges: NDArray[np.float64], strips: Strips, spacing: Spacing, count: int) -> NDArray[np.float64]:
    """Length and turns of each grid, and what it leaves bare."""
    length = np.bincount(strips.candidate, strips.end_m - strips.start_m, minlength=count)
    lanes = np.bincount(strips.candidate, minlength=count)
    covered = np.bincount(strips.candidate, strips.covered_m2, minlength=count)
    start, end = edges[:, 0], edges[:, 1]
    area = 0.5 * abs(float((start[:, 0] * end[:, 1] - start[:, 1] * end[:, 0]).sum()))
    bare = _bare_weight(spacing) * (area - covered) / spacing.swath_m
    return np.asarray(length + lanes * (spacing.swath_m + spacing.turn_m) + bare)
