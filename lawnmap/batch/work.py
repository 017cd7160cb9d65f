"""The one function that every engine calls: plan the yards of a task and save what became of each."""

from __future__ import annotations

import json
import re
from dataclasses import fields, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lawnmap.batch.model import NO_LAWN, PLANNED, REFUSED, Done, Given, Outcome, Piece, Quoted, Task, Walked
from lawnmap.batch.rows import table_of
from lawnmap.batch.store import save_chunk
from lawnmap.errors import LawnmapError
from lawnmap.job import Choices, Plan, plan_yard
from lawnmap.measure import take_off_many
from lawnmap.rates import prescribe_many
from lawnmap.sheets import write
from lawnmap.survey import read_each, read_part
from lawnmap.units import SYSTEMS
from lawnmap.yard import Yard

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lawnmap.measure import Ground, Takeoff
    from lawnmap.quote import Quote
    from lawnmap.rates import Amounts, ManyAmounts

_LONGEST_NAME = 60

_PLAIN = ("general", "source", "ground", "seed", "fertilizer", "products", "rig", "spreader", "folder")
"""Choices that areas and amounts follow from; any other asks for more than these."""

_APART = "sprays, topdressing and straw are in the plan of the yard, and not in the purchase of the portfolio"


def carry_out(task: Task, target: Path) -> Done:
    """Plan the yards of a task and save them as one file.

    Parameters
    ----------
    task : Task
        What to do.
    target : Path
        The file; it is there whole or not at all.

    Raises
    ------
    OutputError
        Where the file cannot be written.
    """
    outcomes = [outcome for piece in task.pieces for outcome in outcomes_of(piece, task)]
    refused = sum(outcome.status == REFUSED for outcome in outcomes)
    save_chunk(table_of(outcomes, refused), target)
    return Done(task.number, len(outcomes), refused)


def outcomes_of(piece: Piece, task: Task) -> list[Outcome]:
    """Plan the yards of a piece; whatever keeps one from being planned becomes its reason.

    Parameters
    ----------
    piece : Piece
        Which yards, and what to do.
    task : Task
        The task it belongs to.
    """
    source = piece.choices.source
    try:
        if piece.part is None:
            found = read_each(piece.path, source)
        else:
            found = read_part(piece.path, source, piece.part)
    except Exception as fault:  # noqa: BLE001  whatever is wrong with one file, the others are planned
        names = piece.part.names if piece.part else (piece.path.stem,)
        return [_refused(name, piece, fault) for name in names]
    planned: dict[str, Outcome] = {}
    for choices, yards in _by_choices(piece, found):
        work = _measured_only if is_quick(choices, task.maps) else _planned_fully
        planned |= {outcome.yard: outcome for outcome in work(yards, choices, piece, task)}
    return [planned[name] if name in planned else _not_read(name, piece, found[name]) for name in found]


def is_quick(choices: Choices, maps: Path | None) -> bool:
    """Whether areas and amounts are all that is wanted, so that arrays will do.

    Parameters
    ----------
    choices : Choices
        What to do.
    maps : Path or None
        Folder for maps of single yards.
    """
    asked = any(getattr(choices, one.name) for one in fields(choices) if one.name not in _PLAIN)
    return "lanes" in choices.general.leave_out and not asked and maps is None


def _not_read(name: str, piece: Piece, found: Yard | LawnmapError) -> Outcome:
    if isinstance(found, LawnmapError):
        return _refused(name, piece, found)
    wrong = piece.own[name]
    assert isinstance(wrong, str)  # a yard with good choices has been planned
    return Outcome(name, str(piece.path), REFUSED, wrong)


def _by_choices(piece: Piece, found: dict[str, Yard | LawnmapError]) -> Iterator[tuple[Choices, list[Yard]]]:
    """Sort the yards by what is to be done, those with choices of their own apart."""
    groups: dict[int, tuple[Choices, list[Yard]]] = {}
    for name, yard in found.items():
        choices = piece.own.get(name, piece.choices)
        if isinstance(yard, Yard) and isinstance(choices, Choices):
            groups.setdefault(id(choices), (choices, []))[1].append(yard)
    yield from groups.values()


def _refused(name: str, piece: Piece, fault: Exception) -> Outcome:
    return Outcome(name, str(piece.path), REFUSED, _reason(fault), piece.choices.general.units)


def _reason(fault: Exception) -> str:
    if isinstance(fault, LawnmapError):
        return str(fault)
    said = " ".join(str(fault).split()) or "nothing more is known"
    return f"the program failed on it ({type(fault).__name__}: {said}); please report it with the yard."


def _planned_fully(yards: Sequence[Yard], choices: Choices, piece: Piece, task: Task) -> Iterator[Outcome]:
    """Plan yard by yard, exactly as ``lawnmap plan`` does."""
    for number, yard in enumerate(yards):
        try:
            plan = plan_yard(yard, choices)
            folder = _write_sheets(plan, task, number)
        except MemoryError:
            raise
        except Exception as fault:  # noqa: BLE001  whatever is wrong with one yard, the others are planned
            yield _refused(yard.name, piece, fault)
            continue
        yield _outcome(plan, choices, piece, folder)


