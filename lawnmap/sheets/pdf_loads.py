"""What to load and set on the field sheet: material by material, setting by setting, a box for each pass."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from reportlab.lib.colors import black
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import Flowable, Table

from lawnmap.sheets.loading import together, told_loads

if TYPE_CHECKING:
    from lawnmap.job import Load, Pass, Plan
    from lawnmap.sheets.pdf import Sheet

    Told = tuple[Load, str, str]

BIG_PT: Final = 10.5
_BOX_PT: Final = 11.0
_GAP_PT: Final = 3.0
_MOST_COLUMNS: Final = 3
_FLUSH: Final = [("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0),
                 ("RIGHTPADDING", (0, 0), (-1, -1), 0), ("TOPPADDING", (0, 0), (-1, -1), 1.5),
                 ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5)]  # fmt: skip


class Boxes(Flowable):  # type: ignore[misc]  # reportlab has no types
    """Boxes to tick, side by side.

    Parameters
    ----------
    count : int
        How many. [count]
    """

    def __init__(self, count: int = 1) -> None:
        super().__init__()
        self.count = count
        self.width, self.height = count * (_BOX_PT + _GAP_PT) - _GAP_PT, _BOX_PT

    def draw(self) -> None:
        """Draw them; reportlab has put the origin at their foot."""
        self.canv.setLineWidth(0.9)
        for i in range(self.count):
            self.canv.rect(i * (_BOX_PT + _GAP_PT), 0, _BOX_PT, _BOX_PT, stroke=1, fill=0)


def put_loads(sheet: Sheet, plan: Plan) -> None:
    """Put what goes into the hopper, and where on the way it is filled again.

    Parameters
    ----------
    sheet : Sheet
        Where to put it.
    plan : Plan
        A finished plan.
    """
    ways, shared, spots = _refills(plan), together(plan), hand_rows(plan)
    if plan.loads or spots:
        between = "change the setting at each zone" if shared else "empty the hopper between settings"
        sheet.heading(f"Load and set: a box for each pass; {between}")
    told = [  # what is loaded for several zones at once is said below them, pass by pass
        (load, rate, "" if (load.material, load.zone, load.pass_number) in shared else fill)
        for load, rate, fill in told_loads(plan)
    ]
    names = dict.fromkeys([*(load.material for load in plan.loads), *(name for _, name, *_ in spots)])
    for name in names:
        _material(sheet, name, [one for one in told if one[0].material == name], ways)
        _by_hand(
            sheet,
            name,
            [spot for spot in spots if spot[1] == name],
            titled=name in {load.material for load in plan.loads},
        )
    left = [(f"{zone}, pass {number}", words, name) for (name, zone, number), words in ways.items()]
    if left:
        sheet.heading("Fill again on the way")
        rows = [(Boxes(), *row) for row in left]
        sheet.table(("", "Pass", "Load", "Material"), rows, shares=(4, -22, -52, -22), size_pt=9.5)


def _material(sheet: Sheet, name: str, told: list[Told], ways: dict[tuple[str, str, int], str]) -> None:
    """Put one material: its name and each setting, and below that the zones, side by side."""
    groups: dict[tuple[str, int], list[Told]] = {}
    for load, rate, fill in told:
        groups.setdefault((rate, load.pass_count), []).append((load, rate, fill))
    title = name[:1].upper() + name[1:]
    for (rate, count), loads in groups.items():
        _head(sheet, title, f"{rate}, each of {count} passes" if count > 1 else rate)
        title = "The same, but"
        _zones(sheet, loads, ways)
    for key in [key for key in ways if key[0] == name]:
        _side_by_side(sheet, [(1, f"{key[1]}, pass {key[2]}: {ways.pop(key)}", "")])


def hand_rows(plan: Plan) -> tuple[tuple[str, str, str, str], ...]:
    """Return what is spread on spots that no lane is laid for: zone, material, rate and amount.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    """
    units = plan.units
    return tuple(
        (amount.zone, material.name, units.rate(amount.rate_kg_per_m2), units.mass(amount.amount_kg))
        for material in plan.prescription.materials
        for amount in material.by_zone
        if amount.by_hand and amount.amount_kg
    )


def _by_hand(sheet: Sheet, name: str, spots: list[tuple[str, str, str, str]], *, titled: bool) -> None:
    """Put the spots that are done by hand, below the settings of the same material."""
    title = "By hand" if titled else f"{name[:1].upper()}{name[1:]}, by hand"
    for rate in dict.fromkeys(rate for _, _, rate, _ in spots):
        _head(sheet, title, rate)
        _side_by_side(sheet, [(1, zone, amount) for zone, _, each, amount in spots if each == rate])


def _head(sheet: Sheet, title: str, told: str) -> None:
    """Put the name of the material and what to set the spreader for."""
    sheet.keep(40 * sheet.scale)
    named = stringWidth(sheet.clipped(title), sheet.face.bold, BIG_PT * sheet.scale) + 6
    named = min(named, 0.6 * sheet.width_pt)
    cells = [sheet.paragraph(title, BIG_PT, bold=True), sheet.paragraph(told, BIG_PT, alignment=2)]
    line = ("LINEABOVE", (0, 0), (-1, 0), 0.9, black)
    sheet.put(Table([cells], [named, sheet.width_pt - named], style=[*_FLUSH, line]))


def _zones(sheet: Sheet, loads: list[Told], ways: dict[tuple[str, str, int], str]) -> None:
    """Put the zones with one load a pass side by side, and lines for those that are filled on the way."""
    alike: dict[tuple[str, str], list[int]] = {}
    long = []
    for load, _, fill in loads:
        words = ways.pop((load.material, load.zone, load.pass_number), "")
        if words:
            long.append(f"{load.zone}, pass {load.pass_number}: {words}")
        else:
            alike.setdefault((load.zone, fill), []).append(load.pass_number)
    cells: list[tuple[int, str, str]] = []
    for (zone, fill), numbers in alike.items():
        every = len(numbers) == loads[0][0].pass_count
        which = "" if every else f", pass {' and '.join(map(str, numbers))}"
        cells.append((len(numbers) if fill else 0, f"{zone}{which}", fill))
    _side_by_side(sheet, cells)
    for words in long:
        _side_by_side(sheet, [(1, words, "")])


def _side_by_side(sheet: Sheet, cells: list[tuple[int, str, str]]) -> None:
    """Put boxes, zones and loads in as many columns as their words leave room for."""
    if not cells:
        return
    room = max(count for count, _, _ in cells) * (_BOX_PT + _GAP_PT) + 2
    size_pt, face = BIG_PT * sheet.scale, sheet.face
    zone = max(stringWidth(sheet.clipped(words), face.regular, size_pt) for _, words, _ in cells) + 6
    fill = max(stringWidth(words, face.bold, size_pt) for _, _, words in cells) + 12
    columns = max(1, min(_MOST_COLUMNS, len(cells), int(sheet.width_pt // (room + zone + fill))))
    each = sheet.width_pt / max(
        columns, _MOST_COLUMNS if room + zone + fill < sheet.width_pt / 3 else columns
    )
    fill = min(fill, 0.4 * each)
    widths = [room, each - room - fill, fill]
    grid = [
        [part for count, words, load in (*cells[i : i + columns], *[(0, "", "")] * (columns - len(cells[i : i + columns])))
         for part in (Boxes(count), sheet.paragraph(words, BIG_PT), sheet.paragraph(load, BIG_PT, bold=True))]
        for i in range(0, len(cells), columns)
    ]  # fmt: skip
    sheet.put(Table(grid, widths * columns, hAlign="LEFT", style=_FLUSH))


def _refills(plan: Plan) -> dict[tuple[str, str, int], str]:
    """Say by material, zone and pass where on the way the hopper is filled again."""
    found = {}
    for outing in plan.lanes.outings:
        for single in outing.passes:
            places = [
                f"{plan.units.mass(refill.load_kg)} {_where(single, refill.after_leg)}"
                for refill in single.refills
                if refill.load_kg is not None
            ]
            if len(places) > 1 or (places and len(single.zones) > 1):
                found[outing.product, single.zone, single.number] = "; ".join(places)
    return found


def _where(single: Pass, after_leg: int) -> str:
    """Name the place of a filling by the lane or round before it."""
    walked = [leg for leg in single.legs[: after_leg + 1] if leg.kind != "way"]
    if not walked:
        return "to begin with"
    return f"after {'lane' if walked[-1].kind == 'lane' else 'round'} {walked[-1].number}"
