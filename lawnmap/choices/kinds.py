"""Types of the values in a section: quantities read with their unit, kept in SI."""

from __future__ import annotations

from functools import partial
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, ValidationInfo

from lawnmap.errors import QuantityError
from lawnmap.units import EXAMPLES, describe, parse


def _read(kind: str, value: object, info: ValidationInfo) -> object:
    """Turn a written quantity into SI; a bare number is SI from Python and a fault in a file."""
    if isinstance(value, str):
        return parse(value, kind)
    from_file = bool(info.context and info.context.get("file"))
    if from_file and isinstance(value, int | float) and not isinstance(value, bool):
        raise QuantityError(
            f"{value} has no unit",
            mend=f'write {describe(kind)} with its unit, "{EXAMPLES[kind]}" for instance',
        )
    return value


Length = Annotated[float, BeforeValidator(partial(_read, "length"))]
Area = Annotated[float, BeforeValidator(partial(_read, "area"))]
Volume = Annotated[float, BeforeValidator(partial(_read, "volume"))]
Mass = Annotated[float, BeforeValidator(partial(_read, "mass"))]
Time = Annotated[float, BeforeValidator(partial(_read, "time"))]
Speed = Annotated[float, BeforeValidator(partial(_read, "speed"))]
Flow = Annotated[float, BeforeValidator(partial(_read, "flow"))]
Depth = Annotated[float, BeforeValidator(partial(_read, "depth"))]
Percent = Annotated[float, BeforeValidator(partial(_read, "fraction"))]
MassPerArea = Annotated[float, BeforeValidator(partial(_read, "mass_per_area"))]
CountPerMass = Annotated[float, BeforeValidator(partial(_read, "count_per_mass"))]
BulkDensity = Annotated[float, BeforeValidator(partial(_read, "density"))]
Precipitation = Annotated[float, BeforeValidator(partial(_read, "precipitation"))]


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
