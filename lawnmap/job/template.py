"""A new job file: every choice with its default and what it means."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lawnmap.choices import template
from lawnmap.job.choices import PLACES, General

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lawnmap.units import UnitsName

_OPTION: Final = """\
# Another offer for the same ground, priced beside the first; what it does not say stays as above:
# [[option]]
# What to call it.
# name = "Thicker"
# Any key of a section above but yard, ground, client and contractor.
# seed = { level = "high" }
"""
"""What a new job file says of options."""


def job_template(source: Mapping[str, object], *, name: str = "", units: UnitsName = "us") -> str:
    """Write a commented job file with every default.

    Parameters
    ----------
    source : mapping
        What ``[yard]`` shall hold: at least ``file``, relative to the job file.
    name : str
        Name of the job.
    units : str
        Units of the results.

    Returns
    -------
    str
        TOML text that `read_choices` reads.
    """
    head = template(General, {"name": name, "units": units}).removeprefix("[]\n")
    return "\n".join(
        [
            "# A lawnmap job. Quantities are written with their unit. Delete what may stay at its default.",
            "",
            head,
            *(place.template(source) for place in PLACES),
            _OPTION,
        ]
    )
