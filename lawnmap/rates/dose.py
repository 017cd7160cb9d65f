"""What a label says goes on an area: a volume or a weight, of product or of active ingredient."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Annotated, Final, Literal

from pydantic import BeforeValidator

from lawnmap.errors import QuantityError
from lawnmap.units import ACRE_M2, convert, figure, parse

if TYPE_CHECKING:
    from collections.abc import Callable

    from lawnmap.units import UnitSystem

Measure = Literal["volume", "mass"]

_EXAMPLE: Final = 'write it as on the label, "4 fl oz / acre" or "0.5 lb / acre" for instance'

_STEPS: Final[dict[str, dict[str, tuple[tuple[str, str], ...]]]] = {
    "us": {"volume": (("gal", "gal"), ("fl oz", "fl oz")), "mass": (("lb", "lb"), ("oz", "oz (weight)"))},
    "metric": {"volume": (("L", "L"), ("mL", "mL")), "mass": (("kg", "kg"), ("g", "g"))},
}


@dataclass(frozen=True)
class Amount:
    """So much of a product, or so much of it per area.

    Attributes
    ----------
    value : float
        A volume, a weight, or either per area. [m³, kg, m³/m² or kg/m²]
    measure : str
        ``"volume"`` or ``"mass"``.
    """

    value: float
    measure: Measure

    def times(self, factor: float) -> Amount:
        """Return a multiple of it.

        Parameters
        ----------
        factor : float
            What to multiply by; an area turns a dose into an amount. [1 or m²]
        """
        return Amount(self.value * factor, self.measure)

    def write(self, units: UnitSystem) -> str:
        """Write an amount in the larger unit from 1 up, else in the smaller; ounces of weight say so.

        Less than an ounce is given in mL or g as well, as syringes and small scales have them.
        """
        written = self._written(units, self.value, "")
        ounce, fine = {"volume": ("fl oz", "mL"), "mass": ("oz", "g")}[self.measure]
        if units.name == "us" and 0 < convert(self.value, ounce) < 1:
            written += f" ({figure(convert(self.value, fine))} {fine})"
        return written

    def write_rate(self, units: UnitSystem, *, like: Amount | None = None) -> str:
        """Write a dose per area: per 1000 sq ft or per 100 m²; per acre or hectare where that is under one unit.

        Parameters
        ----------
        units : UnitSystem
            What to write it in.
        like : Amount, optional
            A dose whose area this one is to be written with, so that the two can be compared at sight.
        """
        area, name = (92.90304, "1000 sq ft") if units.name == "us" else (100.0, "100 m²")
        guide = like or self
        if convert(guide.value * area, _STEPS[units.name][guide.measure][1][0]) < 1:
            area, name = (float(ACRE_M2), "acre") if units.name == "us" else (10_000.0, "ha")
        return self._written(units, self.value * area, f" / {name}")

    def _written(self, units: UnitSystem, value: float, per: str) -> str:
        large, small = _STEPS[units.name][self.measure]
        unit, name = large if convert(value, large[0]) >= 1 else small
        return f"{figure(convert(value, unit))} {name}{per}"

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {"value": self.value, "measure": self.measure}


def read_dose(text: str) -> Amount:
    """Read a volume or a weight per area, as a label prints it.

    Parameters
    ----------
    text : str
        ``"4 fl oz / acre"``, ``"0.25 lb / acre"``, ``"300 mL / ha"``.

    Raises
    ------
    QuantityError
        For anything else; a bare ounce is an ounce of weight.

    Examples
    --------
    >>> read_dose("128 fl oz / acre").measure, read_dose("1 oz / 1000 sq ft").measure
    ('volume', 'mass')
    """
    try:
        return Amount(parse(text, "mass_per_area"), "mass")
    except QuantityError:
        pass
    dose = parse(text, "depth")
    if _is_length(text):
        raise QuantityError(f'"{text}" is a length, not an amount per area', mend=_EXAMPLE)
    return Amount(dose, "volume")


def _is_length(text: str) -> bool:
    try:
        parse(text, "length")
    except QuantityError:
        return False
    return True


def read_strength(text: str) -> Amount:
    """Read how much active ingredient a product holds: per volume of a liquid, or percent of a dry one.

    Parameters
    ----------
    text : str
        ``"4 lb / gal"``, ``"480 g / L"`` or ``"75 %"``.

    Returns
    -------
    Amount
        Active ingredient per unit of product; its measure is the product's. [kg/m³ or 1]

    Examples
    --------
    >>> read_strength("75 %")
    Amount(value=0.75, measure='mass')
    """
    if "%" in text or "percent" in text.lower():
        return Amount(parse(text, "fraction"), "mass")
    return Amount(parse(text, "density"), "volume")


def _reader(read: Callable[[str], Amount], value: object) -> object:
    if isinstance(value, int | float):
        raise QuantityError(f"{value} has no unit", mend=_EXAMPLE)
    if not isinstance(value, str):
        return value
    amount = read(value)
    if amount.value <= 0:
        raise QuantityError(f'"{value}" is not possible', mend="it must be more than 0")
    return amount


Dose = Annotated[Amount, BeforeValidator(partial(_reader, read_dose))]
Strength = Annotated[Amount, BeforeValidator(partial(_reader, read_strength))]
