"""``lawnmap explain``: what a finding means, and how to mend the file."""

from __future__ import annotations

from typing import Annotated

import typer

import lawnmap
from lawnmap.errors import ChoiceError, nearest


def explain(
    code: Annotated[
        str | None, typer.Argument(help="Code of a finding; without one, all are listed.")
    ] = None,
) -> None:
    """Explain a finding by its code, as it stands in brackets behind the sentence.

    Example: lawnmap explain density-default
    """
    known = lawnmap.yard.FINDINGS
    if code is None:
        width = max(map(len, known))
        for name, kind in known.items():
            typer.echo(f"{name:<{width}}  {kind.meaning}")
        return
    if code not in known:
        raise ChoiceError(f'"{code}" is not the code of a finding', mend=nearest(code, known))
    kind = known[code]
    state = (
        "The program has mended it in the result."
        if kind.mended
        else "The program only tells; nothing was changed."
    )
    typer.echo(f"{code}\n\n{kind.meaning}\n{state}\n\nHow to mend it: {kind.mend}")
