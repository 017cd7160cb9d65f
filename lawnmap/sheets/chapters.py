"""What stands below the map, in chapters that fold, so that a long plan is read where it matters."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lawnmap.sheets.elements import Element, put

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from lawnmap.job import Plan


@dataclass(frozen=True)
class Chapter:
    """Panels that belong together.

    Attributes
    ----------
    id, title : str
        Its place on the page, and what it is called.
    panels : tuple of callable
        Given where to put it and the plan, each puts its part, or nothing.
    line : callable
        What the plan says of it in one line.
    unfolded : bool
        Whether it is open at first.
    """

    id: str
    title: str
    panels: tuple[Callable[[Element, Plan], None], ...]
    line: Callable[[Plan], str] = lambda _: ""
    unfolded: bool = False


def put_chapters(main: Element, plan: Plan, chapters: Sequence[Chapter]) -> None:
    """Put the chapters that have anything to say, and above them the way to each.

    Parameters
    ----------
    main : Element
        Where to put them.
    plan : Plan
        A finished plan.
    chapters : sequence of Chapter
        In order.
    """
    ways = put(put(main, "nav", css="ways", attributes={"aria-label": "Chapters"}), "ul")
    for chapter in chapters:
        inner = Element("div", {"id": f"part-{chapter.id}"})
        for panel in chapter.panels:
            panel(inner, plan)
        if not len(inner):
            continue
        put(put(ways, "li"), "a", chapter.title, attributes={"href": f"#part-{chapter.id}"})
        fold = put(main, "details", css="chapter", attributes={"open": ""} if chapter.unfolded else {})
        head = put(fold, "summary")
        put(head, "h2", chapter.title)
        line = chapter.line(plan)
        if line:
            put(head, "span", line, "user line")
        fold.append(inner)
