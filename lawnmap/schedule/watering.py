"""What watering is: phases with the runs of every station, their water, their cost."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from lawnmap.schedule.clock import write_clock

if TYPE_CHECKING:
    from lawnmap.rates import Source
    from lawnmap.schedule.stations import Served
    from lawnmap.yard import Finding


@dataclass(frozen=True)
class StationRun:
    """One station in one phase.

    Attributes
    ----------
    station : str
        Its name.
    run_s : float
        How long one run is, in whole minutes. [s]
    applied_m : float
        Mean depth that one run puts down. [m]
    volume_m3 : float
        Water of one run. [m³]
    starts_s : tuple of float
        When it starts, from midnight, on a day with water. [s]
    """

    station: str
    run_s: float
    applied_m: float
    volume_m3: float
    starts_s: tuple[float, ...]

    @property
    def starts(self) -> tuple[str, ...]:
        """When it starts, as times of day."""
        return tuple(write_clock(start) for start in self.starts_s)

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping; starts as times of day."""
        return {
            "station": self.station,
            "run_s": self.run_s,
            "applied_m": self.applied_m,
            "volume_m3": self.volume_m3,
            "starts": list(self.starts),
        }


@dataclass(frozen=True)
class Phase:
    """A stretch of days that are watered alike.

    Attributes
    ----------
    key, name : str
        Stable name, and what it is called.
    first, last : date or None
        Its first and last day; None without a calendar.
    days : int
        How many days it has. [day]
    depth_m : float
        Depth that one run shall give. [m]
    runs_per_day : int
        Runs on a day with water that fit into the hours. [count]
    days_per_week : int
        Days with water in a week. [count]
    weekdays : tuple of str
        Which days those are.
    sources : tuple of Source
        Where depth and runs come from; empty for the user's own.
    runs : tuple of StationRun
        The stations in the order in which they run.
    round_s : float
        How long one round over all of them takes. [s]
    volume_m3_per_week : float
        Water of a week, all stations together. [m³]
    cost_per_week : str or None
        What that costs, in the user's money.
    """

    key: str
    name: str
    first: date | None
    last: date | None
    days: int
    depth_m: float
    runs_per_day: int
    days_per_week: int
    weekdays: tuple[str, ...]
    sources: tuple[Source, ...]
    runs: tuple[StationRun, ...]
    round_s: float
    volume_m3_per_week: float
    cost_per_week: str | None

    @property
    def volume_m3(self) -> float:
        """Water of the whole phase, without rain. [m³]"""
        return self.volume_m3_per_week * self.days / 7

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping of JSON values."""
        return {
            "key": self.key,
            "name": self.name,
            "first": self.first.isoformat() if self.first else None,
            "last": self.last.isoformat() if self.last else None,
            "days": self.days,
            "depth_m": self.depth_m,
            "runs_per_day": self.runs_per_day,
            "days_per_week": self.days_per_week,
            "weekdays": list(self.weekdays),
            "sources": [str(source) for source in self.sources],
            "runs": [run.to_dict() for run in self.runs],
            "round_s": self.round_s,
            "volume_m3_per_week": self.volume_m3_per_week,
            "volume_m3": self.volume_m3,
            "cost_per_week": self.cost_per_week,
        }


@dataclass(frozen=True)
class Custom:
    """What ten minutes three times a day on every station would do; *common practice*, no publication.

    Attributes
    ----------
    run_s, runs_per_day : float, int
        Length of a run, and how many a day. [s, count]
    depth_m_per_day : dict
        Mean depth of a day by station. [m]
    volume_m3_per_week : float
        Water of a week. [m³]
    """

    run_s: float
    runs_per_day: int
    depth_m_per_day: dict[str, float]
    volume_m3_per_week: float

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "run_s": self.run_s,
            "runs_per_day": self.runs_per_day,
            "depth_m_per_day": dict(self.depth_m_per_day),
            "volume_m3_per_week": self.volume_m3_per_week,
        }


@dataclass(frozen=True)
class Watering:
    """How long to run the water, phase by phase.

    Attributes
    ----------
    stations : tuple of Served
        What each puts down.
    phases : tuple of Phase
        In the order of the season.
    custom : Custom
        The common practice, for comparison.
    findings : tuple of Finding
        What is doubtful, and what is not possible.
    """

    stations: tuple[Served, ...]
    phases: tuple[Phase, ...]
    custom: Custom
    findings: tuple[Finding, ...] = ()

    @property
    def volume_m3(self) -> float:
        """Water of all phases together, without rain. [m³]"""
        return sum(phase.volume_m3 for phase in self.phases)

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping of JSON values, in SI."""
        return {
            "stations": [station.to_dict() for station in self.stations],
            "phases": [phase.to_dict() for phase in self.phases],
            "volume_m3": self.volume_m3,
            "common_practice": self.custom.to_dict(),
            "findings": [finding.to_dict() for finding in self.findings],
        }
