"""A plan as one text, and the short mark by which every sheet says which plan it belongs to."""

from __future__ import annotations

import json
from functools import lru_cache
from hashlib import sha256
from typing import TYPE_CHECKING

from lawnmap.errors import OutputError

if TYPE_CHECKING:
    from lawnmap.job import Plan


@lru_cache(maxsize=1)  # the sheets of one folder ask for it one after the other
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


def identity(plan: Plan) -> str:
    """Return the first twelve digits of the SHA-256 sum of ``plan.json``, in groups of four.

    Two sheets with the same mark were made from the same plan; a change of any figure changes it.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    """
    digits = sha256(plan_json(plan).encode("utf-8", "backslashreplace")).hexdigest()
    return f"{digits[:4]}-{digits[4:8]}-{digits[8:12]}"
