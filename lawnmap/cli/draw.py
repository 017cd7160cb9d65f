"""``lawnmap draw``: the page where a yard is traced."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

import lawnmap
from lawnmap.cli.console import say
from lawnmap.cli.source import Typed, takes_source

if TYPE_CHECKING:
    from lawnmap.drawing.store import Store

PICTURES = (".png", ".jpg", ".jpeg", ".pdf", ".heic", ".heif")


@takes_source
def draw(
    start: Annotated[
        Path | None,
        typer.Argument(help="A photo or sketch (PNG, JPEG), a PDF, a yard file, or a folder to go on with."),
    ] = None,
    output: Annotated[Path | None, typer.Option("-o", "--output", help="Job folder to draw into.")] = None,
    size: Annotated[str, typer.Option(help="Size of a blank sheet.")] = "100 ft x 150 ft",
    page: Annotated[int, typer.Option(help="Page of a PDF.")] = 1,
    scale: Annotated[
        str | None, typer.Option(help="Scale that a PDF states: '1 in = 20 ft' or '1:240'.")
    ] = None,
    units: Annotated[Literal["us", "metric"], typer.Option(help="Units on the page.")] = "us",
    *,
    typed: Typed,
    browser: Annotated[bool, typer.Option(help="Open the page in the browser.")] = True,
) -> None:
    """Trace a yard in the browser, on a sketch, a photo, a plan, a yard file or blank paper.

    Example: lawnmap draw sketch.jpg
    """
    store = _store(start, output, size, units, (page, scale), typed)
    service = lawnmap.drawing.Service(lawnmap.drawing.Studio(store))
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


def _store(
    start: Path | None,
    output: Path | None,
    size: str,
    units: Literal["us", "metric"],
    sheet: tuple[int, str | None],
    typed: Typed,
) -> Store:
    drawing = lawnmap.drawing
    if start is None:
        paper = drawing.grid(size)
        return drawing.open_folder(
            output or Path("yard_job"), drawing.Sketch(units=units, paper=paper.sheet), paper
        )
    if start.is_dir():
        return drawing.open_folder(start, None)
    folder = output or start.with_name(f"{start.stem}_job")
    if start.suffix.lower() in PICTURES:
        paper = drawing.open_paper(start, page=sheet[0], scale=sheet[1])
        sketch = drawing.Sketch(name=start.stem[:200], units=units, paper=paper.sheet)
        return drawing.open_folder(folder, sketch, paper)
    found = lawnmap.read(start, source=typed.source())
    return drawing.open_folder(folder, drawing.sketch_of(found, units))
