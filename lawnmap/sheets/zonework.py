"""What the map tells about a zone beyond seed and fertilizer: its sprays, its cover, how the seed gets in."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from lawnmap.sheets.contacting import steps_of
from lawnmap.sheets.covering import cover_amount

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lawnmap.job import Plan
    from lawnmap.sheets.figures import Card


def with_work(cards: Mapping[str, Card], plan: Plan) -> dict[str, Card]:
    """Return the cards, those of zones with the rows of the other work.

    Parameters
    ----------
    cards : mapping
        By the identifier of their mark.
    plan : Plan
        A finished plan.
    """
    found = dict(cards)
    for i, zone in enumerate(plan.takeoff.zones):
        card = found[f"z{i}"]
        found[f"z{i}"] = replace(card, rows=(*card.rows, *_rows(plan, zone.name)))
    return found


def _rows(plan: Plan, zone: str) -> Iterator[tuple[str, str]]:
    units = plan.units
    for advice in plan.contact.advice if plan.contact else ():
        if advice.zone == zone:
            yield "Into the soil", steps_of(advice)
    for cover in plan.covers:
        for part in cover.by_zone:
            if part.zone == zone:
                yield cover.name[:1].upper() + cover.name[1:], cover_amount(cover, part.amount, units)
    for spray in plan.sprays:
        for one in spray.by_zone:
            if one.zone == zone:
                amount = f"{one.product.write(units)} in {units.volume(one.spray_m3)}"
                yield f"Spray: {spray.name}", amount
