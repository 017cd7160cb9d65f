"""``lawnmap calibrate``: the spreader or sprayer in hand, from what was caught, used and timed."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final, Literal

import typer

import lawnmap
from lawnmap.cli.console import show_findings, show_json
from lawnmap.cli.options import AsJson
from lawnmap.cli.quantity import quantities, quantity, quantity_if
from lawnmap.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from lawnmap.evenness import CatchTest, SettingCurve, TestRun
    from lawnmap.yard import Finding

calibrate = typer.Typer(
    help="Calibrate a spreader or sprayer: its throw, its settings, its real rate.",
    epilog='lawnmap calibrate trays "0 2 5 8 5 2 0" --spacing "1 ft"',
    no_args_is_help=True,
    rich_markup_mode="rich",
)

_NUMBERS: Final = re.compile(r"[\d\s.,;eE+-]+")

Limit = Annotated[str, typer.Option(help="Most variation (CV) between lanes that you accept.")]
Lanes = Annotated[str | None, typer.Option(help="Distance between lanes; the effective swath if left out.")]
Plot = Annotated[
    Path | None, typer.Option("-o", "--output", help="Draw throw, overlap and variation into this .svg file.")
]
UnitsHere = Annotated[Literal["us", "metric"], typer.Option(help="Units of the results.")]
Way = Annotated[
    Literal["back and forth", "round and round"],
    typer.Option(help="How lanes are walked: 'back and forth' or 'round and round'."),
]


def trays(
    source: Annotated[str, typer.Argument(help="CSV of a catch test, or the weights in one line of text.")],
    spacing: Annotated[str, typer.Option(help="Distance between trays whose weights are typed in.")] = "1 ft",
    lanes: Lanes = None,
    way: Way = "back and forth",
    wander: Annotated[
        str, typer.Option(help="How far a lane strays: a guess, so measure your own.")
    ] = "0.4 ft",
    limit: Limit = "15 %",
    tray_area: Annotated[
        str | None, typer.Option(help="Opening of one tray, to work the rate out of the weights.")
    ] = None,
    weighed_in: Annotated[str, typer.Option(help="Unit of the weights, for the rate.")] = "g",
    units: UnitsHere = "us",
    output: Plot = None,
    *,
    smooth: Annotated[
        bool,
        typer.Option("--smooth", help="Even out single trays; it draws the swath out by up to half a tray."),
    ] = False,
    centred: Annotated[
        bool,
        typer.Option("--centred", help="As if the spreader were adjusted to throw evenly to both sides."),
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Find the throw, its swath and the widest spacing from a row of trays.

    Example: lawnmap calibrate trays "0 2 5 8 5 2 0" --spacing "1 ft"
    """
    room, system = lawnmap.evenness, lawnmap.units.SYSTEMS[units]
    test = _catch(source, spacing)
    pattern = test.pattern(smooth=smooth, centred=centred)
    report = room.report_throw(
        pattern,
        quantity_if(lanes, "length", "--lanes"),
        wander_m=quantity(wander, "length", "--wander"),
        limit=quantity(limit, "fraction", "--limit"),
        way=way,
        units=system,
    )
    rate = _tray_rate(test, tray_area, weighed_in, report.laid.spacing_m)
    if output:
        room.write_overlap(report, output, units=system)
    _show(
        {**report.to_dict(), "rate_kg_per_m2": rate, "drift_m": test.drift_m},
        [
            *report.lines(system),
            *([f"Rate by the trays: {system.rate(rate)}"] if rate is not None else []),
            *filter(None, [test.drift_line(system)]),
            *(mode.line() for mode in report.modes),
            *([f"Plot: {output}"] if output else []),
        ],
        test.findings(),
        as_json=as_json,
    )


def settings(
    source: Annotated[Path, typer.Argument(help="CSV of test runs, or a job whose [spreader] holds runs.")],
    job: Annotated[Path | None, typer.Option(help="Job whose zones shall get a setting each.")] = None,
    rate: Annotated[
        list[str] | None, typer.Option(help="A rate to find the setting for; may be given several times.")
    ] = None,
    units: UnitsHere = "us",
    *,
    as_json: AsJson = False,
) -> None:
    """Find the gate setting for each zone or rate from test runs, with its error.

    Example: lawnmap calibrate settings runs.csv --rate "4 lb / 1000 sq ft"
    """
    room, system = lawnmap.evenness, lawnmap.units.SYSTEMS[units]
    job = source if job is None and _is_job(source) else job
    runs = _runs(source)
    curve = room.fit_settings(runs, where=source.name, units=system)
    wanted = {text: quantity(text, "mass_per_area", "--rate") for text in rate or []}
    rows = [*room.zone_settings(curve, wanted, units=system)]
    found = [*curve.findings()]
    if job:
        rows += lawnmap.job.settings_of(job, runs)
    found += room.untested(tuple(rows))
    _show(
        {"curve": curve.to_dict(), "settings": [row.to_dict() for row in rows]},
        [*curve.lines(system), *(row.line(system) for row in rows)],
        found,
        as_json=as_json,
    )


