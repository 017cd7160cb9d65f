"""Real rates against planned ones, the setting for what is left to do, and what is left in the bag."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lawnmap.errors import InputError
from lawnmap.evenness import TestRun, correct
from lawnmap.record.entry import Quantity
from lawnmap.record.model import MaterialReal, ZoneReal
from lawnmap.yard import finding

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lawnmap.evenness import SettingCurve
    from lawnmap.record.item import Item, Planned, Share
    from lawnmap.record.logfile import Line
    from lawnmap.record.spreading import Portion
    from lawnmap.yard import Finding

_ROUNDING: Final = 1 + 1e-6
_NEAR: Final = 1.5
"""How many times higher or lower a setting may be for proportion to tell it. *common practice* [1]"""

_SPREAD: Final = ("seed", "fertilizer", "product")


def materials_of(
    planned: Planned, lines: Sequence[Line], parts: Sequence[Portion]
) -> tuple[MaterialReal, ...]:
    """Return every material that was used or bought, those of the plan first.

    Parameters
    ----------
    planned : Planned
        What was to be done.
    lines : sequence of Line
        The log.
    parts : sequence of Portion
        The amounts of the log, shared out among the zones.
    """
    found = []
    for item in planned.items:
        mine = [line for line in lines if line.entry.material.casefold() == item.name.casefold()]
        if mine:
            used, bought = (_sum(mine, what, item) for what in ("put down", "bought"))
            went = [part for part in parts if part.line in mine]
            zones = _zones(item, went, planned.curve) if went else ()
            found.append(
                MaterialReal(
                    item.name,
                    item.kind,
                    zones,
                    used or Quantity(0.0, item.measure),
                    bought,
                    item.to_buy,
                )
            )
    return tuple(found)


def _sum(lines: Sequence[Line], what: str, item: Item) -> Quantity | None:
    """All of it, in the measure of the plan; None where nothing is told."""
    amounts = [
        line.entry.amount
        for line in lines
        if line.entry.what == what and line.entry.amount and line.entry.amount.measure == item.measure
    ]
    return Quantity(sum(amount.value for amount in amounts), item.measure) if amounts else None


def _zones(item: Item, parts: Sequence[Portion], curve: SettingCurve | None) -> tuple[ZoneReal, ...]:
    names = dict.fromkeys((*item.by_zone, *(part.zone for part in parts)))
    return tuple(_zone(item, name, parts, curve) for name in names)


def _zone(item: Item, name: str, parts: Sequence[Portion], curve: SettingCurve | None) -> ZoneReal:
    here = [part for part in parts if part.zone == name]
    share = item.by_zone.get(name)
    done = sum(part.area_m2 * part.rounds for part in here)
    used = sum(part.used for part in here)
    rest = max(0.0, share.area_m2 * share.rounds - done) if share else 0.0
    rest = rest if rest > done * (_ROUNDING - 1) else 0.0
    runs = [part for part in here if part.line.entry.setting] or [
        part for part in parts if part.line.entry.setting
    ]
    setting, note = None, ""
    if share and rest and runs and item.kind in _SPREAD and not share.by_hand:
        setting, note = _setting(runs[-1], share, rest, curve)
    settings = [part.line.entry.setting for part in here if part.line.entry.setting]
    return ZoneReal(
        zone=name,
        used=Quantity(used, item.measure),
        planned=Quantity(sum(part.planned for part in here), item.measure),
        done_m2=done,
        rest_m2=rest,
        planned_per_m2=share.per_m2 if share else 0.0,
        real_per_m2=used / done if done else 0.0,
        rounds=share.rounds if share else 1,
        setting=settings[-1] if settings else None,
        setting_for_rest=setting,
        setting_note=note,
    )


def _setting(
    run: Portion, share: Share, rest_m2: float, curve: SettingCurve | None
) -> tuple[float | None, str]:
    """Return the setting that lays the planned rate on the rest, and what it rests on."""
    setting = run.line.entry.setting
    assert setting is not None  # only runs with one are asked
    area = run.area_m2 * run.rounds
    try:
        done = TestRun(setting=setting, used_kg=run.used, area_m2=area)
        found = correct(done, share.per_m2 * area, rest_m2, curve)
    except InputError as fault:
        return None, f"{fault.what}; {fault.mend}"
    if not found.findings:
        return found.setting, "by your test runs"
    if not 1 / _NEAR <= found.setting / setting <= _NEAR:
        return None, f"too far from setting {setting:g} to tell the setting: make a test run"
    return found.setting, "in proportion, which holds near that setting"


def overdone(planned: Planned, materials: Sequence[MaterialReal]) -> tuple[Finding, ...]:
    """Tell where the log has gone over more ground than there is.

    Parameters
    ----------
    planned : Planned
        What was to be done.
    materials : sequence of MaterialReal
        What was used.
    """
    found = []
    for material in materials:
        item = planned.item(material.name)
        for zone in material.by_zone:
            share = item.by_zone.get(zone.zone) if item else None
            whole = share.area_m2 * share.rounds if share else 0.0
            if whole and zone.done_m2 > whole * _ROUNDING:
                text = (
                    f"{material.name} went on {zone.done_m2 / whole:.3g} times the planned ground of the zone"
                )
                found.append(finding("log-done-twice", text, f'zone "{zone.zone}"'))
    return tuple(found)
