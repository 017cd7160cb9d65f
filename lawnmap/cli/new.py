"""``lawnmap new``: a commented job file beside a yard file."""

from __future__ import annotations

import os
from typing import Annotated

import typer

import lawnmap
from lawnmap.cli.console import say
from lawnmap.cli.options import YardFile
from lawnmap.cli.source import Typed, takes_source
from lawnmap.errors import OutputError
from lawnmap.units import UnitsName


@takes_source
def new(
    file: YardFile,
    *,
    typed: Typed,
    units: Annotated[UnitsName, typer.Option(help="Units of the results: us or metric.")] = "us",
    force: Annotated[bool, typer.Option("--force", help="Replace a job file that is there.")] = False,
) -> None:
    """Write job.toml beside a yard file, every choice with its default and what it means.

    Example: lawnmap new yard.geojson
    """
    found = lawnmap.read(file, source=typed.source())
    path = file.with_name(lawnmap.job.JOB_FILE)
    text = lawnmap.job.job_template({"file": file.name, **typed.given()}, name=found.name, units=units)
    try:
        with path.open("w" if force else "x", encoding="utf-8", newline="\n") as stream:
            stream.write(text)
            os.fsync(stream.fileno())
    except FileExistsError:
        raise OutputError("is there already", where=str(path), mend="use --force to replace it") from None
    except OSError as fault:
        reason = (fault.strerror or "no reason given").lower()
        raise OutputError(
            f"cannot be written ({reason})", where=str(path), mend="check the folder's rights"
        ) from None
    typer.echo(f"Job file: {path}")
    say(f'Change what you like in it, then: lawnmap plan "{path.parent}"')
