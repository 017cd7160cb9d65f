"""The field sheet: one or two pages for wet hands, in black: where to walk, what to load and set, what to tick off."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

from reportlab.platypus import Table

from lawnmap.sheets.identity import identity
from lawnmap.sheets.pdf import Sheet, face_of
from lawnmap.sheets.pdf_loads import BIG_PT, Boxes, put_loads
from lawnmap.sheets.pdf_map import GROUND, MapKeys, MapPicture, MapStyle
from lawnmap.sheets.scene import compose
from lawnmap.sheets.spraying import spray_tables
from lawnmap.sheets.timetable import station_table
from lawnmap.sheets.walk_words import ties_of

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from lawnmap.job import Plan
    from lawnmap.sheets.marks import Scene

_MARGIN_PT: Final = 30.0
_FITS: Final = (
    (1.1, 0.6, 1), (1.0, 0.5, 1),
    (1.2, 1.0, 2), (1.1, 0.95, 2), (1.0, 0.98, 2), (1.0, 0.9, 2), (1.0, 0.82, 2), (1.0, 0.74, 2), (1.0, 0.66, 2),
    (1.0, 0.58, 2), (1.0, 0.5, 2),
    (1.0, 1.0, 9),
)  # fmt: skip
"""Size of the type, share of a page for the maps, and the pages that may take; the first that fits is taken.
[1], [1], [count]

