"""True ground: projection, net areas, their error, slope; no products."""

from lawnmap.measure.model import CutOut, Takeoff, ZoneArea, frame_of

__all__ = ["CutOut", "Takeoff", "ZoneArea", "frame_of"]
