"""One thing that was really done: an ``[[entry]]`` of the log."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, ClassVar, Final, Literal, Self

from pydantic import BeforeValidator, model_validator

from lawnmap.choices import Area, Percent, Section, choice
from lawnmap.errors import ChoiceError, QuantityError
from lawnmap.rates.dose import Amount, Strength
from lawnmap.rates.fertilizer import read_grade
from lawnmap.units import convert, figure, parse

if TYPE_CHECKING:
    from lawnmap.units import UnitSystem

Measure = Literal["mass", "volume", "bales"]
What = Literal["put down", "bought", "stand", "note"]

_BALES: Final = re.compile(r"\s*(\d+(?:\.\d+)?)\s+bales?\s*", re.IGNORECASE)
_KEYS: Final = {"mass": ("kg", 1.0), "volume": ("l", 1000.0), "bales": ("bales", 1.0)}


@dataclass(frozen=True)
class Quantity:
    """So much of a material, as it is bought and used.

    Attributes
    ----------
    value : float
        How much. [kg, m³ or count]
    measure : str
        ``"mass"``, ``"volume"`` or ``"bales"``.
    """

    value: float
    measure: Measure

    def write(self, units: UnitSystem, kind: str = "") -> str:
        """Write it in the units that its kind of material is bought in.

        Parameters
        ----------
        units : UnitSystem
            What to write it in.
        kind : str
            ``"topdressing"`` and ``"spray"`` have units of their own.
        """
        if self.measure == "bales":
            return f"{figure(self.value)} bales"
        if kind == "topdressing" and self.measure == "volume":
            return units.bulk(self.value)
        if kind == "spray" or self.measure == "volume":
            return Amount(self.value, self.measure).write(units)
        return units.mass(self.value)

    def write_rate(self, units: UnitSystem, kind: str = "") -> str:
        """Write it as a rate, where its value is per square metre.

        Parameters
        ----------
        units : UnitSystem
            What to write it in.
        kind : str
            ``"topdressing"`` is a depth.
        """
        if self.measure == "bales":
            area, name = (92.90304, "1000 sq ft") if units.name == "us" else (100.0, "100 m²")
            return f"{figure(self.value * area)} bales / {name}"
        if kind == "topdressing" and self.measure == "volume":
            return f"{units.depth(self.value)} deep"
        if kind == "spray" or self.measure == "volume":
            return Amount(self.value, self.measure).write_rate(units)
        return units.rate(self.value)

    def to_dict(self, name: str) -> dict[str, float]:
        """Return it as one key with its unit: ``used_kg``, ``used_l`` or ``used_bales``.

        Parameters
        ----------
        name : str
            What the figure is.
        """
        unit, factor = _KEYS[self.measure]
        return {f"{name}_{unit}": self.value * factor}


def read_quantity(text: str) -> Quantity:
    """Read so much of a material: a weight, a volume or bales.

    Parameters
    ----------
    text : str
        ``"11 lb"``, ``"3 fl oz"``, ``"1.5 cu yd"``, ``"4 bales"``; a bare ounce is a weight.

    Raises
    ------
    QuantityError
        For anything else.

    Examples
    --------
    >>> read_quantity("4 bales"), read_quantity("2 kg")
    (Quantity(value=4.0, measure='bales'), Quantity(value=2.0, measure='mass'))
    """
    bales = _BALES.fullmatch(text)
    if bales:
        return Quantity(float(bales[1]), "bales")
    try:
        return Quantity(parse(text, "mass"), "mass")
    except QuantityError as fault:
        try:
            return Quantity(parse(text, "volume"), "volume")
        except QuantityError:
            raise QuantityError(
                fault.what, mend='write a weight, a volume or bales: "11 lb", "3 fl oz", "4 bales"'
            ) from None


def write_count(count_per_m2: float, what: str, units: UnitSystem) -> str:
    """Write how many plants or seeds stand on a small square.

    Parameters
    ----------
    count_per_m2 : float
        How many. [1/m²]
    what : str
        What was counted.
    units : UnitSystem
        What to write it in.
    """
    if units.name == "us":
        return f"{figure(convert(count_per_m2, 'plants/sq in'), 2)} {what} / sq in"
    return f"{figure(count_per_m2, 2)} {what} / m²"


def _amount(value: object) -> object:
    if isinstance(value, int | float):
        raise QuantityError(f"{value} has no unit", mend='write a weight, a volume or bales, "11 lb"')
    if not isinstance(value, str):
        return value
    quantity = read_quantity(value)
    if quantity.value <= 0:
        raise QuantityError(f'"{value}" is not possible', mend="it must be more than 0")
    return quantity


def _day(value: object) -> object:
    if isinstance(value, str):
        try:
            return dt.date.fromisoformat(value)
        except ValueError:
            raise QuantityError(
                f'"{value}" is not a date', mend="write year, month and day, 2026-09-12"
            ) from None
    if type(value) is not dt.date:
        raise QuantityError(f"{value} is not a date", mend="write year, month and day, 2026-09-12")
    return value


def _plants(value: object) -> object:
    if isinstance(value, int | float):
        raise QuantityError(f"{value} has no unit", mend='write what was counted, "8 plants/sq in"')
    return parse(value, "count_per_area") if isinstance(value, str) else value


def _zones(value: object) -> object:
    return (value,) if isinstance(value, str) else value


class Entry(Section):
    """One ``[[entry]]`` of a log. What is not given is not known; nothing is filled in."""

    section: ClassVar[str] = "entry"

    day: Annotated[dt.date, BeforeValidator(_day)] = choice("date", ..., "The day it was done, 2026-09-12.")
    time: str = choice("time", "", "When on that day, as you like to write it.", max_length=40)
    what: What = choice(
        "what",
        "put down",
        "'put down', 'bought', 'stand' (a count or a cover after emergence) or 'note'.",
    )
    material: str = choice("material", "", "Its name as in the plan.", max_length=100)
    zones: Annotated[tuple[str, ...], BeforeValidator(_zones)] = choice(
        "zones", (), "Where; all zones that the plan gives it to, if left out."
    )
    amount: Annotated[Quantity | None, BeforeValidator(_amount)] = choice(
        "amount", None, 'What was used or bought: "11 lb", "3 fl oz", "1.5 cu yd", "4 bales".'
    )
    area_m2: Area | None = choice("area", None, "Ground that was done, if not the whole of it.", gt=0)
    passes: int | None = choice(
        "passes", None, "How many of the planned passes were made, if not all.", ge=1, le=20
    )
    setting: float | None = choice("setting", None, "Number on the gate of the spreader.", gt=0, le=1000)
    grade: str | None = choice("grade", None, 'N-P2O5-K2O of a fertilizer that the plan lacks, "18-24-12".')
    active_ingredient: str = choice(
        "active_ingredient", "", "Of a spray that the job file lacks.", max_length=100
    )
    strength: Strength | None = choice("strength", None, 'Of that spray, "4 lb / gal" or "75 %".')
    weather: str = choice("weather", "", "Wind, sun, rain, temperature.", max_length=300)
    cover: Percent | None = choice("cover", None, 'Ground covered by grass, "70 %".', ge=0, le=1)
    plants_per_m2: Annotated[float | None, BeforeValidator(_plants)] = choice(
        "plants", None, 'Plants counted on a small square, "8 plants/sq in".', ge=0
    )
    photos: tuple[str, ...] = choice("photos", (), "Names of photo files.")
    by: str = choice("by", "", "Who did it.", max_length=100)
    note: str = choice("note", "", "Anything else.", max_length=2000)

    @model_validator(mode="after")
    def _check(self) -> Self:
        needs = {"put down": ("material", "amount"), "bought": ("material", "amount"), "note": ("note",)}
        for key in needs.get(self.what, ()):
            if not getattr(self, key):
                raise ChoiceError(f'the key "{key}" is missing', mend="add it")
        if self.what == "stand" and self.cover is None and self.plants_per_m2 is None:
            raise ChoiceError("neither cover nor plants is given", mend='add cover = "70 %" or a count')
        if self.grade is not None:
            read_grade(self.grade)
        return self
