"""``lawnmap report``: the area report on paper, to go with anyone's quote."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

import lawnmap
from lawnmap.cli.console import busy, show_findings
from lawnmap.cli.options import Dated, Job, Paper, Strict, Units
from lawnmap.cli.source import Typed, beside, choices_of, takes_source, with_options


@takes_source
def report(
    job: Job,
    output: Annotated[Path | None, typer.Option("-o", "--output", help="PDF file to write.")] = None,
    paper: Paper = None,
    dated: Dated = None,
    units: Units = None,
    *,
    typed: Typed,
    strict: Strict = False,
) -> None:
    """Print the area report: gross, cut-outs, net by zone and density, with errors, as PDF and CSV.

    Example: lawnmap report sample_parcels/contractor --paper letter
    """
    with busy("Reading and measuring"):
        choices = with_options(choices_of(job), typed, units)
        result = lawnmap.plan(job, lawnmap.job.areas_only(choices), strict=strict)
        day = (dated or datetime.now().astimezone()).date()
        files = lawnmap.sheets.print_report(
            result, output or beside(job, "area_report.pdf"), paper=paper, dated=day
        )
    show_findings(result.takeoff.findings)
    for file in files:
        typer.echo(f"Area report: {file}")
