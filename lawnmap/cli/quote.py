"""``lawnmap quote``: the offer on paper."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

import lawnmap
from lawnmap.cli.console import busy, show_findings, show_json
from lawnmap.cli.options import AsJson, Dated, Job, Paper, Strict, Units
from lawnmap.cli.source import Typed, beside, choices_of, takes_source, with_options


@takes_source
def quote(
    job: Job,
    output: Annotated[Path | None, typer.Option("-o", "--output", help="PDF file to write.")] = None,
    paper: Paper = None,
    dated: Dated = None,
    units: Units = None,
    *,
    typed: Typed,
    strict: Strict = False,
    as_json: AsJson = False,
) -> None:
    """Print a quote: prices of materials and of the time that the lanes take, options side by side.

    Example: lawnmap quote sample_parcels/contractor --date 2026-03-02
    """
    with busy("Reading, planning and pricing"):
        choices = with_options(choices_of(job), typed, units)
        result = lawnmap.plan(job, choices, strict=strict)
        day = (dated or datetime.now().astimezone()).date()
        file = lawnmap.sheets.print_quote(result, output or beside(job, "quote.pdf"), paper=paper, dated=day)
    show_findings(result.findings)
    assert result.quote is not None  # it is printed
    if as_json:
        show_json(result.quote.to_dict())
        return
    for offer in result.quote.offers:
        typer.echo(f"{offer.name}: {offer.money.named(offer.total)}")
    typer.echo(f"Quote: {file}")
