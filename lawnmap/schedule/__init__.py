"""Which step may be done when, what must wait for what, and how long to run the water."""

from lawnmap.schedule.dates import Dates, Hold
from lawnmap.schedule.days import Day, Hemisphere
from lawnmap.schedule.graph import Node, Placed, Wait, place
from lawnmap.schedule.model import Season, Step, Waited
from lawnmap.schedule.season import season
from lawnmap.schedule.stand import Stand, stand_of

__all__ = [
    "Dates",
    "Day",
    "Hemisphere",
    "Hold",
    "Node",
    "Placed",
    "Season",
    "Stand",
    "Step",
    "Wait",
    "Waited",
    "place",
    "season",
    "stand_of",
]
