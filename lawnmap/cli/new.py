"""``lawnmap new``: a commented job file beside a yard file."""

from __future__ import annotations

import os
from typing import Annotated

import typer

import lawnmap
from lawnmap.cli.console import say
from lawnmap.cli.options import Crs, Layer, LocalUnits, YardFile, YardName
from lawnmap.errors import OutputError


def new(
    file: YardFile,
    crs: Crs = None,
    local_units: LocalUnits = None,
    layer: Layer = None,
    yard: YardName = None,
    *,
    force: Annotated[bool, typer.Option("--force", help="Replace a job file that is there.")] = False,
) -> None:
    """Write job.toml beside a yard file, every choice with its default and what it means.

    Example: lawnmap new yard.geojson
    """
    found = lawnmap.read(file, crs=crs, local_units=local_units, layer=layer, yard=yard)
    path = file.with_name(lawnmap.job.JOB_FILE)
    given = {"crs": crs, "local_units": local_units, "layer": layer, "yard": yard}
    text = lawnmap.job.job_template(
        {"file": file.name, **{key: value for key, value in given.items() if value}}, name=found.name
    )
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
