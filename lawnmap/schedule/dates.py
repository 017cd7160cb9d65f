"""The ``[dates]`` section: when it is sown, what holds it up, and any step that the user sets himself."""

from __future__ import annotations

from datetime import date
from typing import ClassVar, Final, Literal, Self

from pydantic import model_validator

from lawnmap.choices import Section, Time, choice
from lawnmap.errors import ChoiceError
from lawnmap.schedule.days import Day, Hemisphere

StepName = Literal[
    "soil_test",
    "mow_low",
    "aerate",
    "seeding",
    "feed",
    "contact",
    "germination",
    "emergence",
    "first_mow",
    "second_feed",
    "traffic",
    "next_spring",
]
Optional = Literal[
    "soil_test", "mow_low", "aerate", "feed", "contact", "second_feed", "traffic", "next_spring"
]
_HALF_A_YEAR: Final = 183
_LONGEST_HOLD: Final = 366
_LONGEST_TEST_S: Final = 26 * 7 * 86400.0


class Hold(Section):
    """Days on which nothing is done: rain, heat, a burning ban, nobody there."""

    section: ClassVar[str] = "dates.holds"

    first: Day = choice("from", ..., "First day of it.")
    last: Day = choice("to", ..., "Last day of it.")
    why: str = choice("why", "hold", "What holds the work up.", max_length=100)
    steps: tuple[StepName | Literal["spray"], ...] = choice(
        "steps", (), "Steps that it holds up; all work on the lawn if left empty."
    )

    @model_validator(mode="after")
    def _check(self) -> Self:
        if self.last < self.first:
            raise ChoiceError(
                f"ends on {self.last}, before it begins", where="to", mend="put the two days in order"
            )
        if (self.last - self.first).days > _LONGEST_HOLD:
            raise ChoiceError("is longer than a year", where="to", mend="check the years of both days")
        return self


class Dates(Section):
    """The ``[dates]`` section of a job file."""

    section: ClassVar[str] = "dates"

    seeding: Day = choice("seeding", ..., "Day on which the seed goes down, 2026-09-08.")
    first_frost: Day | None = choice(
        "first_frost", None, "First frost to expect after seeding, from your weather service."
    )
    hemisphere: Hemisphere | None = choice(
        "hemisphere", None, "'northern' or 'southern'; the yard's own place if left out."
    )
    soil_from: Day | None = choice(
        "soil_from", None, "First day on which your soil is warm (or cool) enough for the seed: measure it."
    )
    soil_until: Day | None = choice("soil_until", None, "Last such day.")
    soil_test_s: Time | None = choice(
        "soil_test_time",
        None,
        'How long your laboratory takes, "3 weeks"; the table\'s figure if left out.',
        ge=0,
        le=_LONGEST_TEST_S,
    )
    holds: tuple[Hold, ...] = choice(
        "holds", (), 'Days without work: [{ from = 2026-09-10, to = 2026-09-12, why = "rain" }].'
    )
    leave_out: tuple[Optional, ...] = choice("leave_out", (), "Steps to leave out of the calendar.")
    sprays: dict[str, tuple[Day, ...]] = choice(
        "sprays", {}, 'Your own days for a spray, by its name: { "siduron" = [2026-09-08, 2026-10-06] }.'
    )
    soil_test: Day | None = choice("soil_test", None, "Your own day for the soil test.")
    mow_low: Day | None = choice("mow_low", None, "Your own day for mowing low.")
    aerate: Day | None = choice("aerate", None, "Your own day for aerating.")
    feed: Day | None = choice("feed", None, "Your own day for the starter fertilizer.")
    contact: Day | None = choice("contact", None, "Your own day for raking, dragging or topdressing.")
    germination: Day | None = choice("germination", None, "Day on which the seed was seen to sprout.")
    emergence: Day | None = choice("emergence", None, "Day on which all of it was up.")
    first_mow: Day | None = choice("first_mow", None, "Your own day for the first mowing.")
    second_feed: Day | None = choice("second_feed", None, "Your own day for the second feed.")
    traffic: Day | None = choice("traffic", None, "Your own day for light traffic.")
    next_spring: Day | None = choice("next_spring", None, "Your own day for the look next spring.")
    season: str = choice(
        "season", "", "What to call this season in a calendar, if a year has two.", max_length=40
    )
    revision: int = choice(
        "revision",
        0,
        "Raise by one when days have changed and the calendar is imported again.",
        ge=0,
        le=10000,
    )

    @model_validator(mode="after")
    def _check(self) -> Self:
        if self.soil_from and self.soil_until and self.soil_until < self.soil_from:
            raise ChoiceError(
                f"lies before soil_from ({self.soil_from})",
                where="soil_until",
                mend="put the two days in order",
            )
        frost = self.first_frost
        if frost and not -_HALF_A_YEAR <= (frost - self.seeding).days <= 366:
            raise ChoiceError(
                f"{frost} is not the first frost after seeding on {self.seeding}",
                where="first_frost",
                mend="give its year too, as it is to be expected",
            )
        return self

    @property
    def fixed(self) -> dict[str, date]:
        """Days that the user sets himself, by step."""
        days = {key: getattr(self, key) for key in STEP_NAMES if key != "seeding"}
        return {key: day for key, day in days.items() if day is not None}


STEP_NAMES: Final[tuple[str, ...]] = StepName.__args__  # type: ignore[attr-defined]  # what a Literal holds
