"""Zones of different density on one lawn: worked one by one, or in one go with the setting changed on the way."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Final

import numpy as np
import shapely

from lawnmap.lanes.laying import lay, lay_pieces
from lawnmap.lanes.pieces import joined_pieces

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lawnmap.lanes.model import LanePlan, Leg
    from lawnmap.lanes.rig import Rig
    from lawnmap.measure import Takeoff, ZoneArea

_SHORTEST: Final = 0.5  # a stretch shorter than this many swaths keeps the setting of the one before


@dataclass(frozen=True)
class SettingChange:
    """Where to change the setting, and to what.

    Attributes
    ----------
    pass_index : int
        Index of the pass in its plan. [index]
    leg : int
        Index of the leg in its pass. [index]
    at_m : float
        Distance from the beginning of that leg, 0 for before it. [m]
    zone, density : str
        The zone that begins there, and its class: the setting is that of this zone.
    """

    pass_index: int
    leg: int
    at_m: float
    zone: str
    density: str

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "pass_index": self.pass_index,
            "leg": self.leg,
            "at_m": round(self.at_m, 2),
            "zone": self.zone,
            "density": self.density,
        }


@dataclass(frozen=True, eq=False)
class BothWays:
    """The same lawn worked zone by zone and as a whole.

    Attributes
    ----------
    by_zone : LanePlan
        Every zone on its own, at one setting.
    whole : LanePlan
        Zones that touch as one ground; its times count the changes.
    changes : tuple of SettingChange
        Where the whole plan changes the setting, in walking order.
    """

    by_zone: LanePlan = field(repr=False)
    whole: LanePlan = field(repr=False)
    changes: tuple[SettingChange, ...] = field(repr=False)

    @property
    def quicker(self) -> LanePlan:
        """The one that takes less time; zone by zone where they are equal."""
        return self.whole if self.whole.time_s < self.by_zone.time_s else self.by_zone


def lay_both_ways(takeoff: Takeoff, rig: Rig) -> BothWays:
    """Lay a yard zone by zone, and as a whole with the setting changed along the lanes.

    Parameters
    ----------
    takeoff : Takeoff
        A measured yard.
    rig : Rig
        What is pushed or towed, and how.
    """
    pieces = joined_pieces(takeoff, rig)
    whole = lay_pieces(pieces, takeoff, rig)
    zones = [zone for zone in takeoff.zones if not zone.by_hand]
    changes: list[SettingChange] = []
    passes = []
    for index, single in enumerate(whole.passes):
        found = changes_along(single.legs, zones, _SHORTEST * single.swath_m)
        changes += [replace(change, pass_index=index) for change in found]
        extra = max(len(found) - 1, 0) * rig.setting_change_s  # the first setting is made before the start
        passes.append(replace(single, time_s=single.time_s + extra))
    return BothWays(lay(takeoff, rig), replace(whole, passes=tuple(passes)), tuple(changes))


def changes_along(legs: Sequence[Leg], zones: Sequence[ZoneArea], shortest_m: float) -> list[SettingChange]:
    """Return where the setting changes along a walk; the first entry is the setting to begin with.

    Parameters
    ----------
    legs : sequence of Leg
        The walk in order.
    zones : sequence of ZoneArea
        Zones with their grounds and classes.
    shortest_m : float
        Stretches shorter than this keep the setting of the one before. [m]
    """
    grounds = np.array([zone.ground for zone in zones], dtype=object)
    borders = shapely.boundary(grounds)
    found: list[SettingChange] = []
    for index, leg in enumerate(legs):
        if leg.kind == "way":
            continue
        line = shapely.linestrings(leg.points)
        cuts = shapely.get_coordinates(shapely.intersection(borders, line))
        marks = np.unique(
            np.concatenate(
                [[0.0], shapely.line_locate_point(line, shapely.points(cuts)), [leg.length_m]]
            ).round(3)
        )
        for begin, end in zip(marks[:-1].tolist(), marks[1:].tolist(), strict=True):
            if end - begin < shortest_m and leg.length_m > shortest_m:
                continue
            middle = shapely.line_interpolate_point(line, (begin + end) / 2)
            zone = zones[int(np.argmin(shapely.distance(grounds, middle)))]
            if not found or found[-1].density != zone.density:
                found.append(SettingChange(0, index, begin, zone.name, zone.density))
    return found
