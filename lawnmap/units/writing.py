"""How a person writes a quantity: ``"8 lb / 1000 sq ft"`` in, the SI value out, and back."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from math import isfinite

from lawnmap.errors import QuantityError, nearest
from lawnmap.units.measures import EXAMPLES, KINDS, UNITS

_TOKEN = re.compile(
    r"\s*(?:"
    r"(?P<number>[+-]?(?:\d+\s+\d+/\d+|\d+/\d+|(?:\d{1,3}(?:,\d{3})+|\d+)(?:\.\d*)?(?:[eE][+-]?\d{1,3})?|\.\d+))"
    r"|(?P<word>[A-Za-z%'\"′″’”_²³.]+(?:\^?[23](?!\d))?)"
    r"|(?P<per>/))",
    re.ASCII,
)
_LONGEST = 120
_WEEK = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


@dataclass(frozen=True)
class _Side:
    """One side of the stroke: an SI value and the base kind it measures."""

    value: Fraction
    measures: str


def parse(text: str, kind: str) -> float:
    r"""Read a quantity as a person writes it.

    Parameters
    ----------
    text : str
        Numbers with units: ``"6 ft"``, ``"5 ft 6 in"``, ``"1/4 in"``, ``"7 lb / 1000 sq ft"``,
        ``"2.5 kg per 100 m2"``. Thousands may be grouped by commas; the decimal mark is a point.
    kind : str
        What the quantity must measure, a key of `lawnmap.units.KINDS`.

    Returns
    -------
    float
        The value in SI. [m, m², m³, kg, s and their quotients]

    Raises
    ------
    QuantityError
        Without a unit, with an unknown one, or with one of another kind.

    Examples
    --------
    >>> parse("6 ft", "length")
    1.8288
    >>> parse("5' 6\"", "length")
    1.6764
    >>> round(parse("8 lb / 1000 sq ft", "mass_per_area"), 6)
    0.039059
    """
    above, below = _sides(text, kind)
    allowed = KINDS[kind]
    found = (above.measures, below.measures if below else None)
    if found not in allowed:
        said = " per ".join(part for part in found if part)
        raise QuantityError(
            f'"{text}" is a quantity of {said.replace("mass", "weight")}, not of {describe(kind)}',
            mend=f'write it like "{EXAMPLES[kind]}"',
        )
    return float(above.value / below.value) if below else float(above.value)


def describe(kind: str) -> str:
    """Return a kind in plain words: ``mass_per_area`` becomes ``weight per area``."""
    return kind.replace("_", " ").replace("mass", "weight").replace("density", "weight per volume")


def _sides(text: str, kind: str) -> tuple[_Side, _Side | None]:
    tokens = _tokens(text, kind)
    strokes = [i for i, (what, _) in enumerate(tokens) if what == "per"]
    if len(strokes) > 1:
        raise QuantityError(f'"{text}" has more than one stroke', mend=f'write it like "{EXAMPLES[kind]}"')
    if not strokes:
        return _sum(tokens, text, kind), None
    above, below = tokens[: strokes[0]], tokens[strokes[0] + 1 :]
    if below and below[0][0] == "word":
        below = [("number", "1"), *below]
    under = _sum(below, text, kind)
    if under.value <= 0:
        raise QuantityError(f'"{text}" divides by nothing', mend=f'write it like "{EXAMPLES[kind]}"')
    return _sum(above, text, kind), under


def _tokens(text: str, kind: str) -> list[tuple[str, str]]:
    if len(text) > _LONGEST:
        raise QuantityError(
            f'"{text[:40]}…" is too long to be a quantity', mend=f'write it like "{EXAMPLES[kind]}"'
        )
    tokens: list[tuple[str, str]] = []
    place = 0
    while place < len(text.rstrip()):
        match = _TOKEN.match(text, place)
        if match is None or match.lastgroup is None:
            raise QuantityError(
                f'"{text}" cannot be read as {describe(kind)}', mend=f'write it like "{EXAMPLES[kind]}"'
            )
        what, word = match.lastgroup, match.group(match.lastgroup)
        tokens.append(("per", "/") if word.lower() == "per" else (what, word))
        place = match.end()
    return tokens


def _sum(tokens: list[tuple[str, str]], text: str, kind: str) -> _Side:
    """Add up ``5 ft 6 in``: every number needs a unit, all units of one base kind."""
    total, measures, place = Fraction(0), "", 0
    while place < len(tokens):
        what, word = tokens[place]
        if what != "number" or (place and word[0] in "+-"):
            raise QuantityError(
                f'"{text}" has no number before "{word}"', mend=f'write it like "{EXAMPLES[kind]}"'
            )
        end = place + 1
        while end < len(tokens) and tokens[end][0] == "word":
            end += 1
        spelling = "_".join(word.lower().strip(".") for _, word in tokens[place + 1 : end])
        if not spelling:
            raise QuantityError(f'"{text}" has no unit', mend=f'write it like "{EXAMPLES[kind]}"')
        unit = UNITS.get(spelling)
        if unit is None:
            known = {
                key: unit for key, unit in UNITS.items() if any(unit.measures in pair for pair in KINDS[kind])
            }
            raise QuantityError(
                f'"{spelling.replace("_", " ")}" in "{text}" is not a unit known here',
                mend=nearest(
                    spelling.replace("_", " "),
                    [key.replace("_", " ") for key in known],
                    [unit.name for unit in known.values()],
                ),
            )
        if measures and unit.measures != measures:
            raise QuantityError(
                f'"{text}" adds {measures} to {unit.measures}', mend=f'write it like "{EXAMPLES[kind]}"'
            )
        measures = unit.measures
        total += (-1 if total < 0 else 1) * _number(word, text) * unit.si
        place = end
    if not tokens:
        raise QuantityError(f'"{text}" has no number', mend=f'write it like "{EXAMPLES[kind]}"')
    return _Side(total, measures)


def _number(word: str, text: str) -> Fraction:
    """Read a number, mixed fractions included, exactly."""
    whole, _, part = word.replace(",", "").rpartition(" ")
    try:
        value = Fraction(part)
        if whole:
            base = Fraction(whole)
            value = base - value if base < 0 else base + value
    except ZeroDivisionError:
        raise QuantityError(f'"{text}" divides by nothing', mend="mend the fraction") from None
    if abs(value) > 10**15:
        raise QuantityError(f'"{text}" is out of all measure', mend="check the number")
    return value


def convert(value: float, unit: str) -> float:
    """Return an SI value in another unit.

    Parameters
    ----------
    value : float
        The value. [SI unit of the kind that `unit` measures]
    unit : str
        ``"sq ft"``, or a quotient such as ``"lb / 1000 sq ft"``.

    Examples
    --------
    >>> round(convert(4046.8564224, "sq ft"), 6)
    43560.0
    """
    return value / _size(unit)


def _size(unit: str) -> float:
    above, stroke, below = unit.partition("/")
    top = UNITS[above.strip().lower().replace(" ", "_")].si
    if not stroke:
        return float(top)
    number, _, name = below.strip().partition(" ")
    if not number.isdigit():
        number, name = "1", below.strip()
    return float(top / (int(number) * UNITS[name.strip().lower().replace(" ", "_")].si))


def write(value: float, unit: str, digits: int = 3) -> str:
    """Write an SI value in a unit, to a number of significant digits, never in powers of ten.

    Parameters
    ----------
    value : float
        The value. [SI unit of the kind that `unit` measures]
    unit : str
        The unit to write it in; see `convert`.
    digits : int
        Significant digits; whole numbers keep all of theirs. [count]

    Examples
    --------
    >>> write(1.8288, "ft")
    '6 ft'
    >>> write(0.0390594, "lb / 1000 sq ft")
    '8 lb / 1000 sq ft'
    >>> write(2250.0, "sq ft")
    '24,219 sq ft'
    """
    number = figure(convert(value, unit), digits)
    return f"{number} {unit}"


def figure(number: float, digits: int = 3) -> str:
    """Write a bare number to significant digits, thousands grouped, no trailing zeros.

    Parameters
    ----------
    number : float
        Any number. [1]
    digits : int
        Significant digits; whole numbers keep all of theirs. [count]

    Examples
    --------
    >>> figure(24219.4), figure(0.01234), figure(6.0)
    ('24,219', '0.0123', '6')
    """
    if number == 0 or not isfinite(number):
        return f"{number:.0f}".lstrip("-")
    places = max(0, digits - 1 - _exponent(number))
    text = f"{number:,.{min(places, 12)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _exponent(number: float) -> int:
    return int(f"{abs(number):e}".partition("e")[2])


def write_day(day: date) -> str:
    """Write a day as it is said, whatever the language of the machine.

    Parameters
    ----------
    day : date
        Any day.

    Examples
    --------
    >>> write_day(date(2026, 9, 8))
    'Tue 8 Sep 2026'
    """
    return f"{_WEEK[day.weekday()]} {day.day} {_MONTHS[day.month - 1]} {day.year}"
