"""The index map: every yard on one page, a click away from its figures; one file that asks for nothing."""

from __future__ import annotations

import json
from contextlib import contextmanager
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Final

import numpy as np
import shapely

from lawnmap.batch.model import PLANNED, REFUSED
from lawnmap.batch.store import replacing
from lawnmap.batch.tables import FILES
from lawnmap.batch.workbook import WORKBOOK, packs_words
from lawnmap.sheets import assets
from lawnmap.sheets.blocks import put_table, put_words
from lawnmap.sheets.elements import Element, markup, plain, put
from lawnmap.sheets.figures import Table
from lawnmap.sheets.head import put_head
from lawnmap.sheets.palette import DENSITY
from lawnmap.units import duration, write
from lawnmap.yard import DENSITIES

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    import pyarrow as pa

    from lawnmap.batch.totals import Totals
    from lawnmap.units import UnitSystem

TOWN: Final = "index.html"

MOST_SHOWN: Final = 10_000
"""More yards than these are in the files beside the page and not on it: a browser has to hold them all. [count]"""

MOST_DRAWN: Final = 2_000
"""More yards than these are shown as points. [count]"""

_SIMPLER_DEG: Final = 2e-6
_DECIMALS: Final = 7
_REMARKS: Final = 4


class _Town:
    """What the page shows, gathered task by task."""

    def __init__(self, totals: Totals, units: UnitSystem) -> None:
        self.units = units
        self.totals = totals
        self.drawn = totals.yards <= MOST_DRAWN
        self.data: list[dict[str, Any]] = []
        self.rows: list[tuple[str, ...]] = []
        self.missing: list[tuple[str, ...]] = []

    def add(self, table: pa.Table, rows: list[dict[str, Any]]) -> None:
        """Take the yards of a task, as long as there is room."""
        _ = table
        for row in rows:
            if row["status"] != PLANNED and len(self.missing) < MOST_SHOWN:
                self.missing.append((row["yard"], row["reason"]))
            if row["status"] != REFUSED and len(self.data) < MOST_SHOWN:
                self.data.append(self._shown(row))
                self.rows.append(self._line(row))

    def _shown(self, row: dict[str, Any]) -> dict[str, Any]:
        shown: dict[str, Any] = {"name": plain(row["yard"]), "card": self._card(row)}
        if row["latitude_deg"] is not None:
            shown["at"] = [round(row["latitude_deg"], _DECIMALS), round(row["longitude_deg"], _DECIMALS)]
        if self.drawn:
            shown["zones"] = [
                [zone["density"], _rings(zone["ground"])]
                for zone in row["zones"]
                if zone["ground"] is not None
            ]
        if row["folder"]:
            shown["link"] = f"{row['folder']}/map.html"
        remarks = [plain(text) for text in row["findings"] or ()]
        shown["remarks"] = remarks[:_REMARKS] + (
            [f"and {len(remarks) - _REMARKS} more"] if len(remarks) > _REMARKS else []
        )
        return shown

    def _card(self, row: dict[str, Any]) -> list[tuple[str, str]]:
        units = self.units
        card = [("Net lawn", f"{units.area(row['net_area_m2'])} {units.area_error(row['net_area_se_m2'])}")]
        card += [
            (density.capitalize(), units.area(row[f"{density}_area_m2"]))
            for density in DENSITIES
            if row[f"{density}_area_m2"]
        ]
        amounts: dict[str, float] = {}
        for given in row["given"] or ():
            amounts[given["material"]] = amounts.get(given["material"], 0.0) + given["amount_kg"]
        card += [(plain(material), units.mass(amount)) for material, amount in amounts.items()]
        if row["lanes"] is not None:
            card.append(("Lanes", f"{row['lanes']}, {units.length(row['path_length_m'])} to walk"))
            card.append(("Time", duration(row["walk_time_s"] + row["refill_time_s"])))
        if row["quote_total"] is not None:
            card.append(("Quote", f"{row['quote_total']} {row['currency']}"))
        if row["interior_cv"] is not None:
            card.append(("Evenness", f"CV {write(row['interior_cv'], '%', 2)}"))
        return card

    def _line(self, row: dict[str, Any]) -> tuple[str, ...]:
        units = self.units
        walked = row["lanes"] is not None
        return (
            row["yard"],
            units.area(row["net_area_m2"]),
            ", ".join(density for density in DENSITIES if row[f"{density}_area_m2"]),
            str(row["lanes"]) if walked else "",
            units.length(row["path_length_m"]) if walked else "",
            duration(row["walk_time_s"] + row["refill_time_s"]) if walked else "",
        )

    def page(self, title: str) -> str:
        """Return the text of the page."""
        scripts = (assets.leaflet_script(), _own("town.js"))
        style = f"{assets.style()}\n{_own('town.css')}"
        root = Element("html", {"lang": "en"})
        put_head(put(root, "head"), f"{title}: portfolio of lawns", scripts, style)
        body = put(root, "body")
        self._body(body, title)
        data = {
            "metric": self.units.name == "metric",
            "colours": DENSITY,
            "yards": self.data,
        }
        block = put(body, "script", attributes={"type": "application/json", "id": "town"})
        block.text = json.dumps(data, allow_nan=False, separators=(",", ":")).replace("<", "\\u003c")
        for script in scripts:
            put(body, "script").text = script  # as it is: its hash is in the head
        return f"<!DOCTYPE html>\n{markup(root)}\n"

    def _body(self, body: Element, title: str) -> None:
        put(body, "a", "Skip to the tables", "skip", {"href": "#tables"})
        header = put(body, "header")
        put(header, "p", "Portfolio of lawns", "over")
        put(header, "h1", title, "user")
        main = put(body, "main")
        strip = put(main, "dl", css="tiles")
        for name, value, under in self._tiles():
            tile = put(strip, "div")
            put(tile, "dt", name, "user")
            put(tile, "dd", value, "value")
            put(tile, "dd", under, "under")
        self._chart(main)
        tables = put(main, "div", css="tables", attributes={"id": "tables"})
        put_table(tables, self._purchases())
        if self.missing:
            put_table(tables, Table("Not planned", ("Yard", "Why"), tuple(self.missing)))
        if self.rows:
            put_table(tables, self._yards())
        put_words(main, "Before you start", _CAUTIONS, "cautions")
        footer = put(body, "footer")
        put(footer, "p", "Made with lawnmap. Beside this file: ")
        links = put(footer, "ul")
        for name, about in ((WORKBOOK, "totals, purchase and every yard as a workbook"), *FILES.items()):
            put(put(links, "li"), "a", name, attributes={"href": name}).tail = f" {about}"

    def _tiles(self) -> list[tuple[str, str, str]]:
        totals, units = self.totals, self.units
        under = [f"{totals.refused:,} not planned"] if totals.refused else []
        under += [f"{totals.no_lawn:,} without lawn"] if totals.no_lawn else []
        found = [
            ("Yards planned", f"{totals.planned:,}", " · ".join(under) or "all of them"),
            ("Lawn to treat", units.land(totals.net_area_m2), units.area(totals.net_area_m2)),
        ]
        for purchase in totals.purchases.values():
            packs = packs_words(purchase, units)
            name = purchase.material[:1].upper() + purchase.material[1:]
            found.append((name, units.mass(purchase.amount_kg), f"buy {packs}" if packs else purchase.kind))
        if totals.walk_time_s:
            hours = duration(totals.crew_time_s)
            found.append(("Crew time on the lawns", hours, f"{units.length(totals.path_length_m)} to walk"))
        found += [
            ("All quotes", f"{total:,} {currency}", "taxes included")
            for currency, total in totals.quoted.items()
        ]
        return found

    def _chart(self, main: Element) -> None:
        chart = put(main, "section", css="chart town", attributes={"aria-label": "Map"})
        stage = put(chart, "div", css="stage")
        words = "Interactive map of the yards; the tables below hold the same figures"
        put(stage, "div", attributes={"id": "map_lawn", "role": "region", "aria-label": words})
        box = put(chart, "aside", css="legend", attributes={"aria-label": "Legend"})
        put(box, "h2", "On the map")
        keys = put(put(box, "div", css="group"), "ul")
        if self.drawn:
            for density, colour in DENSITY.items():
                item = put(keys, "li")
                icon = put(
                    item,
                    "svg",
                    attributes={"viewBox": "0 0 24 14", "width": "24", "height": "14", "aria-hidden": "true"},
                )
                look = {
                    "x": "1",
                    "y": "1",
                    "width": "22",
                    "height": "12",
                    "rx": "2",
                    "fill": colour,
                    "stroke": "#37423c",
                }
                put(icon, "rect", attributes=look)
                put(item, "span", density)
        else:
            put(put(keys, "li"), "span", "One point for each yard")
        put(box, "p", "Choose a yard on the map or in the table to see its figures.", "note")
        nowhere = sum("at" not in shown for shown in self.data)
        if nowhere:
            put(
                box, "p", f"{nowhere:,} yards have no place on the earth and stand in the table only.", "note"
            )

    def _purchases(self) -> Table:
        units = self.units
        priced = any(one.cost is not None for one in self.totals.purchases.values())
        rows = tuple(
            (
                one.material,
                f"{one.yards:,}",
                units.area(one.area_m2),
                units.mass(one.amount_kg),
                packs_words(one, units),
                *(("" if one.cost is None else f"{one.cost:,.2f}",) if priced else ()),
            )
            for one in self.totals.purchases.values()
        )
        heads = (
            "Material",
            "Yards",
            "Area",
            "Amount",
            "Buy once for all yards",
            *(("Cost",) if priced else ()),
        )
        notes = (
            ("Packs hold the allowance of the job file on top of the amount.",)
            if rows
            else ("Nothing is put down.",)
        )
        return Table("What to buy", heads, rows, notes=notes)

    def _yards(self) -> Table:
        more = self.totals.planned + self.totals.no_lawn - len(self.rows)
        notes = (f"{more:,} more yards are in the files beside this page.",) if more else ()
        heads = ("Yard", "Net lawn", "Density", "Lanes", "Walk", "Time")
        marks = tuple(str(number) for number in range(len(self.rows)))
        return Table("Yards", heads, tuple(self.rows), notes=notes, marks=marks)


