"""The quote on paper: who offers what to whom, on which ground, at what price, and what it does not include."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Any, Final

from reportlab import platypus

from lawnmap.sheets.identity import identity
from lawnmap.sheets.pdf import QUIET, Sheet, face_of
from lawnmap.sheets.pdf_map import GROUND, MapPicture, MapStyle
from lawnmap.sheets.pricing import offer_table, option_tables
from lawnmap.sheets.scene import compose

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from lawnmap.job import Plan, Quote
    from lawnmap.sheets.figures import Table

_MAP_SHARE: Final = 0.33  # of the height of the page, at most
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
    sheet = Sheet(f"Quote: {plan.name}", mark or identity(plan), paper, face_of(plan.font))
    sheet.head(f"Quote {quote.number}".strip(), plan.name, _when(quote))
    _parties(sheet, quote)
    size = (sheet.width_pt, _MAP_SHARE * sheet.height_pt)
    sheet.put(MapPicture(compose(plan), plan.units, sheet, size, MapStyle(GROUND)))
    _areas(sheet, plan)
    _priced(sheet, offer_table(quote), (30, -42, 14, 14), len(quote.lines))
    for table in option_tables(quote):
        wide = 60 / (len(table.heads) - 1)
        sums = 1 + any(row[0] == "Taxes" for row in table.rows)
        _priced(sheet, table, (40, *[wide] * (len(table.heads) - 1)), len(table.rows) - sums)
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
    sheet.put(platypus.Table([blocks], [half, half], style=[("VALIGN", (0, 0), (-1, -1), "TOP"),
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


def _priced(sheet: Sheet, table: Table, shares: Sequence[float], first_sum: int) -> None:
    """Put a table of prices, its sums in bold."""
    sheet.heading(table.title)
    rows = [*table.rows, table.total]
    sheet.table(("", *table.heads[1:]), rows, shares=shares, strong=[first_sum, len(rows) - 1], size_pt=8)


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
