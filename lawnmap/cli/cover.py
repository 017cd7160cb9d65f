"""``lawnmap cover``: how much is green on a photo, and zones by density from an orthophoto."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

import lawnmap
from lawnmap.cli.console import busy, show_findings, show_json
from lawnmap.cli.options import AsJson
from lawnmap.cli.quantity import quantity
from lawnmap.cli.source import Typed, takes_source
from lawnmap.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Sequence


@takes_source
def cover(
    photos: Annotated[
        list[Path], typer.Argument(help="Photos taken straight down, or one orthophoto with --zones.")
    ],
    output: Annotated[
        Path | None,
        typer.Option("-o", "--output", help="Picture of what was counted (.png); with --zones a yard file."),
    ] = None,
    zones: Annotated[
        Path | None, typer.Option(help="Yard file whose zones shall be split by density, for you to accept.")
    ] = None,
    cell: Annotated[str, typer.Option(help="Side of the cells that an orthophoto is measured on.")] = "2 ft",
    width: Annotated[str, typer.Option(help="Swath: cover is averaged over this width.")] = "6 ft",
    least: Annotated[str, typer.Option(help="Smallest patch that is a zone of its own.")] = "200 sq ft",
    grid: Annotated[Path | None, typer.Option(help="Write the cover of every cell as a GeoTIFF.")] = None,
    hue_from: Annotated[float, typer.Option(help="Least hue that counts as green, in degrees.")] = 60.0,
    hue_to: Annotated[float, typer.Option(help="Greatest hue that counts as green, in degrees.")] = 120.0,
    saturation: Annotated[str, typer.Option(help="Least saturation that counts as green.")] = "0 %",
    units: Annotated[Literal["us", "metric"], typer.Option(help="Units of the results.")] = "us",
    *,
    typed: Typed,
    as_json: AsJson = False,
) -> None:
    """Measure percent green cover on photos, or propose zones by density from an orthophoto.

    Example: lawnmap cover spot1.jpg spot2.jpg spot3.jpg
    """
    room = lawnmap.measure
    limits = room.GreenLimits(hue_from, hue_to, quantity(saturation, "fraction", "--saturation"))
    if zones is None:
        if grid:
            raise InputError("a photo alone has no place for a grid", mend="give --zones with the yard file")
        with busy("Counting"):
            found = room.cover_of(photos, limits)
            if output:
                _one(photos, "a picture of what was counted")
                found.photos[0].write_counted(output)
        show_findings(found.findings())
        if as_json:
            show_json(found.to_dict())
        else:
            typer.echo("\n".join([*found.lines(), *([f"Counted: {output}"] if output else [])]))
        return
    photo = _one(photos, "zones")
    if output is None:
        raise InputError("the zones need a file to go to", mend="give -o proposed.geojson")
    with busy("Counting and drawing"):
        yard = lawnmap.read(zones, source=typed.source())
        cells = room.map_cover(photo, yard, cell_m=quantity(cell, "length", "--cell"), limits=limits)
        proposed = room.propose_zones(
            yard,
            cells,
            width_m=quantity(width, "length", "--width"),
            least_m2=quantity(least, "area", "--least"),
        )
        lawnmap.survey.write_yard(proposed, output)
        if grid:
            cells.write_raster(grid)
    show_findings((*yard.findings, *cells.findings))
    takeoff = lawnmap.measure.take_off(proposed)
    if as_json:
        show_json({**cells.to_dict(), "takeoff": takeoff.to_dict()})
        return
    typer.echo(lawnmap.sheets.areas_text(takeoff, lawnmap.units.SYSTEMS[units]))
    typer.echo(f"Mean cover: {cells.percent:.1f} %. {room.WEEDS}")
    typer.echo(f"Proposed zones: {output}")
    typer.echo(f"Look at them, change what you like, then: lawnmap plan {output}")


def _one(photos: Sequence[Path], what: str) -> Path:
    if len(photos) > 1:
        raise InputError(f"{what} can be made from one photo only", mend="give them one at a time")
    return photos[0]
