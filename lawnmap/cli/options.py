"""Every option that more than one command takes, declared once."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

YardFile = Annotated[
    Path,
    typer.Argument(
        help="Yard file: GeoJSON, GeoPackage, Shapefile, KML, KMZ, DXF, LandXML, GPX or survey text."
    ),
]
Crs = Annotated[str | None, typer.Option(help="CRS of a file that has none: an EPSG code such as EPSG:2272.")]
LocalUnits = Annotated[
    str | None,
    typer.Option(help="Unit of a file whose coordinates are local and have no CRS: ft, m, 'US survey ft'."),
]
Layer = Annotated[str | None, typer.Option(help="Layer to read, where a file has several.")]
YardName = Annotated[str | None, typer.Option("--yard", help="Which yard, where a file holds many.")]
Units = Annotated[str | None, typer.Option(help="Units of the results: us or metric.")]
Strict = Annotated[bool, typer.Option("--strict", help="Take every finding for an error.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print the result as JSON on standard output.")]
