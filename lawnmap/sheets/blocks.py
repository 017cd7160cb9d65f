"""Tables and lists of the map page, for every panel alike."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lawnmap.sheets.elements import Element, put

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lawnmap.sheets.figures import Table


def put_table(parent: Element, table: Table) -> None:
    """Put a table with its title and notes.

    Parameters
    ----------
    parent : Element
        Where to put it.
    table : Table
        Its words; a mark on a row makes a button of it that shows the zone on the map.
    """
    section = put(parent, "section")
    sheet = put(section, "table", css="narrow" if len(table.heads) <= 4 else "")
    put(sheet, "caption", table.title)
    heads = put(put(sheet, "thead"), "tr")
    for head in table.heads:
        put(heads, "th", head, "user", {"scope": "col"})
    rows = put(sheet, "tbody")
    for i, row in enumerate(table.rows):
        _row(put(rows, "tr"), table, row, table.marks[i] if table.marks else "")
    if table.total:
        _row(put(put(sheet, "tfoot"), "tr"), table, table.total, "")
    if table.notes:
        notes = put(section, "ul", css="note")
        for note in table.notes:
            put(notes, "li", note, "user")


def _row(line: Element, table: Table, row: tuple[str, ...], zone: str) -> None:
    first = put(line, "th", "" if zone else row[0], "user", {"scope": "row"})
    if zone:
        put(
            first, "button", row[0], "user", {"type": "button", "data-zone": zone, "title": "Show on the map"}
        )
    for head, cell in zip(table.heads[1:], row[1:], strict=True):
        put(line, "td", cell, "user" if cell else "user empty", {"data-label": head})


def put_words(parent: Element, title: str, lines: Sequence[str], css: str, lead: str = "") -> None:
    """Put a list with a title, or nothing if it is empty.

    Parameters
    ----------
    parent : Element
        Where to put it.
    title, lead : str
        Above it.
    lines : sequence of str
        One line each; the user's words may be in them.
    css : str
        Class of the section.
    """
    if not lines:
        return
    section = put(parent, "section", css=css)
    put(section, "h2", title)
    if lead:
        put(section, "p", lead, "lead")
    items = put(section, "ul")
    for line in lines:
        put(items, "li", line, "user")
