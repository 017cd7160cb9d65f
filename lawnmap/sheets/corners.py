"""Where on a map there is room for an arrow and a scale bar: in a corner that the yard leaves free."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
import shapely

from lawnmap.sheets.placing import MARGIN_PX, Paper

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from lawnmap.sheets.marks import Scene
    from lawnmap.sheets.placing import Box

_EDGE_PX: Final = 9.0
_STEP_PX: Final = 9.0
_NEAR: Final = 0.3  # of a side, from each end
_CLEAR_PX: Final = 5.0


def fit_close(scene: Scene, width_px: float, height_px: float, foot_px: float = 0.0) -> Paper:
    """Fit a scene into a width and a greatest height with next to no margin.

    Parameters
    ----------
    scene : Scene
        What to draw.
    width_px, height_px : float
        Width, and greatest height, of the sheet. [px]
    foot_px : float
        Room kept free below the yard. [px]
    """
    west, south, east, north = scene.bounds
    wide_m, tall_m = max(east - west, 0.1), max(north - south, 0.1)
    wide_px, most_px = width_px - 2 * _EDGE_PX, height_px - 2 * _EDGE_PX - foot_px
    scale = min(wide_px / wide_m, most_px / tall_m)
    spare_m = (wide_px / scale - wide_m) / 2
    nearer_m = (MARGIN_PX - _EDGE_PX) / scale  # the margin that `Paper.at` keeps, less the one wanted
    tall_px = tall_m * scale + 2 * _EDGE_PX + foot_px
    return Paper(west - spare_m + nearer_m, north - nearer_m, scale, width_px, tall_px)


def free_place(scene: Scene, paper: Paper, size_px: tuple[float, float], taken: Sequence[Box]) -> Box | None:
    """Return the place nearest to a corner where a box covers neither the yard nor what is taken.

    Parameters
    ----------
    scene : Scene
        What is drawn.
    paper : Paper
        What it is drawn on.
    size_px : (float, float)
        Width and height of the box. [px]
    taken : sequence of tuple of float
        Boxes of words. [px]

    Returns
    -------
    tuple of float or None
        Left, top, right and foot, or None where there is no room. [px]
    """
    wide, tall = size_px
    lefts, tops = _along(paper.width_px - wide), _along(paper.height_px - tall)
    if not (len(lefts) and len(tops)):
        return None
    left, top = (grid.ravel() for grid in np.meshgrid(lefts, tops))
    shapes = [mark.shape for layer in scene.layers for mark in layer.marks]
    drawn = shapely.transform([shape for shape in shapes if "Line" not in shape.geom_type], paper.at)
    barred = shapely.STRtree([*drawn, *(shapely.box(*box) for box in taken)])
    around = shapely.box(left - _CLEAR_PX, top - _CLEAR_PX, left + wide + _CLEAR_PX, top + tall + _CLEAR_PX)
    free = np.ones(len(left), dtype=bool)
    free[barred.query(around, predicate="intersects")[0]] = False
    if not free.any():
        return None
    aside = np.minimum(left, paper.width_px - wide - left)
    below = np.minimum(top, paper.height_px - tall - top)
    far = np.hypot(aside, below) - 0.01 * (left + top)  # of equals the one in the south-east
    best = int(np.argmin(np.where(free, far, np.inf)))
    return float(left[best]), float(top[best]), float(left[best] + wide), float(top[best] + tall)


def _along(room_px: float) -> NDArray[np.float64]:
    """Return where a box may begin along one side: near its two ends."""
    found = np.arange(2.0, room_px - 2, _STEP_PX)
    return found[(found < _NEAR * room_px) | (found > (1 - _NEAR) * room_px)]
