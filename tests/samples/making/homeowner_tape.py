"""The house lot of the homeowner's sample as its owner would tape it, from the front wall of the house.

The baseline is that wall: A is the south-west corner, B the south-east one, 42 ft apart; off to the left of it,
as one looks from A to B, is the back yard.
"""

from __future__ import annotations

SHEET = """tape sheet
# Our yard. Invented for lawnmap; no such house.
unit, ft
accuracy, 0.2
# A is the south-west corner of the house, B the south-east one.
base, 42

lawn bare, Old swing set, rectangle, length 12, width 8, at 38 45
lawn patchy, Front yard, rectangle, 70, 50, at -14 -38
lawn thin, Shade strip, rectangle, 14, 30, at -14 12
lawn patchy, Back yard, points, 0 12, 56 12, 56 80, -14 92, -14 42, 0 42

house, House, points, 0 0, 42 0, 42 42, 26 42, 26 30, 0 30
drive, Drive, rectangle, 38, 12, at 42 -38, turned 90
walk, Front walk, points, 16 -12, 30 -12, 30 -8, 20 -8, 20 0, 16 0
walk, Patio, rectangle, 20, 12, at 6 30
pool, Kidney pool, kidney, length 28, widths 12 12, at 14 62
bed, Front bed, offsets, every 3' 6", 4, 4, 4, 4, 4, behind
# The corner bed is a quarter of a circle and the fence bed half of one: what lies outside the lot does not count.
bed, Corner bed, circle, radius 10, at -14 -38
bed, Fence bed, circle, radius 7, at 56 60
tree, Crab apple, circle, diameter 6, at 49 -18
tree, Maple, circle, around 25.13, tied 80' 6" 72' 3"
other, Shed, rectangle, 8, 10, at -10 76
"""


def make(folder):
    """Write the sheet."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "tape_sheet.csv").write_text(SHEET, "utf-8")
