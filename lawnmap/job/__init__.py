"""The order of the work for one yard; the result types of the rooms below are handed on from here."""

from lawnmap.choices import Default
from lawnmap.evenness import Advice, Evenness, ModeScore
from lawnmap.job.choices import JOB_FILE, Choices, General, job_template, read_choices
from lawnmap.job.model import VERSION, Plan
from lawnmap.job.plan import open_job, plan, plan_yard, refuse_findings, settings_of
from lawnmap.lanes import LanePlan, Outing, Pass, Stake, Step
from lawnmap.measure import CutOut, Takeoff, ZoneArea
from lawnmap.rates import Load, Material, PackCount, Prescription, Source, ZoneAmount

__all__ = [
    "JOB_FILE",
    "VERSION",
    "Advice",
    "Choices",
    "CutOut",
    "Default",
    "Evenness",
    "General",
    "LanePlan",
    "Load",
    "Material",
    "ModeScore",
    "Outing",
    "PackCount",
    "Pass",
    "Plan",
    "Prescription",
    "Source",
    "Stake",
    "Step",
    "Takeoff",
    "ZoneAmount",
    "ZoneArea",
    "job_template",
    "open_job",
    "plan",
    "plan_yard",
    "read_choices",
    "refuse_findings",
    "settings_of",
]
