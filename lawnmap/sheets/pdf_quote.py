"""The quote on paper: who offers what to whom, on which ground, at what price, and what it does not include."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, Any, Final

from reportlab.platypus import Table

from lawnmap.sheets.identity import identity
from lawnmap.sheets.pdf import QUIET, Sheet, face_of
from lawnmap.sheets.pdf_map import GROUND, MapPicture, MapStyle
from lawnmap.sheets.scene import compose

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from lawnmap.job import Line, Plan, Quote

_MAP_SHARE: Final = 0.33  # of the height of the page, at most
_BESIDE: Final = 4  # offers that stand side by side on one page
NO_CLIENT: Final = "No client is named: add [client] with a name to the job file."
NO_CONTRACTOR: Final = (
    "No contractor is named: add [contractor] with a name to the job file or the price book."
)
NOT_A_SURVEY: Final = (
    "Areas are measured for planning work and are no land survey. ± is one standard error of the measuring."
)


def write_quote(plan: Plan, path: Path, *, paper: str = "letter", mark: str = "") -> None:
    """Write the quote of a plan as a PDF file.

    Parameters
    ----------
    plan : Plan
        A plan with a quote.
    path : Path
        Where to.
    paper : str
        ``"letter"`` or ``"A4"``.
    mark : str
        Identity of the plan to print, if it was worked out already.
    """
    quote = plan.quote
    assert quote is not None  # a sheet is only asked for what the plan has
    sheet = Sheet(f"Quote: {plan.name}", mark or identity(plan), paper, face_of())
    sheet.head(f"Quote {quote.number}".strip(), plan.name, _when(quote))
    _parties(sheet, quote)
    size = (sheet.width_pt, _MAP_SHARE * sheet.height_pt)
    sheet.put(MapPicture(compose(plan), plan.units, sheet, size, MapStyle(GROUND)))
    _areas(sheet, plan)
    _lines(sheet, quote)
    if quote.options:
        _options(sheet, quote)
    for title, words in (
        ("Terms", quote.terms),
        ("Not included", quote.not_included),
        ("Cautions", plan.cautions),
    ):
        if words:
            sheet.heading(title)
            sheet.words(words)
    _accepted(sheet, quote)
    sheet.save(path)


def _when(quote: Quote) -> str:
    if quote.dated is None:
        return f"Date: ____________   Holds for {quote.valid_days} days from its date"
    until = quote.dated + timedelta(days=quote.valid_days)
    return f"{quote.dated.isoformat()}, holds until {until.isoformat()}"


def _parties(sheet: Sheet, quote: Quote) -> None:
    blocks = [
        _block(sheet, "From", quote.contractor.lines if quote.contractor else (), NO_CONTRACTOR),
        _block(sheet, "For", quote.client.lines if quote.client else (), NO_CLIENT),
    ]
    half = sheet.width_pt / 2
    sheet.put(Table([blocks], [half, half], style=[("VALIGN", (0, 0), (-1, -1), "TOP"),
                                                   ("LEFTPADDING", (0, 0), (-1, -1), 0)]))  # fmt: skip


def _block(sheet: Sheet, head: str, lines: Sequence[str], lacking: str) -> list[Any]:
    found = [sheet.paragraph(head, 7.5, textColor=QUIET)]
    if not lines:
        return [*found, sheet.paragraph(lacking, 9)]
    return [*found, *(sheet.paragraph(line, 9, bold=i == 0) for i, line in enumerate(lines))]


def _areas(sheet: Sheet, plan: Plan) -> None:
    units, area = plan.units, plan.takeoff
    sheet.heading("The lawn")
    rows = []
    for zone in area.zones:
        given = [
            f"{material.name} {units.rate(amount.rate_kg_per_m2)}"
            for material in plan.prescription.materials
            for amount in material.by_zone
            if amount.zone == zone.name and amount.rate_kg_per_m2
        ]
        measured = f"{units.area(zone.net_area_m2)} {units.area_error(zone.net_area_se_m2)}"
        rows.append((zone.name, zone.density, measured, "; ".join(given)))
    total = f"{units.area(area.net_area_m2)} {units.area_error(area.net_area_se_m2)}"
    rows.append(
        (
            "Net lawn",
            "",
            total,
            f"{units.area(area.gross_area_m2)} within the outlines, less what is not lawn",
        )
    )
    sheet.table(
        ("Zone", "Stand", "Net area", "Gets"),
        rows,
        shares=(20, -8, 24, -48),
        strong=[len(rows) - 1],
        size_pt=8,
    )
    sheet.put(sheet.paragraph(NOT_A_SURVEY, 7.5, textColor=QUIET, spaceBefore=2))


def _lines(sheet: Sheet, quote: Quote) -> None:
    named = f": {quote.name}" if quote.options else ""
    sheet.heading(f"What is offered{named}")
    rows = [(line.name, line.basis, _quantity(line), quote.money.write(line.price)) for line in quote.lines]
    sums = _sums(quote)
    rows += [(name, "", "", amount) for name, amount in sums]
    sheet.table(
        ("", "How it comes about", "Quantity", quote.money.currency),
        rows,
        shares=(30, -42, 14, 14),
        strong=[len(quote.lines), len(rows) - 1],
        size_pt=8,
    )


def _quantity(line: Line) -> str:
    if not line.unit:
        return ""
    if line.unit in {"pack", "bag", "bale"}:
        return f"{line.quantity:f} {line.unit}{'' if line.quantity == 1 else 's'}"
    return f"{line.quantity:,f} {'× ' if line.unit[0].isdigit() else ''}{line.unit}"


def _sums(quote: Quote) -> list[tuple[str, str]]:
    """Return subtotal, taxes and total, in words and amounts."""
    money = quote.money
    found = [("Before tax" if quote.taxes else "Sum", money.write(quote.subtotal))]
    for tax in quote.taxes:
        percent = f"{(100 * tax.rate).normalize():f}"
        words = f"{tax.name}, {percent} % of {money.write(tax.base)}"
        found.append((words, money.write(tax.amount)))
    return [*found, (f"Total {money.currency}", money.write(quote.total))]


def _options(sheet: Sheet, quote: Quote) -> None:
    """Set the offers beside each other: the same lines, each with its price in every offer."""
    offers = quote.offers
    for first in range(0, len(offers), _BESIDE):
        shown = offers[first : first + _BESIDE]
        sheet.heading("Options side by side" if first == 0 else "More options")
        lines = [line for offer in shown for line in offer.lines]
        kinds = list(dict.fromkeys(line.kind for line in lines))
        names = list(
            dict.fromkeys(line.name for line in sorted(lines, key=lambda line: kinds.index(line.kind)))
        )
        rows = [(name, *(_price_of(offer, name) for offer in shown)) for name in names]
        rows.append(("Before tax", *(offer.money.write(offer.subtotal) for offer in shown)))
        if any(offer.taxes for offer in shown):
            rows.append(("Taxes", *(offer.money.write(offer.tax) for offer in shown)))
        rows.append((f"Total {quote.money.currency}", *(offer.money.write(offer.total) for offer in shown)))
        sheet.table(
            ("", *(offer.name for offer in shown)),
            rows,
            shares=(40, *(60 / len(shown) for _ in shown)),
            strong=[len(names), len(rows) - 1],
            size_pt=8,
        )


def _price_of(offer: Quote, name: str) -> str:
    prices = [line.price for line in offer.lines if line.name == name]
    return offer.money.write(sum(prices, Decimal(0))) if prices else "\u2013"


def _accepted(sheet: Sheet, quote: Quote) -> None:
    sheet.keep(120)
    sheet.heading("Accepted")
    if quote.options:
        for offer in quote.offers:
            total = quote.money.named(offer.total)
            sheet.put(sheet.paragraph(f"[__] {offer.name}: {total}", 9, spaceAfter=2))
    sheet.gap(16)
    sheet.put(
        sheet.paragraph(
            "Name ______________________   Date ______________   Signature ______________________", 9
        )
    )
