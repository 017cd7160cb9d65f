"""``lawnmap rates``: every row of the tables, with its source."""

from __future__ import annotations

import json
from typing import Annotated

import typer
from rich.console import Console
from rich.table import Table

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
    if as_json:
        typer.echo(json.dumps(json.loads(rows.to_json(orient="records")), ensure_ascii=False, indent=1))
        return
    table = Table(show_lines=False, header_style="bold", box=None, pad_edge=False)
    for name in rows.columns:
        table.add_column(str(name), overflow="fold")
    for row in rows.itertuples(index=False):
        table.add_row(*("" if value != value or value is None else str(value) for value in row))  # noqa: PLR0124  NaN
    Console().print(table)
