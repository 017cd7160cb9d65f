"""``lawnmap log``: what was really done, added to the log of a job and held against its plan."""

from __future__ import annotations

import datetime as dt
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

import lawnmap
from lawnmap.cli.console import busy, say, show_findings, show_json
from lawnmap.cli.options import AsJson

if TYPE_CHECKING:
    from lawnmap.job import Choices
    from lawnmap.yard import Yard


class Action(StrEnum):
    """What to do with the log."""

    show = "show"
    add = "add"


def log(
    job: Annotated[Path, typer.Argument(help="A job folder, its job.toml, or a yard file on its own.")],
    action: Annotated[
        Action, typer.Argument(help="'show' what follows from the log, or 'add' an entry.")
    ] = Action.show,
    material: Annotated[
        str, typer.Argument(help="Its name as in the plan; leave it out for a stand or a note.")
    ] = "",
    amount: Annotated[
        str | None, typer.Option(help="What was used: '11 lb', '3 fl oz', '1.5 cu yd', '4 bales'.")
    ] = None,
    zone: Annotated[
        list[str] | None, typer.Option(help="Where; once for each zone, all of the plan's if left out.")
    ] = None,
    area: Annotated[str | None, typer.Option(help="Ground done, if not all of it: '1200 sq ft'.")] = None,
    passes: Annotated[int | None, typer.Option(help="Planned passes made, if not all.")] = None,
    setting: Annotated[float | None, typer.Option(help="Number on the spreader's gate.")] = None,
    date: Annotated[str | None, typer.Option(help="Day, 2026-09-12; today if left out.")] = None,
    time: Annotated[str, typer.Option(help="Time of day, as you like to write it.")] = "",
    weather: Annotated[str, typer.Option(help="Wind, sun, rain, temperature.")] = "",
    photo: Annotated[list[str] | None, typer.Option(help="Name of a photo file; as often as needed.")] = None,
    cover: Annotated[str | None, typer.Option(help="Ground covered by grass, '70 %'.")] = None,
    plants: Annotated[str | None, typer.Option(help="Plants counted, '8 plants/sq in'.")] = None,
    grade: Annotated[str | None, typer.Option(help="Grade of a fertilizer that the plan lacks.")] = None,
    by: Annotated[str, typer.Option(help="Who did it.")] = "",
    note: Annotated[str, typer.Option(help="Anything else.")] = "",
    *,
    bought: Annotated[bool, typer.Option("--bought", help="The amount was bought, not used.")] = False,
    as_json: AsJson = False,
) -> None:
    """Keep a log of what was really put down, and see what follows from it.

    Real rates against planned, the setting for the rest, what is left in the bag, what the ground has had
    this year, what came up. With a section "record" in the job file the next plan starts from it.

    Example: lawnmap log sample_parcels/homeowner add "tall fescue" --amount "11 lb" --zone "Back yard" --setting 5
    """
    with busy("Reading"):
        yard, choices = lawnmap.job.open_job(job)
    path = lawnmap.job.log_path(choices, None if _is_job(job) else job)
    if action is Action.add:
        values = {
            "date": date or dt.datetime.now().astimezone().date().isoformat(),
            "time": time,
            "what": _what(material, cover or plants, bought=bought),
            "material": material,
            "zones": zone or [],
            "amount": amount,
            "area": area,
            "passes": passes,
            "setting": setting,
            "grade": grade,
            "weather": weather,
            "cover": cover,
            "plants": plants,
            "photos": photo or [],
            "by": by,
            "note": note,
        }
        lawnmap.job.log_entry(yard, path, values)
        say(f"Added to {path}")
    _show(yard, choices, path, as_json=as_json)


def _is_job(job: Path) -> bool:
    return job.is_dir() or job.suffix.lower() == ".toml"


def _what(material: str, counted: str | None, *, bought: bool) -> str:
    if bought:
        return "bought"
    if material:
        return "put down"
    return "stand" if counted else "note"


def _show(yard: Yard, choices: Choices, path: Path, *, as_json: bool) -> None:
    held = lawnmap.job.tally_job(yard, choices, lawnmap.job.read_log(path))
    show_findings(held.findings)
    if as_json:
        show_json(held.to_dict())
    else:
        typer.echo(lawnmap.sheets.log_brief(held, lawnmap.units.SYSTEMS[choices.general.units]))
