"""How a swath is walked or driven over ground with obstacles; not what is in the hopper."""

from lawnmap.lanes.along import BothWays, lay_both_ways, split_by_zone
from lawnmap.lanes.labour import Labour, labour_of
from lawnmap.lanes.laying import lay
from lawnmap.lanes.model import Compared, LanePlan, Leg, Pass, SettingChange, Stretch
from lawnmap.lanes.outing import Outing, Spread, lay_for_products, put_down
from lawnmap.lanes.refills import Refill, with_refills
from lawnmap.lanes.rig import Rig
from lawnmap.lanes.stakes import Stake, Tie
from lawnmap.lanes.steps import Step

__all__ = [
    "BothWays",
    "Compared",
    "Labour",
    "LanePlan",
    "Leg",
    "Outing",
    "Pass",
    "Refill",
    "Rig",
    "SettingChange",
    "Spread",
    "Stake",
    "Step",
    "Stretch",
    "Tie",
    "labour_of",
    "lay",
    "lay_both_ways",
    "lay_for_products",
    "put_down",
    "split_by_zone",
    "with_refills",
]
