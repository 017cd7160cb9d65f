"""Test runs out of a table, and the gate setting for every zone's rate."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import isfinite, nan
from typing import TYPE_CHECKING, Final

from lawnmap.errors import FileError, InputError, LawnmapError
from lawnmap.evenness.settings import Setting, SettingCurve, TestRun
from lawnmap.evenness.sheet import rows_of
from lawnmap.units import US, parse
from lawnmap.yard import finding

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from lawnmap.units import UnitSystem
    from lawnmap.yard import Finding

_HEADS: Final = {"setting": "", "used": "mass", "area": "area"}
_HEAD: Final = re.compile(r"^\s*(setting|used|area)[ _(\[]*([A-Za-z0-9²_^ ]*?)[)\]]?\s*$", re.IGNORECASE)
_MEND: Final = "give three columns: setting, used_lb, area_sq_ft, or write each value with its unit"


def read_runs(path: Path) -> tuple[TestRun, ...]:
    """Read test runs from a CSV file.

    Three columns in any order: ``setting``, ``used`` and ``area``. The unit stands in the heading
    (``used_lb``, ``area_sq_ft``) or behind every value. Lines that begin with # are notes.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    FileError
        If it is missing or not such a table.
    """
    rows = rows_of(path, "the table of test runs")
    columns = _columns(rows[0] if rows else [], path.name)
    if len(rows) < 2:
        raise FileError("there are no runs under the heading", where=path.name, mend="add a row for each run")
    return tuple(_run(row, columns, f"{path.name}, row {number}") for number, row in enumerate(rows[1:], 2))


def _columns(heads: list[str], where: str) -> dict[str, tuple[int, str]]:
    """Name of a column to where it stands and the unit of its heading."""
    found: dict[str, tuple[int, str]] = {}
    for place, head in enumerate(heads):
        match = _HEAD.match(head)
        if match:
            found[match.group(1).lower()] = (place, match.group(2).replace("_", " ").strip())
    missing = [name for name in _HEADS if name not in found]
    if missing:
        raise FileError(f'there is no column "{missing[0]}"', where=where, mend=_MEND)
    return found


def _run(row: list[str], columns: Mapping[str, tuple[int, str]], where: str) -> TestRun:
    values = {}
    for name, kind in _HEADS.items():
        place, unit = columns[name]
        if place >= len(row) or not row[place].strip():
            raise FileError(f'there is nothing under "{name}"', where=where, mend="fill the row")
        values[name] = _value(row[place].strip(), kind, unit, where)
        if values[name] <= 0:
            raise FileError(
                f"{name} is {row[place].strip()}; it must be more than 0",
                where=where,
                mend="weigh the hopper before and after, and give course length times swath as the area",
            )
    return TestRun(setting=values["setting"], used_kg=values["used"], area_m2=values["area"])


def _value(cell: str, kind: str, unit: str, where: str) -> float:
    try:
        if kind:
            return parse(f"{cell} {unit}" if unit else cell, kind)
        number = float(cell)
    except LawnmapError as fault:
        raise fault.at(where) from None
    except ValueError:
        number = nan
    if not isfinite(number):
        raise FileError(f'"{cell}" is not a number', where=where, mend="correct it")
    return number


@dataclass(frozen=True)
class ZoneSetting:
    """The gate setting for one zone.

    Attributes
    ----------
    zone : str
        Name of the zone.
    rate_kg_per_m2 : float
        What it is to get in one pass. [kg/m²]
    passes : int
        How many passes put it down. [count]
    setting : Setting or None
        What to set; None where no test run comes near that rate.
    why : str
        Why there is none, and what to do.
    """

    zone: str
    rate_kg_per_m2: float
    passes: int
    setting: Setting | None
    why: str = ""

    def line(self, units: UnitSystem = US) -> str:
        """Return the row as one sentence.

        Parameters
        ----------
        units : UnitSystem
            What the user reads rates in.
        """
        times = f" in each of {self.passes} passes" if self.passes > 1 else ""
        return f"{self.zone}: {units.rate(self.rate_kg_per_m2)}{times}: {self.says()}"

    def says(self) -> str:
        """Return the setting with its error, or what to do where there is none."""
        return f"setting {self.setting}" if self.setting else self.why

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "zone": self.zone,
            "rate_kg_per_m2": self.rate_kg_per_m2,
            "passes": self.passes,
            "setting": self.setting.to_dict() if self.setting else None,
            "why": self.why,
        }


def zone_settings(
    curve: SettingCurve, rates: Mapping[str, float], passes: int = 1, units: UnitSystem = US
) -> tuple[ZoneSetting, ...]:
    """Return the gate setting for the rate of every zone.

    Parameters
    ----------
    curve : SettingCurve
        From test runs.
    rates : mapping of str to float
        Product per area by zone, all passes together; zones that get none are left out. [kg/m²]
    passes : int
        How many passes put it down. [count]
    units : UnitSystem
        What the user reads rates in.
    """
    if passes < 1:
        raise InputError(f"{passes} passes put nothing down", mend="give one or more")
    rows = []
    for zone, rate in rates.items():
        if rate <= 0:
            continue
        try:
            rows.append(ZoneSetting(zone, rate / passes, passes, curve.setting_for(rate / passes, units)))
        except InputError as fault:
            rows.append(ZoneSetting(zone, rate / passes, passes, None, str(fault).removesuffix(".")))
    return tuple(rows)


def untested(settings: tuple[ZoneSetting, ...]) -> tuple[Finding, ...]:
    """Return a finding for every zone that no test run comes near.

    Parameters
    ----------
    settings : tuple of ZoneSetting
        As `zone_settings` returns them.
    """
    return tuple(finding("setting-untested", row.why, row.zone) for row in settings if row.setting is None)
