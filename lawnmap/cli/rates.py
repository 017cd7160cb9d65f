"""``lawnmap rates``: every row of the tables, with its source."""

from __future__ import annotations

import json
from typing import Annotated, Any

import typer
from rich.console import Console
from rich.markup import escape

import lawnmap
from lawnmap.cli.options import AsJson
from lawnmap.errors import ChoiceError, nearest


def rates(
    words: Annotated[
        list[str] | None, typer.Argument(help="Show only rows that hold all these words.")
    ] = None,
    *,
    as_json: AsJson = False,
) -> None:
    """Show the figures that amounts are worked out from, every one with its source and grade.

    Example: lawnmap rates tall fescue
    """
    rows = lawnmap.rates.table_rows()
    for word in words or []:
        hits = rows.apply(lambda row, word=word: word.lower() in " ".join(map(str, row)).lower(), axis=1)
        if not hits.any():
            raise ChoiceError(f'no row holds "{word}"', mend=nearest(word, rows["item"].unique()))
        rows = rows[hits]
    if words:  # what is of it goes before what only speaks of it
        named = rows["item"].str.lower().map(lambda item: sum(word.lower() in item for word in words))
        rows = rows.loc[named.sort_values(ascending=False, kind="stable").index]
    if as_json:
        typer.echo(json.dumps(json.loads(rows.to_json(orient="records")), ensure_ascii=False, indent=1))
        return
    console = Console(highlight=False, soft_wrap=True)
    records: list[dict[str, Any]] = json.loads(rows.to_json(orient="records"))
    for row in records:
        console.print(f"[bold]{escape(_join(row, 'item', 'use'))}[/bold]: {escape(_figure(row))}")
        source = f"{_join(row, 'title', 'publisher', 'locator')} [{row['grade']}]"
        note = f"; {row['note']}" if row["note"] else ""
        console.print(f"  [dim]{escape(source + note)}[/dim]")


def _join(row: dict[str, Any], *names: str) -> str:
    return ", ".join(row[name] for name in names if row[name])


def _figure(row: dict[str, Any]) -> str:
    what = row["table"].replace("_", " ")
    if row["low"] is None:
        return f"{row['text']} ({what})"
    span = f"{row['low']:g}" if row["low"] == row["high"] else f"{row['low']:g} to {row['high']:g}"
    return f"{span} {row['unit']} ({what})"
