"""What the options on the command line change in the choices of a job file."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import lawnmap

if TYPE_CHECKING:
    from lawnmap.job import Choices


def with_options(
    choices: Choices,
    *,
    crs: str | None = None,
    local_units: str | None = None,
    layer: str | None = None,
    yard: str | None = None,
    units: str | None = None,
) -> Choices:
    """Return the choices with the options that were typed put in their place.

    Parameters
    ----------
    choices : Choices
        Those of the job file, or the defaults.
    crs, local_units, layer, yard, units : str, optional
        As typed.

    Raises
    ------
    ChoiceError
        Where one is not possible.
    """
    typed = {"crs": crs, "local_units": local_units, "layer": layer, "yard": yard}
    given = {key: value for key, value in typed.items() if value is not None}
    source = choices.source
    if given:
        kept = {name: getattr(source, name) for name in source.model_fields_set}
        source = lawnmap.survey.Source(**{**kept, **given})
    general = choices.general
    if units is not None:
        kept = {name: getattr(general, name) for name in general.model_fields_set}
        general = lawnmap.job.General(**{**kept, "units": units})
    return replace(choices, source=source, general=general)
