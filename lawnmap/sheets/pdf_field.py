"""The field sheet: one or two pages for wet hands, in black: where to walk, what to load and set, what to tick off."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from reportlab.platypus import Flowable, Table

from lawnmap.sheets.figures import load_table
from lawnmap.sheets.identity import identity
from lawnmap.sheets.pdf import Sheet, face_of
from lawnmap.sheets.pdf_map import GROUND, MapPicture, MapStyle
from lawnmap.sheets.scene import compose
from lawnmap.sheets.spraying import spray_tables
from lawnmap.sheets.timetable import station_table
from lawnmap.sheets.walk_words import ties_of

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from lawnmap.job import Pass, Plan
    from lawnmap.sheets.marks import Scene

_BIG_PT: Final = 10.5
_BOX_PT: Final = 11.0
_FITS: Final = ((1.0, 1), (0.9, 1), (1.0, 2), (0.9, 2), (0.8, 2), (0.72, 2))
"""Sizes of the type, each with the pages that it may take, in the order in which they are tried. [1], [count]"""

_MAP_SHARE: Final = (0.62, 0.3)  # of the height of a page: most, and least
_PHASES: Final = 5  # the column where the minutes of the phases begin
_MOST_STAKED: Final = 8  # passes whose stakes are all listed
_ROW_PT: Final = 19.0
_UPRIGHT: Final = 1.1  # a yard narrower than that, beside its height, has its passes side by side
_WORK: Final = GROUND | {"loops", "hand"}

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


class _Box(Flowable):  # type: ignore[misc]  # reportlab has no types
    """A box to tick."""

    def __init__(self) -> None:
        super().__init__()
        self.width = self.height = _BOX_PT

    def draw(self) -> None:
        self.canv.setLineWidth(0.9)
        self.canv.rect(0, 0, _BOX_PT, _BOX_PT, stroke=1, fill=0)


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
    for size, most in _FITS:
        sheet = Sheet(f"Field sheet: {plan.name}", mark, paper, face_of(plan.font), size)
        _set(plan, scene, sheet)
        if (size, most) == _FITS[-1] or sheet.pages() <= most:
            sheet.save(path)
            return


def _set(plan: Plan, scene: Scene, sheet: Sheet) -> None:
    """Set all blocks of the sheet."""
    area = f"net lawn {plan.units.area(plan.takeoff.net_area_m2)}"
    swaths = sorted({plan.units.width(single.swath_m) for single in plan.lanes.passes})
    sheet.head("Field sheet", plan.name, ", ".join([area, *(f"lanes {swath} apart" for swath in swaths)]))
    loads = (*load_table(plan).rows, *hand_rows(plan))
    _maps(sheet, plan, scene, len(loads))
    if loads:
        _loads(sheet, loads)
    _refills(sheet, plan)
    _stakes(sheet, plan)
    _boxes(sheet, plan)
    sheet.heading("Cautions")
    _in_two_columns(sheet, [[sheet.paragraph(words, 8)] for words in plan.cautions], (sheet.width_pt / 2,))
    if plan.notes:
        sheet.heading("Notes")
        sheet.words(plan.notes, _BIG_PT)


def _maps(sheet: Sheet, plan: Plan, scene: Scene, rows: int) -> None:
    """Put a map of each pass: side by side where the yard is upright, else the first one as large as can be."""
    numbers = sorted({single.number for single in plan.lanes.passes}) or [1]
    most, least = (share * sheet.height_pt * sheet.scale for share in _MAP_SHARE)
    free = sheet.height_pt - 90 - (rows + 2) * _ROW_PT * sheet.scale
    west, south, east, north = scene.bounds
    wide = sheet.width_pt
    if len(numbers) == 2 and east - west < _UPRIGHT * (north - south):
        both = [
            _map(sheet, plan, scene, number, (wide / 2 - 4, min(max(free, least), most)))
            for number in numbers
        ]
        heads = [sheet.paragraph(f"Pass {number}", _BIG_PT, bold=True) for number in numbers]
        sheet.put(Table([heads, both], [wide / 2] * 2, style=[("LEFTPADDING", (0, 0), (-1, -1), 0),
                                                              ("RIGHTPADDING", (0, 0), (-1, -1), 0)]))  # fmt: skip
        return
    for number in numbers:
        tall = min(max(free - least * (len(numbers) - 1), least), most) if number == numbers[0] else least
        if len(numbers) > 1:
            sheet.put(sheet.paragraph(f"Pass {number}", _BIG_PT, bold=True))
        sheet.put(_map(sheet, plan, scene, number, (wide, tall)))


def _map(sheet: Sheet, plan: Plan, scene: Scene, number: int, size_pt: tuple[float, float]) -> MapPicture:
    return MapPicture(
        scene, plan.units, sheet, size_pt, MapStyle(_WORK | {f"pass{number}"}, 0.95 * sheet.scale, black=True)
    )


def _loads(sheet: Sheet, rows: Sequence[Sequence[str]]) -> None:
    sheet.heading("Load and set, zone by zone")
    sheet.table(
        ("", "Zone", "Put in", "Set for", "When", "Material"),
        [(_Box(), zone, fill, rate, when, material) for zone, material, when, rate, fill in rows],
        shares=(4, -17, -17, -22, -20, -20),
        size_pt=_BIG_PT,
    )


def hand_rows(plan: Plan) -> tuple[tuple[str, str, str, str, str], ...]:
    """Return what is spread on spots that no lane is laid for, in the columns of `load_table`.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    """
    units = plan.units
    return tuple(
        (
            amount.zone,
            material.name[:1].upper() + material.name[1:],
            "by hand",
            units.rate(amount.rate_kg_per_m2),
            units.mass(amount.amount_kg),
        )
        for material in plan.prescription.materials
        for amount in material.by_zone
        if amount.by_hand and amount.amount_kg
    )


def _refills(sheet: Sheet, plan: Plan) -> None:
    """Say where on the way the hopper is filled again."""
    rows = []
    for outing in plan.lanes.outings:
        for single in outing.passes:
            places = [
                f"{plan.units.mass(refill.load_kg)} {_where(single, refill.after_leg)}"
                for refill in single.refills
                if refill.load_kg is not None
            ]
            if len(places) > 1:
                rows.append(
                    (_Box(), f"{single.zone}, pass {single.number}", "; ".join(places), outing.product)
                )
    if rows:
        sheet.heading("Fill again on the way")
        sheet.table(("", "Pass", "Load", "Material"), rows, shares=(4, -22, -52, -22), size_pt=9.5)


def _where(single: Pass, after_leg: int) -> str:
    """Name the place of a filling by the lane or round before it."""
    walked = [leg for leg in single.legs[: after_leg + 1] if leg.kind != "way"]
    if not walked:
        return "to begin with"
    return f"after {'lane' if walked[-1].kind == 'lane' else 'round'} {walked[-1].number}"


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
                (f"{single.zone}, pass {single.number}", *(words or "no two fixed points" for words in taped))
            )
    if rows:
        which = "of each pass" if few else "of the first pass (walk.csv has all stakes)"
        sheet.heading(f"Stake out the first lane {which}; the others lie a swath apart")
        sheet.table(("Pass", "Its start", "Its end"), rows, shares=(22, -39, -39), size_pt=9.5)


def _boxes(sheet: Sheet, plan: Plan) -> None:
    sheet.keep(120 * sheet.scale)
    sheet.heading("Tick off")
    half = sheet.width_pt / 2
    cells = [[_Box(), sheet.paragraph(words, _BIG_PT - 1)] for words in BEFORE]
    _in_two_columns(sheet, cells, (20, half - 20))
    for table in spray_tables(plan) if plan.sprays else ():
        if table.heads[0] in {"Zone", "Tank"}:  # not the year's total
            sheet.heading(table.title)
            shares = (5, *(-95 / len(table.heads) for _ in table.heads))
            sheet.table(
                ("", *table.heads), [(_Box(), *row) for row in table.rows], shares=shares, size_pt=9.0
            )
    _to_fill_in(sheet, "Spray: fill in, as the label and the law ask", SPRAY_BOX)
    stations = station_table(plan)
    if stations is None:
        _to_fill_in(sheet, "Water", WATER_BOX)
        return
    sheet.heading("Water: minutes a run, and what was done")
    rows = [(row[0], row[1], *row[_PHASES:], "") for row in stations.rows]
    phases = stations.heads[_PHASES:]
    shares = (18, -22, *(-12 for _ in phases), -24)
    sheet.table(("Station", "Zones", *phases, "Day, from / until, by"), rows, shares=shares, size_pt=8.5)


def _to_fill_in(sheet: Sheet, title: str, heads: Sequence[str]) -> None:
    """Put two rows of empty boxes to write in."""
    sheet.heading(title)
    wide = sheet.width_pt / len(heads)
    above = [sheet.paragraph(head, 8) for head in heads]
    grid = [("GRID", (0, 0), (-1, -1), 0.6, "black"), ("VALIGN", (0, 0), (-1, 0), "TOP"),
            ("TOPPADDING", (0, 0), (-1, 0), 1), ("LEFTPADDING", (0, 0), (-1, -1), 3)]  # fmt: skip
    sheet.put(Table([above, *[[""] * len(heads)] * 2], [wide] * len(heads), [None, 18, 18], style=grid))


def _in_two_columns(sheet: Sheet, cells: Sequence[list[Any]], widths_pt: Sequence[float]) -> None:
    """Set short words in two columns, row by row; a cell may have several parts, as wide as said."""
    empty: list[Any] = [""] * len(widths_pt)
    pairs = [[*cells[i], *(cells[i + 1] if i + 1 < len(cells) else empty)] for i in range(0, len(cells), 2)]
    look = [("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("TOPPADDING", (0, 0), (-1, -1), 1), ("BOTTOMPADDING", (0, 0), (-1, -1), 1)]  # fmt: skip
    if pairs:
        sheet.put(Table(pairs, [*widths_pt, *widths_pt], style=look))
