"""The tree of things that can go wrong, and how each is worded.

::

    LawnmapError                   one sentence: where, what, how to mend it
    ├── InputError (ValueError)    what was given cannot be used
    │   ├── FileError              a file is missing, unreadable or not what it says it is
    │   ├── ShapeError             an outline is not a piece of ground
    │   ├── QuantityError          a number without a unit, or with one of the wrong kind
    │   ├── ChoiceError            a section, key or value of a job file
    │   └── FindingsError          a finding, where the user asked for none (``--strict``)
    └── OutputError (OSError)      the result cannot be written where it was asked for

Every message is built by one constructor, so that every room words its faults alike.
"""

from __future__ import annotations

from difflib import get_close_matches
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable


class LawnmapError(Exception):
    """Something that the user can mend.

    Parameters
    ----------
    what : str
        What is wrong, as a clause without a final stop: ``"the layer is empty"``.
    where : str
        The place: file, feature, line, section and key, as far as they are known.
    mend : str
        What to do about it, as a clause without a final stop.
    """

    def __init__(self, what: str, *, where: str = "", mend: str = "") -> None:
        self.what = what
        self.where = where
        self.mend = mend
        sentence = f"{where}: {what}" if where else what
        whole = f"{sentence}; {mend}" if mend else sentence
        super().__init__(whole if whole.endswith((".", "?")) else f"{whole}.")

    def at(self, where: str) -> LawnmapError:
        """Return the same fault with a place put in front of the one it has."""
        place = f"{where}, {self.where}" if self.where else where
        return type(self)(self.what, where=place, mend=self.mend)


class InputError(LawnmapError, ValueError):
    """What was given cannot be used."""


class FileError(InputError):
    """A file is missing, unreadable or not what it says it is."""


class ShapeError(InputError):
    """An outline is not a piece of ground."""


class QuantityError(InputError):
    """A number without a unit, or with one of the wrong kind."""


class ChoiceError(InputError):
    """A section, key or value of a job file."""


class FindingsError(InputError):
    """A finding, where the user asked for none."""


class OutputError(LawnmapError, OSError):
    """The result cannot be written where it was asked for."""

    def __str__(self) -> str:  # OSError would print its arguments as a tuple
        return str(self.args[0])


def nearest(word: str, known: Iterable[str], listed: Iterable[str] | None = None) -> str:
    """Return a clause that names the nearest right spelling, or lists them all.

    Parameters
    ----------
    word : str
        What the user wrote.
    known : iterable of str
        The spellings that would have been right.
    listed : iterable of str, optional
        What to list where none is near, if that is not all of `known`.

    Examples
    --------
    >>> nearest("swaht", ["swath", "hopper"])
    'did you mean "swath"?'
    >>> nearest("zzz", ["swath", "hopper"])
    'use one of: hopper, swath'
    """
    names = sorted(set(known))
    close = get_close_matches(word.lower(), names, n=1, cutoff=0.6)
    if close:
        return f'did you mean "{close[0]}"?'
    return f"use one of: {', '.join(names if listed is None else sorted(set(listed)))}"
