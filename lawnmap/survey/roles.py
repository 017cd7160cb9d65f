"""What each shape of a file is: lawn, obstacle, water, landmark or the outline of a lot."""

from __future__ import annotations

from dataclasses import dataclass
from fnmatch import fnmatchcase
from typing import TYPE_CHECKING

from lawnmap.errors import FileError, nearest
from lawnmap.survey.attributes import told_by
from lawnmap.survey.codes import SKIP, role_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lawnmap.survey.features import Sheet
    from lawnmap.survey.notes import Notes


@dataclass(frozen=True, slots=True)
class Part:
    """What a shape is taken for.

    Attributes
    ----------
    role : str
        One of `lawnmap.survey.attributes.ROLES`; empty for what is left out.
    kind : str
        Kind of obstacle or landmark; empty for the others.
    """

    role: str
    kind: str = ""


def roles_by_user(
    sheet: Sheet, means: Sequence[Mapping[str, object]], given: Mapping[str, str]
) -> list[Part | None]:
    """Return what the user says each shape is; None for those that he says nothing of.

    Parameters
    ----------
    sheet : Sheet
        What a door handed over.
    means : sequence of mapping
        What the columns say of each shape.
    given : mapping
        Layer to role, or name of a shape where it is on no layer; ``*`` stands for any letters.

    Raises
    ------
    ChoiceError
        Where the user names a role that there is not.
    FileError
        Where the user names a layer that there is not.
    """
    found: list[Part | None] = [None] * len(means)
    if not given:
        return found
    known = [
        (feature.layer,) if feature.layer else (str(what.get("name", "")), sheet.layer)
        for feature, what in zip(sheet.features, means, strict=True)
    ]
    for pattern, word in given.items():
        role = role_of(word, f"[yard.layers], {pattern}")
        hits = [
            number
            for number, names in enumerate(known)
            if any(fnmatchcase(name.upper(), pattern.upper()) for name in names)
        ]
        if not hits:
            names = sorted({name for names in known for name in names if name})
            raise FileError(f'there is no layer or shape "{pattern}" in it', mend=nearest(pattern, names))
        for number in hits:
            found[number] = Part("") if role == SKIP else Part(*role)
    return found


_ARTICLE = {
    "lawn": "lawn",
    "obstacle": "an obstacle",
    "water": "water",
    "landmark": "a landmark",
    "lot": "a lot",
}


def judge(means: Mapping[str, object], layer: str, dimension: int, number: int, notes: Notes) -> Part:
    """Tell what a shape is, from what its columns say, then from words, then from its form.

    Parameters
    ----------
    means : mapping
        What the columns say, see `lawnmap.survey.attributes.meant`.
    layer : str
        Name of its layer.
    dimension : int
        0 for points, 1 for lines, 2 for ground. [1]
    number : int
        The shape's number, for notes. [count]
    notes : Notes
        Takes every guess.
    """
    stated = _stated(means, number, notes)
    if stated is not None:
        return stated
    fitting = {0: {"landmark"}, 1: {"water", "landmark"}, 2: {"lawn", "obstacle", "water", "lot"}}[dimension]
    for part, why in _guesses(means, layer):
        if part.role in fitting:
            _note(part, why, number, notes)
            return part
    if dimension == 1:
        notes.add("line-left-out", "an open line that nothing explains is left out", [number])
        return Part("")
    part, form = (Part("lawn"), "an outline") if dimension else (Part("landmark", "other"), "a point")
    _note(part, f"since it is {form} and nothing says what it is", number, notes)
    return part


def _stated(means: Mapping[str, object], number: int, notes: Notes) -> Part | None:
    """The role column, its kind made finer by the kind column or, failing that, by the name."""
    word = means.get("role")
    if word is None:
        return None
    told = told_by(str(word))
    if told is None:
        notes.add("role-unknown", f'"{word}" is not a role known here', [number])
        return None
    role, kind = told
    finer = told_by(str(means.get("kind", "")))
    if finer is not None and finer[0] == role:
        return Part(role, finer[1])
    if "kind" in means and role in {"obstacle", "landmark"} and str(means["kind"]).lower() != "other":
        notes.add("kind-unknown", f'"{means["kind"]}" is no kind of {role} known here', [number])
    elif kind == "other" and "kind" not in means:
        named = told_by(str(means.get("name", "")))
        if named is not None and named[0] == role:
            notes.add("kind-guessed", f"taken for a {named[1]} by its name", [number])
            return Part(role, named[1])
    return Part(role, kind)


def _guesses(means: Mapping[str, object], layer: str) -> list[tuple[Part, str]]:
    """Every role that something tells, the surest first."""
    told = [
        (told_by(str(means.get("kind", ""))), "by its kind"),
        (("lawn", "") if {"density", "cover_percent"} & means.keys() else None, "since it has a density"),
        (told_by(str(means.get("name", ""))), "by its name"),
        (told_by(layer), "by the name of its layer"),
    ]
    return [(Part(*entry), why) for entry, why in told if entry is not None]


def _note(part: Part, why: str, number: int, notes: Notes) -> None:
    what = _ARTICLE[part.role] + (f" ({part.kind})" if part.kind not in {"", "other"} else "")
    notes.add("role-guessed", f"taken for {what}, {why}", [number])
