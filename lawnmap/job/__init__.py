"""The order of the work for one yard; the result types of the rooms below are handed on from here."""

from lawnmap.choices import Default
from lawnmap.job.choices import JOB_FILE, Choices, General, job_template, read_choices
from lawnmap.job.model import VERSION, Plan
from lawnmap.job.plan import open_job, plan, plan_yard, refuse_findings
from lawnmap.lanes import LanePlan, Pass
from lawnmap.measure import CutOut, Takeoff, ZoneArea
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

__all__ = [
    "JOB_FILE",
    "VERSION",
    "Choices",
    "Cover",
    "CutOut",
    "Default",
    "General",
    "LanePlan",
    "Load",
    "Material",
    "PackCount",
    "Pass",
    "Plan",
    "Prescription",
    "Source",
    "SprayPlan",
    "Takeoff",
    "ZoneAmount",
    "ZoneArea",
    "job_template",
    "open_job",
    "plan",
    "plan_yard",
    "read_choices",
    "refuse_findings",
]
