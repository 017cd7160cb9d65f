"""``lawnmap plan``: the whole job for one yard."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

import lawnmap
from lawnmap.cli.console import busy, say, show_findings, show_json
from lawnmap.cli.options import AsJson, Job, Strict, Units
from lawnmap.cli.source import Typed, choices_of, takes_source, with_options


@takes_source
def plan(
    job: Job,
    output: Annotated[Path | None, typer.Option("-o", "--output", help="Folder for the results.")] = None,
    units: Units = None,
    also: Annotated[
        list[str] | None,
        typer.Option(
            "--also", help="A sheet to write besides: 'kml' or 'dxf', the walk as lines. May be repeated."
        ),
    ] = None,
    *,
    typed: Typed,
    strict: Strict = False,
    as_json: AsJson = False,
    open_map: Annotated[bool, typer.Option("--open", help="Open the map in the browser.")] = False,
) -> None:
    """Plan one yard: areas, amounts, bags, hopper loads and lanes, on a map.

    Example: lawnmap plan sample_parcels/homeowner --open
    """
    with busy("Reading and planning"):
        choices = with_options(choices_of(job), typed, units)
        result = lawnmap.plan(job, choices, strict=strict)
        folder = output or _folder(job, result.name if typed.yard else None)
        page = lawnmap.write(result, folder, also=also or ())
    show_findings(result.findings)
    if as_json:
        show_json(result.to_dict())
    else:
        typer.echo(lawnmap.sheets.brief(result))
        _say_defaults(job, len(result.defaults))
        typer.echo(f"Map: {page}")
    if open_map:
        typer.launch(page.resolve().as_uri())


def _folder(job: Path, name: str | None) -> Path:
    if job.is_dir():
        folder = job / "plan"
    elif job.suffix.lower() == ".toml":
        folder = job.parent / "plan"
    else:
        folder = job.with_name(f"{job.stem}_plan")
    return folder / name if name else folder


def _say_defaults(job: Path, count: int) -> None:
    if not count:
        return
    where = (
        "the job file"
        if job.is_dir() or job.suffix == ".toml"
        else f'a job file ("lawnmap new {job}" writes one)'
    )
    say(
        f"{count} choices are at their defaults; the map lists them, and {where} is the place to change them."
    )
