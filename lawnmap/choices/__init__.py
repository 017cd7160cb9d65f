"""What a section of a job file is: a frozen model with units, plain faults and a commented template."""

from lawnmap.choices.kinds import (
    Area,
    AreaPerTime,
    BulkDensity,
    CountPerMass,
    Depth,
    Flow,
    Length,
    Mass,
    MassPerArea,
    Percent,
    Precipitation,
    Speed,
    Time,
    Volume,
    choice,
)
from lawnmap.choices.section import Default, Section
from lawnmap.choices.template import template

__all__ = [
    "Area",
    "AreaPerTime",
    "BulkDensity",
    "CountPerMass",
    "Default",
    "Depth",
    "Flow",
    "Length",
    "Mass",
    "MassPerArea",
    "Percent",
    "Precipitation",
    "Section",
    "Speed",
    "Time",
    "Volume",
    "choice",
    "template",
]
