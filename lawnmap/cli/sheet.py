"""``lawnmap sheet``: the field sheet for the day on the lawn."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

import lawnmap
from lawnmap.cli.console import busy, show_findings
from lawnmap.cli.options import Job, Paper, Strict, Units
from lawnmap.cli.source import Typed, beside, choices_of, takes_source, with_options


@takes_source
def sheet(
    job: Job,
    output: Annotated[Path | None, typer.Option("-o", "--output", help="PDF file to write.")] = None,
    paper: Paper = None,
    units: Units = None,
    *,
    typed: Typed,
    strict: Strict = False,
) -> None:
    """Print the field sheet: lanes, loads, settings, refills, stakes and boxes to tick, in black.

    Example: lawnmap sheet sample_parcels/homeowner --paper A4
    """
    with busy("Reading and planning"):
        choices = with_options(choices_of(job), typed, units)
        result = lawnmap.plan(job, choices, strict=strict)
        file = lawnmap.sheets.print_field_sheet(result, output or beside(job, "field_sheet.pdf"), paper=paper)
    show_findings(result.findings)
    typer.echo(f"Field sheet: {file}")
