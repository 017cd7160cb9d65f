"""Labour, refills and stakes in words and in the user's units: rows for the tables under the map."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lawnmap.sheets.figures import Table
from lawnmap.sheets.walk_words import pass_number, product_of, stake_of, ties_of
from lawnmap.units import duration, figure

if TYPE_CHECKING:
    from lawnmap.job import Outing, Pass, Plan, Step

_PRICE_TOLD: Final = 0.005
_FORMULA: Final = (
    "Area per hour is swath × speed × field efficiency, the share of the time that does work (ASABE EP496); "
    "each pass counts."
)


def labour_table(plan: Plan) -> Table:
    """Return where the time goes, product by product.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    """
    units, outings = plan.units, plan.lanes.outings
    rows = []
    for outing in outings:
        spent = outing.labour
        rows.append(
            (
                product_of(outing),
                units.length(outing.path_length_m),
                duration(spent.work_s),
                duration(spent.way_s + spent.turn_s),
                duration(spent.refill_s + spent.change_s),
                duration(spent.total_s),
                f"{units.area(spent.area_m2_per_h)} at {figure(100 * spent.field_efficiency, 2)} %",
            )
        )
    total = sum(outing.labour.total_s for outing in outings)
    walked = units.length(sum(outing.path_length_m for outing in outings))
    return Table(
        "Time on the lanes",
        (
            "Product",
            "Walk",
            "Lanes and rounds",
            "Ways and turns",
            "Filling and setting",
            "In all",
            "Area per hour, efficiency",
        ),
        tuple(rows),
        ("All products", walked, "", "", "", duration(total), "") if len(rows) > 1 else (),
        (*_compared(plan), *_priced(plan), _FORMULA),
    )


def _compared(plan: Plan) -> tuple[str, ...]:
    """Say what working zone by zone and all together would take."""
    found = plan.lanes.compared
    if found is None:
        return ()
    apart = f"{duration(found.one_by_one_s)} and {plan.units.length(found.one_by_one_m)}"
    whole = f"{duration(found.together_s)} and {plan.units.length(found.together_m)}"
    chosen = "together" if found.together else "zone by zone"
    text = (
        f"Zone by zone, each at its setting: {apart}; zones that touch together, the setting changed on the way "
        f"{found.changes} times: {whole}. Planned {chosen} (section [rig], key zones)."
    )
    return (text,)


def _priced(plan: Plan) -> tuple[str, ...]:
    """Say what a stated direction costs beside the best one."""
    return tuple(
        f"{single.zone}: the direction asked for takes {figure(100 * single.direction_price, 2)} % more walking and "
        "turning than the best one."
        for single in plan.lanes.passes
        if single.direction_price is not None and single.direction_price > _PRICE_TOLD
    )


def refill_table(plan: Plan) -> Table:
    """Return where to stop and what to load, for passes that one filling does not do.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    """
    rows = [
        row
        for outing in plan.lanes.outings
        for single in outing.passes
        if len(single.refills) > 1 or len(single.zones) > 1
        for row in _refills(plan, outing, single)
    ]
    return Table(
        "Refills",
        ("Product", "Zone", "Pass", "Filling", "Load", "When", "Extra walk"),
        tuple(rows),
        notes=("Passes that one filling does are under “Loading the hopper” alone.",) if rows else (),
    )


def _refills(plan: Plan, outing: Outing, single: Pass) -> list[tuple[str, ...]]:
    steps = [step for step in outing.steps if step.fills and _same(step, single)]
    rows: list[tuple[str, ...]] = []
    for step in steps:
        for fill in step.fills:
            on_it = fill.after_leg >= 0 and fill is not step.fills[0]
            before = f"before {'lane' if step.kind == 'lane' else 'round'} {step.lane}"
            when = f"at {plan.units.taped(fill.after_m)} on lane {step.lane}" if on_it else before
            rows.append(
                (
                    product_of(outing),
                    step.zone,
                    pass_number(step).removeprefix("pass "),
                    str(fill.number),
                    plan.units.mass(fill.load_kg) if fill.load_kg is not None else "full",
                    when,
                    plan.units.length(fill.detour_m) if fill.detour_m > 0 else "none",
                )
            )
    return rows


def _same(step: Step, single: Pass) -> bool:
    return (step.zone, step.pass_number) == (single.zone, single.number)


def stake_tables(plan: Plan) -> tuple[Table, ...]:
    """Return the stakes to set, a table for each pass.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    """
    units = plan.units
    found = []
    for single in plan.lanes.passes:
        rows = []
        for stake in single.stakes:
            ties = (*ties_of(stake, units), "", "")[:2] if stake.ties else ("from its neighbours", "")
            rows.append(
                (
                    str(stake.number),
                    stake_of(stake),
                    *ties,
                    f"± {units.taped(stake.error_m)}" if stake.ties else "",
                    units.taped(stake.check_m) if stake.check_m else "",
                    stake.aim,
                )
            )
        title = f"{single.zone}, pass {single.number} of {single.count}" if single.zone else "Stakes"
        heads = ("Stake", "Marks", "First tape", "Second tape", "Good to", "To stake before", "Aim for")
        found.append(Table(title, heads, tuple(rows)))
    return tuple(table for table in found if table.rows)
