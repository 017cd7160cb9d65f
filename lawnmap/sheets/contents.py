"""What lies in the folder of a plan: every file beside the map, what it is for, and when it is there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from lawnmap.errors import OutputError, nearest
from lawnmap.sheets import later
from lawnmap.sheets.diary import NAME as DIARY
from lawnmap.sheets.diary import write_diary
from lawnmap.sheets.folder import MARK
from lawnmap.sheets.identity import plan_json
from lawnmap.sheets.layers import write_layers
from lawnmap.sheets.picture import draw_picture
from lawnmap.sheets.table import areas_csv
from lawnmap.sheets.walk_dxf import write_walk_dxf
from lawnmap.sheets.walk_gpx import walk_gpx
from lawnmap.sheets.walk_kml import walk_kml
from lawnmap.sheets.walk_table import walk_csv
from lawnmap.sheets.walk_words import has_place, has_walk

if TYPE_CHECKING:
    from collections.abc import Callable, Collection
    from pathlib import Path

    from lawnmap.job import Plan


@dataclass(frozen=True)
class Sheet:
    """One file of the folder.

    Attributes
    ----------
    name : str
        Of the file.
    about : str
        What it is for, as the map page says.
    write : callable
        Given the plan and the path.
    wanted : callable
        Whether a plan has anything to put into it.
    asked : str
        The word by which one asks for it; empty for what is always written.
    """

    name: str
    about: str
    write: Callable[[Plan, Path], None]
    wanted: Callable[[Plan], bool] = lambda _: True
    asked: str = ""


def put_text(path: Path, text: str) -> None:
    """Write text as UTF-8.

    Parameters
    ----------
    path : Path
        Of the file.
    text : str
        Of any kind.
    """
    # what no encoding can hold, half of a surrogate pair, is written as JSON writes it
    path.write_bytes(text.encode("utf-8", "backslashreplace"))


def _wants_deposit(plan: Plan) -> bool:
    return plan.evenness is not None and plan.evenness.raster


def _write_deposit(plan: Plan, path: Path) -> None:
    if plan.evenness:
        plan.evenness.write_raster(path, plan.yard.plane)


def usual_paper(plan: Plan) -> str:
    """Return the paper that the user asked for, or that goes with the units: ``"letter"`` or ``"A4"``.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    """
    return plan.paper or ("letter" if plan.units.name == "us" else "A4")


def _is_priced(plan: Plan) -> bool:
    return plan.quote is not None


def _write_workbook(plan: Plan, path: Path) -> None:
    later.workbook.write_workbook(plan, path)


SHEETS: Final = (
    Sheet(
        "quote.pdf",
        "the quote, to send",
        lambda plan, path: later.pdf_quote.write_quote(plan, path, paper=usual_paper(plan)),
        _is_priced,
    ),
    Sheet(
        "field_sheet.pdf",
        "what to load, set and walk, for the day on the lawn",
        lambda plan, path: later.pdf_field.write_field_sheet(plan, path, paper=usual_paper(plan)),
        _is_priced,
    ),
    Sheet(
        "workbook.xlsx",
        "areas, rates, materials, labour and quote with live formulas; it holds your costs, so keep it",
        _write_workbook,
        _is_priced,
    ),
    Sheet(
        "area_report.pdf",
        "the areas and how they were measured, to send",
        lambda plan, path: later.pdf_report.write_report(plan, path, paper=usual_paper(plan)),
        _is_priced,
    ),
    Sheet(
        "area_report.csv",
        "the same areas for a spreadsheet",
        lambda plan, path: put_text(path, later.pdf_report.report_csv(plan)),
        _is_priced,
    ),
    Sheet("map.svg", "the map as a picture", lambda plan, path: put_text(path, draw_picture(plan))),
    Sheet(
        "areas.csv",
        "areas and amounts for a spreadsheet",
        lambda plan, path: put_text(path, areas_csv(plan)),
    ),
    Sheet(
        "walk.csv",
        "every lane in walking order for a spreadsheet",
        lambda plan, path: put_text(path, walk_csv(plan)),
        has_walk,
    ),
    Sheet(
        "walk.gpx",
        "walk and stakes for a phone or receiver",
        lambda plan, path: put_text(path, walk_gpx(plan)),
        has_place,
    ),
    Sheet(
        "walk.kml",
        "walk and stakes for a globe",
        lambda plan, path: put_text(path, walk_kml(plan)),
        has_place,
        "kml",
    ),
    Sheet("walk.dxf", "walk and stakes for a drawing", write_walk_dxf, has_walk, "dxf"),
    Sheet("yard.gpkg", "layers for a GIS", write_layers),
    Sheet("deposit.tif", "what lands where, as a raster for a GIS", _write_deposit, _wants_deposit),
    Sheet(DIARY, "the season for a calendar program", write_diary, lambda plan: plan.season is not None),
    Sheet(
        MARK,
        "everything, for programs; your costs as well where there is a quote",
        lambda plan, path: put_text(path, plan_json(plan)),
    ),
)
"""All but the map page itself, in the order in which the page lists them."""


def sheets_for(plan: Plan, also: Collection[str] = ()) -> tuple[Sheet, ...]:
    """Return the sheets that a plan gets.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    also : collection of str
        Words for sheets that are written only when asked for.

    Raises
    ------
    OutputError
        For a word that names no sheet.
    """
    words = sorted({sheet.asked for sheet in SHEETS if sheet.asked})
    for word in also:
        if word not in words:
            raise OutputError(f'there is no sheet "{word}"', mend=nearest(word, words))
    return tuple(sheet for sheet in SHEETS if (not sheet.asked or sheet.asked in also) and sheet.wanted(plan))
