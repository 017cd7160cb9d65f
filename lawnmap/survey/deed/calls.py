"""The text of a deed taken apart into tracts and calls."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Final

from lawnmap.errors import LawnmapError, QuantityError, ShapeError
from lawnmap.survey.deed.curves import Curve
from lawnmap.survey.deed.words import DISTANCE, azimuth, degrees, distance_m

_HEADING: Final = re.compile(r"^\s*\[(?P<role>[^\]]*)\]\s*(?P<name>.*?)\s*$")
_COMMENT: Final = re.compile(r"^\s*(?:#|//)")
_START: Final = re.compile(
    r"\bN(?:orthing)?\s*[:=]?\s*(-?\d[\d,]{0,14}\.?\d*)[\s,;']*(?:ft|feet|m)?[\s,;]*E(?:asting)?\s*[:=]?\s*(-?\d[\d,]{0,14}\.?\d*)",
    re.IGNORECASE,
)
_BEGINNING: Final = re.compile(r"\b(?:true\s+)?(?:point|place)\s+of\s+beginning\b", re.IGNORECASE)
_COMMENCING: Final = re.compile(r"\bcommenc", re.IGNORECASE)
_CURVE: Final = re.compile(r"\b(?:curve|arc\s+of\s+a|arc\s+to)\b", re.IGNORECASE)
_LONGEST: Final = 200_000


@dataclass(frozen=True)
class Call:
    """One course.

    Attributes
    ----------
    text : str
        The call as written.
    line : int
        Line of the file it begins in. [count]
    azimuth_deg : float or None
        Direction of a straight course. [°]
    length_m : float
        Length of a straight course. [m]
    curve : Curve or None
        A curve instead.
    unit : str
        Unit that its distance is written in.
    """

    text: str
    line: int
    azimuth_deg: float | None = None
    length_m: float = 0.0
    curve: Curve | None = None
    unit: str = ""


@dataclass
class Tract:
    """Calls around one piece of ground.

    Attributes
    ----------
    role, name : str
        From a heading ``[role] name``, ``[lawn thin] Front`` for instance; empty without one.
    start : tuple of float or None
        Beginning, [east, north] as written. [unit of the deed]
    tie, calls : list of Call
        From the point of commencement to the beginning, and around the ground.
    line : int
        Line of the file it begins in. [count]
    """

    role: str = ""
    name: str = ""
    start: tuple[float, float] | None = None
    tie: list[Call] = field(default_factory=list)
    calls: list[Call] = field(default_factory=list)
    line: int = 1


def read_calls(text: str, foot: str, unit: str | None = None) -> list[Tract]:
    """Take the text of a deed apart.

    Parameters
    ----------
    text : str
        Calls that begin with "thence", or stand on lines of their own, or end in semicolons. A line
        ``[role] name`` begins a further tract; ``#`` begins a remark.
    foot : str
        ``"ft"`` or ``"us_survey_ft"``: what the deed means by a foot.
    unit : str, optional
        Unit of distances that name none.

    Raises
    ------
    LawnmapError
        At the first call that cannot be read, with its line.
    """
    if len(text) > _LONGEST:
        raise QuantityError("it is too long to be a deed", mend="give the description of one property")
    tracts = [Tract()]
    commencing = False
    for line, chunk in _chunks(text):
        heading = _HEADING.match(chunk)
        if heading is not None:
            tracts.append(Tract(heading["role"].strip(), heading["name"], line=line))
            commencing = False
            continue
        tract = tracts[-1]
        try:
            call = _call(chunk, line, foot, unit)
        except LawnmapError as fault:
            raise fault.at(f"line {line}") from None
        commencing = commencing or (not tract.calls and bool(_COMMENCING.search(chunk)))
        if call is None:
            _read_start(chunk, tract)
            continue
        tract.calls.append(call)
        if commencing and _BEGINNING.search(chunk):
            tract.tie, tract.calls, commencing = tract.calls, [], False
    found = [tract for tract in tracts if tract.calls]
    if not found:
        raise ShapeError("there are no calls in it", mend='write them like "thence N 12-30-00 E 100.00 feet"')
    return found


def _chunks(text: str) -> list[tuple[int, str]]:
    """Cut the text at semicolons, at "thence", and at line ends that a call does not run across."""
    lines = ["" if _COMMENT.match(line) else line for line in text.splitlines()]
    flowing = any(re.search(r"\bthence\b", line, re.IGNORECASE) for line in lines)
    chunks: list[tuple[int, list[str]]] = []
    before = ""
    for number, line in enumerate(lines, 1):
        if _HEADING.match(line):
            chunks.append((number, [line]))
            before = ""
            continue
        parts = re.split(r";|\bthence\b", line, flags=re.IGNORECASE)
        # A line that neither follows a full stop nor a semicolon goes on with the call before it.
        runs_on = flowing and bool(before) and bool(chunks) and not before.endswith((";", "."))
        for i, part in enumerate(parts):
            if i == 0 and runs_on:
                chunks[-1][1].append(part)
            elif part.strip():
                chunks.append((number, [part]))
        before = line.rstrip() or before
    # Single blanks between words: long runs of them would take the patterns an age to try.
    return [(number, " ".join(" ".join(parts).split())) for number, parts in chunks]


def _read_start(chunk: str, tract: Tract) -> None:
    found = _START.search(chunk)
    if found is not None and tract.start is None:
        north, east = (float(part.replace(",", "")) for part in found.groups())
        tract.start = (east, north)


def _call(chunk: str, line: int, foot: str, unit: str | None) -> Call | None:
    """Read one call; None for words that are none."""
    if _CURVE.search(chunk):
        return Call(
            " ".join(chunk.split()), line, curve=_curve(chunk, foot, unit), unit=_unit_in(chunk, foot, unit)
        )
    if _START.search(chunk):
        return None
    found = azimuth(chunk)
    if found is None:
        if DISTANCE.search(chunk) and re.search(r"\d", chunk) and not _BEGINNING.search(chunk):
            raise QuantityError(f'"{_short(chunk)}" has a distance but no bearing', mend="add the bearing")
        return None
    direction, rest = found
    length = distance_m(rest, foot, unit=unit) or distance_m(chunk[: len(chunk) - len(rest)], foot)
    if length is None:
        if not re.search(r"\d", chunk):
            return None  # "the north line of Lot 3" and the likes
        raise QuantityError(
            f'"{_short(chunk)}" has a bearing but no distance with a unit',
            mend='write it like "N 12-30-00 E 100.00 feet", or give --local-units',
        )
    if not 0 < length[0] < 1e6:
        raise QuantityError(f'"{_short(chunk)}" has no possible distance', mend="correct it")
    return Call(" ".join(chunk.split()), line, direction, length[0], unit=length[1])


def _unit_in(chunk: str, foot: str, unit: str | None) -> str:
    found = distance_m(chunk, foot)
    return found[1] if found else unit or ""


def _curve(chunk: str, foot: str, unit: str | None) -> Curve:
    sides = {word.lower() for word in re.findall(r"\b(left|right)\b", chunk, re.IGNORECASE)}
    if len(sides) != 1:
        raise ShapeError(
            f'"{_short(chunk)}" does not say whether the curve turns left or right',
            mend='write "along a curve to the left"',
        )
    chord_at = re.search(r"\bchord\b", chunk, re.IGNORECASE)
    chord_text = chunk[chord_at.end() :] if chord_at else ""
    arc_text = chunk[: chord_at.start()] if chord_at else chunk
    bears = azimuth(chord_text) if chord_text else None
    delta = _after(r"delta|central\s+angle|Δ", arc_text + (chord_text if bears is None else bears[1]))
    return Curve(
        left=sides == {"left"},
        radius=_length_after(r"radius", chunk, foot, unit),
        delta_deg=degrees(delta) if delta else None,
        arc=_length_after(
            r"arc\s+(?:length|distance)|arc(?!\s+(?:of\s+a|to)\b)|length(?:\s+of\s+arc)?",
            arc_text,
            foot,
            unit,
        ),
        chord=_chord(chord_text, bears, foot, unit),
        chord_azimuth_deg=bears[0] if bears else None,
    )


def _after(word: str, text: str) -> str | None:
    """The text that follows a word, up to the next comma, from its first digit."""
    found = re.search(rf"(?:{word})[^\d;,]*(\d[^,;]*)", text, re.IGNORECASE)
    return found[1] if found else None


def _length_after(word: str, text: str, foot: str, unit: str | None) -> float | None:
    said = _after(word, text)
    if said is None:
        return None
    found = distance_m(said, foot, unit=unit)
    if found is None:
        raise QuantityError(f'"{_short(said)}" has no unit', mend='write it like "200.00 feet"')
    return found[0]


def _chord(text: str, bears: tuple[float, str] | None, foot: str, unit: str | None) -> float | None:
    if not text:
        return None
    rest = re.split(r"(?i)\b(?:delta|central|radius|arc|length of arc)\b", bears[1] if bears else text)[0]
    found = distance_m(rest, foot, unit=unit)
    if found is None and bears is not None:
        found = distance_m(text[: len(text) - len(bears[1])], foot)
    return found[0] if found else None


def _short(text: str) -> str:
    plain = " ".join(text.split())
    return plain if len(plain) <= 60 else plain[:59] + "…"
