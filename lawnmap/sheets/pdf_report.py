"""The area report: what was measured, how, and how sure it is, on paper and as a table, to go with anyone's quote."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from pathlib import PurePath
from typing import TYPE_CHECKING

from lawnmap.job import DISCLAIMER, by_density, rounded, rounded_error, statement
from lawnmap.sheets.identity import identity
from lawnmap.sheets.palette import OBSTACLE_WORDS
from lawnmap.sheets.pdf import Sheet, face_of
from lawnmap.sheets.pdf_map import GROUND, MapPicture, MapStyle
from lawnmap.sheets.scene import compose
from lawnmap.sheets.table import harmless

if TYPE_CHECKING:
    from datetime import date
    from pathlib import Path

    from lawnmap.job import AreaLine, Plan, Statement
    from lawnmap.sheets.marks import Scene

_AREA_UNITS = {"us": ("sq ft", "acre", "m²"), "metric": ("m²", "ha", "sq ft")}
_MAP_SHARE = 0.38  # of the height of the page, at most


def write_report(plan: Plan, path: Path, *, paper: str = "letter", dated: date | None = None) -> None:
    """Write the area report as a PDF file.

    Parameters
    ----------
    plan : Plan
        A plan, or one with everything but the areas left out.
    path : Path
        Where to.
    paper : str
        ``"letter"`` or ``"A4"``.
    dated : date, optional
        The day it is printed under.
    """
    page = statement(plan.takeoff, plan.units, date=dated)
    sheet = Sheet(f"Area report: {plan.name}", identity(plan), paper, face_of(plan.font))
    sheet.head(
        "Area report", plan.name, ", ".join(part for part in (page.made_on, _source(plan, page)) if part)
    )
    _sum(sheet, plan, page)
    size = (sheet.width_pt, _MAP_SHARE * sheet.height_pt)
    sheet.put(MapPicture(_scene(plan), plan.units, sheet, size, MapStyle(GROUND)))
    sheet.heading("Areas")
    units = _AREA_UNITS[plan.units.name]
    rows = _rows(plan, page)
    sheet.table(
        ("", "", *units, f"± {units[0]}"),
        [_cells(line, about, page, units) for line, about in rows],
        shares=(30, -13, 16, 13, 15, 13),
        strong=[i for i, (line, _) in enumerate(rows) if line.role == "net"],
    )
    sheet.heading("How it was measured")
    sheet.table(("", ""), (("Source", _source(plan, page)), *page.facts[1:]), shares=(20, -80))
    if page.notes:
        sheet.heading("To note")
        sheet.words(page.notes)
    sheet.gap(8)
    sheet.put(sheet.paragraph(DISCLAIMER, 9, bold=True))
    sheet.save(path)


def _scene(plan: Plan) -> Scene:
    """Compose the map, its zones without areas: those are in the table, rounded as their error asks."""
    scene = compose(plan)
    labels = (
        replace(label, lines=(label.lines[0], label.lines[1].partition(" \u00b7 ")[0]))
        if label.kind == "zone"
        else label
        for label in scene.labels
    )
    return replace(scene, labels=tuple(labels))


def _source(plan: Plan, page: Statement) -> str:
    """Name the yard's file without the folders of whoever measured it."""
    path = plan.yard.origin.path
    return page.facts[0][1].replace(path, PurePath(path).name, 1) if path else page.facts[0][1]


def _sum(sheet: Sheet, plan: Plan, page: Statement) -> None:
    """Say the one figure that everybody looks for."""
    net = next(line for line in page.lines if line.role == "net")
    unit, land = _AREA_UNITS[plan.units.name][:2]
    error = rounded_error(net.se_m2 or 0.0, page.step_m2, unit)
    text = f"Net lawn {rounded(net.area_m2, page.step_m2, unit)} ± {error} {unit}"
    sheet.put(
        sheet.paragraph(
            f"{text} ({rounded(net.area_m2, page.step_m2, land)} {land})", 13, bold=True, spaceAfter=4
        )
    )


def _rows(plan: Plan, page: Statement) -> list[tuple[AreaLine, str]]:
    """Return each area with what it is: gross, cut-outs by kind, net, zones by density, classes of density."""
    kinds = {cutout.obstacle: OBSTACLE_WORDS[cutout.kind] for cutout in plan.takeoff.cutouts}
    stands = {zone.name: zone.density for zone in plan.takeoff.zones}
    about = {"cut-out": kinds, "zone": stands}
    rows = [(line, about.get(line.role, {}).get(line.name, "")) for line in page.lines]
    if len(plan.takeoff.zones) > 1:
        rows += [(line, line.name) for line in by_density(plan.takeoff)]
    elif plan.takeoff.zones:
        rows[-1] = (rows[-1][0], plan.takeoff.zones[0].density)
    return rows


def _cells(line: AreaLine, about: str, page: Statement, units: tuple[str, ...]) -> list[str]:
    lead = {"cut-out": "less ", "zone": "of it ", "density": "of it all "}.get(line.role, "")
    figures = [rounded(line.area_m2, page.step_m2, unit) for unit in units]
    error = "" if line.se_m2 is None else rounded_error(line.se_m2, page.step_m2, units[0])
    return [f"{lead}{line.name}", about, *figures, error]


def report_csv(plan: Plan) -> str:
    """Write the areas of the report as a table for a spreadsheet: in SI, not rounded, and in the user's unit.

    Parameters
    ----------
    plan : Plan
        A plan, or one with everything but the areas left out.
    """
    page = statement(plan.takeoff, plan.units, date=None)
    unit = _AREA_UNITS[plan.units.name][0]
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")  # as RFC 4180 has it
    writer.writerow(
        ("role", "name", "kind", "area_m2", "standard_error_m2", f"area_rounded ({unit})", "source")
    )
    for line, about in _rows(plan, page):
        error = "" if line.se_m2 is None else f"{line.se_m2:.4f}"
        shown = rounded(line.area_m2, page.step_m2, unit).replace(",", "")
        writer.writerow((line.role, harmless(line.name), about, f"{line.area_m2:.4f}", error, shown,
                         harmless(_source(plan, page))))  # fmt: skip
    return text.getvalue()
