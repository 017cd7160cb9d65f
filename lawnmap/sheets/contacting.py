"""The panel of seed-to-soil contact: the ways compared, and what suits each zone with its arithmetic."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from shapely.geometry import MultiLineString

from lawnmap.sheets.blocks import put_table
from lawnmap.sheets.elements import Element, put
from lawnmap.sheets.figures import Card, Table
from lawnmap.sheets.marks import Layer, Look, Mark
from lawnmap.sheets.palette import INK
from lawnmap.units import duration

if TYPE_CHECKING:
    from decimal import Decimal

    from lawnmap.job import Comparison, Plan, Way, ZoneAdvice

_LOOK: Final = Look(stroke=INK, width_px=0.9, dash="2 3")
_STEPS: Final = {"open": "before or with the seed", "press": "after it", "cover": "over it"}


def contact_panel(main: Element, plan: Plan) -> None:
    """Put the ways to bring seed into the soil, or nothing where the job does not ask for them.

    Parameters
    ----------
    main : Element
        Where to put it.
    plan : Plan
        A finished plan.
    """
    if plan.contact is None or not plan.contact.ways:
        return
    box = put(main, "div", css="tables", attributes={"id": "contact"})
    put_table(box, _advice_table(plan, plan.contact))
    put_table(box, _way_table(plan, plan.contact))


def contact_lines(comparison: Comparison) -> list[str]:
    """Write what is advised for each zone, a line each.

    Parameters
    ----------
    comparison : Comparison
        Ways, and what suits each zone.
    """
    if not comparison.advice:
        return []
    cost = f", {_money(comparison.cost)}" if comparison.cost is not None else ""
    lines = [f"Seed into the soil: {duration(comparison.time_s)}{cost}, fetching counted"]
    return lines + [f"  {one.zone} ({one.density}): {steps_of(one)}" for one in comparison.advice]


def steps_of(advice: ZoneAdvice) -> str:
    """Write the ways that are advised for one zone, in order.

    Parameters
    ----------
    advice : ZoneAdvice
        What suits the zone.
    """
    return (
        ", then ".join(step for step in (advice.open, advice.press, advice.cover) if step)
        or "nothing suits it"
    )


def _money(amount: Decimal) -> str:
    return f"{amount:,.2f}"


def _advice_table(plan: Plan, comparison: Comparison) -> Table:
    numbers = {zone.name: i for i, zone in enumerate(plan.takeoff.zones)}
    cost = f", {_money(comparison.cost)}" if comparison.cost is not None else ""
    return Table(
        "Seed into the soil: what suits each zone",
        ("Zone", "Stand", "Ground", "Do", "The figures"),
        tuple(
            (one.zone, one.density, plan.units.area(one.area_m2), steps_of(one), "; ".join(one.reasons))
            for one in comparison.advice
        ),
        ("All zones", "", "", f"{duration(comparison.time_s)}{cost}", "fetching counted once for each way"),
        comparison.notes,
        tuple(f"z{numbers[one.zone]}" for one in comparison.advice),
    )


def _way_table(plan: Plan, comparison: Comparison) -> Table:
    return Table(
        "The ways compared, each on all the ground that it suits",
        ("Way", "When", "Ground", "In lanes", "Material", "Time", "Cost"),
        tuple(
            (
                way.name,
                _STEPS[way.step],
                plan.units.area(way.area_m2),
                _lanes(plan, way),
                way.material or "none",
                duration(way.time_s),
                _money(way.cost) if way.cost is not None else "prices not given",
            )
            for way in comparison.ways
        ),
        notes=tuple(
            f"{way.name[:1].upper()}{way.name[1:]}: {way.said}." for way in comparison.ways if way.said
        ),
    )


def _lanes(plan: Plan, way: Way) -> str:
    if way.lanes is None or not way.lanes.passes:
        return "by hand"
    times = f" × {way.passes}" if way.passes > 1 else ""
    count = len(way.lanes.lanes)
    return f"{count} of {plan.units.width(way.lanes.passes[0].swath_m)}, {plan.units.length(way.lanes.path_length_m)}{times}"


def _in_lanes(plan: Plan) -> tuple[Way, ...]:
    """Machines that are advised on any zone."""
    if plan.contact is None:
        return ()
    advised = {way for one in plan.contact.advice for way in (one.open, one.press)}
    return tuple(way for way in plan.contact.ways if way.name in advised and way.lanes and way.lanes.passes)


def contact_layers(plan: Plan) -> tuple[Layer, ...]:
    """Return the lanes of every machine that is advised, switched off at first.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    """
    layers = []
    for i, way in enumerate(_in_lanes(plan)):
        assert way.lanes is not None  # only machines are asked
        lines = [*way.lanes.lanes, *(loop.coords for loop in way.lanes.loops)]
        mark = Mark(f"c{i}", MultiLineString(lines), _LOOK)
        layers.append(
            Layer(
                f"contact{i}",
                f"Lanes of the {way.name}",
                (mark,),
                shown=False,
                keys=((_LOOK, _lanes(plan, way)),),
            )
        )
    return tuple(layers)


def contact_cards(plan: Plan) -> dict[str, Card]:
    """Return what the map tells about those lanes, by the identifier of their mark.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    """
    return {
        f"c{i}": Card(
            way.name[:1].upper() + way.name[1:],
            _STEPS[way.step],
            (("Lanes", _lanes(plan, way)), ("Time, fetching counted", duration(way.time_s))),
        )
        for i, way in enumerate(_in_lanes(plan))
    }
