"""The walk, its stakes and its refills as rows of layers for a GIS."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from shapely.geometry import LineString, Point

if TYPE_CHECKING:
    from lawnmap.job import Outing, Plan, Step

Row = tuple[dict[str, Any], Any]

TEXT: Final = {
    "walk": ("product", "zone", "kind"),
    "stakes": ("zone", "lane_end", "tie_1", "tie_1_how", "tie_2", "tie_2_how", "aim"),
    "refills": ("product", "zone"),
}
"""Layer to its columns of text."""

NUMBERS: Final = {
    "walk": (
        "step",
        "pass_number",
        "lane",
        "length_m",
        "way_before_m",
        "time_s",
        "set_for_kg_per_m2",
        "load_kg",
        "refill_after",
    ),
    "stakes": ("pass_number", "stake", "lane", "tie_1_m", "tie_2_m", "angle_deg", "error_m", "check_m"),
    "refills": ("pass_number", "step", "fill", "load_kg", "detour_m"),
}
"""Layer to its columns of numbers."""

SHAPE: Final = {"walk": "LineString", "stakes": "Point", "refills": "LineString"}
"""Layer to the kind of its shapes."""


def walk_rows(plan: Plan) -> dict[str, list[Row]]:
    """Return the rows of all three layers.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    """
    outings = plan.lanes.outings
    return {
        "walk": [_step(outing, step) for outing in outings for step in outing.steps],
        "stakes": [row for single in plan.lanes.passes for row in _stakes(single)],
        "refills": [row for outing in outings for step in outing.steps for row in _refills(outing, step)],
    }


def _step(outing: Outing, step: Step) -> Row:
    said = {
        "product": outing.product,
        "zone": step.zone,
        "kind": "lane" if step.kind == "lane" else "round",
        "step": step.number,
        "pass_number": step.pass_number,
        "lane": step.lane,
        "length_m": step.length_m,
        "way_before_m": step.way_m,
        "time_s": step.time_s,
        "set_for_kg_per_m2": step.settings[0].rate_kg_per_m2 if step.settings else None,
        "load_kg": step.load_kg,
        "refill_after": step.refill_after,
    }
    return said, LineString(step.points)


def _stakes(single: Any) -> list[Row]:
    rows: list[Row] = []
    for stake in single.stakes:
        said = {
            "zone": single.zone,
            "pass_number": single.number,
            "stake": stake.number,
            "lane": stake.lane,
            "lane_end": stake.end,
            "angle_deg": stake.angle_deg,
            "error_m": stake.error_m,
            "check_m": stake.check_m,
            "aim": stake.aim,
        }
        for number, tie in enumerate(stake.ties, 1):
            said |= {
                f"tie_{number}": tie.place,
                f"tie_{number}_how": tie.how,
                f"tie_{number}_m": tie.distance_m,
            }
        rows.append((said, Point(stake.east_m, stake.north_m)))
    return rows


def _refills(outing: Outing, step: Step) -> list[Row]:
    return [
        (
            {
                "product": outing.product,
                "zone": step.zone,
                "pass_number": step.pass_number,
                "step": step.number,
                "fill": fill.number,
                "load_kg": fill.load_kg,
                "detour_m": fill.detour_m,
            },
            LineString([*fill.there.tolist(), *fill.back.tolist()]),
        )
        for fill in step.fills
        if len(fill.there)
    ]
