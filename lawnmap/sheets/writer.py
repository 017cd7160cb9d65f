"""All sheets of a plan, written into one folder."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

from lawnmap.errors import OutputError
from lawnmap.sheets.folder import MARK, whole
from lawnmap.sheets.layers import write_layers
from lawnmap.sheets.page import write_page
from lawnmap.sheets.picture import draw_picture
from lawnmap.sheets.table import areas_csv

if TYPE_CHECKING:
    from os import PathLike

    from lawnmap.job import Plan


def write(plan: Plan, folder: str | PathLike[str]) -> Path:
    """Write ``map.html``, ``map.svg``, ``areas.csv``, ``plan.json`` and ``yard.gpkg``: all of them or none.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    folder : path
        A new or empty folder, or one that holds the results of an earlier run, which are replaced.

    Returns
    -------
    Path
        Where the map is.

    Raises
    ------
    OutputError
        If the folder holds somebody else's files or cannot be written.
    ChoiceError
        If the plan asks for imagery that cannot be had.

    Examples
    --------
    ``lawnmap.sheets.write(plan, "mill_lane")`` returns ``Path("mill_lane/map.html")``.
    """
    target = Path(folder)
    with whole(target) as draft:
        _put(draft / MARK, plan_json(plan))
        _put(draft / "areas.csv", areas_csv(plan))
        _put(draft / "map.svg", draw_picture(plan))
        _put(draft / "map.html", write_page(plan))
        write_layers(plan, draft / "yard.gpkg")
    return target / "map.html"


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


def _put(path: Path, text: str) -> None:
    # what no encoding can hold, half of a surrogate pair, is written as JSON writes it
    path.write_bytes(text.encode("utf-8", "backslashreplace"))
