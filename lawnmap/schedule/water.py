"""What the user says about water: the ``[water]`` section and the ``[[station]]`` sections."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation
from typing import Annotated, ClassVar, Final, Literal, Self

from pydantic import AfterValidator, BeforeValidator, model_validator

from lawnmap.choices import Area, Depth, Flow, Length, Percent, Precipitation, Section, Time, Volume, choice
from lawnmap.errors import ChoiceError
from lawnmap.schedule.clock import Window, check_hours
from lawnmap.units import parse

Weekday = Literal["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"]
WEEKDAYS: tuple[Weekday, ...] = (
    "Monday",
    "Tuesday",
    "Wednesday",
    "Thursday",
    "Friday",
    "Saturday",
    "Sunday",
)
_HARDEST_RAIN: Final = 0.5 / 3600
"""No sprinkler for lawns reaches half a metre an hour. *common practice* [m/s]"""
EvenOut = Literal["low half", "low quarter", "none"]


def _price(value: object) -> object:
    """Read ``"6.20 / 1000 gal"``: money without a unit, over a volume; per cubic metre."""
    money, stroke, volume = str(value).partition("/")
    try:
        amount = Decimal(money.strip())
    except InvalidOperation:
        amount = Decimal(-1)
    if not stroke or not amount.is_finite() or amount < 0:
        raise ChoiceError(
            f'"{value}" is no price of water',
            mend='write money over a volume, "6.20 / 1000 gal" for instance',
        )
    written = volume.strip()
    return amount / Decimal(repr(parse(written if written[:1].isdigit() else f"1 {written}", "volume")))


Price = Annotated[Decimal, BeforeValidator(_price)]
Hours = Annotated[tuple[Window, ...], AfterValidator(check_hours)]


class Water(Section):
    """The ``[water]`` section of a job file."""

    section: ClassVar[str] = "water"

    germination_depth_m: Depth | None = choice(
        "germination_depth",
        None,
        'Water of one run until all seed is up, "1/8 in"; the table\'s figure if left out.',
        gt=0,
        le=0.05,
    )
    germination_runs: int | None = choice("germination_runs", None, "Runs a day until then.", ge=1, le=12)
    establishment_depth_m: Depth | None = choice(
        "establishment_depth",
        None,
        'Water of one run from then to the first mowing, "1/4 in".',
        gt=0,
        le=0.05,
    )
    establishment_runs: int | None = choice(
        "establishment_runs", None, "Runs a day in that time.", ge=1, le=12
    )
    weaning_depth_m: Depth | None = choice(
        "weaning_depth", None, 'Water of one week after the first mowing, "1 in".', gt=0, le=0.15
    )
    weaning_runs: int | None = choice("weaning_runs", None, "Runs a week in that time.", ge=1, le=7)
    hours: Hours = choice(
        "hours",
        (("6:00", "20:00"),),
        'Hours in which water may run, [["6:00", "10:00"], ["16:00", "20:00"]] (daylight: common practice).',
        min_length=1,
    )
    days: tuple[Weekday, ...] = choice(
        "days", WEEKDAYS, "Days of the week on which water may run.", min_length=1
    )
    flow_limit_m3_per_s: Flow | None = choice(
        "flow_limit", None, 'Most that the supply gives, "12 gal/min".', gt=0
    )
    between_s: Time = choice(
        "between", "0 s", "Pause between two stations, where the clock needs one.", ge=0, le=3600
    )
    price_per_m3: Price | None = choice(
        "price", None, 'What water costs, in your money over a volume: "6.20 / 1000 gal".'
    )
    even_out: EvenOut = choice(
        "even_out",
        "low half",
        "How a run is lengthened for the dry spots of an uneven station: by its 'low half' (what auditors do now), "
        "by its 'low quarter' (wetter), or 'none'.",
    )


class Station(Section):
    """One ``[[station]]`` section of a job file: sprinklers that one valve opens."""

    section: ClassVar[str] = "station"

    name: str = choice("name", ..., "What it is called.", min_length=1, max_length=60)
    zones: tuple[str, ...] = choice("zones", ..., "Names of the zones that it waters.", min_length=1)
    area_m2: Area | None = choice(
        "area", None, "Ground that it waters, if not just its share of those zones.", gt=0
    )
    flow_m3_per_s: Flow | None = choice("flow", None, 'What it draws, "8 gal/min".', gt=0, le=1)
    precipitation_m_per_s: Precipitation | None = choice(
        "precipitation",
        None,
        'Depth that it puts down in an hour, if known: "0.5 in/h".',
        gt=0,
        le=_HARDEST_RAIN,
    )
    catch_m: tuple[Depth, ...] = choice(
        "catch", (), 'Depths in straight cans set out over it, ["0.12 in", "0.09 in"].'
    )
    catch_volumes_m3: tuple[Volume, ...] = choice(
        "catch_volumes", (), 'Or volumes, ["47 mL", "42 mL"], with the opening of a can.'
    )
    opening_m: Length | None = choice("opening", None, 'Width of the opening of a round can, "72 mm".', gt=0)
    catch_s: Time | None = choice("catch_time", None, 'How long it ran for the cans, "15 min".', gt=0)
    uniformity: Percent | None = choice(
        "uniformity", None, 'Low-quarter distribution uniformity, if known without cans: "60 %".', gt=0, le=1
    )

    @model_validator(mode="after")
    def _check(self) -> Self:
        _check_catch(self)
        if self.flow_m3_per_s is None and self.precipitation_m_per_s is None and not self.has_cans:
            raise ChoiceError(
                "nothing says how much water it puts down",
                where="flow",
                mend="give its flow, its precipitation, or a catch in cans with catch_time",
            )
        if self.precipitation_m_per_s is not None and self.has_cans:
            raise ChoiceError(
                "its precipitation is given twice", where="precipitation", mend="leave it to the cans"
            )
        return self

    @property
    def has_cans(self) -> bool:
        """Whether it was tested with cans."""
        return bool(self.catch_m or self.catch_volumes_m3)


def _check_catch(station: Station) -> None:
    if not station.has_cans:
        return
    if station.catch_m and station.catch_volumes_m3:
        raise ChoiceError("the cans are given twice", where="catch", mend="give depths or volumes")
    if station.catch_s is None:
        raise ChoiceError(
            "the cans have no time", where="catch_time", mend='say how long it ran, "15 min" for instance'
        )
    if station.catch_volumes_m3 and station.opening_m is None:
        raise ChoiceError(
            "volumes need the opening of a can", where="opening", mend='give its width, "72 mm" for instance'
        )
    if station.uniformity is not None:
        raise ChoiceError("its uniformity is given twice", where="uniformity", mend="leave it to the cans")
    cans = station.catch_m or station.catch_volumes_m3
    if len(cans) < 4:
        raise ChoiceError(
            f"{len(cans)} cans say nothing about a low quarter", where="catch", mend="set out four or more"
        )
    if min(cans) < 0 or max(cans) <= 0:
        raise ChoiceError(
            "a catch is below zero, or nothing was caught", where="catch", mend="run the test again"
        )
