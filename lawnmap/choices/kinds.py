"""Types of the values in a section: quantities read with their unit, kept in SI."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, ValidationInfo

from lawnmap.errors import QuantityError
from lawnmap.units import EXAMPLES, describe, parse, write


@dataclass(frozen=True)
class Kind:
    """Marks a number as a quantity that is written with its unit.

    Attributes
    ----------
    name : str
        What it measures, a key of `lawnmap.units.KINDS`.
    """

    name: str

    def read(self, value: object, info: ValidationInfo) -> object:
        """Turn a written quantity into SI; a bare number is SI from Python and a fault in a file.

        Parameters
        ----------
        value : object
            What was given.
        info : ValidationInfo
            Whether it comes from a file.
        """
        if isinstance(value, str):
            return parse(value, self.name)
        from_file = bool(info.context and info.context.get("file"))
        if isinstance(value, bool) or (from_file and isinstance(value, int | float)):
            raise QuantityError(
                f"{str(value).lower() if isinstance(value, bool) else value} has no unit",
                mend=f'write {describe(self.name)} with its unit, "{EXAMPLES[self.name]}" for instance',
            )
        return value

    def write(self, value: float) -> str:
        """Write an SI value as a person would, in the unit of the kind's example. [SI]"""
        unit = re.sub(r"^[\d./]+ ", "", EXAMPLES[self.name])
        return write(value, unit.replace("/1 ", "/"))


def _kind(name: str) -> tuple[BeforeValidator, Kind]:
    kind = Kind(name)
    return BeforeValidator(kind.read), kind


Length = Annotated[float, *_kind("length")]
Area = Annotated[float, *_kind("area")]
Volume = Annotated[float, *_kind("volume")]
Mass = Annotated[float, *_kind("mass")]
Time = Annotated[float, *_kind("time")]
Speed = Annotated[float, *_kind("speed")]
Flow = Annotated[float, *_kind("flow")]
AreaPerTime = Annotated[float, *_kind("area_per_time")]
Depth = Annotated[float, *_kind("depth")]
Percent = Annotated[float, *_kind("fraction")]
MassPerArea = Annotated[float, *_kind("mass_per_area")]
CountPerMass = Annotated[float, *_kind("count_per_mass")]
BulkDensity = Annotated[float, *_kind("density")]
Precipitation = Annotated[float, *_kind("precipitation")]


def choice(key: str, default: Any, about: str, **limits: Any) -> Any:
    """Declare one value of a section.

    Parameters
    ----------
    key : str
        How the value is named in a job file: ``"swath"`` for the field ``swath_m``.
    default : object
        The default as a person writes it (``"6 ft"``), or ``...`` where there is none.
    about : str
        One line that says what the value is; it is the comment in a new job file.
    **limits
        Bounds in SI as pydantic's ``Field`` takes them: ``gt``, ``ge``, ``lt``, ``le``.
    """
    return Field(
        default,
        alias=key,
        description=about,
        validate_default=True,
        json_schema_extra={"written": default if default is not ... else None},
        **limits,
    )
