"""What is sprayed: the ``[[spray]]`` sections, every figure from the user's own label."""

from __future__ import annotations

from typing import ClassVar, Final, Literal, Self

from pydantic import model_validator

from lawnmap.choices import Area, Depth, Flow, Length, Section, Speed, Time, Volume, choice
from lawnmap.errors import ChoiceError
from lawnmap.rates.dose import Amount, Dose, Strength
from lawnmap.rates.fertilizer import Density
from lawnmap.rates.sprayer import carrier_from_catch, carrier_from_nozzles
from lawnmap.yard import DENSITIES

PER_1000_IN_AN_ACRE: Final = 43.56
"""How much larger a figure per 1000 square feet is than the same figure per acre. [1]"""

_ROUNDING: Final = 1 + 1e-9

_LONGEST_WAIT_S: Final = 3 * 365.25 * 86400
"""No label keeps seed waiting longer than this; a figure beyond it is a slip. *common practice* [s]"""

SprayEvent = Literal["seeding", "germination", "emergence", "first mowing"]


class Spray(Section):
    """One ``[[spray]]`` section of a job file. No rate of a pesticide is built in: copy your label."""

    section: ClassVar[str] = "spray"

    name: str = choice("name", ..., "What it is, as on its label.", min_length=1, max_length=100)
    rate: Dose = choice("rate", ..., 'Rate of one application from your label, "5 fl oz / acre".')
    yearly_maximum: Dose = choice(
        "yearly_maximum",
        ...,
        "Most that your label allows on the same ground in a year, written as the rate is.",
    )
    rate_of: Literal["product", "active ingredient"] = choice(
        "rate_of", "product", "What rate and maximum count: 'product' or 'active ingredient'."
    )
    strength: Strength | None = choice(
        "strength", None, 'Active ingredient in the product, "4 lb / gal" or "75 %"; needed for a rate of it.'
    )
    active_ingredient: str = choice(
        "active_ingredient", "", "Its common name; warnings of extension services are looked up by it."
    )
    most_per_application: Dose | None = choice(
        "most_per_application", None, "Most that your label allows at once, where it says so."
    )
    applications: int = choice("applications", 1, "Applications planned this year.", ge=1, le=50)
    passes: int = choice(
        "passes",
        1,
        "How often one application goes over the same ground at the rate; each pass counts.",
        ge=1,
        le=4,
    )
    applied_this_year: Dose | None = choice(
        "applied_this_year", None, "What the ground has had of it this year already."
    )
    interval_s: Time | None = choice(
        "interval",
        None,
        'Least time between applications on your label, "4 weeks".',
        gt=0,
        le=_LONGEST_WAIT_S,
    )
    counted_from: SprayEvent = choice(
        "counted_from",
        "seeding",
        "What your label counts the time to the first application from: 'seeding', 'germination', 'emergence' "
        "or 'first mowing'.",
    )
    wait_s: Time | None = choice(
        "wait",
        None,
        'Least time from that event to the first application, "4 weeks"; "0 days" for the same day.',
        ge=0,
        le=_LONGEST_WAIT_S,
    )
    seed_wait_s: Time | None = choice(
        "seed_wait",
        None,
        'Least time from this spray to sowing seed, where your label gives one, "8 weeks".',
        ge=0,
        le=_LONGEST_WAIT_S,
    )
    carrier_m: Depth | None = choice(
        "carrier", None, 'What your sprayer puts down, "40 gal / acre": calibrate it.', gt=0
    )
    flow_m3_per_s: Flow | None = choice(
        "flow", None, 'Or its flow, "0.4 gal / min", with speed and width.', gt=0
    )
    speed_m_per_s: Speed | None = choice("speed", None, "Speed while spraying.", gt=0)
    width_m: Length | None = choice("width", None, "Width that the flow covers.", gt=0)
    used_m3: Volume | None = choice(
        "used", None, 'Or what it used up on a measured piece of ground, "40 fl oz", with that ground.', gt=0
    )
    used_on_m2: Area | None = choice("used_on", None, 'Ground of that test, "340 sq ft".', gt=0)
    tank_m3: Volume = choice("tank", ..., 'What the tank holds, "4 gal".', gt=0)
    on: tuple[Density, ...] = choice("on", DENSITIES, "Density classes that are sprayed.", min_length=1)
    zones: tuple[str, ...] = choice("zones", (), "Names of the zones that are sprayed; all if left empty.")
    near_water: bool = choice(
        "near_water", default=False, about="Whether your label lets it go on the strips along water."
    )
    rules: tuple[str, ...] = choice(
        "rules", (), 'Rules of your label to keep in sight: ["no surfactant at seeding"].'
    )
    not_on: tuple[str, ...] = choice(
        "not_on", (), "Grasses that your label keeps it off; a plan that sows one of them is refused."
    )
    mix_with: tuple[str, ...] = choice(
        "mix_with", (), "Names of other sprays for the same tank, only where both labels say so."
    )

    @model_validator(mode="after")
    def _check(self) -> Self:
        _check_sprayer(self)
        _check_measures(self)
        _check_limits(self)
        return self

    @property
    def per_application(self) -> Amount:
        """What one application puts down, all passes together, as the label counts it."""
        return self.rate.times(self.passes)

    @property
    def product_rate(self) -> Amount:
        """Product per area of one pass."""
        if self.rate_of == "product":
            return self.rate
        assert self.strength is not None  # checked above
        return Amount(self.rate.value / self.strength.value, self.strength.measure)

    @property
    def carrier(self) -> float:
        """Spray per area of one pass. [m³/m²]"""
        if self.carrier_m is not None:
            return self.carrier_m
        if self.used_m3 is not None and self.used_on_m2 is not None:
            return carrier_from_catch(self.used_m3, self.used_on_m2)
        flow, speed, width = self.flow_m3_per_s, self.speed_m_per_s, self.width_m
        assert flow is not None
        assert speed is not None
        assert width is not None  # checked above
        return carrier_from_nozzles(flow, speed, width)

    @property
    def running_total(self) -> tuple[Amount, ...]:
        """What the ground has had this year after each application, as the label counts it."""
        before = self.applied_this_year.value if self.applied_this_year else 0.0
        each = self.per_application
        return tuple(
            Amount(before + number * each.value, each.measure) for number in range(1, self.applications + 1)
        )


