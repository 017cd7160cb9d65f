"""Zones by density class out of a grid of cover, as shapes that a spreader can follow, for the user to accept."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np
import shapely
from lazy_loader import load
from shapely.geometry import MultiPolygon, Polygon, shape

from lawnmap.errors import InputError
from lawnmap.measure.cover_grid import part_of_rasterio
from lawnmap.yard import DensityTable, Zone, grade

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from lawnmap.measure.cover_grid import CoverGrid
    from lawnmap.yard import Yard

Ground = Polygon | MultiPolygon

rasterio = load("rasterio")  # an extra, and slow to load

WIDTH_M: Final = 1.8288
"""Six feet, a common swath: what is narrower cannot be spread apart. [m]"""

LEAST_M2: Final = 18.58
"""200 square feet: less is not worth a change of the setting. A choice of ours. *common practice* [m²]"""

_ROUGH: Final = 1.5  # corners of cells are cut within this many of them


def propose_zones(
    yard: Yard,
    grid: CoverGrid,
    *,
    table: DensityTable | None = None,
    width_m: float = WIDTH_M,
    least_m2: float = LEAST_M2,
) -> Yard:
    """Return the yard with every zone split by density class.

    Cover is averaged over a square of the spreader's width and graded. What is narrower than that
    square (an opening: J. Serra, *Image Analysis and Mathematical Morphology*, 1982, chapter II), such as
    the rim that averaging leaves between a thin and a full stand, goes to its neighbours, and so do
    patches too small. The steps of the cells are cut off without opening gaps. The pieces of a zone
    fill its outline; each carries the mean cover of its own cells, not of the average.

    Parameters
    ----------
    yard : Yard
        What the grid was measured for.
    grid : CoverGrid
        Cover of its lawn.
    table : DensityTable, optional
        Where each class begins.
    width_m : float
        Width over which cover is averaged: the swath. [m]
    least_m2 : float
        Smallest patch that is a piece of its own. [m²]

    Raises
    ------
    InputError
        For a width or a least area that is not possible.
    """
    if not (width_m > 0 and least_m2 >= 0):
        raise InputError("zones need a width above zero and a least area of 0 or more", mend="give the swath")
    rules = table or DensityTable()
    reach = max(1, round(width_m / grid.cell_m / 2))
    filled = _filled(_averaged(grid.share, reach))
    lines = np.array([rules.thin_percent, rules.patchy_percent, rules.full_percent]) / 100
    classes = _wide_enough(np.digitize(filled, lines).astype(np.uint8), _filled(grid.share), reach)
    least_cells = round(least_m2 / grid.cell_m**2)
    if least_cells > 1:
        classes = part_of_rasterio("features").sieve(classes, least_cells, connectivity=4)
    pieces = _outlines(classes, grid)
    zones = [part for zone in yard.zones for part in _split(zone, pieces, grid, (least_m2, rules))]
    return replace(yard, zones=tuple(zones))


def _averaged(share: NDArray[np.float64], reach: int) -> NDArray[np.float64]:
    """Mean over a square of cells around each, of those that hold a figure; no figure where none does."""
    held = np.isfinite(share)
    total, count = (_boxed(np.where(held, share, 0.0), reach), _boxed(held.astype(float), reach))
    return np.divide(total, count, out=np.full_like(share, np.nan), where=count > 0.5)


def _boxed(values: NDArray[np.float64], reach: int) -> NDArray[np.float64]:
    """Sum over a square of cells around each, by sums along rows and columns."""
    for axis in (0, 1):
        long = np.cumsum(np.insert(values, 0, 0.0, axis=axis), axis=axis)
        size = values.shape[axis]
        first = np.clip(np.arange(size) - reach, 0, size)
        last = np.clip(np.arange(size) + reach + 1, 0, size)
        values = np.take(long, last, axis=axis) - np.take(long, first, axis=axis)
    return values


def _filled(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Give cells without a figure, under a tree for instance, that of their surroundings."""
    reach = 1
    while np.isnan(values).any():
        values = np.where(np.isnan(values), _averaged(values, reach), values)
        reach *= 2
    return values


