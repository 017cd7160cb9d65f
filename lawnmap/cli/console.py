"""Where words go: results to standard output, everything else to standard error."""

from __future__ import annotations

import json
import sys
from contextlib import contextmanager
from typing import TYPE_CHECKING

from rich.console import Console
from rich.markup import escape

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from lawnmap.yard import Finding


def say(text: str) -> None:
    """Print a sentence to standard error."""
    Console(stderr=True, soft_wrap=True).print(escape(text), highlight=False)


def show_json(values: Mapping[str, object]) -> None:
    """Print a result as JSON on standard output."""
    json.dump(values, sys.stdout, ensure_ascii=False, indent=1, allow_nan=False)
    sys.stdout.write("\n")


def show_findings(findings: Iterable[Finding]) -> None:
    """Print every finding to standard error, what needs the user first."""
    for found in sorted(findings, key=lambda one: (one.severity, one.mended)):
        say(f"{_standing(found)}: {found}")


def _standing(found: Finding) -> str:
    return "note" if found.severity == "note" else "mended" if found.mended else "doubt"


@contextmanager
def busy(words: str) -> Iterator[None]:
    """Show that work is going on, if a person is watching."""
    console = Console(stderr=True)
    if not console.is_terminal:
        yield
        return
    with console.status(words):
        yield
