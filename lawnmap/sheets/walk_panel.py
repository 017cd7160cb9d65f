"""The walk on the map page: a panel to go through it step by step, and the tables of labour, refills and stakes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from lawnmap.sheets.blocks import put_table
from lawnmap.sheets.elements import Element, plain, put
from lawnmap.sheets.walk_figures import labour_table, refill_table, stake_tables
from lawnmap.sheets.walk_words import fill_of, gates_of, has_walk, name_of, pass_of, product_of, set_for

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lawnmap.job import Outing, Plan, Step
    from lawnmap.sheets.webmap import Display


def put_walker(chart: Element, plan: Plan) -> None:
    """Put the panel that shows one lane after the other on the map.

    Parameters
    ----------
    chart : Element
        Where the map is.
    plan : Plan
        A finished plan.
    """
    if not has_walk(plan):
        return
    panel = put(chart, "section", css="walker", attributes={"aria-label": "Walk the lanes one by one"})
    row = put(panel, "div", css="walker-row")
    if len(plan.lanes.outings) > 1:
        label = put(row, "label", "Walk ")
        choice = put(label, "select", attributes={"id": "walk-product"})
        for number, outing in enumerate(plan.lanes.outings):
            put(choice, "option", product_of(outing), "user", {"value": str(number)})
    buttons = put(row, "div", css="walker-buttons", attributes={"role": "group", "aria-label": "Steps"})
    for key, words in (("back", "Back"), ("on", "Next"), ("play", "Play")):
        put(buttons, "button", words, attributes={"type": "button", "id": f"walk-{key}"})
    last = str(len(plan.lanes.outings[0].steps))
    slide = {"type": "range", "id": "walk-step", "min": "0", "max": last, "value": "0"}
    put(panel, "input", attributes=slide | {"aria-label": "Step of the walk"})
    put(panel, "output", "Step through the walk, lane by lane.", attributes={"id": "walk-words"})


def put_walk_tables(main: Element, plan: Plan) -> None:
    """Put the tables of labour and refills, and those of the stakes folded away.

    Parameters
    ----------
    main : Element
        Where the tables are.
    plan : Plan
        A finished plan.
    """
    stakes = stake_tables(plan)
    if not (has_walk(plan) or stakes):
        return
    box = put(main, "div", css="tables walk-tables")
    for table in (labour_table(plan), refill_table(plan)):
        if table.rows:
            put_table(box, table)
    if stakes:
        count = sum(len(table.rows) for table in stakes)
        words = f"Stakes to set out with a tape: {count}, all in walk.csv; the field sheet has the first of each zone."
        put(box, "p", words, "paper")
        fold = put(box, "details")
        put(fold, "summary", f"Stakes to set out with a tape: {count}")
        put(
            fold,
            "p",
            "Both ends of every few lanes, in walking order. Hook two tapes where it says and set the stake where "
            "the two distances meet; then check the distance to the stake before.",
            "lead",
        )
        for table in stakes:
            put_table(fold, table)


def walk_data(plan: Plan, display: Display) -> dict[str, Any] | None:
    """Return what the script of the panel shows; None where there is nothing to walk.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    display : Display
        Where it lies on the map.
    """
    if not has_walk(plan):
        return None
    lines, texts = _Once(), _Once()

    def line(points: Any) -> int:
        return lines.add(points.tobytes(), lambda: display.latlng(np.asarray(points)))

    def text(words: str) -> int:
        return texts.add(words, lambda: plain(words))

    def told(step: Step, gates: Mapping[str, str]) -> dict[str, Any]:
        found: dict[str, Any] = {
            "line": line(step.points),
            "name": name_of(step),
            "of": step.lane_count,
            "where": text(pass_of(step)),
            "long": plan.units.length(step.length_m),
            "set": text(set_for(step, plan.units, gates)),
        }
        if len(step.way) > 1:
            found["way"] = line(step.way)
        fill = fill_of(step, plan.units)
        if step.aim:
            found["aim"] = text(step.aim)
        return found | ({"fill": fill} if fill else {}) | ({"then": 1} if step.refill_after else {})

    def outing_of(outing: Outing) -> dict[str, Any]:
        gates = gates_of(plan, outing)
        return {"product": text(product_of(outing)), "steps": [told(step, gates) for step in outing.steps]}

    outings = [outing_of(outing) for outing in plan.lanes.outings]
    return {"outings": outings, "lines": lines.kept, "texts": texts.kept}


class _Once:
    """Things kept once each, by a key; products share their lanes."""

    def __init__(self) -> None:
        self.kept: list[Any] = []
        self._places: dict[object, int] = {}

    def add(self, key: object, make: Any) -> int:
        if key not in self._places:
            self._places[key] = len(self.kept)
            self.kept.append(make())
        return self._places[key]
