"""The ``[contact]`` section of a job file: which ways there are, how fast they go and what they cost."""

from __future__ import annotations

from decimal import Decimal
from typing import ClassVar, Literal

from lawnmap.choices import AreaPerTime, Flow, Length, Section, Speed, Time, choice

WayName = Literal[
    "hand cultivator", "rake", "drag mat", "core aerator", "slit seeder", "roller", "topdressing", "straw"
]
WAYS: tuple[WayName, ...] = (
    "hand cultivator",
    "rake",
    "drag mat",
    "core aerator",
    "slit seeder",
    "roller",
    "topdressing",
    "straw",
)


class Hand(Section):
    """A way that is done by hand."""

    section: ClassVar[str] = "contact.hand"

    pace_m2_per_s: AreaPerTime = choice("pace", ..., "Ground done in an hour, '1500 sq ft/h'.", gt=0)
    fetch_s: Time = choice("fetch_time", "5 min", "To fetch the tool and clean it (a guess).", ge=0)


class Machine(Section):
    """A way that is pushed or towed in lanes."""

    section: ClassVar[str] = "contact.machine"

    width_m: Length = choice("width", ..., "Ground that one lane works.", gt=0.05, le=30)
    speed_m_per_s: Speed = choice("speed", "3 mph", "Walking or driving speed.", gt=0.05, le=10)
    passes: int = choice("passes", 1, "How often it goes over the same ground.", ge=1, le=8)
    machine: Literal["walk-behind", "tow-behind"] = choice(
        "machine", "walk-behind", "'walk-behind' turns on the spot; 'tow-behind' needs its turning radius."
    )
    turning_radius_m: Length = choice("turning_radius", "5 ft", "Of a tow-behind.", gt=0, le=30)
    fetch_s: Time = choice("fetch_time", "30 min", "To fetch it, set it up and clean it (a guess).", ge=0)
    hire: Decimal | None = choice("hire", None, "What it costs for the job, a plain number.", ge=0)


class Laying(Section):
    """A way that lays material over the seed."""

    section: ClassVar[str] = "contact.laying"

    pace_m2_per_s: AreaPerTime | None = choice("pace", None, "Ground covered in an hour.", gt=0)
    pace_m3_per_s: Flow | None = choice(
        "volume_pace", None, "Or loose material in an hour, '1 cu yd/h'.", gt=0
    )
    fetch_s: Time = choice("fetch_time", "30 min", "To fetch the material (a guess).", ge=0)
    price: Decimal | None = choice("price", None, "Price of one bale, bag or load, a plain number.", ge=0)


class Contact(Section):
    """The ``[contact]`` section of a job file. Every pace in it is a guess until you have timed your own."""

    section: ClassVar[str] = "contact"

    ways: tuple[WayName, ...] = choice("ways", WAYS, "Ways to compare: those that you can do.", min_length=1)
    wage: Decimal | None = choice(
        "wage",
        None,
        "What an hour of work costs, a plain number; without it ways are compared by time.",
        ge=0,
    )
    hand_cultivator: Hand = choice(
        "hand_cultivator", {"pace": "300 sq ft/h"}, "Small bare spots (a guess: time your own)."
    )
    rake: Hand = choice("rake", {"pace": "1500 sq ft/h"}, "By hand (a guess: time your own).")
    drag_mat: Machine = choice(
        "drag_mat",
        {"width": "5 ft", "speed": "4 mph", "machine": "tow-behind"},
        "A mat or a piece of fence behind a tractor (sizes are common practice: measure yours).",
    )
    core_aerator: Machine = choice(
        "core_aerator",
        {"width": "20 in", "speed": "3 mph", "passes": 3},
        "Before the seed (width is common practice; the passes are of the table soil_contact).",
    )
    slit_seeder: Machine = choice(
        "slit_seeder",
        {"width": "20 in", "speed": "2 mph", "passes": 2},
        "Cuts the seed in, half the rate each way (sizes are common practice).",
    )
    roller: Machine = choice(
        "roller", {"width": "2 ft", "speed": "2.5 mph"}, "After the seed (sizes are common practice)."
    )
    topdressing: Laying = choice(
        "topdressing", {"volume_pace": "1 cu yd/h"}, "By barrow and rake (a guess: time your own)."
    )
    straw: Laying = choice("straw", {"pace": "3000 sq ft/h"}, "By hand (a guess: time your own).")
