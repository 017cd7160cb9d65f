"""One printed sheet by itself, beside or instead of the whole folder; the slow libraries are loaded when it is asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lawnmap.sheets import later
from lawnmap.sheets.contents import put_text
from lawnmap.sheets.folder import whole_file

if TYPE_CHECKING:
    from datetime import date
    from pathlib import Path

    from lawnmap.job import Plan


def usual_paper(plan: Plan) -> str:
    """Return the paper that goes with the units of a plan: ``"letter"`` or ``"A4"``.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    """
    return "letter" if plan.units.name == "us" else "A4"


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
