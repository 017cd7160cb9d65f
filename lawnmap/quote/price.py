"""An offer from what was planned and what things cost."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from lawnmap.errors import ChoiceError, QuantityError
from lawnmap.quote.covering import cover_lines, spray_lines
from lawnmap.quote.labour import hand_area_m2, hand_lines, labour_lines
from lawnmap.quote.lines import Charged, line, measured, share
from lawnmap.quote.materials import material_lines
from lawnmap.quote.model import Line, Quote, TaxLine, is_taxed
from lawnmap.quote.per import UnitPrice
from lawnmap.quote.prices import KINDS
from lawnmap.quote.work import Work
from lawnmap.units import parse
from lawnmap.yard import finding

if TYPE_CHECKING:
    from lawnmap.quote.prices import Extra, Prices
    from lawnmap.yard import Finding

_SPARE_M2 = 0.5  # ground by hand too little to speak of


def price(work: Work, prices: Prices) -> Quote:
    """Work out an offer.

    Each line is its quantity, as printed, times its unit price, rounded; markup or margin is put on the rounded
    cost and rounded again. The subtotal is the sum of the lines, each tax is worked out on the sum of the lines
    that it is on, and the total is the sum of both: what is printed adds up to the cent.

    Parameters
    ----------
    work : Work
        What was planned.
    prices : Prices
        The price book.

    Returns
    -------
    Quote
        The offer, without options, client and contractor.

    Raises
    ------
    ChoiceError
        If something that is used has no price.
    """
    lines = [
        *material_lines(work, prices),
        *cover_lines(work, prices),
        *spray_lines(work, prices),
        *labour_lines(work, prices),
        *hand_lines(work, prices),
        *_travel_lines(work, prices),
        *(_extra_line(extra, work, prices) for extra in prices.extras),
    ]
    lines.sort(key=lambda one: KINDS.index(one.kind))
    lines += _minimum(lines, prices)
    return Quote(
        name=prices.offer,
        money=prices.money,
        lines=tuple(lines),
        taxes=_taxes(lines, prices),
        markup=None if prices.markup is None else share(prices.markup),
        margin=None if prices.margin is None else share(prices.margin),
        marked_up=prices.marked_up,
        minimum_charge=prices.minimum_charge,
        crew=prices.crew,
        contractor=prices.contractor,
        number=prices.number,
        dated=prices.dated,
        valid_days=prices.valid_days,
        terms=prices.terms,
        not_included=prices.not_included,
        findings=_findings(work, prices),
    )


def _travel_lines(work: Work, prices: Prices) -> list[Line]:
    if prices.travel is None or not prices.travel_m:
        return []
    what = Charged("travel", "Travel", f"{work.units.length(prices.travel_m)} there and back")
    if prices.travel_m > 1000:
        far = f"{prices.travel.count(prices.travel_m)} {prices.travel.unit}"
        what = Charged("travel", "Travel", f"{far} there and back")
    return [measured(prices, what, prices.travel_m, prices.travel)]


def _extra_line(extra: Extra, work: Work, prices: Prices) -> Line:
    where = f'[prices], extra "{extra.name}"'
    if not isinstance(extra.price, UnitPrice):
        if extra.quantity:
            raise ChoiceError(
                "has a quantity but a price for the lot",
                where=where,
                mend='write the price per unit, "35.00 / cu yd"',
            )
        return line(prices, Charged(extra.kind, extra.name, "for the lot"), Decimal(1), "", extra.price)
    if extra.quantity:
        try:
            value_si = parse(extra.quantity, extra.price.kind)
        except QuantityError as fault:
            raise QuantityError(fault.what, where=f"{where}, quantity", mend=fault.mend) from None
        return measured(prices, Charged(extra.kind, extra.name, extra.quantity), value_si, extra.price)
    if extra.price.kind != "area":
        raise ChoiceError(
            f"has a price per {extra.price.unit} but no quantity",
            where=where,
            mend='add quantity, "2 cu yd" for instance',
        )
    net_m2 = work.takeoff.net_area_m2
    what = Charged(extra.kind, extra.name, f"net lawn {work.units.area(net_m2)}")
    return measured(prices, what, net_m2, extra.price)


def _minimum(lines: list[Line], prices: Prices) -> list[Line]:
    """Return the line that lifts a small job to the least price."""
    reached = sum((one.price for one in lines), Decimal(0))
    if prices.minimum_charge is None or reached >= prices.minimum_charge:
        return []
    least, lacking = prices.money.rounded(prices.minimum_charge), Decimal(0)
    lacking = least - reached
    basis = f"lifts the job to the least price, {prices.money.named(least)}"
    return [Line("minimum", "Up to the minimum charge", basis, Decimal(1), "", lacking, Decimal(0), lacking)]


def _taxes(lines: list[Line], prices: Prices) -> tuple[TaxLine, ...]:
    found = []
    for tax in prices.taxes:
        base = sum((one.price for one in lines if is_taxed(one, tax.on, tax.exempt)), Decimal(0))
        rate = share(tax.rate)
        found.append(TaxLine(tax.name, rate, tax.on, base, prices.money.rounded(base * rate), tax.exempt))
    return tuple(found)


def _findings(work: Work, prices: Prices) -> tuple[Finding, ...]:
    found = []
    if prices.labour is None and prices.labour_flat is None and work.lanes.passes:
        found.append(
            finding(
                "labour-not-priced",
                "an hour of labour has no price, so the quote holds no labour",
                "[prices]",
            )
        )
    by_hand = hand_area_m2(work)
    if (
        prices.by_hand is None
        and prices.labour_flat is None
        and prices.labour is not None
        and by_hand > _SPARE_M2
    ):
        text = f"{work.units.area(by_hand)} are worked by hand, which has no price, so the quote holds no labour for them"
        found.append(finding("hand-work-not-priced", text, "[prices]"))
    for code, word, price_of, things in (
        ("laying-not-priced", "laid over the seed", prices.laying, work.covers),
        ("spraying-not-priced", "sprayed", prices.spraying, work.sprays),
    ):
        if things and price_of is None and prices.labour_flat is None and prices.labour is not None:
            names = ", ".join(thing.name for thing in things)
            text = f"the work of what is {word} ({names}) has no price, so the quote holds none"
            found.append(finding(code, text, "[prices]"))
    return tuple(found)


__all__ = ["Work", "price"]
