"""Stakes and refills as layers of the drawing."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from shapely.geometry import LineString, MultiPoint, Point

from lawnmap.sheets.figures import Card
from lawnmap.sheets.marks import Layer, Look, Mark
from lawnmap.sheets.palette import REFILL, STAKE, WHITE
from lawnmap.sheets.walk_words import stake_of, ties_of

if TYPE_CHECKING:
    from lawnmap.job import Plan

_ANGLE: Final = "°"


def stake_layers(plan: Plan) -> tuple[Layer, ...]:
    """Return one layer of stakes for each pass number, off at first.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    """
    look = Look(stroke=WHITE, width_px=1.2, fill=STAKE, radius_px=4.0)
    layers = []
    for number in sorted({single.number for single in plan.lanes.passes}):
        marks = [
            Mark(f"s{i}-{stake.number}", Point(stake.east_m, stake.north_m), look)
            for i, single in enumerate(plan.lanes.passes)
            if single.number == number
            for stake in single.stakes
        ]
        title = "Stakes" if plan.lanes.passes[0].count == 1 else f"Stakes, pass {number}"
        key = (look, "both ends of every few lanes")
        layers.append(Layer(f"stakes{number}", title, tuple(marks), shown=False, keys=(key,)))
    return tuple(layers)


def refill_layers(plan: Plan) -> tuple[Layer, ...]:
    """Return the ways to the refill point and back, for the first product; off at first.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    """
    way = Look(stroke=REFILL, width_px=1.6, dash="6 4")
    stop = Look(stroke=REFILL, width_px=2.0, fill=WHITE, radius_px=4.0)
    marks = []
    for i, single in enumerate(plan.lanes.passes):
        fills = [fill for fill in single.refills if len(fill.there)]
        lines = [LineString([*fill.there.tolist(), *fill.back.tolist()]) for fill in fills]
        marks += [Mark(f"r{i}", line, way) for line in lines]
        if fills:
            marks.append(Mark(f"r{i}", MultiPoint([fill.there[0].tolist() for fill in fills]), stop))
    keys = ((way, "to the refill point and back"), (stop, "stop here and fill"))
    title = "Refills" if len(plan.lanes.outings) < 2 else "Refills, first product"
    return (Layer("refills", title, tuple(marks), shown=False, keys=keys),)


def stake_cards(plan: Plan) -> dict[str, Card]:
    """Return what the map tells about each stake, by the identifier of its mark.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    """
    found = {}
    for i, single in enumerate(plan.lanes.passes):
        for stake in single.stakes:
            ties = ties_of(stake, plan.units)
            rows = [(f"Tape {number}", tie) for number, tie in enumerate(ties, 1)]
            if ties:
                rows.append(("Good to", f"± {plan.units.taped(stake.error_m)}"))
                rows.append(("Tapes meet at", f"{stake.angle_deg:.0f}{_ANGLE}"))
            if stake.check_m:
                rows.append(("To stake before", plan.units.taped(stake.check_m)))
            if stake.aim:
                rows.append(("Aim for", stake.aim))
            small = () if ties else ("Nothing in the yard fixes this stake; set it from its neighbours.",)
            found[f"s{i}-{stake.number}"] = Card(
                f"Stake {stake.number}: {stake_of(stake)}", single.zone, tuple(rows), small
            )
    return found