def _wide_enough(classes: NDArray[np.uint8], cover: NDArray[np.float64], reach: int) -> NDArray[np.uint8]:
    """Keep what a square of cells fits into; the rest goes to the neighbour whose cover is most like its own."""
    numbers = np.unique(classes)
    whole = _boxed(np.ones(classes.shape), reach)
    held = []
    for number in numbers:
        fits = _boxed((classes == number).astype(float), reach) > whole - 0.5
        held.append(_boxed(fits.astype(float), reach) > 0.5)
    kept = np.array(held, dtype=float)
    if not kept.any():
        return classes
    sizes = kept.sum(axis=(1, 2))
    means = np.divide(
        (kept * cover).sum(axis=(1, 2)), sizes, out=np.full(len(sizes), np.inf), where=sizes > 0
    )
    while not (kept.sum(axis=0) > 0).all():
        beside = np.array([_boxed(one, 2 * reach + 1) for one in kept]) > 0.5  # both sides of a rim
        fresh = (kept.sum(axis=0) == 0) & beside.any(axis=0)
        unlike = np.where(beside, np.abs(cover - means[:, None, None]), np.inf)
        kept[:, fresh] = unlike.argmin(axis=0)[fresh] == np.arange(len(numbers))[:, None]
    grown: NDArray[np.uint8] = numbers[kept.argmax(axis=0)]
    return grown


def _outlines(classes: NDArray[np.uint8], grid: CoverGrid) -> list[tuple[int, Polygon]]:
    """Patches of one class with the steps of their cells cut off; neighbours keep one common edge."""
    # a frame of cells more, so that what lies on the edge of the lawn is not cut off
    wide = np.pad(classes, 2, mode="edge")
    cell = grid.cell_m
    place = rasterio.Affine(cell, 0, grid.west_m - 2 * cell, 0, -cell, grid.north_m + 2 * cell)
    found: list[tuple[Any, float]] = list(
        part_of_rasterio("features").shapes(wide, connectivity=4, transform=place)
    )
    rough = [shape(outline) for outline, _ in found]
    smooth = shapely.coverage_simplify(rough, _ROUGH * cell, simplify_boundary=False)
    return [(int(value), outline) for (_, value), outline in zip(found, smooth, strict=True)]


def _split(
    zone: Zone, pieces: list[tuple[int, Polygon]], grid: CoverGrid, rules: tuple[float, DensityTable]
) -> list[Zone]:
    """The zone as one piece per class; one class alone leaves its outline as it is."""
    least_m2, table = rules
    by_class: dict[int, Ground] = {}
    for number in sorted({value for value, _ in pieces}):
        own = [outline for value, outline in pieces if value == number and outline.intersects(zone.polygon)]
        ground = _ground(shapely.union_all(own).intersection(zone.polygon)) if own else MultiPolygon()
        if not ground.is_empty:
            by_class[number] = ground
    if by_class:
        by_class = _without_scraps(by_class, {n: _lawn_m2(g, grid) for n, g in by_class.items()}, least_m2)
    graded: dict[str, list[Ground]] = {}
    for ground in by_class.values():
        graded.setdefault(grade(_cover(ground, grid) or 0.0, table), []).append(ground)
    if len(graded) <= 1:
        return [replace(zone, density=None, cover_percent=_cover(zone.polygon, grid))]
    whole = {density: _ground(shapely.union_all(grounds)) for density, grounds in graded.items()}
    return [
        Zone(f"{zone.name}, {density}", ground, None, _cover(ground, grid), zone.slope_percent)
        for density, ground in whole.items()
    ]


def _ground(found: Any) -> Ground:
    parts = [part for part in shapely.get_parts(found) if part.geom_type == "Polygon" and part.area > 0]
    return parts[0] if len(parts) == 1 else MultiPolygon(parts)


def _without_scraps(
    by_class: dict[int, Ground], lawn_m2: dict[int, float], least_m2: float
) -> dict[int, Ground]:
    """Give a class that has too little lawn in a zone to the one with the most."""
    most = max(by_class, key=lambda number: lawn_m2[number])
    scraps = [number for number in by_class if lawn_m2[number] < least_m2 and number != most]
    kept = {number: ground for number, ground in by_class.items() if number not in scraps}
    if scraps:
        kept[most] = _ground(shapely.union_all([by_class[most], *(by_class[number] for number in scraps)]))
    return kept


def _cells_on(ground: Ground, grid: CoverGrid) -> NDArray[np.bool_]:
    centres = grid.centres()
    shapely.prepare(ground)
    on: NDArray[np.bool_] = shapely.contains_xy(ground, centres[..., 0], centres[..., 1])
    return on & np.isfinite(grid.share)


def _lawn_m2(ground: Ground, grid: CoverGrid) -> float:
    """Lawn on a piece of ground, obstacles out, to the cell. [m²]"""
    return float(_cells_on(ground, grid).sum()) * grid.cell_m**2


def _cover(ground: Ground, grid: CoverGrid) -> float | None:
    """Mean cover of the cells on a piece of ground. [%]"""
    on = _cells_on(ground, grid)
    return round(float(100 * grid.share[on].mean()), 1) if on.any() else None
