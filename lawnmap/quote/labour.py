"""Lines for labour, machine and travel: the time that the lanes take, never a flat guess unless it is asked for."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

from lawnmap.errors import ChoiceError
from lawnmap.quote.lines import Charged, line, measured
from lawnmap.units import duration

if TYPE_CHECKING:
    from lawnmap.lanes import Outing
    from lawnmap.quote.model import Line
    from lawnmap.quote.prices import Prices
    from lawnmap.quote.work import Work


def labour_lines(work: Work, prices: Prices) -> list[Line]:
    """Return the lines for labour and machine on the lawn.

    Parameters
    ----------
    work : Work
        With the lanes.
    prices : Prices
        The price book.

    Raises
    ------
    ChoiceError
        If an hour has a price and there are no lanes to take time, and no flat price is given.
    """
    found: list[Line] = []
    outings = [one for one in work.lanes.outings if one.product]  # not the bare walk
    if prices.labour_flat is not None:
        flat = Charged("labour", "Labour", "flat price, as asked for in the price book")
        found.append(line(prices, flat, Decimal(1), "", prices.labour_flat))
    elif prices.labour is not None:
        if work.prescription.materials and not work.lanes.passes and prices.by_hand is None:
            raise ChoiceError(
                "an hour of labour has a price, but there are no lanes that would take time",
                where="[prices], labour",
                mend="plan the lanes, or give labour_flat or by_hand",
            )
        found += [_labour_line(one, work, prices) for one in outings]
        found += _time_lines(prices)
    if prices.machine is not None and outings:
        time_s = sum(one.labour.total_s for one in outings)
        what = Charged("machine", "Spreader", f"time on the lanes {duration(time_s)}")
        hours = sum(
            (prices.machine.count(one.labour.total_s) for one in outings), Decimal(0)
        )  # as the lines above show them
        what = replace(what, size_si=prices.machine.size_si)
        found.append(line(prices, what, hours, prices.machine.unit, prices.machine.amount))
    return found


def _labour_line(one: Outing, work: Work, prices: Prices) -> Line:
    assert prices.labour is not None
    spent = one.labour
    turns = sum(max(sum(leg.kind != "way" for leg in single.legs) - 1, 0) for single in one.passes)
    fills = sum(len(single.refills) for single in one.passes)
    walked = f"{work.units.length(one.path_length_m)} in {_number(len(one.passes), 'pass', 'passes')}"
    parts = [
        f"{walked}: lanes {duration(spent.work_s)}",
        f"ways {duration(spent.way_s)}",
        f"{_number(turns, 'turn', 'turns')} {duration(spent.turn_s)}",
        f"{_number(fills, 'fill', 'fills')} {duration(spent.refill_s)}",
    ]
    if spent.change_s:
        parts.append(f"new settings {duration(spent.change_s)}")
    what = Charged("labour", f"Spreading {one.product}", ", ".join(parts) + _crew(prices), one.product)
    return measured(prices, what, spent.total_s * prices.crew, prices.labour)


def _number(count: int, one: str, many: str) -> str:
    return f"{count} {one if count == 1 else many}"


def _time_lines(prices: Prices) -> list[Line]:
    assert prices.labour is not None
    found = []
    for name, time_s in (
        ("Setting up and clearing away", prices.set_up_s),
        ("Time on the road", prices.travel_s),
    ):
        if time_s:
            what = Charged("labour", name, duration(time_s) + _crew(prices))
            found.append(measured(prices, what, time_s * prices.crew, prices.labour))
    return found


def _crew(prices: Prices) -> str:
    return f"; {prices.crew} people" if prices.crew > 1 else ""


def hand_area_m2(work: Work) -> float:
    """Return the ground that is worked by hand: spots, and corners off the lanes of a first pass. [m²]

    Parameters
    ----------
    work : Work
        With the measured yard and the lanes.
    """
    spots = sum(zone.surface_area_m2 for zone in work.takeoff.zones if zone.by_hand)
    return spots + sum(float(one.by_hand.area) for one in work.lanes.passes if one.number == 1)


def hand_lines(work: Work, prices: Prices) -> list[Line]:
    """Return the line for ground that is worked by hand, where it has a price.

    Parameters
    ----------
    work : Work
        With the measured yard and the lanes.
    prices : Prices
        The price book.
    """
    area_m2 = hand_area_m2(work)
    if prices.by_hand is None or prices.labour_flat is not None or not area_m2:
        return []
    what = Charged("labour", "Work by hand", f"spots and corners off the lanes, {work.units.area(area_m2)}")
    return [measured(prices, what, area_m2, prices.by_hand)]
