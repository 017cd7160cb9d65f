"""The program: its commands, and the one place where a fault becomes a sentence and an exit code."""

from __future__ import annotations

import gc
import sys
from typing import Annotated, Final

import typer

import lawnmap
from lawnmap.cli import (
    batch,
    calibrate,
    convert,
    cover,
    draw,
    explain,
    log,
    measure,
    new,
    plan,
    quote,
    rates,
    report,
    sheet,
)
from lawnmap.cli.console import say
from lawnmap.errors import LawnmapError

_NEW_OBJECTS: Final = 500_000
"""How many come between two searches for rubbish. [count]

A command keeps most of what it makes until it ends, so that looking through all of it again and again, as is
usual every 700, finds next to nothing and was a tenth of the processor time of a plan (measured).
"""

app = typer.Typer(
    help="Measure a lawn, grade it by density, plan and price what brings it back, and keep the log.",
    epilog="Start with: lawnmap plan yard.geojson",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode="rich",
    context_settings={"help_option_names": ["-h", "--help"]},
)
for command in (
    plan.plan,
    measure.measure,
    draw.draw,
    cover.cover,
    convert.convert,
    new.new,
    quote.quote,
    sheet.sheet,
    report.report,
    log.log,
    batch.batch,
    rates.rates,
    explain.explain,
):
    app.command(epilog=command.__doc__.rpartition("Example: ")[2].strip() if command.__doc__ else None)(
        command
    )
app.add_typer(calibrate.calibrate, name="calibrate")


@app.callback()
def root(
    *,
    version: Annotated[
        bool, typer.Option("--version", help="Print the version and stop.", is_eager=True)
    ] = False,
) -> None:
    """Measure a lawn, grade it by density, plan and price what brings it back, and keep the log."""
    if version:
        typer.echo(lawnmap.__version__)
        raise typer.Exit


def main() -> None:
    """Run the command line; faults of the input end it with one sentence and exit code 1."""
    gc.set_threshold(_NEW_OBJECTS)
    try:
        app()
    except LawnmapError as fault:
        say(str(fault))
        sys.exit(1)
