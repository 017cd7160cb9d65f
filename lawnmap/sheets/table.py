"""The areas and amounts of every zone as a table that a spreadsheet can open safely."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING, Final

from lawnmap.units import convert

if TYPE_CHECKING:
    from lawnmap.job import Plan

_ACTIVE: Final = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def harmless(text: str) -> str:
    """Return text that no spreadsheet takes for a formula.

    The characters are those of the Open Worldwide Application Security Project, *CSV Injection*,
    with the full-width forms it names; the remedy, an apostrophe in front, is its as well.

    Examples
    --------
    >>> harmless("=1+1"), harmless("Front lawn")
    ("'=1+1", 'Front lawn')
    """
    return f"'{text}" if text.lstrip(" ").startswith(_ACTIVE) else text


def areas_csv(plan: Plan) -> str:
    """Write one row per zone: areas in SI and in the user's units, then what it gets of each material.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    """
    area_word, mass_word = word(plan.units.area_unit), word(plan.units.mass_unit)
    rows: list[dict[str, object]] = []
    for zone in plan.takeoff.zones:
        row: dict[str, object] = {"yard": plan.yard.name, "zone": zone.name}
        row |= {key: value for key, value in zone.to_dict().items() if key != "name"}
        if area_word != "m2":
            for key in ("gross_area", "net_area", "net_area_se", "surface_area", "unfed_area"):
                row[f"{key}_{area_word}"] = convert(getattr(zone, f"{key}_m2"), plan.units.area_unit)
        for number, material in enumerate(plan.prescription.materials, 1):
            given = [amount for amount in material.by_zone if amount.zone == zone.name]
            amount_kg = sum(amount.amount_kg for amount in given)
            row[f"material_{number}"] = material.name
            row[f"material_{number}_rate_kg_per_m2"] = sum(amount.rate_kg_per_m2 for amount in given)
            row[f"material_{number}_amount_kg"] = amount_kg
            if mass_word != "kg":
                row[f"material_{number}_amount_{mass_word}"] = convert(amount_kg, plan.units.mass_unit)
        rows.append(row)
    page = io.StringIO(newline="")
    writer = csv.writer(page, lineterminator="\r\n")  # as RFC 4180 has it
    writer.writerow(rows[0] if rows else ["yard", "zone"])
    writer.writerows([cell(value) for value in row.values()] for row in rows)
    return page.getvalue()


def cell(value: object) -> object:
    """Return a value as a table holds it: numbers of six digits, text that is no formula.

    Parameters
    ----------
    value : object
        Any.
    """
    if isinstance(value, float):
        return f"{value:.6g}" if abs(value) < 1000 else f"{value:.3f}"
    return harmless(value) if isinstance(value, str) else value


def word(unit: str) -> str:
    """Turn a unit into part of a column name: ``m²`` to ``m2``, ``sq ft`` to ``sq_ft``.

    Parameters
    ----------
    unit : str
        Its name.
    """
    return unit.replace("²", "2").replace(" ", "_")
