"""Quantities typed as options: read with their unit, a fault named by the option."""

from __future__ import annotations

import lawnmap
from lawnmap.errors import InputError


def quantity(text: str, kind: str, where: str) -> float:
    """Read a quantity into SI.

    Parameters
    ----------
    text : str
        As typed.
    kind : str
        What it measures, a key of `lawnmap.units.KINDS`.
    where : str
        The option, for messages.

    Raises
    ------
    InputError
        For what is no such quantity.
    """
    try:
        return lawnmap.units.parse(text, kind)
    except InputError as fault:
        raise fault.at(where) from None


def quantity_if(text: str | None, kind: str, where: str) -> float | None:
    """Read a quantity into SI; none where the option was left out.

    Parameters
    ----------
    text : str or None
        As typed.
    kind : str
        What it measures.
    where : str
        The option, for messages.
    """
    return None if text is None else quantity(text, kind, where)


def quantities(text: str | None, kind: str, where: str) -> tuple[float, ...]:
    """Read several quantities with a comma between them; none where the option was left out.

    Parameters
    ----------
    text : str or None
        As typed.
    kind : str
        What they measure.
    where : str
        The option, for messages.
    """
    return tuple(quantity(part.strip(), kind, where) for part in text.split(",")) if text is not None else ()
