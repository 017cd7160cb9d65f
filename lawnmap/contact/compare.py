"""Which way suits each zone: the quickest set of ways for the whole yard, or the cheapest where prices are known."""

from __future__ import annotations

from decimal import Decimal
from itertools import combinations
from typing import TYPE_CHECKING

from lawnmap.contact.model import Comparison, Way, ZoneAdvice, money
from lawnmap.contact.ways import Basis, all_ways
from lawnmap.rates import Straw, Topdress
from lawnmap.units import US, UnitSystem, duration

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lawnmap.contact.choices import Contact
    from lawnmap.lanes import Rig
    from lawnmap.measure import Takeoff, ZoneArea


def compare(
    takeoff: Takeoff,
    contact: Contact,
    rig: Rig,
    *,
    topdress: Topdress | None = None,
    straw: Straw | None = None,
    units: UnitSystem = US,
) -> Comparison:
    """Compare the ways to bring seed into the soil, and advise one for each zone.

    Machines are fetched once for the job, so the ways are chosen for all zones together: of all sets of ways that
    can do every zone, the one with the least time, fetching included, or the least cost where there is a wage.

    Parameters
    ----------
    takeoff : Takeoff
        The measured yard, only zones that are seeded.
    contact : Contact
        Ways, paces and prices.
    rig : Rig
        Where the walk begins, and what a turn takes.
    topdress : Topdress, optional
        What the job lays over the seed; a usual depth is compared without it.
    straw : Straw, optional
        The same for straw.
    units : UnitSystem
        Units of the sentences.
    """
    basis = Basis(takeoff, contact, rig, topdress or Topdress(on=("bare",)), straw or Straw(), units)
    ways = all_ways(basis)
    by_cost = contact.wage is not None
    opened = _cheapest_set([way for way in ways if way.step == "open"], takeoff.zones, by_cost=by_cost)
    cover = _cover(ways, {"topdressing": topdress is not None, "straw": straw is not None}, by_cost=by_cost)
    pressed = next((way for way in ways if way.step == "press"), None)
    advice = tuple(_advise(zone, ways, (opened, pressed, cover), by_cost=by_cost) for zone in takeoff.zones)
    time, cost = _total(ways, advice)
    return Comparison(ways, advice, time, cost, _notes(contact, advice, by_cost=by_cost))


def _value(way: Way, zone: str, *, by_cost: bool) -> Decimal:
    """What a way takes on a zone that it suits: money or seconds."""
    on = way.on(zone)
    assert on is not None  # only asked of zones that it suits
    if by_cost and on.cost is not None:
        return on.cost
    return Decimal(round(on.time_s))


def _standing(way: Way, *, by_cost: bool) -> Decimal:
    standing = way.standing_cost if by_cost else None
    return Decimal(round(way.fetch_s)) if standing is None else standing


def _cheapest_set(ways: Sequence[Way], zones: Sequence[ZoneArea], *, by_cost: bool) -> dict[str, Way]:
    """Try every set of ways; return the way of each zone in the set that takes least."""
    wanted = [zone.name for zone in zones if any(way.on(zone.name) for way in ways)]
    best: tuple[Decimal, int, dict[str, Way]] | None = None
    for count in range(1, len(ways) + 1):
        for chosen in combinations(ways, count):
            found: dict[str, Way] = {}
            for name in wanted:
                able = [way for way in chosen if way.on(name)]
                if able:
                    found[name] = min(able, key=lambda way: _value(way, name, by_cost=by_cost))
            used = {way.name: way for way in found.values()}
            if len(found) < len(wanted) or len(used) < count:
                continue
            total = sum(
                (_value(way, name, by_cost=by_cost) for name, way in found.items()),
                sum((_standing(way, by_cost=by_cost) for way in used.values()), Decimal(0)),
            )
            if best is None or (total, count) < best[:2]:
                best = (total, count, found)
    return best[2] if best else {}


