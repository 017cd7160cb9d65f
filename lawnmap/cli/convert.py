"""``lawnmap convert``: any yard file to another format."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

import lawnmap
from lawnmap.cli.console import busy, show_findings
from lawnmap.cli.options import Strict, YardFile
from lawnmap.cli.source import Typed, takes_source


@takes_source
def convert(
    file: YardFile,
    output: Annotated[
        Path, typer.Option("-o", "--output", help="File to write: .geojson, .gpkg, .kml or .dxf.")
    ],
    *,
    typed: Typed,
    strict: Strict = False,
) -> None:
    """Write a yard in another format, with its names, density and obstacles.

    Example: lawnmap convert lot.shp -o lot.geojson --crs EPSG:2272
    """
    with busy("Reading and writing"):
        found = lawnmap.read(file, source=typed.source())
        lawnmap.job.refuse_findings(found.findings, strict=strict)
        lawnmap.survey.write_yard(found, output)
    show_findings(found.findings)
    typer.echo(f"Yard: {output}")
