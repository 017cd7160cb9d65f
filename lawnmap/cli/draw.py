"""``lawnmap draw``: the page where a yard is traced."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

import lawnmap
from lawnmap.cli.console import say
from lawnmap.cli.source import Typed, takes_source
from lawnmap.errors import InputError

if TYPE_CHECKING:
    from lawnmap.drawing import Sketch
    from lawnmap.drawing.paper import Paper

PICTURES = (".png", ".jpg", ".jpeg", ".tif", ".tiff", ".pdf", ".heic", ".heif")


@takes_source
def draw(
    start: Annotated[
        Path | None,
        typer.Argument(
            help="A photo or sketch (PNG, JPEG, TIFF), a PDF, a yard file, or a folder to go on with."
        ),
    ] = None,
    output: Annotated[Path | None, typer.Option("-o", "--output", help="Job folder to draw into.")] = None,
    size: Annotated[str, typer.Option(help="Size of a blank sheet.")] = "100 ft x 150 ft",
    at: Annotated[
        str | None,
        typer.Option(
            help="Where the middle of a blank sheet lies: '40.0379, -76.3055' (latitude, longitude)."
        ),
    ] = None,
    imagery: Annotated[
        str | None,
        typer.Option(
            help="Source of tiles, as xyzservices names it, to lay under a sheet with a place; needs a network."
        ),
    ] = None,
    page: Annotated[int, typer.Option(help="Page of a PDF.")] = 1,
    scale: Annotated[
        str | None, typer.Option(help="Scale that a PDF states: '1 in = 20 ft' or '1:240'.")
    ] = None,
    units: Annotated[Literal["us", "metric"], typer.Option(help="Units on the page.")] = "us",
    phone: Annotated[
        Path | None,
        typer.Option(help="Write the page as one HTML file that draws on a phone, and open nothing."),
    ] = None,
    *,
    typed: Typed,
    browser: Annotated[bool, typer.Option(help="Open the page in the browser.")] = True,
) -> None:
    """Trace a yard in the browser, on a sketch, a photo, a plan, a yard file or blank paper.

    Example: lawnmap draw sketch.jpg
    """
    sketch, paper = _begin(start, _Sheet(size, at, page, scale, units), typed)
    if phone is not None:
        lawnmap.drawing.write_pocket(phone, sketch, paper, start)
        typer.echo(f"Phone: {phone}")
        say(
            "Send it to the phone and open it there; it needs no network. Save the yard file on it when done."
        )
        return
    store = lawnmap.drawing.open_folder(_folder(start, output), sketch, paper)
    service = lawnmap.drawing.Service(lawnmap.drawing.Studio(store, imagery))
    say(f"Drawing into {store.folder}. Everything is saved there as you draw.")
    held = lawnmap.drawing.redirect_file(service.address)
    try:
        if not (browser and lawnmap.drawing.open_browser(held)):
            typer.echo(f"Open this address, for you alone: {service.address}")
        say("Stop with the button on the page, or with Ctrl+C here.")
        service.run()
    except KeyboardInterrupt:
        say("Stopped.")
    finally:
        held.unlink(missing_ok=True)


@dataclass(frozen=True)
class _Sheet:
    size: str
    at: str | None
    page: int
    scale: str | None
    units: Literal["us", "metric"]


def _begin(start: Path | None, sheet: _Sheet, typed: Typed) -> tuple[Sketch | None, Paper | None]:
    """Return the sketch to begin with and its paper; neither for a folder to go on with."""
    drawing = lawnmap.drawing
    if start is None:
        paper = drawing.grid(sheet.size)
        laid = drawing.place_at(sheet.at, paper.sheet) if sheet.at else paper.sheet
        return drawing.Sketch(units=sheet.units, paper=laid), paper
    if sheet.at:
        raise InputError("only a blank sheet is given a place with --at", mend="leave one of the two out")
    if start.is_dir():
        return None, None
    if start.suffix.lower() in PICTURES:
        paper = drawing.open_paper(start, page=sheet.page, scale=sheet.scale, source=typed.source())
        return drawing.Sketch(name=start.stem[:200], units=sheet.units, paper=paper.sheet), paper
    return drawing.sketch_of(lawnmap.read(start, source=typed.source()), sheet.units), None


def _folder(start: Path | None, output: Path | None) -> Path:
    if start is not None and start.is_dir():
        return start
    return output or (Path("yard_job") if start is None else start.with_name(f"{start.stem}_job"))
