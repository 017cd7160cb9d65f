"""What the options on the command line say of a yard file that the file does not say of itself."""

from __future__ import annotations

import inspect
from dataclasses import dataclass, fields, replace
from functools import wraps
from typing import TYPE_CHECKING

import lawnmap
from lawnmap.cli import options
from lawnmap.errors import ChoiceError

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from lawnmap.job import Choices
    from lawnmap.survey import Source


@dataclass(frozen=True)
class Typed:
    """Options of `takes_source`, as typed; None for those that were not.

    Attributes
    ----------
    crs, local_units, layer, yard : str or None
        As in the ``[yard]`` section of a job file.
    role : list of str or None
        ``LAYER=KIND``.
    accuracy, gap, point_order : str or None
        The keys ``vertex_accuracy``, ``gap`` and ``point_order``.
    scale_factor : float or None
        Combined factor. [1]
    balance : bool or None
        Whether to balance a deed.
    """

    crs: options.Crs = None
    local_units: options.LocalUnits = None
    layer: options.Layer = None
    yard: options.YardName = None
    role: options.Role = None
    accuracy: options.Accuracy = None
    gap: options.Gap = None
    point_order: options.PointOrder = None
    scale_factor: options.ScaleFactor = None
    balance: options.Balance = None

    def given(self) -> dict[str, object]:
        """Return what was typed by the keys of ``[yard]``.

        Raises
        ------
        ChoiceError
            Where a role is not ``LAYER=KIND``.
        """
        typed = {one.name: getattr(self, one.name) for one in fields(self)}
        roles = [entry.rpartition("=") for entry in typed.pop("role") or ()]
        for layer, sign, kind in roles:
            if not sign or not layer.strip():
                raise ChoiceError(
                    f'"{layer}{sign}{kind}" gives no layer a role', mend="write --role TURF=lawn"
                )
        typed["layers"] = {layer.strip(): kind.strip() for layer, _, kind in roles} or None
        typed["vertex_accuracy"] = typed.pop("accuracy")
        return {key: value for key, value in typed.items() if value is not None}

    def source(self) -> Source:
        """Return the ``[yard]`` section that was typed."""
        return lawnmap.survey.Source().changed(self.given())


def takes_source(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command the options of `Typed`; its argument ``typed`` receives them.

    Parameters
    ----------
    command : callable
        A function with an argument ``typed``.
    """
    own = inspect.signature(command, eval_str=True)
    ours = inspect.signature(Typed, eval_str=True).parameters
    kept = [one for name, one in own.parameters.items() if name != "typed"]
    split = next((i for i, one in enumerate(kept) if one.kind is one.KEYWORD_ONLY), len(kept))
    parameters = [
        *kept[:split],
        *(one.replace(kind=one.POSITIONAL_OR_KEYWORD) for one in ours.values()),
        *kept[split:],
    ]

    @wraps(command)
    def taking(**values: object) -> None:
        typed = Typed(**{name: values.pop(name) for name in ours})  # type: ignore[arg-type]  # typer has checked them
        command(typed=typed, **values)

    taking.__signature__ = own.replace(parameters=parameters)  # type: ignore[attr-defined]  # typer reads options there
    taking.__annotations__ = {one.name: one.annotation for one in parameters}
    return taking


def with_options(choices: Choices, typed: Typed, units: str | None = None) -> Choices:
    """Return the choices with the options that were typed put in their place.

    Parameters
    ----------
    choices : Choices
        Those of the job file, or the defaults.
    typed : Typed
        What was typed of the yard file.
    units : str, optional
        Units of the results.

    Raises
    ------
    ChoiceError
        Where one is not possible.
    """
    general = choices.general
    if units is not None:
        kept = {name: getattr(general, name) for name in general.model_fields_set}
        general = lawnmap.job.General(**{**kept, "units": units})
    return replace(choices, source=choices.source.changed(typed.given()), general=general)


def choices_of(job: Path) -> Choices:
    """Return the choices of a job, or the defaults for a yard file on its own.

    Parameters
    ----------
    job : Path
        As typed.
    """
    if job.is_dir() or job.suffix.lower() == ".toml":
        return lawnmap.job.read_choices(job)
    return lawnmap.job.Choices()


def beside(job: Path, name: str) -> Path:
    """Return where a single file about a job goes, if the user does not say: beside the job file or the yard.

    Parameters
    ----------
    job : Path
        As typed.
    name : str
        Of the file.
    """
    if job.is_dir():
        return job / name
    return job.with_name(name if job.suffix.lower() == ".toml" else f"{job.stem}_{name}")
