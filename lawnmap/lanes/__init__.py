"""How a swath is walked or driven over ground with obstacles; not what is in the hopper."""

from lawnmap.lanes.laying import lay
from lawnmap.lanes.model import LanePlan, Leg, Pass
from lawnmap.lanes.rig import Rig

__all__ = ["LanePlan", "Leg", "Pass", "Rig", "lay"]