Type is never set under 9 points: it is read in the sun and the wet. A job of many zones takes a third page instead.
"""

_HEAD_PT: Final = 44.0  # what stands above and between the maps
_PHASES: Final = 5  # the column where the minutes of the phases begin
_MOST_STAKED: Final = 8  # passes whose stakes are all listed
_UPRIGHT: Final = 1.1  # a yard narrower than that, beside its height, has its passes side by side
_WORK: Final = GROUND | {"loops", "hand"}
_SMALL_PT: Final = 9.0

_FLUSH: Final = [
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    *((f"{side}PADDING", (0, 0), (-1, -1), 0) for side in ("LEFT", "RIGHT", "TOP", "BOTTOM")),
]

BEFORE: Final = (
    "Labels of the products read and with me",
    "Lawn walked: stones, toys, sprinkler heads, holes",
    "Spreader set, loads weighed, gate shut while turning",
    "Granules swept off paving, hopper emptied over lawn",
)
SPRAY_BOX: Final = (
    "Product",
    "Rate of the label",
    "Tank",
    "Wind",
    "Temperature",
    "From / until",
    "Done by, licence",
)
WATER_BOX: Final = ("Zone", "Minutes", "Gauge before", "Gauge after", "From / until", "Done by")


def write_field_sheet(plan: Plan, path: Path, *, paper: str = "letter") -> None:
    """Write the field sheet as a PDF file.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    path : Path
        Where to.
    paper : str
        ``"letter"`` or ``"A4"``.
    """
    scene, mark = compose(plan), identity(plan)

    def sheet_of(fit: tuple[float, float, int]) -> Sheet:
        sheet = Sheet(f"Field sheet: {plan.name}", mark, paper, face_of(plan.font), fit[0], _MARGIN_PT)
        _set(plan, scene, sheet, fit[1])
        return sheet

    best = bisect_left(_FITS[:-1], True, key=lambda fit: sheet_of(fit).pages() <= fit[2])  # noqa: FBT003  what is sought
    sheet_of(_FITS[best]).save(path)


def _set(plan: Plan, scene: Scene, sheet: Sheet, share: float) -> None:
    """Set all blocks of the sheet."""
    area = f"net lawn {plan.units.area(plan.takeoff.net_area_m2)}"
    swaths = sorted({plan.units.width(single.swath_m) for single in plan.lanes.passes})
    facts = ", ".join([area, *(f"lanes {swath} apart" for swath in swaths)])
    heads = [
        sheet.paragraph(plan.name, 17, bold=True),
        sheet.paragraph(f"Field sheet: {facts}", 9.5, alignment=2),
    ]
    sheet.put(Table([heads], [0.55 * sheet.width_pt, 0.45 * sheet.width_pt], style=_FLUSH))
    _maps(sheet, plan, scene, share)
    _before(sheet)
    put_loads(sheet, plan)
    _stakes(sheet, plan)
    _boxes(sheet, plan)
    sheet.heading("Cautions")
    half, column = -(-len(plan.cautions) // 2), sheet.width_pt / 2
    columns = [
        [sheet.paragraph(words, _SMALL_PT, spaceAfter=1, rightIndent=8) for words in part]
        for part in (plan.cautions[:half], plan.cautions[half:])
    ]
    sheet.put(Table([columns], [column, column], style=_FLUSH))
    if plan.notes:
        sheet.heading("Notes")
        sheet.words(plan.notes, BIG_PT)


def _maps(sheet: Sheet, plan: Plan, scene: Scene, share: float) -> None:
    """Put a map of each pass: across the page, or side by side where the yard is upright or passes are many."""
    numbers = sorted({single.number for single in plan.lanes.passes}) or [1]
    west, south, east, north = scene.bounds
    aside = len(numbers) > 2 or (len(numbers) == 2 and east - west < _UPRIGHT * (north - south))
    columns = 2 if aside else 1
    down = -(-len(numbers) // columns)
    wide = sheet.width_pt / columns
    tall = (share * sheet.height_pt - _HEAD_PT * sheet.scale) / down - 16
    style = MapStyle(_WORK, 0.95, black=True, close=True)
    sheet.put(MapKeys(scene, plan.units, sheet, style))
    for first in range(0, len(numbers), columns):
        row = numbers[first : first + columns]
        heads = [sheet.paragraph(f"Pass {number}", BIG_PT, bold=True) for number in row]
        maps = [
            MapPicture(
                scene, plan.units, sheet, (wide - 4, tall), replace(style, layers=_WORK | {f"pass{number}"})
            )
            for number in row
        ]
        if len(numbers) == 1:
            sheet.put(*maps)
        else:
            sheet.put(Table([heads, maps], [wide] * len(row), style=_FLUSH))


def _stakes(sheet: Sheet, plan: Plan) -> None:
    """Say how to tape the ends of the first lane of each pass; the others follow at the swath."""
    rows = []
    passes = plan.lanes.passes
    few = len(passes) <= _MOST_STAKED
    for single in passes if few else [single for single in passes if single.number == 1]:
        ends = {stake.end: stake for stake in single.stakes if stake.lane == 1}
        taped = [
            " and ".join(ties_of(ends[end], plan.units)) if end in ends else "" for end in ("start", "end")
        ]
        if any(taped):
            rows.append(
                (
                    f"{single.zone}, pass {single.number}" if few else single.zone,
                    *(words or "no two fixed points" for words in taped),
                )
            )
    if rows:
        which = "each pass; the others lie" if few else "pass 1 (walk.csv has all); the others lie"
        sheet.heading(f"Stake the first lane of {which} a swath apart")
        sheet.table(("Pass", "Its start", "Its end"), rows, shares=(17, -41, -42), size_pt=_SMALL_PT)


def _before(sheet: Sheet) -> None:
    half = sheet.width_pt / 2
    sheet.heading("Tick off")
    _in_two_columns(
        sheet, [[Boxes(), sheet.paragraph(words, _SMALL_PT)] for words in BEFORE], (20, half - 20)
    )


def _boxes(sheet: Sheet, plan: Plan) -> None:
    """Put what to spray and water, and boxes to fill in what was done."""
    for table in spray_tables(plan) if plan.sprays else ():
        if table.heads[0] in {"Zone", "Tank"}:  # not the year's total
            sheet.heading(table.title)
            shares = (5, *(-95 / len(table.heads) for _ in table.heads))
            sheet.table(
                ("", *table.heads), [(Boxes(), *row) for row in table.rows], shares=shares, size_pt=_SMALL_PT
            )
    _to_fill_in(sheet, "Spray: fill in, as the label and the law ask", SPRAY_BOX)
    stations = station_table(plan)
    if stations is None:
        _to_fill_in(sheet, "Water", WATER_BOX)
        return
    sheet.heading("Water: minutes a run, and what was done")
    rows = [(row[0], row[1], *row[_PHASES:], "") for row in stations.rows]
    phases = stations.heads[_PHASES:]
    shares = (17, -20, *(-15 for _ in phases), -18)
    sheet.table(
        ("Station", "Zones", *phases, "Day, from / until, by"), rows, shares=shares, size_pt=_SMALL_PT
    )


def _to_fill_in(sheet: Sheet, title: str, heads: Sequence[str]) -> None:
    """Put two rows of empty boxes to write in."""
    sheet.heading(title)
    letters = [len(head) + 4 for head in heads]
    widths = [sheet.width_pt * each / sum(letters) for each in letters]
    above = [sheet.paragraph(head, _SMALL_PT) for head in heads]
    grid = [("GRID", (0, 0), (-1, -1), 0.6, "black"), ("VALIGN", (0, 0), (-1, 0), "TOP"),
            ("TOPPADDING", (0, 0), (-1, 0), 1), ("LEFTPADDING", (0, 0), (-1, -1), 3)]  # fmt: skip
    sheet.put(Table([above, *[[""] * len(heads)] * 2], widths, [None, 17, 17], style=grid))


def _in_two_columns(sheet: Sheet, cells: Sequence[list[Any]], widths_pt: Sequence[float]) -> None:
    """Set short words in two columns, row by row; a cell may have several parts, as wide as said."""
    empty: list[Any] = [""] * len(widths_pt)
    pairs = [[*cells[i], *(cells[i + 1] if i + 1 < len(cells) else empty)] for i in range(0, len(cells), 2)]
    look = [("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("TOPPADDING", (0, 0), (-1, -1), 1), ("BOTTOMPADDING", (0, 0), (-1, -1), 1)]  # fmt: skip
    if pairs:
        sheet.put(Table(pairs, [*widths_pt, *widths_pt], style=look))
