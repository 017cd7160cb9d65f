"""How a swath is walked or driven over ground with obstacles; not what is in the hopper."""

from lawnmap.lanes.along import BothWays, SettingChange, lay_both_ways
from lawnmap.lanes.labour import Labour, labour_of
from lawnmap.lanes.laying import lay
from lawnmap.lanes.model import LanePlan, Leg, Pass
from lawnmap.lanes.refills import Refill, with_refills
from lawnmap.lanes.rig import Rig
from lawnmap.lanes.stakes import Stake, Tie

__all__ = [
    "BothWays",
    "Labour",
    "LanePlan",
    "Leg",
    "Pass",
    "Refill",
    "Rig",
    "SettingChange",
    "Stake",
    "Tie",
    "labour_of",
    "lay",
    "lay_both_ways",
    "with_refills",
]
