"""Which ground is to get how much, and what the ground around it is."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from shapely import union_all
from shapely.geometry import MultiPolygon, Polygon

from lawnmap.errors import ShapeError
from lawnmap.measure import Takeoff

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from shapely.geometry.base import BaseGeometry

    from lawnmap.lanes import LanePlan

Shape = Polygon | MultiPolygon


@dataclass(frozen=True)
class Target:
    """One zone with its rate.

    Attributes
    ----------
    name : str
        Name of the zone.
    ground : Polygon or MultiPolygon
        What the lanes are to cover. [m]
    rate_kg_per_m2 : float
        What it is to get. [kg/m²]
    by_hand_area_m2 : float
        Ground left out of it for the hand. [m²]
    """

    name: str
    ground: Shape = field(repr=False)
    rate_kg_per_m2: float
    by_hand_area_m2: float = 0.0


def targets(
    lane_plan: LanePlan, ground: Shape | Takeoff, rates: Mapping[str, float] | None
) -> tuple[Target, ...]:
    """Return the zones that get material, less the ground that the plan leaves to the hand.

    Parameters
    ----------
    lane_plan : LanePlan
        The lanes.
    ground : Polygon, MultiPolygon or Takeoff
        One piece of ground, or measured zones. [m]
    rates : mapping of str to float, optional
        Product per area by zone; 1 wherever there are lanes if left out. [kg/m²]

    Raises
    ------
    ShapeError
        If no zone of the plan is on the ground.
    """
    passes = {single.zone: single for single in lane_plan.passes}
    pieces = {zone.name: zone.ground for zone in ground.zones} if isinstance(ground, Takeoff) else None
    found = []
    for name, single in passes.items():
        rate = 1.0 if rates is None else rates.get(name, 0.0)
        piece = ground if pieces is None else pieces.get(name)
        if rate <= 0 or piece is None:
            continue
        assert not isinstance(piece, Takeoff)
        left = areas_of([piece.difference(single.by_hand)])
        found.append(Target(name, left, rate, piece.area - left.area))
    if not found or not sum(target.ground.area for target in found):
        raise ShapeError(
            "the lanes cover no ground that is to get anything",
            mend="give the ground that they were laid for",
        )
    return tuple(found)


def surroundings(ground: Shape | Takeoff, treated: Sequence[Target]) -> dict[str, Shape]:
    """Return the ground that should get nothing, by kind, no piece of it counted twice.

    Parameters
    ----------
    ground : Polygon, MultiPolygon or Takeoff
        One piece of ground, around which nothing is known, or measured zones. [m]
    treated : sequence of Target
        Ground that does get some.
    """
    if not isinstance(ground, Takeoff):
        return {}
    taken = areas_of([target.ground for target in treated])
    kinds: dict[str, Shape] = {}
    layers: list[tuple[str, BaseGeometry]] = [
        (obstacle.kind, obstacle.polygon) for obstacle in ground.yard.obstacles
    ]
    layers += [("water", water.shape) for water in ground.yard.water if water.shape.area]
    layers += [("other lawn", zone.ground) for zone in ground.zones]
    for kind, shape in layers:
        free = shape.difference(taken)
        taken = areas_of([taken, shape])
        kinds[kind] = areas_of([kinds[kind], free]) if kind in kinds else areas_of([free])
    return {kind: shape for kind, shape in kinds.items() if not shape.is_empty}


def areas_of(shapes: Sequence[BaseGeometry]) -> Shape:
    """Return shapes as one, lines and points dropped.

    Parameters
    ----------
    shapes : sequence of Polygon or MultiPolygon
        May be empty or hold what a difference left behind. [m]
    """
    whole = union_all(list(shapes))
    if isinstance(whole, Polygon | MultiPolygon):
        return whole
    parts = [part for part in getattr(whole, "geoms", ()) if isinstance(part, Polygon)]
    return MultiPolygon(parts)
