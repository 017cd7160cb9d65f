"""A hand that draws: lines that waver, and letters made of strokes, so that a sketch needs no font."""

from __future__ import annotations

from itertools import pairwise
from math import cos, hypot, radians, sin

STROKES = {
    "A": "0,0 2,6 4,0|1,2 3,2", "B": "0,0 0,6 3,6 3,3.4 0,3.2 4,2.6 3.6,0 0,0", "C": "4,5 2,6 0,4 0,2 2,0 4,1",
    "D": "0,0 0,6 2.6,5.6 4,3 2.6,.3 0,0", "E": "4,6 0,6 0,0 4,0|0,3 3,3", "F": "4,6 0,6 0,0|0,3 3,3",
    "G": "4,5 2,6 0,4 0,2 2,0 4,1 4,3 2.4,3", "H": "0,0 0,6|4,0 4,6|0,3 4,3", "I": "1,0 1,6",
    "K": "0,0 0,6|4,6 0,2.6|1,3.4 4,0", "L": "0,6 0,0 3.6,0", "M": "0,0 .4,6 2,2.4 3.6,6 4,0",
    "N": "0,0 0,6 4,0 4,6", "O": "2,6 0,4.4 0,1.6 2,0 4,1.6 4,4.4 2,6", "P": "0,0 0,6 3.6,5.6 3.6,3.2 0,2.8",
    "R": "0,0 0,6 3.6,5.6 3.4,3.4 0,3|1.4,3 4,0", "S": "4,5.2 2,6 .2,4.8 3.8,1.6 2,0 0,.8",
    "T": "0,6 4,6|2,6 2,0", "U": "0,6 .2,1 2,0 3.8,1 4,6", "V": "0,6 2,0 4,6", "W": "0,6 1,0 2,4 3,0 4,6",
    "X": "0,6 4,0|4,6 0,0", "Y": "0,6 2,3 4,6|2,3 2,0", "Z": "0,6 4,6 0,0 4,0",
    "0": "2,6 .2,4.4 .2,1.6 2,0 3.8,1.6 3.8,4.4 2,6", "1": ".6,4.8 2,6 2,0",
    "2": ".2,4.8 1.6,6 3.6,5.2 3.4,3.6 0,0 4,0", "3": ".2,5.4 2,6 3.6,4.8 1.6,3.2 3.8,1.8 2,0 0,.8",
    "4": "3,0 3,6 0,2 4,2", "5": "3.8,6 .6,6 .4,3.4 2.4,3.8 3.8,2 2.2,0 0,.6",
    "6": "3.4,6 .8,3.6 .2,1.6 2,0 3.8,1.6 2,3.2 .4,2", "7": "0,6 4,6 1.4,0",
    "8": "2,3.2 .4,4.6 2,6 3.6,4.6 2,3.2 .2,1.6 2,0 3.8,1.6 2,3.2", "9": "3.8,4.2 2,2.8 .2,4.4 2,6 3.8,4.4 3.2,0",
    "'": "1.4,6 1,4.6", "%": "0,0 4,6|.6,6 1.4,5 .4,4.8 .6,6|3.4,.2 4,1 3,1.2 3.4,.2", "-": ".6,3 3.2,3", ".": "1,0 1.2,.2",
    ",": "1.4,.6 .8,-1", "=": ".4,3.8 3.4,3.8|.4,2 3.4,2",
}  # fmt: skip
"""Letters on a grid 4 wide and 6 high: strokes parted by a bar, points by a space."""


class Hand:
    """Draws in feet on a sheet; what it has drawn is in ``lines``: (points on the sheet, ink, width)."""

    def __init__(self, sheet_of, dice):
        self.sheet_of = sheet_of
        self.dice = dice
        self.lines = []

    def _waver(self, points, by):
        """Points every 14 units along the line, each a little off, more in the middle of a stroke."""
        drawn = [points[0]]
        for start, end in pairwise(points):
            pieces = max(1, round(hypot(end[0] - start[0], end[1] - start[1]) / 14))
            drawn += [
                (
                    start[0] + (end[0] - start[0]) * piece / pieces,
                    start[1] + (end[1] - start[1]) * piece / pieces,
                )
                for piece in range(1, pieces + 1)
            ]
        return [(across + self.dice.gauss(0, by), down + self.dice.gauss(0, by)) for across, down in drawn]

    def line(self, points, ink="pencil", width=1.6, by=0.7):
        self.lines.append((self._waver([self.sheet_of(point) for point in points], by), ink, width))

    def outline(self, ring, ink="pencil", width=1.8):
        """Go round a shape twice, as one does with a pencil."""
        self.line(ring, ink, width)
        self.line(ring, ink, width * 0.5, 1.3)

    def measure(self, start, end, text, side=1.0, ink="blue"):
        """A dimension line with arrow heads and its length written beside it."""
        along, up = end[0] - start[0], end[1] - start[1]
        length = hypot(along, up)
        self.line([start, end], ink, 1.1, 0.4)
        for tip, way in ((start, 1), (end, -1)):
            back = (way * along / length, way * up / length)
            for turn in (-25, 25):
                c, s = cos(radians(turn)), sin(radians(turn))
                barb = (
                    tip[0] + 1.2 * (back[0] * c - back[1] * s),
                    tip[1] + 1.2 * (back[0] * s + back[1] * c),
                )
                self.line([tip, barb], ink, 1.1, 0.2)
        middle = (
            (start[0] + end[0]) / 2 - side * up / length * 1.9,
            (start[1] + end[1]) / 2 + side * along / length * 1.9,
        )
        self.write(text, middle, ink=ink)

    def write(self, text, middle, size=1.9, ink="ink"):
        """Letters about a point, size in units of 6 to a letter's height."""
        across, down = self.sheet_of(middle)
        left = across - len(text) * 5.6 * size / 2
        for place, letter in enumerate(text):
            for stroke in STROKES.get(letter, "").split("|"):
                points = [tuple(float(part) for part in point.split(",")) for point in stroke.split()]
                if points:
                    placed = [
                        (left + (5.6 * place + right) * size, down + (3 - up) * size) for right, up in points
                    ]
                    wavering = [
                        (a + self.dice.gauss(0, 0.35), b + self.dice.gauss(0, 0.35)) for a, b in placed
                    ]
                    self.lines.append((wavering, ink, 1.5))
