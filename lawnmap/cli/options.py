"""Every option that more than one command takes, declared once."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Annotated, Final

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
Strict = Annotated[
    bool,
    typer.Option("--strict", help="Refuse the file at the first doubt: a guess, a gap, a thing left out."),
]
AsJson = Annotated[bool, typer.Option("--json", help="Print the result as JSON on standard output.")]

_SURVEY: Final = "Survey files"
Role = Annotated[
    list[str] | None,
    typer.Option(
        help="What a layer, point code or tract is: TURF=lawn, 'C-ROAD*=drive', TEXT=skip. May be repeated.",
        rich_help_panel=_SURVEY,
        metavar="LAYER=KIND",
    ),
]
Accuracy = Annotated[
    str | None,
    typer.Option(
        help="How well corners were measured, as one standard error: '0.05 ft'.", rich_help_panel=_SURVEY
    ),
]
Gap = Annotated[
    str | None,
    typer.Option(help="Join ends of linework that are nearer than this: '2 cm'.", rich_help_panel=_SURVEY),
]
PointOrder = Annotated[
    str | None,
    typer.Option(help="Columns of a point file: PNEZD, PENZD, NEZ and so on.", rich_help_panel=_SURVEY),
]
ScaleFactor = Annotated[
    float | None,
    typer.Option(
        help="Combined factor that grid coordinates are divided by: 0.99987.", rich_help_panel=_SURVEY
    ),
]
Balance = Annotated[
    bool | None,
    typer.Option(
        "--balance", help="Spread the misclosure of a deed by the compass rule.", rich_help_panel=_SURVEY
    ),
]
Job = Annotated[Path, typer.Argument(help="A job folder, its job.toml, or a yard file on its own.")]
Paper = Annotated[str | None, typer.Option(help="Paper: letter or A4; else what goes with the units.")]
Dated = Annotated[
    datetime | None,
    typer.Option("--date", formats=["%Y-%m-%d"], help="Day to print, year-month-day; today if left out."),
]
