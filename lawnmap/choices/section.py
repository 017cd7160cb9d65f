"""A section of a job file as a frozen, validated object."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar, Final, Self

from pydantic import BaseModel, ConfigDict, ValidationError
from pydantic_core import ErrorDetails

from lawnmap.choices.kinds import Kind
from lawnmap.errors import ChoiceError, LawnmapError, nearest

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from pydantic._internal._model_construction import ModelMetaclass
else:
    ModelMetaclass = type(BaseModel)


@dataclass(frozen=True)
class Default:
    """A value that the user did not give.

    Attributes
    ----------
    section, key : str
        Where it would stand in a job file.
    value : str
        The default, as a person writes it.
    about : str
        What it is.
    """

    section: str
    key: str
    value: str
    about: str

    def to_dict(self) -> dict[str, str]:
        """Return the four attributes as a mapping."""
        return {"section": self.section, "key": self.key, "value": self.value, "about": self.about}


class _PlainFaults(ModelMetaclass):
    """Words the faults of ``Rig(swath_m=-1)`` as those of a job file are worded."""

    if not TYPE_CHECKING:  # hidden, so that the type checker sees the fields as arguments

        def __call__(cls, **values: object) -> Section:  # noqa: N805  a metaclass has classes for selves
            try:
                return super().__call__(**values)
            except ValidationError as fault:
                raise _translate(fault, cls, values, "") from None


class Section(BaseModel, metaclass=_PlainFaults):
    """Base of every room's choices.

    A room declares its values with `choice`; each field is in SI and ends in its unit, each key of
    the job file is written with its unit by a person. Objects are frozen.
    """

    model_config = ConfigDict(
        frozen=True, extra="forbid", populate_by_name=True, allow_inf_nan=False, defer_build=True
    )
    section: ClassVar[str] = ""

    @classmethod
    def read(cls, values: Mapping[str, Any], *, file: str) -> Self:
        """Read the section from a job file.

        Parameters
        ----------
        values : mapping
            The section as the TOML reader returned it.
        file : str
            Name of the job file, for messages. Bare numbers are refused where a unit is needed.

        Raises
        ------
        ChoiceError
            At the first unknown key, missing unit or impossible value.
        """
        keys = {field.alias or name for name, field in cls.model_fields.items()}
        for key in values:
            if key in cls.model_fields and key not in keys:  # names of fields are for Python only
                place = ", ".join(
                    part for part in (file, f"[{cls.section}]" if cls.section else "", key) if part
                )
                raise ChoiceError(f'there is no key "{key}" here', where=place, mend=nearest(key, keys))
        try:
            return cls.model_validate(dict(values), context={"file": file})
        except ValidationError as fault:
            raise _translate(fault, cls, values, file) from None

    def defaults(self) -> tuple[Default, ...]:
        """Return every value that the user did not give."""
        rows = []
        for name, field in type(self).model_fields.items():
            if name in self.model_fields_set or field.default in (None, (), {}):
                continue
            rows.append(
                Default(self.section, field.alias or name, _plain(field.default), field.description or "")
            )
        return tuple(rows)


def _plain(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return ", ".join(f"{key} = {_plain(part)}" for key, part in value.items())
    if isinstance(value, list | tuple):
        return ", ".join(_plain(part) for part in value)
    return str(value)


def _translate(
    fault: ValidationError, model: type[BaseModel], values: Mapping[str, object], file: str
) -> ChoiceError:
    faults: dict[object, ErrorDetails] = {}
    # a misspelt key is told before the key that it leaves missing
    for one in sorted(fault.errors(include_url=False), key=lambda one: one["type"] != "extra_forbidden"):
        # a value that may be of two kinds fails once for each
        place = one["loc"][:1]
        if place not in faults or one["type"] == "literal_error":
            faults[place] = one
    what, key, mend = _word(next(iter(faults.values())), model, values)
    more = len(faults) - 1
    if more:
        what += f" ({more} more fault{'s' if more > 1 else ''} in this section)"
    section = getattr(model, "section", "")
    places = [file, f"[{section}]" if section else "", key]
    return ChoiceError(what, where=", ".join(place for place in places if place), mend=mend)


_TAGS: Final = {"float", "int", "str", "bool"}

_BOUNDS: Final = {
    "greater_than": ("gt", "more than"),
    "greater_than_equal": ("ge", "at least"),
    "less_than": ("lt", "less than"),
    "less_than_equal": ("le", "at most"),
}


def _word(fault: ErrorDetails, model: type[BaseModel], values: Mapping[str, object]) -> tuple[str, str, str]:
    """One pydantic fault in plain words: what, at which key, how to mend it."""
    kind, context = fault["type"], fault.get("ctx", {})
    path = tuple(part for part in fault["loc"] if not _is_tag(part))
    key = ".".join(str(part) for part in path)
    given = _given(values, path, fault["input"])
    what, mend = f"{given!r} does not fit ({fault['msg'].lower()})", "correct the value"
    if kind == "extra_forbidden":
        known = [field.alias or name for name, field in _owner(model, path[:-1]).model_fields.items()]
        what, mend = f'there is no key "{path[-1]}" here', nearest(str(path[-1]), known)
    elif kind == "missing":
        what, key, mend = f'the key "{key}" is missing', "", "add it"
    elif kind in _BOUNDS:
        name, words = _BOUNDS[kind]
        what, mend = f"{given!r} is not possible", f"it must be {words} {_bound(context[name], model, path)}"
    elif kind == "literal_error":
        known = [word.strip(" '") for word in str(context["expected"]).replace(" or ", ", ").split(",")]
        what, mend = f"{given!r} is not known", nearest(str(given), known)
    elif kind in {"value_error", "assertion_error"}:
        inner = context["error"]
        what, mend = str(inner), ""
        if isinstance(inner, LawnmapError):
            what, mend = inner.what, inner.mend
            key = ", ".join(part for part in (key, inner.where) if part)
    return what, key, mend


def _given(values: object, path: tuple[str | int, ...], otherwise: object) -> object:
    """What the user wrote at a place, before it was turned into SI."""
    for part in path:
        try:
            values = values[part]  # type: ignore[index]  # whatever the TOML reader returned
        except (LookupError, TypeError):
            return otherwise
    return values


def _is_tag(part: str | int) -> bool:
    """Whether a part of a location names a kind of value and not a key: ``float`` or ``literal['best']``."""
    return isinstance(part, str) and (
        part in _TAGS or part.startswith(("literal[", "list[", "tuple[", "function-"))
    )


def _bound(limit: float, model: type[BaseModel], path: tuple[str | int, ...]) -> str:
    """Write a limit with its unit, where the value has one."""
    for name, field in _owner(model, path[:-1]).model_fields.items():
        if path and path[-1] in {name, field.alias}:
            kind = _kind_in(field.metadata) or _kind_in([field.annotation])
            return kind.write(limit) if kind else f"{limit:g}"
    return f"{limit:g}"


def _kind_in(marks: Iterable[object]) -> Kind | None:
    for mark in marks:
        if isinstance(mark, Kind):
            return mark
        inner = _kind_in((*getattr(mark, "__args__", ()), *getattr(mark, "__metadata__", ())))
        if inner is not None:
            return inner
    return None


def _owner(model: type[BaseModel], path: tuple[str | int, ...]) -> type[BaseModel]:
    """The model that a nested location belongs to."""
    for part in path:
        for name, field in model.model_fields.items():
            if part in {name, field.alias}:
                inner = _model_in(field.annotation)
                if inner is not None:
                    model = inner
    return model


def _model_in(annotation: object) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for part in getattr(annotation, "__args__", ()):
        found = _model_in(part)
        if found is not None:
            return found
    return None
