"""Findings while a file is read: noted shape by shape, told once per yard."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, Final

from lawnmap.yard import Finding, finding

if TYPE_CHECKING:
    from collections.abc import Iterable

WHOLE_FILE: Final = -1
"""In place of a shape's number: the note is about the file."""

_NAMED_PLACES = 3


class Notes:
    """What is found while reading.

    Parameters
    ----------
    places : list of str
        The place of every shape, by its number.
    """

    def __init__(self, places: list[str]) -> None:
        self._places = places
        self._by_shape: dict[int, list[tuple[str, str]]] = defaultdict(list)

    def add(self, code: str, text: str, shapes: Iterable[int]) -> None:
        """Note the same thing about some shapes.

        Parameters
        ----------
        code : str
            A key of `lawnmap.yard.FINDINGS`.
        text : str
            One plain sentence that fits each of the shapes.
        shapes : iterable of int
            Their numbers; `WHOLE_FILE` for the file.
        """
        for shape in shapes:
            self._by_shape[int(shape)].append((code, text))

    def told(self, shapes: Iterable[int]) -> tuple[Finding, ...]:
        """Return the findings about some shapes, those with one text gathered into one."""
        gathered: dict[tuple[str, str], list[int]] = defaultdict(list)
        for shape in shapes:
            for note in self._by_shape.get(int(shape), ()):
                gathered[note].append(int(shape))
        return tuple(finding(code, text, self._where(found)) for (code, text), found in gathered.items())

    def _where(self, shapes: list[int]) -> str:
        places = [self._places[shape] for shape in dict.fromkeys(shapes) if shape != WHOLE_FILE]
        more = len(places) - _NAMED_PLACES
        named = ", ".join(places[:_NAMED_PLACES])
        return f"{named} and {more} more" if more > 0 else named
