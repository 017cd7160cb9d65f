"""The page of an offer in the workbook: lines, gain, least price, taxes and total, as formulas."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from lawnmap.job import Line
from lawnmap.sheets.workbook_page import Page, total

if TYPE_CHECKING:
    from lawnmap.job import Plan, Quote, TaxLine


_KEEP: Final = (
    "Blue figures may be changed; the rest follows. It holds your costs: send the quote, not this workbook."
)


_ZERO: Final = Decimal(0)
_NOTHING_LIFTED: Final = Line("minimum", "Up to the minimum charge", "", Decimal(1), "", _ZERO, _ZERO, _ZERO)


@dataclass(frozen=True)
class Links:
    """Where quantities are worked out on other pages, by the name of the line.

    Attributes
    ----------
    packs, hours : dict
        Of materials, and of labour and machine.
    """

    packs: dict[str, str]
    hours: dict[str, str]


@dataclass(frozen=True)
class _Rules:
    """Addresses of what every line is worked out by, and the rule of rounding."""

    gain: str
    is_margin: bool
    least: str
    places: str
    rule: str

    def rounded(self, formula: str) -> str:
        """Return the formula that rounds another one as the quote does."""
        if self.rule == "half up":
            return f"ROUND({formula},{self.places})"
        scaled = f"ROUND(({formula})*10^{self.places},6)"
        even = f"2*ROUND({scaled}/2,0)/10^{self.places}"
        return f"IF(ABS(MOD({scaled},1)-0.5)<0.000001,{even},ROUND({formula},{self.places}))"

    def with_gain(self, cost: str) -> str:
        """Return the formula that makes a price of a cost."""
        return f"{cost}/(1-{self.gain})" if self.is_margin else f"{cost}*(1+{self.gain})"


def write_offer(page: Page, plan: Plan, quote: Quote, links: Links) -> None:
    """Fill the page of an offer.

    Parameters
    ----------
    page : Page
        An empty page.
    plan : Plan
        For its name.
    quote : Quote
        The offer.
    links : Links
        Where its quantities are worked out; those of an option are figures.
    """
    page.widths(11, 48, 70, 12, 12, 12, 14, 14)
    page.line(f"{plan.name}: {quote.name}", "title")
    page.line(f"Amounts in {quote.money.currency}. {_KEEP}", "note")
    rules = _rules(page, quote)
    page.row += 1
    page.heads(("Kind", "What", "How it comes about", "Quantity", "Unit", "Unit price", "Cost", "Price"))
    costs: list[str] = []
    prices: list[tuple[Line, str]] = []
    for line in quote.lines:
        if line.kind != "minimum":
            costs.append(_line(page, line, quote, rules, links))
            prices.append((line, page.at("H")))
            page.row += 1
    if quote.minimum_charge is not None:
        prices.append(_minimum(page, quote, rules, [cell for _, cell in prices]))
        page.row += 1
    page.text("B", "Before tax", "bold")
    page.formula("G", total(costs), float(quote.cost), "sum")
    parts = [page.formula("H", total(cell for _, cell in prices), float(quote.subtotal), "sum")]
    page.row += 1
    for tax in quote.taxes:
        parts.append(_tax(page, tax, rules, [cell for line, cell in prices if tax.taxes(line)]))
        page.row += 1
    page.text("B", f"Total {quote.money.currency}", "bold")
    page.formula("H", total(parts), float(quote.total), "sum")
    page.row += 1


def _rules(page: Page, quote: Quote) -> _Rules:
    """Write what every line is worked out by."""
    is_margin = quote.margin is not None
    share = (quote.margin if is_margin else quote.markup) or Decimal(0)
    page.text("B", "Margin, of the price" if is_margin else "Markup, of the cost")
    gain = page.number("D", float(share), "in share")
    page.row += 1
    page.text("B", "Least price before tax")
    least = page.number("D", float(quote.minimum_charge or 0), "in money")
    page.row += 1
    page.text("B", f"Decimal places; {quote.money.rule}")
    places = page.number("D", quote.money.places, "in count")
    page.row += 1
    return _Rules(gain, is_margin, least, places, quote.money.rule)


def _line(page: Page, line: Line, quote: Quote, rules: _Rules, links: Links) -> str:
    """Write one line, and return where its cost stands."""
    page.text("A", line.kind)
    page.text("B", line.name)
    page.text("C", line.basis)
    page.text("E", line.unit)
    known = links.packs if line.kind == "material" else links.hours
    look = "count" if line.unit in {"pack", "bag", "bale"} else "amount"
    if line.name in known:
        quantity = page.formula("D", known[line.name], float(line.quantity), look)
    else:
        quantity = page.number("D", float(line.quantity), f"in {look}")
    price = page.number("F", float(line.unit_price), "in price")
    cost = page.formula("G", rules.rounded(f"{quantity}*{price}"), float(line.cost), "money")
    is_raised = line.kind in quote.marked_up
    page.formula("H", rules.rounded(rules.with_gain(cost)) if is_raised else cost, float(line.price), "money")
    return cost


def _minimum(page: Page, quote: Quote, rules: _Rules, prices: list[str]) -> tuple[Line, str]:
    """Write the line that lifts a small job to the least price; it is there even where it lifts nothing."""
    lifted = next((line for line in quote.lines if line.kind == "minimum"), _NOTHING_LIFTED)
    page.text("A", lifted.kind)
    page.text("B", lifted.name)
    formula = f"MAX(0,{rules.least}-{total(prices)})"
    return lifted, page.formula("H", formula, float(lifted.price), "money")


def _tax(page: Page, tax: TaxLine, rules: _Rules, prices: list[str]) -> str:
    """Write a tax: its rate, what it is on, its amount; return where the amount stands."""
    page.text("A", "tax")
    page.text("B", tax.name)
    but = f", not on {', '.join(tax.exempt)}" if tax.exempt else ""
    page.text("C", f"on {', '.join(tax.on)}{but}")
    rate = page.number("F", float(tax.rate), "in share")
    base = page.formula("G", total(prices), float(tax.base), "money")
    return page.formula("H", rules.rounded(f"{base}*{rate}"), float(tax.amount), "money")
