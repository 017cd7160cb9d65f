"""What is worked as one piece, where one may walk, where the walk begins and which way it must go."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from time import perf_counter
from typing import TYPE_CHECKING, Final

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon

from lawnmap.errors import ChoiceError, ShapeError, nearest
from lawnmap.lanes.detours import Walkway
from lawnmap.lanes.headland import polygons_of
from lawnmap.lanes.movement import Mover
from lawnmap.lanes.rig import CLEARANCE
from lawnmap.measure import Takeoff, ZoneArea
from lawnmap.units import METRIC, US
from lawnmap.yard import CROSSABLE, Finding, finding

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

    from lawnmap.lanes.rig import Rig
    from lawnmap.yard import Yard

Ground = Polygon | MultiPolygon

_EDGE_M: Final = 1e-4  # without a round lanes end on the edge itself
_TOUCH_M: Final = 0.01  # zones that come so near to each other are worked as one ground
_SMALLEST_M2: Final = 0.1
_GRID_M: Final = 1e-4  # outlines that share an edge share it to this
_SEAM_M: Final = 0.05  # gaps between drawn outlines up to twice this are slips of the pen
_GATE_M: Final = 1.0  # a gate joins what lies within this distance of it
_OFF_M: Final = 0.5  # a start farther than this from open ground is worth telling


@dataclass(frozen=True, eq=False)
class Piece:
    """Ground that is worked as one.

    Attributes
    ----------
    name : str
        Name of the zone, empty for bare ground.
    ground : Polygon or MultiPolygon
        Its ground. [m]
    mover : Mover
        What moves, and where it may.
    direction_rad : float or None
        The direction asked for; None for the best. [rad]
    """

    name: str
    ground: Ground
    mover: Mover
    direction_rad: float | None

    @property
    def where(self) -> str:
        """The place, for findings."""
        return f'zone "{self.name}"' if self.name else ""


def pieces_of(ground: Ground | Takeoff, rig: Rig) -> tuple[Piece, ...]:
    """Return the pieces to work, in order.

    Parameters
    ----------
    ground : Polygon, MultiPolygon or Takeoff
        Bare ground, or a measured yard: each zone that is not done by hand. [m]
    rig : Rig
        What is pushed or towed, and how.

    Raises
    ------
    ShapeError
        Where bare ground is empty or crosses itself.
    ChoiceError
        Where a direction names nothing in the yard.
    """
    if not isinstance(ground, Takeoff):
        asked = _angle(rig.direction, None)
        return (Piece("", _checked(ground), mover_on(ground, rig), asked),)
    _known(rig.zone_directions, [zone.name for zone in ground.zones])
    mover = mover_on(open_ground(ground), rig)
    return tuple(
        Piece(
            zone.name,
            zone.ground,
            mover,
            _angle(rig.zone_directions.get(zone.name, rig.direction), ground.yard),
        )
        for zone in ground.zones
        if not zone.by_hand and zone.ground.area > _SMALLEST_M2
    )


def joined_pieces(takeoff: Takeoff, rig: Rig) -> tuple[Piece, ...]:
    """Return the ground of all zones that are not done by hand, zones that touch joined.

    Parameters
    ----------
    takeoff : Takeoff
        A measured yard. [m]
    rig : Rig
        What is pushed or towed, and how.
    """
    mover = mover_on(open_ground(takeoff), rig)
    asked = _angle(rig.direction, takeoff.yard)
    found = []
    for zones in touching_zones(takeoff):
        whole = shapely.union_all([zone.ground for zone in zones], grid_size=_GRID_M)
        ground = zones[0].ground if len(zones) == 1 else polygons_of(whole)
        found.append(Piece(" + ".join(zone.name for zone in zones), ground, mover, asked))
    return tuple(found)


def touching_zones(takeoff: Takeoff) -> list[list[ZoneArea]]:
    """Return the zones that are not done by hand, those that touch side by side in one group.

    Parameters
    ----------
    takeoff : Takeoff
        A measured yard. [m]
    """
    zones = [zone for zone in takeoff.zones if not zone.by_hand and zone.ground.area > _SMALLEST_M2]
    grounds = np.array([zone.ground for zone in zones], dtype=object)
    group = list(range(len(zones)))
    for one, two in itertools.combinations(range(len(zones)), 2):
        near = shapely.dwithin(grounds[one], grounds[two], _TOUCH_M)
        if near and shapely.intersection(grounds[one].buffer(_TOUCH_M), grounds[two]).area > _TOUCH_M:
            old, new = group[two], group[one]
            group = [new if each == old else each for each in group]
    return [
        [zone for zone, each in zip(zones, group, strict=True) if each == name]
        for name in dict.fromkeys(group)
    ]


def open_ground(takeoff: Takeoff) -> MultiPolygon:
    """Return all ground of a yard that may be walked on: lawn, drives, paths and gates.

    Parameters
    ----------
    takeoff : Takeoff
        A measured yard. [m]
    """
    obstacles = takeoff.yard.obstacles
    crossable = [obstacle.polygon for obstacle in obstacles if obstacle.kind in CROSSABLE]
    solid = shapely.union_all([obstacle.polygon for obstacle in obstacles if obstacle.kind not in CROSSABLE])
    gates = [mark.shape.buffer(_GATE_M) for mark in takeoff.yard.landmarks if mark.kind == "gate"]
    lawn = shapely.union_all([*(zone.ground for zone in takeoff.zones), *crossable, *gates])
    whole = shapely.buffer(shapely.buffer(lawn, _SEAM_M, join_style="mitre"), -_SEAM_M, join_style="mitre")
    return polygons_of(shapely.difference(whole, solid))


def mover_on(ground: Ground, rig: Rig) -> Mover:
    """Return the machine on some open ground.

    Parameters
    ----------
    ground : Polygon or MultiPolygon
        Where it may go. [m]
    rig : Rig
        What is pushed or towed, and how.
    """
    clearance_m = CLEARANCE * rig.swath_m if rig.rounds else -_EDGE_M
    walkway = Walkway(ground, clearance_m, perf_counter() + rig.time_cap_s)
    towed = rig.machine == "tow-behind"
    return Mover(walkway, rig.turning_radius_m if towed else 0.0, reverse=towed and rig.reverse)


def start_of(
    ground: Ground | Takeoff, rig: Rig, walkway: Walkway
) -> tuple[NDArray[np.float64] | None, list[Finding]]:
    """Return where the walk begins, None for wherever suits, and what is doubtful about it.

    Parameters
    ----------
    ground : Polygon, MultiPolygon or Takeoff
        Bare ground, or a measured yard with its landmarks. [m]
    rig : Rig
        What is pushed or towed, and how.
    walkway : Walkway
        Where one may walk.

    Raises
    ------
    ChoiceError
        Where the rig names a start that is no landmark.
    """
    marks = ground.yard.landmarks if isinstance(ground, Takeoff) else ()
    if rig.start:
        names = [mark.name for mark in marks]
        if rig.start not in names:
            mend = nearest(rig.start, names) if names else "add it to the yard, or leave the key out"
            raise ChoiceError(f'there is no landmark "{rig.start}"', where="[rig], start", mend=mend)
        chosen = marks[names.index(rig.start)]
    else:
        order = {"refill": 0, "gate": 1}
        fit = sorted((mark for mark in marks if mark.kind in order), key=lambda mark: order[mark.kind])
        if not fit:
            return None, []
        chosen = fit[0]
    place = shapely.get_coordinates(chosen.shape.centroid)[0]
    off_m = float(np.hypot(*(walkway.snap(place[None])[0] - place)))
    if off_m <= _OFF_M:
        return place, []
    off = f"{METRIC.width(off_m)} ({US.width(off_m)})"
    text = f'"{chosen.name}", where the walk begins, is {off} from any ground that may be walked on'
    return place, [finding("start-off-ground", text)]


def _checked(ground: Ground) -> Ground:
    if ground.is_empty or not ground.area > 0:
        raise ShapeError("there is no ground to lay lanes on", mend="give a polygon with an area")
    if not ground.is_valid:
        raise ShapeError(
            f"the outline crosses itself ({shapely.is_valid_reason(ground)})", mend="mend it in the source"
        )
    return ground


def _known(directions: dict[str, float | str], zones: Sequence[str]) -> None:
    for name in directions:
        if name not in zones:
            raise ChoiceError(
                f'there is no zone "{name}"', where="[rig], zone_directions", mend=nearest(name, zones)
            )


def _angle(asked: float | str, yard: Yard | None) -> float | None:
    """Turn a direction as the user gave it into radians; None for the best."""
    if isinstance(asked, int | float):
        return float(np.radians(asked))
    if asked == "best":
        return None
    shapes: dict[str, BaseGeometry] = {}
    if yard is not None:
        shapes |= {obstacle.name: obstacle.polygon for obstacle in yard.obstacles}
        lines = [mark for mark in yard.landmarks if mark.shape.geom_type == "LineString"]
        shapes |= {mark.name: mark.shape for mark in lines}
    if asked not in shapes:
        raise ChoiceError(
            f'there is no wall or obstacle "{asked}" to walk along',
            where="[rig], direction",
            mend=nearest(asked, [*shapes, "best"]),
        )
    points = shapely.get_coordinates(shapely.get_parts(shapes[asked])[0])
    step = np.diff(points, axis=0)
    longest = step[np.argmax(np.hypot(step[:, 0], step[:, 1]))]
    return float(np.arctan2(longest[1], longest[0]) % np.pi)
