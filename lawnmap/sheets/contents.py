"""What lies in the folder of a plan: every file beside the map, what it is for, and when it is there."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from lawnmap.errors import OutputError
from lawnmap.sheets.diary import NAME as DIARY
from lawnmap.sheets.diary import write_diary
from lawnmap.sheets.folder import MARK
from lawnmap.sheets.layers import write_layers
from lawnmap.sheets.picture import draw_picture
from lawnmap.sheets.table import areas_csv

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from lawnmap.job import Plan


@dataclass(frozen=True)
class Sheet:
    """One file of the folder.

    Attributes
    ----------
    name : str
        Of the file.
    about : str
        What it is for, as the map page says.
    write : callable
        Given the plan and the path.
    wanted : callable
        Whether a plan has anything to put into it.
    """

    name: str
    about: str
    write: Callable[[Plan, Path], None]
    wanted: Callable[[Plan], bool] = lambda _: True


def plan_json(plan: Plan) -> str:
    """Return ``plan.json``: the plan as a mapping, always in the same order.

    Parameters
    ----------
    plan : Plan
        A finished plan.

    Raises
    ------
    OutputError
        If a figure of the plan is not a number.
    """
    try:
        return json.dumps(plan.to_dict(), indent=1, ensure_ascii=False, allow_nan=False) + "\n"
    except ValueError as fault:
        raise OutputError(
            "a figure of the plan is not a number",
            where=plan.name,
            mend="look at the areas and rates of its zones",
        ) from fault


def put_text(path: Path, text: str) -> None:
    """Write text as UTF-8.

    Parameters
    ----------
    path : Path
        Of the file.
    text : str
        Of any kind.
    """
    # what no encoding can hold, half of a surrogate pair, is written as JSON writes it
    path.write_bytes(text.encode("utf-8", "backslashreplace"))


SHEETS: Final = (
    Sheet("map.svg", "the map as a picture", lambda plan, path: put_text(path, draw_picture(plan))),
    Sheet(
        "areas.csv",
        "areas and amounts for a spreadsheet",
        lambda plan, path: put_text(path, areas_csv(plan)),
    ),
    Sheet("yard.gpkg", "layers for a GIS", write_layers),
    Sheet(DIARY, "the season for a calendar program", write_diary, lambda plan: plan.season is not None),
    Sheet(MARK, "everything, for programs", lambda plan, path: put_text(path, plan_json(plan))),
)
"""All but the map page itself, in the order in which the page lists them."""
