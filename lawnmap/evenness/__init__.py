"""How overlapping swaths add up on the ground, how even that is, and which spreader setting gives a rate."""

from lawnmap.evenness.advice import Advice, SpacingAdvice, advise, advise_spacing
from lawnmap.evenness.calibration import Check, check_rate, course_length, rate_from_area, rate_from_trays
from lawnmap.evenness.catch import CatchTest, read_catch, typed, typed_text
from lawnmap.evenness.chart import draw_overlap, overlap_figures, write_overlap
from lawnmap.evenness.deposit import Deposit, deposit
from lawnmap.evenness.gates import ZoneSetting, read_runs, untested, zone_settings
from lawnmap.evenness.grid import CELL_M, Grid, cover
from lawnmap.evenness.layer import Layer, layer
from lawnmap.evenness.model import Evenness, ZoneEvenness
from lawnmap.evenness.modes import ModeScore, score_modes
from lawnmap.evenness.overlap import CV_LIMIT, Overlap, SpacingBand, cv_curve, overlap, widest_spacing
from lawnmap.evenness.pattern import Pattern
from lawnmap.evenness.raster import write_raster
from lawnmap.evenness.score import Throwing, score
from lawnmap.evenness.settings import Correction, Setting, SettingCurve, TestRun, correct, fit_settings
from lawnmap.evenness.shapes import SHAPES, bell, box, shaped, trapezoid, triangle
from lawnmap.evenness.sprayer import boom
from lawnmap.evenness.sprayer_report import SprayerReport, SprayerTest, report_sprayer
from lawnmap.evenness.spreader import Spreader
from lawnmap.evenness.steering import Absorbed, absorbing_spacing, skipped_share, steered_cv
from lawnmap.evenness.strips import LaneEnds
from lawnmap.evenness.throw import ThrowReport, report_throw
from lawnmap.evenness.uniformity import christiansen, coefficient_of_variation, low_part

__all__ = [
    "CELL_M",
    "CV_LIMIT",
    "SHAPES",
    "Absorbed",
    "Advice",
    "CatchTest",
    "Check",
    "Correction",
    "Deposit",
    "Evenness",
    "Grid",
    "LaneEnds",
    "Layer",
    "ModeScore",
    "Overlap",
    "Pattern",
    "Setting",
    "SettingCurve",
    "SpacingAdvice",
    "SpacingBand",
    "SprayerReport",
    "SprayerTest",
    "Spreader",
    "TestRun",
    "ThrowReport",
    "Throwing",
    "ZoneEvenness",
    "ZoneSetting",
    "absorbing_spacing",
    "advise",
    "advise_spacing",
    "bell",
    "boom",
    "box",
    "check_rate",
    "christiansen",
    "coefficient_of_variation",
    "correct",
    "course_length",
    "cover",
    "cv_curve",
    "deposit",
    "draw_overlap",
    "fit_settings",
    "layer",
    "low_part",
    "overlap",
    "overlap_figures",
    "rate_from_area",
    "rate_from_trays",
    "read_catch",
    "read_runs",
    "report_sprayer",
    "report_throw",
    "score",
    "score_modes",
    "shaped",
    "skipped_share",
    "steered_cv",
    "trapezoid",
    "triangle",
    "typed",
    "typed_text",
    "untested",
    "widest_spacing",
    "write_overlap",
    "write_raster",
    "zone_settings",
]
