"""The choices of a job file as forms on the page: what each section asks for, and what was typed into it."""

from __future__ import annotations

import re
import tomllib
from typing import TYPE_CHECKING, Any, Final, Literal, get_args, get_origin

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from lawnmap.choices import Section
from lawnmap.choices.kinds import Kind
from lawnmap.drawing.jobfile import Value, section_of, with_values, written
from lawnmap.errors import ChoiceError, FileError, LawnmapError
from lawnmap.job import JOB_FILE, Choices
from lawnmap.rates.species import species_names

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from pydantic.fields import FieldInfo

FIRST: Final = {
    "": ("leave_out",),
    "seed": ("species", "level", "rate", "purity", "germination"),
    "fertilizer": ("grade", "nutrient", "rate"),
    "rig": ("swath", "passes", "hopper", "machine", "speed"),
    "spreader": ("pattern", "throw"),
}
"""The sections on the page, and the keys of each that most jobs need; the others stand behind "More". Of the keys at
the head of the file only this one, since the page asks for the others elsewhere."""

_NUMBER: Final = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)")


class Typed(BaseModel):
    """What the page sends: one section and the texts typed into it."""

    model_config = ConfigDict(extra="forbid")

    section: Literal["", "seed", "fertilizer", "rig", "spreader"]
    values: dict[str, str | bool | list[str]] = Field(max_length=100)


class FieldError(Exception):
    """A value that its section refuses.

    Parameters
    ----------
    key : str
        Which field; empty where the fault is not that of a single one.
    sentence : str
        What the section says.
    """

    def __init__(self, key: str, sentence: str) -> None:
        super().__init__(sentence)
        self.key = key


def describe_forms(text: str) -> list[dict[str, object]]:
    """Return the sections that the page shows.

    Parameters
    ----------
    text : str
        The job file.

    Returns
    -------
    list of dict
        ``section`` and its ``fields``, each with ``key``, ``about``, ``kind`` (text, number, flag, one, many),
        ``options``, ``value`` as the job file has it, ``default``, and whether it is one of the ``first``.
    """
    shown: list[dict[str, object]] = []
    for section, first in FIRST.items():
        held = section_of(text, section)
        fields = [
            {**field, "first": str(field["key"]).partition(".")[0] in first}
            for field in _fields(_model(section), held)
        ]
        shown.append({"section": section, "fields": [field for field in fields if section or field["first"]]})
    return shown


def fill_in(text: str, sent: bytes) -> str:
    """Put what was typed into a section of the job file.

    Parameters
    ----------
    text : str
        The job file as it stands.
    sent : bytes
        JSON of a `Typed`; an empty text takes a value out, so that it is at its default again.

    Returns
    -------
    str
        The job file with these values, and with everything else as it was.

    Raises
    ------
    FieldError
        Where the section refuses a value.
    FileError
        Where it is no such JSON, or the job file is not TOML.
    """
    try:
        typed = Typed.model_validate_json(sent)
    except ValidationError:
        raise FileError("those are no choices", mend="read the page again") from None
    model = _model(typed.section)
    kinds = {field["key"]: field for field in _fields(model, {})}
    values = {key: _value(given, kinds.get(key, {}), key) for key, given in typed.values.items()}
    changed = with_values(text, typed.section, values)
    _check(model, section_of(changed, typed.section), kinds)
    return changed


def _model(section: str) -> type[Section]:
    return type(getattr(Choices(), section or "general"))


def _check(model: type[Section], values: dict[str, object], keys: Iterable[str]) -> None:
    try:
        model.read(values, file=JOB_FILE)
    except ChoiceError as fault:
        places = fault.where.split(", ")
        key = next((key for key in keys if any(f"{place}.".startswith(f"{key}.") for place in places)), "")
        raise FieldError(key, str(LawnmapError(fault.what, mend=fault.mend))) from None


def _fields(model: type[Section], held: dict[str, Any], under: str = "") -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = []
    for name, field in model.model_fields.items():
        key = field.alias or name
        inner = field.annotation
        if isinstance(inner, type) and issubclass(inner, Section):
            part = held.get(key)
            rows += _fields(inner, part if isinstance(part, dict) else {}, f"{key}.")
            continue
        kind, options = _kind(field)
        rows.append(
            {
                "key": f"{under}{key}",
                "about": field.description or "",
                "kind": kind,
                "options": options,
                "suggestions": species_names() if key == "species" else (),
                "value": _shown(held[key], kind) if key in held else None,
                "default": _shown(field.default, kind) if field.default is not None else "",
            }
        )
    return rows


def _kind(field: FieldInfo) -> tuple[str, tuple[str, ...]]:
    """How a value is asked for, and what it can be chosen from."""
    inner = field.annotation
    if inner is bool:
        return "flag", ()
    if get_origin(inner) is Literal:
        return "one", get_args(inner)
    if get_origin(inner) is tuple:
        part = get_args(inner)[0]
        return ("many", get_args(part)) if get_origin(part) is Literal else ("list", ())
    is_quantity = any(isinstance(mark, Kind) for mark in field.metadata)
    if inner in {int, float} and not is_quantity:
        return "number", ()
    return ("free" if inner == float | str else "text"), ()


def _shown(value: object, kind: str) -> str | bool | list[str]:
    """Write a value of the job file as a person types it into its field."""
    if kind == "flag":
        return value is True
    if kind == "many":
        return [str(part) for part in value] if isinstance(value, list | tuple) else [str(value)]
    if isinstance(value, list | tuple):
        if all(isinstance(part, str | int | float) for part in value):
            return ", ".join(str(part) for part in value)
        return written(value)
    if isinstance(value, dict):
        return written(value) if value else ""
    return str(value)


def _value(given: object, field: dict[str, Any], key: str) -> Value | None:
    """Turn what was typed into what stands in the job file; None for nothing."""
    if isinstance(given, bool):
        return given
    if isinstance(given, list):
        return list(given)
    text = str(given).strip()
    if not text:
        return None
    if text[0] in "{[":
        return _toml(text, key)
    reader: Callable[[str], Value] = {"list": _listed, "number": _number, "free": _number}.get(
        field.get("kind", ""), str
    )
    return reader(text)


def _toml(text: str, key: str) -> Value:
    try:
        value: Value = tomllib.loads(f"value = {text}")["value"]
    except (tomllib.TOMLDecodeError, RecursionError, KeyError):
        raise FieldError(
            key,
            'That is not written as in a job file; write { "name" = "90 %", "other" = "10 %" }, for instance.',
        ) from None
    return value


def _listed(text: str) -> list[object]:
    return [_number(part.strip()) for part in text.split(",") if part.strip()]


def _number(text: str) -> Value:
    if not _NUMBER.fullmatch(text):
        return text
    return float(text) if "." in text else int(text)
