"""How overlapping swaths add up on the ground, how even that is, and which spreader setting gives a rate."""

from lawnmap.evenness.deposit import Deposit, deposit
from lawnmap.evenness.grid import CELL_M, Grid, cover
from lawnmap.evenness.model import Evenness, ZoneEvenness
from lawnmap.evenness.overlap import CV_LIMIT, Overlap, SpacingBand, cv_curve, overlap, widest_spacing
from lawnmap.evenness.pattern import Pattern
from lawnmap.evenness.score import Throwing, score
from lawnmap.evenness.shapes import SHAPES, bell, box, shaped, trapezoid, triangle
from lawnmap.evenness.strips import LaneEnds
from lawnmap.evenness.uniformity import christiansen, coefficient_of_variation, low_part

__all__ = [
    "CELL_M",
    "CV_LIMIT",
    "SHAPES",
    "Deposit",
    "Evenness",
    "Grid",
    "LaneEnds",
    "Overlap",
    "Pattern",
    "SpacingBand",
    "Throwing",
    "ZoneEvenness",
    "bell",
    "box",
    "christiansen",
    "coefficient_of_variation",
    "cover",
    "cv_curve",
    "deposit",
    "low_part",
    "overlap",
    "score",
    "shaped",
    "trapezoid",
    "triangle",
    "widest_spacing",
]
