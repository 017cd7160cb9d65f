"""Which step may be done when, what must wait for what, and how long to run the water."""

from lawnmap.schedule.dates import Dates, Hold
from lawnmap.schedule.days import Day, Hemisphere
from lawnmap.schedule.graph import Node, Placed, Wait, place
from lawnmap.schedule.irrigate import CUSTOM_RUN_S, CUSTOM_RUNS, irrigate, run_time
from lawnmap.schedule.model import Season, Step, Waited
from lawnmap.schedule.season import season
from lawnmap.schedule.stand import Stand, stand_of
from lawnmap.schedule.stations import Served, low_half_of, multiplier, precipitation_rate
from lawnmap.schedule.water import Station, Water
from lawnmap.schedule.watering import Custom, Phase, StationRun, Watering

__all__ = [
    "CUSTOM_RUNS",
    "CUSTOM_RUN_S",
    "Custom",
    "Dates",
    "Day",
    "Hemisphere",
    "Hold",
    "Node",
    "Phase",
    "Placed",
    "Season",
    "Served",
    "Stand",
    "Station",
    "StationRun",
    "Step",
    "Wait",
    "Waited",
    "Water",
    "Watering",
    "irrigate",
    "low_half_of",
    "multiplier",
    "place",
    "precipitation_rate",
    "run_time",
    "season",
    "stand_of",
]
