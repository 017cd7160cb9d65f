"""``lawnmap measure``: true areas, and how sure they are."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

import lawnmap
from lawnmap.cli.console import busy, say, show_findings, show_json
from lawnmap.cli.options import AsJson, Strict, Units
from lawnmap.cli.source import Typed, choices_of, takes_source, with_options
from lawnmap.errors import ChoiceError


@takes_source
def measure(
    file: Annotated[Path, typer.Argument(help="A yard file, a job folder or its job.toml.")],
    units: Units = None,
    *,
    typed: Typed,
    strict: Strict = False,
    as_json: AsJson = False,
    statement: Annotated[
        bool, typer.Option("--statement", help="Print the area statement, one page to file with a quote.")
    ] = False,
    output: Annotated[
        Path | None, typer.Option("-o", "--output", help="Text file to save the statement in as well.")
    ] = None,
    layers: Annotated[
        bool,
        typer.Option("--layers", help="Only tell what is on each layer of a drawing, and measure nothing."),
    ] = False,
) -> None:
    """Measure a yard: gross, each cut-out, net, by zone, with its error.

    Example: lawnmap measure lot.shp --crs EPSG:2272
    """
    if output is not None and not statement:
        raise ChoiceError("only a statement is saved", where="-o", mend="add --statement")
    if layers:
        _show_layers(file, typed, units, as_json=as_json)
        return
    with busy("Reading and measuring"):
        choices = with_options(choices_of(file), typed, units)
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
        if output is not None:
            with lawnmap.sheets.folder.whole_file(output) as draft:
                draft.write_text(page.to_text(), "utf-8")
            say(f"Statement: {output}")
    elif as_json:
        show_json(takeoff.to_dict())
    else:
        typer.echo(lawnmap.sheets.areas_text(takeoff, system))


def _show_layers(file: Path, typed: Typed, units: str | None, *, as_json: bool) -> None:
    choices = with_options(choices_of(file), typed, units)
    drawing = choices.folder / choices.source.file if choices.source.file else file
    found = lawnmap.survey.list_layers(drawing, choices.source)
    if as_json:
        show_json({"layers": [layer.to_dict() for layer in found]})
        return
    system = lawnmap.units.SYSTEMS[choices.general.units]
    rows = [("Layer", "On it", "Closed areas", "Taken for")]
    rows += [
        (layer.name, layer.entities_text(), layer.areas_text(system), layer.role_text()) for layer in found
    ]
    wide = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for row in rows:
        typer.echo("  ".join(cell.ljust(width) for cell, width in zip(row, wide, strict=True)).rstrip())
