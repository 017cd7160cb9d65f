"""The order of the work for one yard; the result types of the rooms below are handed on from here."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import lawnmap
from lawnmap.choices import Default
from lawnmap.evenness import Advice, Evenness, ModeScore
from lawnmap.job.carry import log_entry, log_path, tally_job
from lawnmap.job.choices import JOB_FILE, Choices, General, Option, areas_only, read_choices
from lawnmap.job.model import VERSION, Plan
from lawnmap.job.plan import open_job, plan, plan_yard, refuse_findings, settings_of
from lawnmap.job.template import job_template
from lawnmap.lanes import LanePlan, Outing, Pass, Stake, Step
from lawnmap.measure import (
    DISCLAIMER,
    AreaLine,
    CutOut,
    Statement,
    Takeoff,
    ZoneArea,
    by_density,
    rounded,
    rounded_error,
    statement,
)
from lawnmap.rates import (
    Cover,
    Load,
    Material,
    PackCount,
    Prescription,
    Source,
    SprayPlan,
    ZoneAmount,
)

if TYPE_CHECKING:
    from lawnmap.contact import Comparison, Way, ZoneAdvice
    from lawnmap.quote import Line, Quote, TaxLine
    from lawnmap.record import Dose, MaterialReal, Stand, Tally, ZoneReal, read_log
    from lawnmap.schedule import Phase, Season, Waited, Watering
    from lawnmap.schedule import Step as SeasonStep

_LATER: Final = {
    "contact": ("Comparison", "Way", "ZoneAdvice"),
    "quote": ("Line", "Quote", "TaxLine"),
    "record": ("Dose", "MaterialReal", "Stand", "Tally", "ZoneReal", "read_log"),
    "schedule": ("Phase", "Season", "SeasonStep", "Waited", "Watering"),
}
"""Rooms that most jobs have no section for: each is loaded when one of its names is first asked for."""


__all__ = [
    "DISCLAIMER",
    "JOB_FILE",
    "VERSION",
    "Advice",
    "AreaLine",
    "Choices",
    "Comparison",
    "Cover",
    "CutOut",
    "Default",
    "Dose",
    "Evenness",
    "General",
    "LanePlan",
    "Line",
    "Load",
    "Material",
    "MaterialReal",
    "ModeScore",
    "Option",
    "Outing",
    "PackCount",
    "Pass",
    "Phase",
    "Plan",
    "Prescription",
    "Quote",
    "Season",
    "SeasonStep",
    "Source",
    "SprayPlan",
    "Stake",
    "Stand",
    "Statement",
    "Step",
    "Takeoff",
    "Tally",
    "TaxLine",
    "Waited",
    "Watering",
    "Way",
    "ZoneAdvice",
    "ZoneAmount",
    "ZoneArea",
    "ZoneReal",
    "areas_only",
    "by_density",
    "job_template",
    "log_entry",
    "log_path",
    "open_job",
    "plan",
    "plan_yard",
    "read_choices",
    "read_log",
    "refuse_findings",
    "rounded",
    "rounded_error",
    "settings_of",
    "statement",
    "tally_job",
]


def __getattr__(name: str) -> object:
    for room, names in _LATER.items():
        if name in names:
            return getattr(getattr(lawnmap, room), name.removeprefix("Season") or name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
