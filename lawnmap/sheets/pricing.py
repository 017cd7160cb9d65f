"""The quote in tables, for the page and for paper: what is offered, and the options side by side; never what it costs."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Final

from lawnmap.sheets.blocks import put_table
from lawnmap.sheets.elements import Element, put
from lawnmap.sheets.figures import Table

if TYPE_CHECKING:
    from lawnmap.job import Line, Plan, Quote

BESIDE: Final = 4
"""Offers that stand side by side. [count]"""

_COUNTED: Final = {"pack", "bag", "bale"}


def quote_panel(main: Element, plan: Plan) -> None:
    """Put the quote, or nothing without prices.

    Parameters
    ----------
    main : Element
        Where to put it.
    plan : Plan
        A finished plan.
    """
    if plan.quote is None:
        return
    box = put(main, "div", css="tables", attributes={"id": "quote"})
    for table in (offer_table(plan.quote), *option_tables(plan.quote)):
        put_table(box, table)


def quote_lines(plan: Plan) -> list[str]:
    """Return what each offer comes to, for a terminal."""
    if plan.quote is None:
        return []
    named = [f"{offer.name} {offer.money.named(offer.total)}" for offer in plan.quote.offers]
    return ["Quote: " + ", ".join(named)]


def offer_table(quote: Quote) -> Table:
    """Return the lines of an offer with their sums; the last rows are subtotal, taxes and total.

    Parameters
    ----------
    quote : Quote
        The offer.
    """
    money = quote.money
    rows = [(line.name, line.basis, quantity_of(line), money.write(line.price)) for line in quote.lines]
    rows.append(("Before tax" if quote.taxes else "Sum", "", "", money.write(quote.subtotal)))
    for tax in quote.taxes:
        percent = f"{(100 * tax.rate).normalize():f}"
        rows.append((f"{tax.name}, {percent} % of {money.write(tax.base)}", "", "", money.write(tax.amount)))
    return Table(
        f"What is offered: {quote.name}" if quote.options else "What is offered",
        ("For", "How it comes about", "Quantity", money.currency),
        tuple(rows),
        (f"Total {money.currency}", "", "", money.write(quote.total)),
    )


def quantity_of(line: Line) -> str:
    """Write how much is charged: ``9 packs``, ``1.86 h``, ``5.72 × 100 sq ft``; nothing for a lump sum."""
    if not line.unit:
        return ""
    if line.unit in _COUNTED:
        return f"{line.quantity:f} {line.unit}{'' if line.quantity == 1 else 's'}"
    return f"{line.quantity:,f} {'× ' if line.unit[0].isdigit() else ''}{line.unit}"


def option_tables(quote: Quote) -> tuple[Table, ...]:
    """Return the offers beside each other: the same lines, each with its price in every offer.

    Parameters
    ----------
    quote : Quote
        With options; without any there is no table.
    """
    offers = quote.offers if quote.options else ()
    found = []
    for first in range(0, len(offers), BESIDE):
        shown = offers[first : first + BESIDE]
        lines = [line for offer in shown for line in offer.lines]
        kinds = list(dict.fromkeys(line.kind for line in lines))
        names = dict.fromkeys(line.name for line in sorted(lines, key=lambda line: kinds.index(line.kind)))
        rows = [(name, *(_price_of(offer, name) for offer in shown)) for name in names]
        rows.append(("Before tax", *(offer.money.write(offer.subtotal) for offer in shown)))
        if any(offer.taxes for offer in shown):
            rows.append(("Taxes", *(offer.money.write(offer.tax) for offer in shown)))
        found.append(
            Table(
                "More options" if first else "Options side by side",
                ("For", *(offer.name for offer in shown)),
                tuple(rows),
                (f"Total {quote.money.currency}", *(offer.money.write(offer.total) for offer in shown)),
            )
        )
    return tuple(found)


def _price_of(offer: Quote, name: str) -> str:
    prices = [line.price for line in offer.lines if line.name == name]
    return offer.money.write(sum(prices, Decimal(0))) if prices else "\u2013"
