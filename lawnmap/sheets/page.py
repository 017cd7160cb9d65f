"""The map page: one file that asks for nothing, with the figures in tables for whoever does not use the map."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Final

import numpy as np

from lawnmap.sheets import assets, figures
from lawnmap.sheets.blocks import put_table, put_words
from lawnmap.sheets.chapters import Chapter, put_chapters
from lawnmap.sheets.contacting import contact_cards, contact_panel
from lawnmap.sheets.contents import Sheet, sheets_for
from lawnmap.sheets.covering import cover_panel
from lawnmap.sheets.elements import Element, markup, plain, put
from lawnmap.sheets.head import put_head
from lawnmap.sheets.logged import log_panel
from lawnmap.sheets.marks import Look, Scene
from lawnmap.sheets.picture import hatch, look_attributes, north_arrow, picture
from lawnmap.sheets.pricing import quote_panel
from lawnmap.sheets.scene import compose
from lawnmap.sheets.spraying import spray_panel
from lawnmap.sheets.spreading import evenness_panel
from lawnmap.sheets.timetable import brief_lines, phase_table, season_table, station_table
from lawnmap.sheets.walk_panel import put_walk_tables, put_walker, walk_data
from lawnmap.sheets.walk_scene import stake_cards
from lawnmap.sheets.webmap import NAME, ZOOMS, Display, Tiles, find_tiles, map_script
from lawnmap.sheets.zonework import with_work

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lawnmap.job import Plan
    from lawnmap.yard import Finding

_ICONS: Final = {
    "fit": "M3 8V3h5M12 3h5v5M17 12v5h-5M8 17H3v-5",
    "tape": "M2 7h16v7H2zM5 7v3M8 7v4M11 7v3M14 7v4",
}


def write_page(plan: Plan, sheets: Sequence[Sheet] | None = None) -> str:
    """Return the text of ``map.html``.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    sheets : sequence of Sheet, optional
        What lies beside it; else what every plan gets.

    Raises
    ------
    ChoiceError
        If the plan asks for imagery that cannot be had.
    """
    scene, display, tiles = compose(plan), Display(plan.yard.plane), find_tiles(plan)
    scripts = (
        assets.leaflet_script(),
        assets.own("before.js") + map_script(scene, display, tiles),
        assets.own_script(),
    )
    root = Element("html", {"lang": "en"})
    images = " ".join(_pictures_from(scene, tiles))
    put_head(put(root, "head"), f"{plan.name}: lawn plan", scripts, assets.style(), images=images)
    body = put(root, "body")
    _body(body, plan, scene, sheets_for(plan) if sheets is None else sheets)
    _data(body, plan, scene, display)
    for script in scripts:
        put(body, "script").text = script  # as it is: its hash is in the head
    return f"<!DOCTYPE html>\n{markup(root)}\n"


def _pictures_from(scene: Scene, tiles: Tiles | None) -> tuple[str, ...]:
    """Where the page may take pictures from: out of itself, and from the hosts that were asked for."""
    own = ("data:",) if any(layer.image for layer in scene.layers) or not tiles else ()
    return (*own, *(tiles.hosts if tiles else ()))


def _body(body: Element, plan: Plan, scene: Scene, sheets: Sequence[Sheet]) -> None:
    put(body, "a", "Skip to the tables", "skip", {"href": "#tables"})
    header = put(body, "header")
    put(header, "p", "Lawn plan", "over")
    put(header, "h1", plan.name, "user")
    if plan.yard.name not in (plan.name, Path(plan.yard.origin.path).stem):
        put(header, "p", plan.yard.name, "user sub")
    main = put(body, "main")
    strip = put(main, "dl", css="tiles")
    for name, value, under in figures.tiles(plan):
        tile = put(strip, "div")
        put(tile, "dt", name, "user")
        put(tile, "dd", value, "value")
        put(tile, "dd", under, "under")
    chart = put(main, "section", css="chart", attributes={"aria-label": "Map"})
    _stage(chart, plan, scene)
    put_walker(chart, plan)
    _legend(chart, scene)
    put_words(main, "Before you start", plan.cautions, "cautions")
    doubts = [_said(finding) for finding in plan.findings if finding.severity == "doubt"]
    put_words(main, "Look at this first", doubts, "doubts")
    put_chapters(main, plan, _CHAPTERS)
    footer = put(body, "footer")
    put(footer, "p", "Made with lawnmap. Beside this file: ")
    links = put(footer, "ul")
    for sheet in sheets:
        item = put(links, "li")
        put(item, "a", sheet.name, attributes={"href": sheet.name}).tail = f" {sheet.about}"


def _stage(chart: Element, plan: Plan, scene: Scene) -> None:
    stage = put(chart, "div", css="stage")
    words = "Interactive map; the tables below hold the same figures"
    put(stage, "div", attributes={"id": NAME, "role": "region", "aria-label": words})
    put(stage, "output", css="tape", attributes={"id": "tape", "hidden": "", "aria-live": "polite"})
    still = put(stage, "div", css="still")
    still.append(picture(scene, plan.units, 760, 720))
    defs = put(stage, "svg", css="defs", attributes={"width": "0", "height": "0", "aria-hidden": "true"})
    hatch(defs, "hatch")
    words = "Up is north" if scene.north_up else "Up is not north"
    size = {"width": "64", "height": "48", "viewBox": "-16 0 64 48", "role": "img", "aria-label": words}
    north_arrow(put(defs, "svg", attributes=size | {"id": "north"}), scene)
    for name, path in _ICONS.items():
        template = put(stage, "template", attributes={"id": f"icon-{name}"})
        icon = put(
            template,
            "svg",
            attributes={"viewBox": "0 0 20 20", "width": "18", "height": "18", "aria-hidden": "true"},
        )
        put(
            icon,
            "path",
            attributes={"d": path, "fill": "none", "stroke": "currentColor", "stroke-width": "1.8"},
        )


def _legend(chart: Element, scene: Scene) -> None:
    box = put(chart, "aside", css="legend", attributes={"aria-label": "Legend and layers"})
    put(box, "h2", "On the map")
    for layer in scene.layers:
        group = put(box, "div", css="group")
        label = put(group, "label")
        state = {"type": "checkbox", "data-switch": layer.id} | ({"checked": ""} if layer.shown else {})
        put(label, "input", attributes=state)
        put(label, "span", layer.title)
        keys = put(group, "ul")
        for look, words in layer.keys:
            item = put(keys, "li")
            _swatch(item, look)
            put(item, "span", words)


def _swatch(item: Element, look: Look) -> None:
    icon = put(
        item, "svg", attributes={"viewBox": "0 0 24 14", "width": "24", "height": "14", "aria-hidden": "true"}
    )
    found = look_attributes(look, "hatch")
    if look.radius_px:
        put(icon, "circle", attributes=found | {"cx": "12", "cy": "7", "r": f"{look.radius_px:g}"})
    elif look.fill:
        put(icon, "rect", attributes=found | {"x": "1", "y": "1", "width": "22", "height": "12", "rx": "2"})
    else:
        put(icon, "path", attributes=found | {"d": "M0 7H24"})


def _tables(main: Element, plan: Plan) -> None:
    tables = put(main, "div", css="tables", attributes={"id": "tables"})
    for table in figures.tables(plan):
        put_table(tables, table)


def _season(main: Element, plan: Plan) -> None:
    found = (season_table(plan), phase_table(plan), station_table(plan))
    for table, css in zip(found, ("season", "water", "water"), strict=True):
        if table:
            put_table(put(main, "div", css=f"tables {css}"), table)


def _said(finding: Finding) -> str:
    return f"{finding.where}: {finding.text}" if finding.where else finding.text


def _prose(main: Element, plan: Plan) -> None:
    grid = put(main, "div", css="prose")
    assumed = [
        f"{default.about or default.key}: {default.value} (section [{default.section}], key {default.key})"
        for default in plan.defaults
    ]
    put_words(
        grid, "What was assumed", assumed, "assumed", "You did not say otherwise; change it in the job file."
    )
    found = [_said(finding) for finding in plan.findings if finding.severity == "note"]
    put_words(grid, "What was found", found, "found", "Mended or supposed on the way.")
    put_words(grid, "Notes", plan.notes, "notes")
    put_words(grid, "Where the rates come from", figures.sources(plan), "sources")
    put_words(grid, "How the areas were measured", (figures.method(plan),), "method")


def _evenly(plan: Plan) -> str:
    return plan.evenness.line().removeprefix("evenness: ") if plan.evenness else ""


def _assumed(plan: Plan) -> str:
    return f"{len(plan.defaults)} choices were not yours" if plan.defaults else ""


_CHAPTERS: Final = (
    Chapter("amounts", "Areas, amounts, loads", (_tables,), unfolded=True),
    Chapter("price", "Price", (quote_panel,), unfolded=True),
    Chapter("walk", "Labour, refills, stakes", (put_walk_tables,)),
    Chapter("evenness", "How evenly it lands", (evenness_panel,), _evenly),
    Chapter("work", "Contact, cover, spray", (contact_panel, cover_panel, spray_panel), unfolded=True),
    Chapter(
        "season", "Season and water", (_season,), lambda plan: " · ".join(brief_lines(plan)), unfolded=True
    ),
    Chapter("log", "What was done", (log_panel,), unfolded=True),
    Chapter("sources", "Assumed, found, sources", (_prose,), _assumed),
)
"""What stands below the map and the cautions, in order; a chapter that has nothing to say is left out."""


def _cards(plan: Plan) -> dict[str, figures.Card]:
    return with_work(figures.cards(plan), plan) | stake_cards(plan) | contact_cards(plan)


def _data(body: Element, plan: Plan, scene: Scene, display: Display) -> None:
    """Put all that the scripts show, as data that no parser takes for markup."""
    west, south, east, north = scene.bounds
    data = {
        "metric": plan.units.name == "metric",
        "layers": [layer.id for layer in scene.layers],
        "bounds": display.latlng(np.array([(west, south), (east, north)])),
        "height_m": north - south,
        "zooms": ZOOMS[scene.north_up],
        "images": [
            {"layer": layer.id, "bounds": display.latlng(np.array(layer.image.bounds).reshape(2, 2))}
            for layer in scene.layers
            if layer.image
        ],
        "metres": display.metres(scene),
        "cards": {key: card.to_dict() for key, card in _cards(plan).items()},
        "labels": [
            {
                "at": display.latlng(np.array([(label.east_m, label.north_m)]))[0],
                "kind": label.kind,
                "layer": label.layer,
                "lines": [plain(line) for line in label.lines],
                "short": label.short,
                "room_m": round(label.room_m, 3),
            }
            for label in scene.labels
        ],
        "lanes": [
            {"layer": lanes.layer, "swath_m": lanes.swath_m, "starts": display.latlng(lanes.starts)}
            for lanes in scene.lane_numbers
        ],
        "walk": walk_data(plan, display),
    }
    block = put(body, "script", attributes={"type": "application/json", "id": "plan"})
    block.text = json.dumps(data, allow_nan=False, separators=(",", ":")).replace("<", "\\u003c")
