"""Which steps a season has, what each waits for, and what to know about it."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import ceil
from typing import TYPE_CHECKING, Final

from lawnmap.schedule.graph import Node, Wait
from lawnmap.schedule.intervals import DAY_S, advice, interval

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from lawnmap.rates import Prescription, Source
    from lawnmap.schedule.dates import Dates
    from lawnmap.schedule.stand import Stand

WATCHED: Final = ("germination", "emergence")
"""What the grass does by itself; no hold keeps it."""


@dataclass(frozen=True)
class Draft:
    """A step without a day yet.

    Attributes
    ----------
    node : Node
        Its key and what it waits for.
    name : str
        What it is called.
    why : tuple of str
        What to know about it.
    sources : tuple of Source
        Where that comes from.
    """

    node: Node
    name: str
    why: tuple[str, ...] = ()
    sources: tuple[Source, ...] = ()


@dataclass
class _Sheet:
    """Collects the drafts of one season."""

    leave_out: frozenset[str]
    drafts: list[Draft] = field(default_factory=list)

    def add(
        self,
        key: str,
        name: str,
        waits: Sequence[Wait] = (),
        why: Iterable[str] = (),
        sources: Iterable[Source] = (),
    ) -> None:
        """Add a step with its rules in words, unless the user leaves it out."""
        if key in self.leave_out:
            return
        here = {draft.node.key for draft in self.drafts}
        rules = advice(key.replace("_", " "))
        self.drafts.append(
            Draft(
                Node(key, tuple(wait for wait in waits if wait.of in here), key not in WATCHED),
                name,
                (*why, *(f"{text[:1].upper()}{text[1:]}." for text, _ in rules)),
                (*sources, *(source for _, source in rules)),
            )
        )


def drafts(stand: Stand, prescription: Prescription, dates: Dates, *, has_grass: bool) -> list[Draft]:
    """Return all steps but the sprays, in the order of the work.

    Parameters
    ----------
    stand : Stand
        What is sown.
    prescription : Prescription
        What goes down; without fertilizer there is nothing to feed.
    dates : Dates
        The user's section.
    has_grass : bool
        Whether any seeded zone has grass on it already, to be mown low and aerated.
    """
    sheet = _Sheet(frozenset(dates.leave_out))
    _prepare(sheet, prescription, dates, has_grass=has_grass)
    fed = any(material.kind == "fertilizer" for material in prescription.materials)
    if fed:
        sheet.add(
            "feed",
            "Starter fertilizer",
            [Wait("seeding", 0)],
            ["On the day of the seed, at the rates of the plan."],
        )
    sheet.add("contact", "Bring the seed to the soil", [Wait("seeding", 0)])
    _grow(sheet, stand)
    if fed:
        four_weeks = interval("second feed", "after germination")
        sheet.add(
            "second_feed",
            "Second feed",
            [Wait("germination", four_weeks.typical, four_weeks.source)],
            ["Local closed seasons for fertilizer come first."],
        )
    light = interval("traffic", "after seeding")
    sheet.add(
        "traffic",
        "Light traffic may begin",
        [Wait("seeding", light.typical, light.source), Wait("first_mow", 0)],
        [f"From {light.words()} after seeding, told of perennial ryegrass; slower grasses want longer."],
    )
    return sheet.drafts


def _prepare(sheet: _Sheet, prescription: Prescription, dates: Dates, *, has_grass: bool) -> None:
    """What comes before the seed, and the seed itself, which waits for all of it."""
    waits = []
    lead = interval("soil test", "before seeding")
    days = ceil(dates.soil_test_s / DAY_S) if dates.soil_test_s is not None else lead.typical
    sheet.add("soil_test", "Soil test", (), ["Lime and fertilizer follow its advice, not a guess."])
    tested = Wait("soil_test", days, lead.source if dates.soil_test_s is None else None)
    waits.append(tested)
    if has_grass:
        for key, name in (("mow_low", "Mow low"), ("aerate", "Core-aerate")):
            soon = interval(key.replace("_", " "), "before seeding")
            sheet.add(key, name, [Wait("mow_low", 0)])
            waits.append(Wait(key, soon.typical, soon.source))
    products = [material.name for material in prescription.materials if material.kind == "product"]
    for name in dict.fromkeys(products):
        why = ["At the rates of the plan, if the soil test asks for it."]
        sheet.add(f"product {name}", f"Spread {name}", [tested], why)
        waits.append(Wait(f"product {name}", 0))
    sheet.add("seeding", "Sow", waits)


def _grow(sheet: _Sheet, stand: Stand) -> None:
    slow = stand.days[stand.slowest]
    sheet.add(
        "germination",
        "Look for sprouts",
        [Wait("seeding", stand.sprouts.typical, stand.sprouts.source)],
        [f"The first seedlings may show from day {stand.first_days} on.", *_by_species(stand)],
        [source for days in stand.days.values() for source in (days.source, days.latest)],
    )
    sheet.add(
        "emergence",
        "All of it should be up",
        [Wait("seeding", slow.high, slow.latest), Wait("germination", 0)],
        ["Sow bare spots again now, by hand."],
    )
    mow = interval("first mow", "after germination")
    sheet.add(
        "first_mow",
        "First mowing",
        [Wait("germination", mow.typical, mow.source), Wait("emergence", 0)],
        ["The height decides, not the day; blades sharp, ground dry."],
    )


def _by_species(stand: Stand) -> tuple[str, ...]:
    if len(stand.days) < 2:
        return ()
    parts = [f"{name} {days.words()}" for name, days in stand.days.items()]
    return (f"To germination: {', '.join(parts)}.",)


def spring_draft() -> Draft:
    """Return the look next spring, which waits for a day of the year."""
    rules = advice("next spring")
    return Draft(
        Node("next_spring"),
        "Next spring: count the stand, sow again where it is thin",
        tuple(f"{text[:1].upper()}{text[1:]}." for text, _ in rules),
        tuple(source for _, source in rules),
    )
