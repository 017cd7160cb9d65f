"""``lawnmap measure``: true areas, and how sure they are."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

import lawnmap
from lawnmap.cli.console import busy, show_findings, show_json
from lawnmap.cli.options import AsJson, Crs, Layer, LocalUnits, Strict, Units, YardName
from lawnmap.cli.source import with_options


def measure(
    file: Annotated[Path, typer.Argument(help="A yard file, a job folder or its job.toml.")],
    crs: Crs = None,
    local_units: LocalUnits = None,
    layer: Layer = None,
    yard: YardName = None,
    units: Units = None,
    *,
    strict: Strict = False,
    as_json: AsJson = False,
    statement: Annotated[
        bool, typer.Option("--statement", help="Print the area statement, one page to file with a quote.")
    ] = False,
) -> None:
    """Measure a yard: gross, each cut-out, net, by zone, with its error.

    Example: lawnmap measure lot.shp --crs EPSG:2272
    """
    with busy("Reading and measuring"):
        choices = lawnmap.job.read_choices(file) if _is_job(file) else lawnmap.job.Choices()
        choices = with_options(choices, crs=crs, local_units=local_units, layer=layer, yard=yard, units=units)
        ground, _ = lawnmap.job.open_job(file, choices)
        takeoff = lawnmap.measure.take_off(ground, choices.ground)
    lawnmap.job.refuse_findings(takeoff.findings, strict=strict)
    show_findings(takeoff.findings)
    system = lawnmap.units.SYSTEMS[choices.general.units]
    if statement:
        page = lawnmap.measure.statement(takeoff, system, date=datetime.now().astimezone().date())
        if as_json:
            show_json(page.to_dict())
        else:
            typer.echo(page.to_text())
    elif as_json:
        show_json(takeoff.to_dict())
    else:
        typer.echo(lawnmap.sheets.areas_text(takeoff, system))


def _is_job(path: Path) -> bool:
    return path.is_dir() or path.suffix.lower() == ".toml"
