"""``lawnmap batch``: many yards in one go."""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, Task, TextColumn, TimeRemainingColumn

import lawnmap
from lawnmap.cli.console import say, show_json
from lawnmap.cli.options import AsJson, Units
from lawnmap.cli.source import Typed, takes_source, with_options
from lawnmap.errors import ChoiceError, InputError
from lawnmap.units import duration

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from lawnmap.batch import Progress as Count
    from lawnmap.batch import Report


@takes_source
def batch(
    files: Annotated[
        list[Path],
        typer.Argument(
            help="Yard files of one or many yards, job files or folders, or folders of yard files."
        ),
    ],
    output: Annotated[
        Path,
        typer.Option("-o", "--output", help="Folder for the results: a new one, or that of an earlier run."),
    ],
    job: Annotated[
        Path | None,
        typer.Option(help="Job file with the choices for every yard; its own yard is not looked at."),
    ] = None,
    job_column: Annotated[
        str | None, typer.Option(help="Column that names a job file for each yard, beside the yard file.")
    ] = None,
    yard_column: Annotated[
        str | None,
        typer.Option(help="Column that names the yard of each shape, if the file calls it otherwise."),
    ] = None,
    units: Units = None,
    processes: Annotated[
        int | None,
        typer.Option(min=1, help="How many processes work; else one for few yards, all cores for many."),
    ] = None,
    scheduler: Annotated[
        str | None,
        typer.Option(help="Address of a Dask scheduler whose workers do the work: tcp://10.0.0.5:8786."),
    ] = None,
    size: Annotated[
        int | None, typer.Option(min=1, help="How many yards are done and saved at a time; else chosen.")
    ] = None,
    *,
    typed: Typed,
    maps: Annotated[bool, typer.Option("--maps", help="Give every yard a folder with its own map.")] = False,
    evenness: Annotated[
        bool, typer.Option("--evenness", help="Work out how evenly each plan spreads; takes far longer.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Plan many yards into one folder: results, an index map, one purchase; run again, it goes on where it stopped.

    Example: lawnmap batch sample_parcels/portfolio/yards.gpkg --job sample_parcels/portfolio -o town
    """
    choices = lawnmap.job.read_choices(job) if job else lawnmap.job.Choices()
    if typed.yard is not None:
        raise ChoiceError(
            "a batch plans every yard", where="--yard", mend='plan a single one with "lawnmap plan"'
        )
    choices = with_options(choices, typed, units)
    choices = replace(choices, source=choices.source.changed({"yard_column": yard_column}))
    options = lawnmap.batch.Options(
        processes=processes,
        scheduler=scheduler or "",
        yards_per_task=size,
        choices_column=job_column or "",
        maps=maps,
        evenness=evenness,
    )
    try:
        with _bar() as tell:
            report = lawnmap.batch.run(files, output, choices, options, tell)
    except KeyboardInterrupt:
        say("Stopped. What is done is kept; the same command goes on from there.")
        raise typer.Exit(130) from None
    if as_json:
        show_json(report.to_dict())
    else:
        typer.echo(_brief(report))
    _say_remarks(report)
    if not report.totals.planned:
        raise InputError(
            "no yard could be planned", where=str(report.folder / "not_planned.csv"), mend="read there why"
        )


class _Rate(TextColumn):
    """Yards per second, those of an earlier run left out."""

    def __init__(self) -> None:
        super().__init__("")

    def render(self, task: Task) -> str:  # type: ignore[override]  # any renderable will do
        """Return the rate, as soon as there is one."""
        return f"{task.speed:,.1f} yards/s" if task.speed else ""


@contextmanager
def _bar() -> Iterator[Callable[[Count], None]]:
    """Show a bar with rate and time left, if a person is watching."""
    console = Console(stderr=True)
    if not console.is_terminal:
        yield lambda _: None
        return
    columns = (
        TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), _Rate(), TimeRemainingColumn(),
        TextColumn("{task.fields[refused]}"),
    )  # fmt: skip
    with Progress(*columns, console=console, speed_estimate_period=60) as progress:
        shown = progress.add_task("Looking through the files", total=None, refused="")

        def tell(count: Count) -> None:
            begun = count.done == count.resumed
            refused = f"{count.refused:,} not planned" if count.refused else ""
            progress.update(shown, description="Planning", total=count.total, refused=refused)
            if begun:
                progress.reset(shown, start=True, completed=count.done)
            else:
                progress.update(shown, completed=count.done)

        yield tell


def _brief(report: Report) -> str:
    totals, units = report.totals, lawnmap.units.SYSTEMS[report.units]
    left = [f"{totals.no_lawn:,} without lawn"] if totals.no_lawn else []
    left += [f"{totals.refused:,} not planned (not_planned.csv says why)"] if totals.refused else []
    lines = [
        f"{totals.planned:,} of {totals.yards:,} yards planned" + "".join(f", {words}" for words in left),
        f"Net lawn: {units.area(totals.net_area_m2)}, {units.land(totals.net_area_m2)}",
    ]
    for one in totals.purchases.values():
        packs = " + ".join(f"{pack.count:,} × {units.mass(pack.size_kg)}" for pack in one.bought())
        buy = f"; buy {packs}" if packs else ""
        lines.append(f"{one.material[:1].upper()}{one.material[1:]}: {units.mass(one.amount_kg)}{buy}")
    if totals.walk_time_s:
        lines.append(
            f"Crew: {duration(totals.crew_time_s)} on the lawns, {units.length(totals.path_length_m)} to walk"
        )
    lines += [f"Quotes: {total:,} {currency}, taxes included" for currency, total in totals.quoted.items()]
    return "\n".join([*lines, f"Index map: {report.page}"])


def _say_remarks(report: Report) -> None:
    if report.resumed:
        say(f"{report.resumed:,} yards were done by an earlier run and are kept.")
    if report.repeated:
        say(f"{report.repeated:,} yards had a name that was taken; they are told apart by a number.")
    if report.lost:
        say(f"{report.lost:,} shapes name no yard and are near to none; they are left out.")
