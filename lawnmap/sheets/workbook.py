"""The workbook: areas, rates, materials, labour and quote, each figure a live formula with its value stored beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from xlsxwriter import Workbook

from lawnmap.sheets.workbook_offer import Links, write_offer
from lawnmap.sheets.workbook_page import CREATED, Page, looks
from lawnmap.sheets.workbook_work import write_areas, write_labour, write_materials, write_rates

if TYPE_CHECKING:
    from pathlib import Path

    from lawnmap.job import Plan


def write_workbook(plan: Plan, path: Path) -> None:
    """Write the workbook of a plan with a quote.

    What may be changed is blue: areas, rates, sizes and prices of packs, speeds, times, prices of an hour, markup,
    taxes. The rest is formulas; a spreadsheet program works them out anew. Their values are stored as well, for
    programs that do not. All words of the user are text, whatever sign they begin with.

    Parameters
    ----------
    plan : Plan
        A plan with a quote.
    path : Path
        Where to.
    """
    quote = plan.quote
    assert quote is not None  # a sheet is only asked for what the plan has
    choices = {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    with Workbook(str(path), choices) as book:
        book.set_properties({"title": f"Quote: {plan.name}"[:250], "created": CREATED})
        faces = looks(book, quote.money.places)
        # in the order in which a reader wants them; formulas may point ahead
        pages = {name: Page(book, name, faces) for name in ("Quote", "Areas", "Rates", "Materials", "Labour")}
        zones = write_areas(pages["Areas"], plan)
        amounts = write_rates(pages["Rates"], plan, zones)
        packs = write_materials(pages["Materials"], plan, quote, amounts)
        hours = write_labour(pages["Labour"], plan, quote)
        write_offer(pages["Quote"], plan, quote, Links(packs, hours))
        for number, option in enumerate(quote.options, 1):
            write_offer(Page(book, f"Option {number}", faces), plan, option, Links({}, {}))
