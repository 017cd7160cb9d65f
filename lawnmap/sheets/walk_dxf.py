"""The walk as a DXF drawing in metres on the yard's own plane, to lay over the yard that ``convert`` writes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np
from lazy_loader import load

from lawnmap.sheets.elements import plain
from lawnmap.sheets.walk_words import name_of, ties_of

if TYPE_CHECKING:
    from pathlib import Path

    from lawnmap.job import Plan, Step

ezdxf = load("ezdxf")  # slow to load, and only this sheet needs it

_METRES: Final = 6  # of $INSUNITS
_TEXT: Final = 0.25  # height of a lane number [swaths]
_COLOURS: Final = {"LANES": 5, "ROUNDS": 4, "WAYS": 8, "NUMBERS": 7, "STAKES": 1, "REFILLS": 6}
"""Layer to colour index of the format: blue, cyan, grey, black or white, red, magenta."""


def write_walk_dxf(plan: Plan, path: Path) -> None:
    """Write lanes, rounds, ways, stakes and refill stops; each pass has layers of its own.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    path : Path
        The drawing to write.
    """
    document = ezdxf.new("R2010", units=_METRES)
    space = document.modelspace()
    for step in plan.lanes.outings[0].steps:
        _step(space, step, plan.lanes.passes[0].swath_m)
    for single in plan.lanes.passes:
        for stake in single.stakes:
            layer = {"layer": f"STAKES_{single.number}"}
            space.add_point((stake.east_m, stake.north_m), dxfattribs=layer)
            words = " / ".join((f"{stake.number}", *ties_of(stake, plan.units)))
            _write(space, words, (stake.east_m, stake.north_m), _TEXT * single.swath_m, layer)
    for name in {entity.dxf.layer for entity in space}:
        if name not in document.layers:
            document.layers.add(name, color=_COLOURS[name.split("_")[0]])
    document.saveas(path)


def _step(space: Any, step: Step, swath_m: float) -> None:
    number = step.pass_number
    kind = "LANES" if step.kind == "lane" else "ROUNDS"
    space.add_lwpolyline(step.points.tolist(), dxfattribs={"layer": f"{kind}_{number}"})
    if len(step.way):
        space.add_lwpolyline(step.way.tolist(), dxfattribs={"layer": f"WAYS_{number}"})
    run = step.points[1] - step.points[0]
    turned = float(np.degrees(np.arctan2(run[1], run[0])))
    _write(
        space,
        name_of(step),
        (float(step.points[0, 0]), float(step.points[0, 1])),
        _TEXT * swath_m,
        {"layer": f"NUMBERS_{number}", "rotation": turned},
    )
    for fill in step.fills:
        if len(fill.there):
            layer = {"layer": f"REFILLS_{number}"}
            space.add_circle(fill.there[0].tolist(), radius=_TEXT * swath_m, dxfattribs=layer)


def _write(
    space: Any, words: str, at: tuple[float, float], height_m: float, attributes: dict[str, Any]
) -> None:
    """Put a text; what the format would take for a code of its own stays as it is written."""
    safe = plain(words).replace("%%", "% %")
    space.add_text(safe, height=height_m, dxfattribs={**attributes, "insert": at})