def _check_sprayer(spray: Spray) -> None:
    """Demand one of three calibrations, whole; speed and width alone may stand beside the others."""
    ways = {
        "carrier": (spray.carrier_m,),
        "flow": (spray.flow_m3_per_s, spray.speed_m_per_s, spray.width_m),
        "used": (spray.used_m3, spray.used_on_m2),
    }
    begun = [key for key, way in ways.items() if way[0] is not None or (key == "used" and way[1] is not None)]
    if len(begun) != 1 or None in ways[begun[0]]:
        raise ChoiceError(
            "the sprayer is calibrated twice" if len(begun) > 1 else "the sprayer is not calibrated",
            where=begun[0] if begun else "carrier",
            mend="give either carrier, or flow, speed and width, or used and used_on",
        )


def _check_measures(spray: Spray) -> None:
    doses = {
        "yearly_maximum": spray.yearly_maximum,
        "most_per_application": spray.most_per_application,
        "applied_this_year": spray.applied_this_year,
    }
    for key, dose in doses.items():
        if dose is not None and dose.measure != spray.rate.measure:
            raise ChoiceError(
                f"the rate is a {_word(spray.rate)} per area and this is a {_word(dose)}",
                where=key,
                mend="write both alike (a liquid is measured in fl oz, oz is a weight)",
            )
    if spray.rate_of == "active ingredient":
        if spray.rate.measure != "mass":
            raise ChoiceError(
                "an active ingredient is weighed", where="rate", mend='write its rate like "0.1 lb / acre"'
            )
        if spray.strength is None:
            raise ChoiceError(
                "the strength of the product is missing",
                where="strength",
                mend='copy it from the label, "4 lb / gal" or "75 %"',
            )


def _word(dose: Amount) -> str:
    return "weight" if dose.measure == "mass" else dose.measure


def _check_limits(spray: Spray) -> None:
    """Refuse a plan over the label, and ask where a mix-up of acre and 1000 sq ft would explain it."""
    each, limit = spray.per_application.value, spray.yearly_maximum.value
    limits = {"yearly_maximum": spray.yearly_maximum, "most_per_application": spray.most_per_application}
    for key, dose in limits.items():
        most = dose.value if dose else limit
        if each > most * _ROUNDING:
            times = each / most
            mixed_up = each / PER_1000_IN_AN_ACRE <= most * _ROUNDING and times >= 3
            raise ChoiceError(
                f"one application of {spray.name} is {times:.3g} times what the label allows ({key})",
                where="rate",
                mend="is one of the two per acre and the other per 1000 sq ft (43.56 times)?"
                if mixed_up
                else "the label is the law: lower the rate or the passes",
            )
    total = spray.running_total[-1].value
    if total > limit * _ROUNDING:
        raise ChoiceError(
            f"{spray.applications} application(s) of {spray.name} bring the year to {total / limit:.3g} times "
            "the yearly maximum",
            where="applications",
            mend="the label is the law: plan fewer, or less at a time",
        )
