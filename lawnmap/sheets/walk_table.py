"""The walk as a table that a spreadsheet can open safely: one row per lane or round, product by product."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

from lawnmap.sheets.table import cell, word
from lawnmap.sheets.walk_words import fill_of, gates_of, set_for
from lawnmap.units import convert

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lawnmap.job import Outing, Plan, Step


def walk_csv(plan: Plan) -> str:
    """Write every step of the walk: where, how long, what to set for, what to load before it.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    """
    rows = [
        _row(plan, outing, step, gates)
        for outing in plan.lanes.outings
        for gates in [gates_of(plan, outing)]
        for step in outing.steps
    ]
    page = io.StringIO(newline="")
    writer = csv.writer(page, lineterminator="\r\n")  # as RFC 4180 has it
    writer.writerow(rows[0] if rows else ["product", "step"])
    writer.writerows([cell(value) for value in row.values()] for row in rows)
    return page.getvalue()


def _row(plan: Plan, outing: Outing, step: Step, gates: Mapping[str, str]) -> dict[str, object]:
    length_word, mass_word = word(plan.units.length_unit), word(plan.units.mass_unit)
    row: dict[str, object] = {
        "product": outing.product,
        "step": step.number,
        "zone": step.zone,
        "pass": step.pass_number,
        "passes": step.pass_count,
        "kind": "lane" if step.kind == "lane" else "round",
        "lane": step.lane,
        "length_m": step.length_m,
        "way_before_m": step.way_m,
    }
    if length_word != "m":
        row[f"length_{length_word}"] = convert(step.length_m, plan.units.length_unit)
        row[f"way_before_{length_word}"] = convert(step.way_m, plan.units.length_unit)
    row |= {
        "time_s": step.time_s,
        "set_for": set_for(step, plan.units, gates),
        "set_for_kg_per_m2": step.settings[0].rate_kg_per_m2 if step.settings else "",
        "fill_before": fill_of(step, plan.units),
        "load_kg": "" if step.load_kg is None else step.load_kg,
    }
    if mass_word != "kg":
        row[f"load_{mass_word}"] = "" if step.load_kg is None else convert(step.load_kg, plan.units.mass_unit)
    return row | {"refill_after": "yes" if step.refill_after else "", "aim": step.aim}