def _cover(ways: Sequence[Way], asked: dict[str, bool], *, by_cost: bool) -> tuple[Way, ...]:
    """What is laid over the seed: what the job asks for, else the lesser of the two on bare ground."""
    covers = [way for way in ways if way.step == "cover"]
    told = tuple(way for way in covers if asked[way.name])
    if told or not covers:
        return told
    known = [way for way in covers if way.cost is not None] if by_cost else covers
    return (
        min(
            known or covers,
            key=lambda way: (way.cost or Decimal(0)) if by_cost and known else Decimal(round(way.time_s)),
        ),
    )


def _advise(
    zone: ZoneArea,
    ways: Sequence[Way],
    chosen: tuple[dict[str, Way], Way | None, tuple[Way, ...]],
    *,
    by_cost: bool,
) -> ZoneAdvice:
    opened, pressed, covers = chosen
    way = opened.get(zone.name)
    able = [one for one in ways if one.step == "open" and one.on(zone.name)]
    reasons = [_figures(one, zone.name) for one in able]
    if way is None:
        reasons.append("none of the ways in [contact] suits this ground")
    elif len(able) > 1:
        reasons.append(
            f"with fetching{' and hire' if by_cost else ''} once for all zones, {way.name} is "
            f"{'cheapest' if by_cost else 'quickest'} for the yard"
        )
    press = ""
    if zone.density == "bare" and way and way.name in {"rake", "drag mat", "hand cultivator"}:
        if pressed and pressed.on(zone.name):
            press = pressed.name
            reasons.append(_figures(pressed, zone.name))
        else:
            press = "tread it down"
    laid = [one for one in covers if one.on(zone.name)]
    reasons += [_figures(one, zone.name) for one in laid]
    return ZoneAdvice(
        zone=zone.name,
        density=zone.density,
        area_m2=zone.surface_area_m2,
        open=way.name if way else "",
        press=press,
        cover=" and ".join(one.name for one in laid),
        reasons=tuple(reasons),
    )


def _figures(way: Way, zone: str) -> str:
    on = way.on(zone)
    assert on is not None  # only asked of zones that it suits
    cost = f", {money(on.cost)}" if on.cost is not None else ""
    return f"{way.name}: {on.sum} = {duration(on.time_s)}{cost}"


def _total(ways: Sequence[Way], advice: Sequence[ZoneAdvice]) -> tuple[float, Decimal | None]:
    """Time and cost of what is advised, each way fetched once."""
    time, cost = 0.0, Decimal(0)
    is_known = True
    for way in ways:
        zones = [one.zone for one in advice if way.name in (one.open, one.press, *one.cover.split(" and "))]
        if not zones:
            continue
        parts = [on for on in map(way.on, zones) if on is not None]
        time += way.fetch_s + sum(on.time_s for on in parts)
        costs = [on.cost for on in parts if on.cost is not None]
        standing = way.standing_cost
        if standing is None or len(costs) < len(parts):
            is_known = False
        else:
            cost += standing + sum(costs)
    return time, cost if is_known and time else None


def _notes(contact: Contact, advice: Sequence[ZoneAdvice], *, by_cost: bool) -> tuple[str, ...]:
    notes = [
        "Paces, widths and times to fetch are guesses or common practice until you give your own in [contact].",
        "Which way suits which stand is common practice; the publications beside the ways say the rest.",
    ]
    sown = [one.zone for one in advice if one.open == "slit seeder"]
    if sown:
        notes.append(
            f"A slit seeder sows by itself: the seed of {', '.join(sown)} goes into its box, not the spreader's."
        )
    if not by_cost:
        notes.append("Without a wage in [contact] the ways are compared by time.")
    elif all(
        machine.hire is None
        for machine in (contact.drag_mat, contact.core_aerator, contact.slit_seeder, contact.roller)
    ):
        notes.append("No hire is given, so machines are taken for your own.")
    return tuple(notes)
