"""The walk as GPX 1.1, for a phone or a hand-held receiver: passes as routes and tracks, stakes as waypoints.

GPX 1.1 Schema Documentation, topografix.com/GPX/1/1: waypoints first, then routes, then tracks; coordinates on
WGS 84.
"""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, Final
from xml.etree.ElementTree import Element, SubElement, indent, tostring

import numpy as np

from lawnmap.sheets.elements import plain
from lawnmap.sheets.walk_words import fill_of, name_of, pass_of, product_of, stake_of, ties_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from lawnmap.job import Outing, Plan, Step

_NAMESPACE: Final = "http://www.topografix.com/GPX/1/1"
_DECIMALS: Final = 8  # about a millimetre


def walk_gpx(plan: Plan) -> str:
    """Write the walk of the first product, and the stakes and refill points of the plan.

    Where a receiver is good to several feet, which most are, it shows the way but cannot keep a swath: the
    stakes do.

    Parameters
    ----------
    plan : Plan
        A finished plan on a yard that has a place on the earth.
    """
    root = Element("gpx", {"xmlns": _NAMESPACE, "version": "1.1", "creator": "lawnmap"})
    _text(SubElement(root, "metadata"), "name", plan.name)
    _waypoints(root, plan)
    outing = plan.lanes.outings[0]
    passes = [list(steps) for _, steps in groupby(outing.steps, key=pass_of)]
    for steps in passes:
        _route(root, plan, outing, steps)
    for steps in passes:
        track = SubElement(root, "trk")
        _text(track, "name", pass_of(steps[0]))
        segment = SubElement(track, "trkseg")
        for place in _placed(plan, _line(steps)):
            SubElement(segment, "trkpt", place)
    indent(root)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + tostring(root, encoding="unicode") + "\n"


def _waypoints(root: Element, plan: Plan) -> None:
    for single in plan.lanes.passes:
        for stake in single.stakes:
            at = np.array([[stake.east_m, stake.north_m]])
            point = SubElement(root, "wpt", _placed(plan, at)[0])
            _text(point, "name", f"Stake {stake.number}, pass {single.number}, {single.zone}".rstrip(", "))
            _text(point, "desc", "; ".join((stake_of(stake), *ties_of(stake, plan.units))))
    for mark in plan.yard.landmarks:
        if mark.kind == "refill":
            at = np.array([[mark.shape.centroid.x, mark.shape.centroid.y]])
            point = SubElement(root, "wpt", _placed(plan, at)[0])
            _text(point, "name", mark.name)
            _text(point, "desc", "refill point")


def _route(root: Element, plan: Plan, outing: Outing, steps: list[Step]) -> None:
    """Write one pass with a named point at both ends of each lane."""
    route = SubElement(root, "rte")
    _text(route, "name", pass_of(steps[0]))
    _text(route, "desc", f"{product_of(outing)}, {len(steps)} lanes and rounds")
    for step in steps:
        ends = _placed(plan, step.points[[0, -1]])
        for end, place in zip(("start", "end"), ends, strict=True):
            point = SubElement(route, "rtept", place)
            _text(point, "name", f"{name_of(step)} {end}")
            fill = fill_of(step, plan.units) if end == "start" else ""
            if fill:
                _text(point, "desc", fill)


def _line(steps: list[Step]) -> NDArray[np.float64]:
    return np.concatenate([part for step in steps for part in (step.way, step.points)])


def _placed(plan: Plan, points: NDArray[np.float64]) -> list[dict[str, str]]:
    """Return places as the format has them."""
    return [
        {"lat": f"{latitude:.{_DECIMALS}f}", "lon": f"{longitude:.{_DECIMALS}f}"}
        for longitude, latitude in plan.yard.plane.to_lonlat(points).tolist()
    ]


def _text(parent: Element, tag: str, text: str) -> None:
    SubElement(parent, tag).text = plain(text)
