"""A commented job-file section, written from the model that reads it."""

from __future__ import annotations

import json
import re
from textwrap import wrap
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lawnmap.choices.section import Section

_BARE: Final = re.compile(r"[A-Za-z0-9_-]+")


def template(model: type[Section], given: Mapping[str, object] | None = None) -> str:
    """Write one section of a job file, every key with a comment.

    Parameters
    ----------
    model : type of Section
        The choices of one room.
    given : mapping, optional
        Values by key, written instead of the defaults.

    Returns
    -------
    str
        TOML text. A key without a default and without a given value is written as a comment.
    """
    lines = [f"[{model.section}]"]
    given = given or {}
    for name, field in model.model_fields.items():
        key = field.alias or name
        lines += wrap(field.description or "", 96, initial_indent="# ", subsequent_indent="# ")
        value = given.get(key, None if field.is_required() else field.default)
        if value is None or value == ():
            lines.append(f"# {key} =")
        else:
            lines.append(f"{key} = {_toml(value)}")
    return "\n".join(lines) + "\n"


def _toml(value: object) -> str:
    """Write a value in TOML; JSON's strings, numbers, booleans and lists are TOML's as well."""
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{_key(key)} = {_toml(part)}" for key, part in value.items()) + " }"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_toml(part) for part in value) + "]"
    return json.dumps(value, ensure_ascii=False)


def _key(name: str) -> str:
    """Quote a key that is not one bare word: the name of a grass, say."""
    return name if _BARE.fullmatch(name) else json.dumps(name, ensure_ascii=False)
