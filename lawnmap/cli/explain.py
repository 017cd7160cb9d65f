"""``lawnmap explain``: what a finding means, and how to mend the file."""

from __future__ import annotations

from typing import Annotated, Final

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
            typer.echo(f"{name:<{width}}  {kind.severity:<5}  {kind.meaning}")
        return
    if code not in known:
        raise ChoiceError(f'"{code}" is not the code of a finding', mend=nearest(code, known))
    kind = known[code]
    typer.echo(
        f"{code}\n\n{kind.meaning}\n{_MENDED[kind.mended]} {_SEVERITY[kind.severity]}\n\n"
        f"For example: {kind.example}\nHow to mend it: {kind.mend}"
    )


_MENDED: Final = {
    True: "The program has mended it in the result.",
    False: "The program only tells; nothing was changed.",
}
_SEVERITY: Final = {
    "note": "It is a note: --strict lets it pass.",
    "doubt": "It is a doubt: --strict refuses it.",
}