def _write_sheets(plan: Plan, task: Task, number: int) -> str:
    if task.maps is None:
        return ""
    plain = re.sub(r"[^\w-]+", "_", plan.yard.name)[:_LONGEST_NAME].strip("_")
    name = f"{task.number:05}_{number:04}_{plain}".rstrip("_")
    write(plan, task.maps / name)
    return f"{task.maps.name}/{name}"


def _outcome(plan: Plan, choices: Choices, piece: Piece, folder: str) -> Outcome:
    given = []
    for material, choice in zip(plan.prescription.materials, _materials(choices), strict=True):
        packs = packs_text(choice.packs)
        given += [
            Given(
                amount.zone, material.name, material.kind, amount.area_m2, amount.rate_kg_per_m2,
                amount.amount_kg, material.allowance, packs,
            )
            for amount in material.by_zone
        ]  # fmt: skip
    return replace(
        _measured(plan.takeoff, choices, piece),
        given=tuple(given),
        walked=None if "lanes" in choices.general.leave_out else Walked.of(plan.lanes),
        quoted=_quoted(plan.quote),
        interior_cv=plan.evenness.interior_cv if plan.evenness else None,
        findings=(
            *(str(finding) for finding in plan.findings),
            *([_APART] if plan.sprays or plan.covers else ()),
        ),
        folder=folder,
    )


def _quoted(quote: Quote | None) -> Quoted | None:
    return Quoted(quote.subtotal, quote.total, quote.money.currency) if quote else None


def _materials(choices: Choices) -> list[Any]:
    """The sections of a job that put a material down, in the order of the prescription."""
    left_out = choices.general.leave_out
    kept = [("seed", choices.seed), ("fertilizer", choices.fertilizer)]
    return [section for name, section in kept if name not in left_out] + list(choices.products)


def packs_text(packs: Sequence[Any]) -> str:
    """Write pack sizes so that they can be told apart and read again."""
    return json.dumps([[pack.size_kg, None if pack.price is None else str(pack.price)] for pack in packs])


def _measured(takeoff: Takeoff, choices: Choices, piece: Piece) -> Outcome:
    yard = takeoff.yard.name
    bare = takeoff.net_area_m2 <= 1e-9 * takeoff.gross_area_m2
    reason = "no lawn is left: obstacles cover all of it." if bare else ""
    return Outcome(
        yard, str(piece.path), NO_LAWN if bare else PLANNED, reason, choices.general.units, takeoff
    )


def _measured_only(yards: Sequence[Yard], choices: Choices, piece: Piece, task: Task) -> Iterator[Outcome]:
    """Measure and prescribe for all yards at once, on arrays; no lanes."""
    _ = task
    takeoffs, refused = _take_off_each(yards, choices.ground)
    yield from (_refused(name, piece, fault) for name, fault in refused.items())
    left_out = choices.general.leave_out
    try:
        many = prescribe_many(
            takeoffs,
            seed=None if "seed" in left_out else choices.seed,
            fertilizer=None if "fertilizer" in left_out else choices.fertilizer,
            products=choices.products,
            units=SYSTEMS[choices.general.units],
        )
    except LawnmapError as fault:
        yield from (_refused(takeoff.yard.name, piece, fault) for takeoff in takeoffs)
        return
    given, said = _given_by_yard(takeoffs, many), [str(finding) for finding in many.findings]
    for number, takeoff in enumerate(takeoffs):
        if number in many.refused:
            yield _refused(takeoff.yard.name, piece, many.refused[number])
            continue
        found = [str(finding) for finding in (*takeoff.findings, *many.by_yard.get(number, ()))]
        yield replace(
            _measured(takeoff, choices, piece), given=tuple(given[number]), findings=(*found, *said)
        )


def _take_off_each(yards: Sequence[Yard], ground: Ground) -> tuple[list[Takeoff], dict[str, Exception]]:
    """Measure all yards at once, and halve them at a fault until it stands alone."""
    try:
        return take_off_many(yards, ground), {}
    except Exception as fault:  # noqa: BLE001  whatever is wrong with one yard, the others are measured
        if len(yards) == 1:
            return [], {yards[0].name: fault}
    half = len(yards) // 2
    first, wrong = _take_off_each(yards[:half], ground)
    second, more = _take_off_each(yards[half:], ground)
    return first + second, wrong | more


def _given_by_yard(takeoffs: Sequence[Takeoff], many: ManyAmounts) -> list[list[Given]]:
    names = [zone.name for takeoff in takeoffs for zone in takeoff.zones]
    given: list[list[Given]] = [[] for _ in takeoffs]
    for material in many.materials:
        packs = packs_text(material.packs)
        for yard, amount in zip(material.yard.tolist(), _amounts(material, names, packs), strict=True):
            given[yard].append(amount)
    return given


def _amounts(material: Amounts, names: list[str], packs: str) -> Iterator[Given]:
    columns = (material.zone, material.area_m2, material.rate_kg_per_m2, material.amount_kg)
    for zone, area_m2, rate, amount_kg in zip(*(column.tolist() for column in columns), strict=True):
        yield Given(
            names[zone], material.name, material.kind, area_m2, rate, amount_kg, material.allowance, packs
        )
