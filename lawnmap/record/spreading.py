"""Where the amounts of a log went: each entry shared out among its zones, and held against the plan."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from lawnmap.errors import nearest
from lawnmap.record.item import Share
from lawnmap.yard import finding

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lawnmap.record.item import Item, Planned
    from lawnmap.record.logfile import Line
    from lawnmap.yard import Finding

DOUBTFUL: Final = 4.0
"""An amount this many times more or less than planned is asked about. *common practice* [1]"""

_ACRE: Final = 43.56
_MOST_OFF: Final = 1.5
"""How far an amount may be from 43.56 times the plan and still be a mix-up of acre and 1000 sq ft. [1]"""


@dataclass(frozen=True)
class Portion:
    """What one entry put on one zone.

    Attributes
    ----------
    line : Line
        The entry.
    zone : str
        Name of the zone.
    used : float
        Of the material. [kg, m³ or count]
    planned : float
        What the plan wanted there for as much ground. [kg, m³ or count]
    area_m2 : float
        Ground done. [m²]
    rounds : int
        How often it was gone over. [count]
    """

    line: Line
    zone: str
    used: float
    planned: float
    area_m2: float
    rounds: int


def portions(planned: Planned, lines: Sequence[Line]) -> tuple[tuple[Portion, ...], tuple[Finding, ...]]:
    """Share every amount that was put down out among the zones that it went on.

    Parameters
    ----------
    planned : Planned
        What was to be done.
    lines : sequence of Line
        The log.
    """
    made: list[Portion] = []
    found: list[Finding] = []
    for line in lines:
        if line.entry.what != "put down":
            continue
        strange = _strange_zones(planned, line)
        found += strange
        if strange:
            continue
        item = planned.item(line.entry.material)
        found += _of_material(planned, line, item)
        parts = _share_out(planned, line, item)
        made += parts
        found += _doubts(line, parts)
    return tuple(made), tuple(found)


def _strange_zones(planned: Planned, line: Line) -> list[Finding]:
    names = [zone.name for zone in planned.takeoff.zones]
    return [
        finding(
            "log-zone-unknown",
            f'there is no zone "{name}", so the entry is on no ground; {nearest(name, names)}',
            line.where,
        )
        for name in line.entry.zones
        if name not in names
    ]


def _of_material(planned: Planned, line: Line, item: Item | None) -> list[Finding]:
    entry = line.entry
    if item is None:
        is_known = entry.grade is not None or entry.active_ingredient
        text = f'"{entry.material}" is not in the plan, so there is nothing to hold it against'
        return (
            []
            if is_known
            else [finding("log-not-in-plan", f"{text}; {planned.near(entry.material)}", line.where)]
        )
    assert entry.amount is not None  # an entry that puts something down has one
    if entry.amount.measure != item.measure:
        text = (
            f"{item.name} is measured in {_word(item.measure)} in the plan and in {_word(entry.amount.measure)} "
            "here, so the two cannot be compared"
        )
        return [finding("log-measure-differs", text, line.where)]
    return []


def _word(measure: str) -> str:
    return {"mass": "weight"}.get(measure, measure)


def _share_out(planned: Planned, line: Line, item: Item | None) -> list[Portion]:
    """Split an amount as the plan would have it; evenly by ground where the plan has nothing there."""
    entry = line.entry
    amount = entry.amount
    if amount is None or (item is not None and amount.measure != item.measure):
        return []
    shares = _shares(planned, entry.zones, item)
    whole = sum(share.area_m2 for share in shares.values())
    if not whole:
        return []
    part = entry.area_m2 / whole if entry.area_m2 else 1.0
    is_spray = item is not None and item.kind == "spray"
    rounds = {name: entry.passes or (1 if is_spray else share.rounds) for name, share in shares.items()}
    wanted = {name: share.per_m2 * share.area_m2 * rounds[name] for name, share in shares.items()}
    total = sum(wanted.values())
    return [
        Portion(
            line=line,
            zone=name,
            used=amount.value * (wanted[name] / total if total else share.area_m2 / whole),
            planned=wanted[name] * part,
            area_m2=share.area_m2 * part,
            rounds=rounds[name],
        )
        for name, share in shares.items()
    ]


def _shares(planned: Planned, zones: tuple[str, ...], item: Item | None) -> dict[str, Share]:
    """Ground that an entry went on; a zone without lawn has none."""
    by_zone = item.by_zone if item else {}
    names = zones or tuple(by_zone) or tuple(zone.name for zone in planned.takeoff.zones)
    shares = {name: by_zone.get(name) or Share(planned.zone_area_m2(name), 0.0) for name in names}
    return {name: share for name, share in shares.items() if share.area_m2}


def _doubts(line: Line, parts: list[Portion]) -> list[Finding]:
    """Ask about an amount far from the plan, and about more ground than there is."""
    wanted = sum(part.planned for part in parts)
    used = sum(part.used for part in parts)
    found = []
    if wanted and not 1 / DOUBTFUL <= used / wanted <= DOUBTFUL:
        times = used / wanted
        text = f"{times:.3g} times what the plan wanted on that ground was put down: is the amount right?"
        if any(1 / _MOST_OFF <= times / mixed <= _MOST_OFF for mixed in (_ACRE, 1 / _ACRE)):
            text += (
                " Was a figure per acre taken for one per 1000 sq ft (43.56 times), or the other way round?"
            )
        found.append(finding("log-amount-doubtful", text, line.where))
    return found