_CAUTIONS: Final = (
    "The label of each product is the law: where it differs from these plans, follow the label.",
    "Local rules on fertilizer, dates and distance to water, and licensed practice, come before these plans.",
    "Areas here are for planning work and are no land survey. Each yard's own findings stand with it: read them.",
)


def _rings(ground: bytes) -> list[list[list[list[float]]]]:
    """Polygons as lists of rings of [latitude, longitude], a hand's breadth simpler than they are."""
    shape = shapely.simplify(shapely.from_wkb(ground), _SIMPLER_DEG)
    return [
        [_latlng(ring) for ring in (part.exterior, *part.interiors)]
        for part in shapely.get_parts(shape)
        if not part.is_empty
    ]


def _latlng(ring: Any) -> list[list[float]]:
    found: list[list[float]] = np.asarray(ring.coords)[:, 1::-1].round(_DECIMALS).tolist()
    return found


def _own(name: str) -> str:
    return (files("lawnmap.batch") / name).read_text("utf-8").replace("\r\n", "\n")


@contextmanager
def town_page(path: Path, totals: Totals, units: UnitSystem, title: str) -> Iterator[_Town]:
    """Write the index map; it takes its place when all went well.

    Parameters
    ----------
    path : Path
        The file.
    totals : Totals
        Sums over all yards.
    units : UnitSystem
        What to write figures in.
    title : str
        What the portfolio is called.

    Raises
    ------
    OutputError
        Where it cannot be written.
    """
    with replacing(path) as draft:
        town = _Town(totals, units)
        yield town
        draft.write_bytes(town.page(title).encode("utf-8", "backslashreplace"))
