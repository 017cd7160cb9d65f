"""How the next plan starts from the log: the stand as it came up, the stock, what the ground has had."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from lawnmap.errors import ChoiceError
from lawnmap.rates.dose import Amount
from lawnmap.record.doses import applications_done, spray_doses
from lawnmap.record.item import Item, Planned, Share
from lawnmap.record.spreading import portions

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lawnmap.measure import Takeoff
    from lawnmap.rates import Spray
    from lawnmap.record.logfile import Log
    from lawnmap.yard import Yard


def with_stand(yard: Yard, log: Log) -> Yard:
    """Return a yard whose zones have the last cover that the log tells.

    Parameters
    ----------
    yard : Yard
        As it was read.
    log : Log
        What was done and counted.
    """
    cover: dict[str, float] = {}
    for line in log.lines:
        entry = line.entry
        if entry.what == "stand" and entry.cover is not None:
            for name in entry.zones or tuple(zone.name for zone in yard.zones):
                cover[name] = 100 * entry.cover
    zones = tuple(
        replace(zone, density=None, cover_percent=cover[zone.name]) if zone.name in cover else zone
        for zone in yard.zones
    )
    return replace(yard, zones=zones)


def stock_of(log: Log) -> dict[str, float]:
    """Return what is left of every material by weight whose purchase is in the log, by its plain name. [kg]

    Parameters
    ----------
    log : Log
        What was bought and used.
    """
    bought: dict[str, float] = {}
    used: dict[str, float] = {}
    for line in log.lines:
        entry = line.entry
        if entry.amount is not None and entry.amount.measure == "mass":
            sums = {"bought": bought, "put down": used}.get(entry.what)
            if sums is not None:
                name = entry.material.strip().casefold()
                sums[name] = sums.get(name, 0.0) + entry.amount.value
    return {name: max(0.0, amount - used.get(name, 0.0)) for name, amount in bought.items()}


def with_applied(sprays: Sequence[Spray], takeoff: Takeoff, log: Log, year: int | None) -> tuple[Spray, ...]:
    """Return the labels with what the ground has had in the year, and only the applications still to come.

    What counts is the zone that has had most. A spray whose applications are all in the log is left out.

    Parameters
    ----------
    sprays : sequence of Spray
        The user's labels.
    takeoff : Takeoff
        The measured yard.
    log : Log
        What was done.
    year : int or None
        Whose entries count. [year]

    Raises
    ------
    ChoiceError
        If the job file tells what was applied as well, or if the plan goes over the label with it.
    """
    shares = {
        zone.name: Share(zone.surface_area_m2, 0.0) for zone in takeoff.zones if zone.surface_area_m2 > 0
    }
    items = tuple(Item(spray.name, "spray", spray.product_rate.measure, shares) for spray in sprays)
    planned = Planned(takeoff, items, sprays=tuple(sprays))
    parts, _ = portions(planned, log.lines)
    parts = tuple(part for part in parts if part.line.entry.day.year == year)
    doses = spray_doses(planned, parts)
    still = {spray.name: spray.applications - applications_done(parts, spray) for spray in sprays}
    return tuple(
        _with_dose(
            spray,
            max((d.had.value for d in doses if d.name == spray.name and d.kind == "product"), default=0.0),
            still,
        )
        for spray in sprays
        if still[spray.name] > 0
    )


def _with_dose(spray: Spray, had: float, still: Mapping[str, int]) -> Spray:
    """Return a label with its dose, and with the partners in the tank that have as many applications to come."""
    partners = tuple(name for name in spray.mix_with if still.get(name) == still[spray.name])
    changed: dict[str, object] = {"applications": still[spray.name], "mix_with": partners}
    if had:
        if spray.applied_this_year is not None:
            raise ChoiceError(
                "the log tells what was applied this year, and so does this",
                where=f'[[spray]] "{spray.name}", applied_this_year',
                mend="leave it out, or set applied = false in [record]",
            )
        changed["applied_this_year"] = Amount(had, spray.rate.measure)
    given = {name: getattr(spray, name) for name in spray.model_fields_set}
    try:
        return type(spray)(**given | changed)
    except ChoiceError as fault:
        where = f'[[spray]] "{spray.name}", with what the log has put down'
        raise ChoiceError(fault.what, where=where, mend=fault.mend) from None