def used(
    amount: Annotated[str, typer.Argument(help="What was really used, '11 lb' for instance.")],
    planned: Annotated[str, typer.Option(help="What should have been used on that ground.")],
    area: Annotated[str, typer.Option(help="Ground that is done.")],
    setting: Annotated[float, typer.Option(help="Gate setting it was done with.")],
    rest: Annotated[str, typer.Option(help="Ground still to do.")] = "0 sq ft",
    runs: Annotated[
        Path | None, typer.Option(help="CSV of test runs, or a job that holds them; else in proportion.")
    ] = None,
    units: UnitsHere = "us",
    *,
    as_json: AsJson = False,
) -> None:
    """Turn what was really used into your real rate and the setting for the rest.

    Example: lawnmap calibrate used "11 lb" --planned "14 lb" --area "3000 sq ft" --setting 5 --rest "4000 sq ft"
    """
    room, system = lawnmap.evenness, lawnmap.units.SYSTEMS[units]
    used_kg, area_m2 = quantity(amount, "mass", "the amount used"), quantity(area, "area", "--area")
    planned_kg = quantity(planned, "mass", "--planned")
    check = room.check_rate(room.rate_from_area(used_kg, area_m2), room.rate_from_area(planned_kg, area_m2))
    done = room.TestRun(setting=setting, used_kg=used_kg, area_m2=area_m2)
    curve = _curve(runs, units) if runs else None
    found = room.correct(done, planned_kg, quantity(rest, "area", "--rest"), curve, system)
    _show(
        {**found.to_dict(), "check": check.to_dict()},
        [check.line(system), found.line(system)],
        (*found.findings, *check.findings()),
        as_json=as_json,
    )


def sprayer(
    width: Annotated[str, typer.Option(help="Nozzle spacing, or the width that a single nozzle covers.")],
    caught: Annotated[
        str | None, typer.Option(help="Caught from each nozzle, a comma between: '14 fl oz, 15 fl oz'.")
    ] = None,
    catch_time: Annotated[
        str | None, typer.Option(help="How long it was caught; as long as the course took if left out.")
    ] = None,
    course: Annotated[
        str | None, typer.Option(help="Length of the course; that of 1/128 acre if left out.")
    ] = None,
    times: Annotated[
        str | None, typer.Option(help="Time of each run over the course: '45 s, 47 s, 46 s'.")
    ] = None,
    flow: Annotated[str | None, typer.Option(help="Flow of one nozzle, if known without a catch.")] = None,
    speed: Annotated[str | None, typer.Option(help="Speed, if known without a course.")] = None,
    volume: Annotated[str | None, typer.Option(help="Carrier that is wanted: '1 gal / 1000 sq ft'.")] = None,
    nozzles: Annotated[
        int | None, typer.Option(help="How many nozzles, for the pattern of the boom.")
    ] = None,
    lanes: Annotated[
        str | None, typer.Option(help="Distance between lanes; nozzles times their spacing if left out.")
    ] = None,
    limit: Limit = "15 %",
    units: UnitsHere = "us",
    output: Plot = None,
    *,
    as_json: AsJson = False,
) -> None:
    """Find what a sprayer lays, from a catch, a course, or flow and speed.

    Example: lawnmap calibrate sprayer --width "20 in" --caught "14 fl oz, 15 fl oz, 14 fl oz"
    """
    room, system = lawnmap.evenness, lawnmap.units.SYSTEMS[units]
    test = room.SprayerTest(
        width_m=quantity(width, "length", "--width"),
        course_m=quantity_if(course, "length", "--course"),
        times_s=quantities(times, "time", "--times"),
        caught_m3=quantities(caught, "volume", "--caught"),
        catch_time_s=quantity_if(catch_time, "time", "--catch-time"),
        flow_m3_per_s=quantity_if(flow, "flow", "--flow"),
        speed_m_per_s=quantity_if(speed, "speed", "--speed"),
        volume_m=quantity_if(volume, "depth", "--volume"),
        nozzles=nozzles,
    )
    report = room.report_sprayer(
        test,
        spacing_m=quantity_if(lanes, "length", "--lanes"),
        limit=quantity(limit, "fraction", "--limit"),
        units=system,
    )
    if output:
        if report.boom is None:
            raise InputError(
                "one nozzle has no overlap to draw", mend="give --nozzles, or leave --output out"
            )
        room.write_overlap(report.boom, output, units=system)
    _show(
        report.to_dict(),
        [*report.lines(system), *([f"Plot: {output}"] if output else [])],
        report.findings,
        as_json=as_json,
    )


for _command in (trays, settings, used, sprayer):
    calibrate.command(epilog=(_command.__doc__ or "").rpartition("Example: ")[2].strip())(_command)


def _show(
    values: Mapping[str, object], lines: Iterable[str], found: Iterable[Finding], *, as_json: bool
) -> None:
    found = tuple(found)
    show_findings(found)
    if as_json:
        show_json({**values, "findings": [one.to_dict() for one in found]})
    else:
        typer.echo("\n".join(lines))


def _is_job(path: Path) -> bool:
    return path.is_dir() or path.suffix.lower() == ".toml"


def _catch(source: str, spacing: str) -> CatchTest:
    room = lawnmap.evenness
    if _NUMBERS.fullmatch(source):
        return room.typed_text(source, quantity(spacing, "length", "--spacing"))
    return room.read_catch(Path(source))


def _runs(source: Path) -> tuple[TestRun, ...]:
    if _is_job(source):
        held = lawnmap.job.read_choices(source).spreader.runs
        if not held:
            raise InputError(
                "there are no test runs",
                where=f"{source}, [spreader], runs",
                mend="add them, or name a CSV file",
            )
        return held
    return lawnmap.evenness.read_runs(source)


def _curve(source: Path, units: Literal["us", "metric"]) -> SettingCurve:
    return lawnmap.evenness.fit_settings(_runs(source), source.name, lawnmap.units.SYSTEMS[units])


def _tray_rate(test: CatchTest, tray_area: str | None, weighed_in: str, spacing_m: float) -> float | None:
    if tray_area is None:
        return None
    return lawnmap.evenness.rate_from_trays(
        test,
        tray_area_m2=quantity(tray_area, "area", "--tray-area"),
        spacing_m=spacing_m,
        weight_kg=quantity(f"1 {weighed_in}", "mass", "--weighed-in"),
    )
