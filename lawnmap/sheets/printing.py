"""One printed sheet by itself, beside or instead of the whole folder; the slow libraries are loaded when it is asked for."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from lawnmap.errors import ChoiceError
from lawnmap.sheets import later
from lawnmap.sheets.contents import put_text, usual_paper
from lawnmap.sheets.folder import whole_file
from lawnmap.sheets.identity import identity

if TYPE_CHECKING:
    from datetime import date
    from pathlib import Path

    from lawnmap.job import Plan


def print_report(
    plan: Plan, path: Path, *, paper: str | None = None, dated: date | None = None
) -> tuple[Path, ...]:
    """Write the area report as PDF, and the same areas as CSV beside it.

    Parameters
    ----------
    plan : Plan
        A plan, or one with everything but the areas left out.
    path : Path
        Of the PDF file.
    paper : str, optional
        ``"letter"`` or ``"A4"``; else what goes with the units.
    dated : date, optional
        The day it is printed under.

    Returns
    -------
    tuple of Path
        Both files.

    Raises
    ------
    OutputError
        If they cannot be written.
    """
    table = path.with_suffix(".csv")
    with whole_file(path) as draft:
        later.pdf_report.write_report(plan, draft, paper=paper or usual_paper(plan), dated=dated)
    with whole_file(table) as draft:
        put_text(draft, later.pdf_report.report_csv(plan))
    return path, table


def print_quote(plan: Plan, path: Path, *, paper: str | None = None, dated: date | None = None) -> Path:
    """Write the quote as PDF.

    Parameters
    ----------
    plan : Plan
        A plan made from a job file with prices and a client.
    path : Path
        Of the PDF file.
    paper : str, optional
        ``"letter"`` or ``"A4"``; else what goes with the units.
    dated : date, optional
        The day of the quote, where the job file does not say it.

    Returns
    -------
    Path
        The file.

    Raises
    ------
    ChoiceError
        Without prices, or without a client.
    OutputError
        If it cannot be written.
    """
    quote = plan.quote
    if quote is None:
        raise ChoiceError(
            "there are no prices to make a quote of", where=plan.name, mend="add [prices] to the job file"
        )
    if quote.client is None:
        raise ChoiceError(
            "the quote names no client", where=plan.name, mend="add [client] with a name to the job file"
        )
    printed = replace(plan, quote=replace(quote, dated=quote.dated or dated))
    with whole_file(path) as draft:
        later.pdf_quote.write_quote(printed, draft, paper=paper or usual_paper(plan), mark=identity(plan))
    return path


def print_field_sheet(plan: Plan, path: Path, *, paper: str | None = None) -> Path:
    """Write the field sheet as PDF.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    path : Path
        Of the PDF file.
    paper : str, optional
        ``"letter"`` or ``"A4"``; else what goes with the units.

    Returns
    -------
    Path
        The file.

    Raises
    ------
    OutputError
        If it cannot be written.
    """
    with whole_file(path) as draft:
        later.pdf_field.write_field_sheet(plan, draft, paper=paper or usual_paper(plan))
    return path
