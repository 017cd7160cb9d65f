"""The walk as KML 2.2, for a globe or a phone: a folder for each product and pass, a line for each lane.

OGC 07-147r2, *OGC KML*, version 2.2: longitude first, on WGS 84.
"""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, Final
from xml.etree.ElementTree import Element, SubElement, indent, tostring

import numpy as np

from lawnmap.sheets.elements import plain
from lawnmap.sheets.palette import PASS
from lawnmap.sheets.walk_words import (
    fill_of,
    gates_of,
    name_of,
    pass_of,
    product_of,
    set_for,
    stake_of,
    ties_of,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from lawnmap.job import Plan, Step

_NAMESPACE: Final = "http://www.opengis.net/kml/2.2"
_DECIMALS: Final = 9  # about a tenth of a millimetre


def walk_kml(plan: Plan) -> str:
    """Write the walk of every product, with lane numbers, loads and stakes.

    Parameters
    ----------
    plan : Plan
        A finished plan on a yard that has a place on the earth.
    """
    root = Element("kml", {"xmlns": _NAMESPACE})
    document = SubElement(root, "Document")
    _text(document, "name", plan.name)
    for number, colour in enumerate(PASS, 1):
        style = SubElement(SubElement(document, "Style", {"id": f"pass{number}"}), "LineStyle")
        red, green, blue = colour[1:3], colour[3:5], colour[5:7]
        _text(style, "color", f"ff{blue}{green}{red}")  # opacity first, then blue, green and red
        _text(style, "width", "2")
    for place, outing in enumerate(plan.lanes.outings):
        folder = SubElement(document, "Folder")
        _text(folder, "name", product_of(outing))
        _text(folder, "visibility", str(int(not place)))
        gates = gates_of(plan, outing)
        for name, steps in groupby(outing.steps, key=pass_of):
            inner = SubElement(folder, "Folder")
            _text(inner, "name", name)
            for step in steps:
                words = (plan.units.length(step.length_m), set_for(step, plan.units, gates))
                _step(inner, plan, step, words, shown=not place)
    _stakes(document, plan)
    indent(root)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + tostring(root, encoding="unicode") + "\n"


def _step(folder: Element, plan: Plan, step: Step, words: tuple[str, ...], *, shown: bool) -> None:
    mark = SubElement(folder, "Placemark")
    _text(mark, "name", name_of(step))
    _text(mark, "visibility", str(int(shown)))
    said = (*words, fill_of(step, plan.units))
    _text(mark, "description", "; ".join(word for word in said if word))
    _text(mark, "styleUrl", f"#pass{(step.pass_number - 1) % len(PASS) + 1}")
    line = SubElement(mark, "LineString")
    _text(line, "tessellate", "1")
    _text(line, "coordinates", _placed(plan, step.points))


def _stakes(document: Element, plan: Plan) -> None:
    folder = SubElement(document, "Folder")
    _text(folder, "name", "Stakes")
    for single in plan.lanes.passes:
        for stake in single.stakes:
            mark = SubElement(folder, "Placemark")
            _text(mark, "name", f"Stake {stake.number}, pass {single.number}, {single.zone}".rstrip(", "))
            _text(mark, "description", "; ".join((stake_of(stake), *ties_of(stake, plan.units))))
            point = SubElement(mark, "Point")
            _text(point, "coordinates", _placed(plan, np.array([[stake.east_m, stake.north_m]])))


def _placed(plan: Plan, points: NDArray[np.float64]) -> str:
    return " ".join(
        f"{longitude:.{_DECIMALS}f},{latitude:.{_DECIMALS}f}"
        for longitude, latitude in plan.yard.plane.to_lonlat(points).tolist()
    )


def _text(parent: Element, tag: str, text: str) -> None:
    SubElement(parent, tag).text = plain(text)
