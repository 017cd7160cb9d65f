"""Outlines with closed-form areas, drawn as a surveyor's program would: arcs as chords with their ends on the arc."""

from __future__ import annotations

from math import asin, atan2, cos, pi, sin

from shapely.geometry import Polygon


def arc(centre, radius, start_deg, sweep_deg, chords):
    """Points of an arc, both ends included; a positive sweep runs counter-clockwise."""
    steps = [start_deg + sweep_deg * step / chords for step in range(chords + 1)]
    return [
        (centre[0] + radius * cos(step * pi / 180), centre[1] + radius * sin(step * pi / 180))
        for step in steps
    ]


def round_corner(centre, start, end, chords, *, clockwise=False):
    """Points of the arc about a centre from one given point to another."""
    first = atan2(start[1] - centre[1], start[0] - centre[0])
    last = atan2(end[1] - centre[1], end[0] - centre[0])
    sweep = (first - last if clockwise else last - first) % (2 * pi)
    radius = ((start[0] - centre[0]) ** 2 + (start[1] - centre[1]) ** 2) ** 0.5
    turn = -sweep if clockwise else sweep
    inner = arc(centre, radius, first * 180 / pi, turn * 180 / pi, chords)[1:-1]
    return [start, *inner, end]


def box(west, south, east, north):
    return Polygon([(west, south), (east, south), (east, north), (west, north)])


def circle(centre, radius):
    """A polygon of 72 corners: its area is 36 × sin 5° times the square of the radius."""
    return Polygon(arc(centre, radius, 0, 360, 72)[:-1])


def ellipse(centre, half_width, half_height):
    """A polygon of 72 corners: its area is 36 × sin 5° times both half axes."""
    return Polygon(
        [(centre[0] + half_width * east, centre[1] + half_height * north)
         for east, north in arc((0, 0), 1, 0, 360, 72)[:-1]]
    )  # fmt: skip


def stadium(centre, straight, radius):
    """A pool with round ends, along east; the ends are drawn with 36 chords each."""
    half = straight / 2
    right = arc((centre[0] + half, centre[1]), radius, -90, 180, 36)
    left = arc((centre[0] - half, centre[1]), radius, 90, 180, 36)
    return Polygon([*right, *left])


def kidney(left, apart, radius, bite):
    """A kidney pool: two lobes, a straight side above and an arc below that touches both lobes.

    The centres of the lobes stand ``apart`` on an east line, that of the arc below them stands
    where its distance from both is ``radius + bite``, so the arcs meet without a kink.
    """
    half = apart / 2
    reach = radius + bite
    drop = (reach**2 - half**2) ** 0.5
    lean = asin(drop / reach) * 180 / pi
    right = (left[0] + apart, left[1])
    below = (left[0] + half, left[1] - drop)
    return Polygon(
        [
            *arc(left, radius, 90, 270 - lean, 36),
            *arc(below, bite, 180 - lean, -(180 - 2 * lean), 36)[1:-1],
            *arc(right, radius, 180 + lean, 270 - lean, 36),
        ]
    )
