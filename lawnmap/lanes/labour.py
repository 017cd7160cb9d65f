"""How long the work takes, and how much of that time does work."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lawnmap.lanes.model import LanePlan, Pass, SettingChange
    from lawnmap.lanes.rig import Rig


@dataclass(frozen=True)
class Labour:
    """Time of a plan, by what it is spent on.

    Attributes
    ----------
    work_s : float
        On lanes and rounds, gate open. [s]
    way_s : float
        On ways between them and to the refill point, gate shut. [s]
    turn_s : float
        At turns. [s]
    refill_s : float
        Filling the hopper. [s]
    area_m2 : float
        Ground gone over, each pass counted, swath × length of lanes and rounds. [m²]
    change_s : float
        Setting the spreader anew on the way. [s]
    """

    work_s: float
    way_s: float
    turn_s: float
    refill_s: float
    area_m2: float
    change_s: float = 0.0

    @property
    def total_s(self) -> float:
        """All of it. [s]"""
        return self.work_s + self.way_s + self.turn_s + self.refill_s + self.change_s

    @property
    def field_efficiency(self) -> float:
        """Share of the time that does work (field efficiency, ASABE EP496, *Agricultural Machinery Management*). [1]"""
        return self.work_s / self.total_s if self.total_s else 0.0

    @property
    def area_m2_per_h(self) -> float:
        """Effective field capacity, swath × speed × field efficiency (ASABE EP496). [m²/h]"""
        return 3600 * self.area_m2 / self.total_s if self.total_s else 0.0

    def to_dict(self) -> dict[str, float]:
        """Return times, area and their quotients as a mapping."""
        return {
            "work_s": self.work_s,
            "way_s": self.way_s,
            "turn_s": self.turn_s,
            "refill_s": self.refill_s,
            "change_s": self.change_s,
            "total_s": self.total_s,
            "area_m2": self.area_m2,
            "field_efficiency": self.field_efficiency,
            "area_m2_per_h": self.area_m2_per_h,
        }


def labour_of(plan: LanePlan, rig: Rig) -> Labour:
    """Return where the time of a plan goes.

    Parameters
    ----------
    plan : LanePlan
        All passes, with or without refills.
    rig : Rig
        Speed, and time per turn, filling and change of the setting.
    """
    return labour_on(plan.passes, rig)


def labour_on(passes: Sequence[Pass], rig: Rig) -> Labour:
    """Return where the time of some passes goes; see `labour_of`.

    Parameters
    ----------
    passes : sequence of Pass
        With or without refills.
    rig : Rig
        Speed, and time per turn, filling and change of the setting.
    """
    work_m = sum(single.work_length_m for single in passes)
    path_m = sum(single.path_length_m for single in passes)
    fills = sum(len(single.refills) for single in passes)
    turns = sum(max(sum(leg.kind != "way" for leg in single.legs) - 1, 0) for single in passes)
    stops = sum(settings_changed(single.changes) for single in passes)
    area = sum(single.work_length_m * single.swath_m for single in passes)
    return Labour(
        work_m / rig.speed_m_per_s,
        (path_m - work_m) / rig.speed_m_per_s,
        turns * rig.turn_s,
        fills * rig.refill_s,
        area,
        stops * rig.setting_change_s,
    )


def settings_changed(changes: Sequence[SettingChange]) -> int:
    """Return how often one stops to set the spreader; shutting the gate and opening it again is no stop.

    Parameters
    ----------
    changes : sequence of SettingChange
        In order; the first is the setting to begin with.
    """
    set_for = [change.rate_kg_per_m2 for change in changes if change.rate_kg_per_m2 > 0]
    return sum(one != two for one, two in pairwise(set_for))
