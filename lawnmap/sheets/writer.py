"""All sheets of a plan, written into one folder."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from lawnmap.sheets.contents import put_text, sheets_for
from lawnmap.sheets.folder import whole
from lawnmap.sheets.page import write_page

if TYPE_CHECKING:
    from collections.abc import Collection
    from os import PathLike

    from lawnmap.job import Plan


def write(plan: Plan, folder: str | PathLike[str], *, also: Collection[str] = ()) -> Path:
    """Write ``map.html`` and every sheet beside it that the plan has matter for: all of them or none.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    folder : path
        A new or empty folder, or one that holds the results of an earlier run, which are replaced.

    also : collection of str
        Sheets that are written only when asked for: ``"kml"``, ``"dxf"``.

    Returns
    -------
    Path
        Where the map is.

    Raises
    ------
    OutputError
        If the folder holds somebody else's files or cannot be written, or a sheet is asked for that there is not.
    ChoiceError
        If the plan asks for imagery that cannot be had.

    Examples
    --------
    ``lawnmap.sheets.write(plan, "mill_lane")`` returns ``Path("mill_lane/map.html")``.
    """
    target = Path(folder)
    sheets = sheets_for(plan, also)
    with whole(target) as draft:
        for sheet in sheets:
            sheet.write(plan, draft / sheet.name)
        put_text(draft / "map.html", write_page(plan, sheets))
    return target / "map.html"
