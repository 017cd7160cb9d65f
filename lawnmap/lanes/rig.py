"""What is pushed or towed over the lawn, and how the user wants it to go."""

from __future__ import annotations

from math import ceil
from typing import ClassVar, Final, Literal

from lawnmap.choices import Length, Mass, Section, Speed, Time, choice

CLEARANCE: Final = 0.1
"""How far ways keep from an edge, where lanes do as well. [swaths]"""

MOST_ROUNDS: Final = 3

Passes = Literal["one direction", "two directions", "half spacing"]

Together = Literal["quicker", "one by one", "together"]

Machine = Literal["walk-behind", "tow-behind"]


class Rig(Section):
    """The ``[rig]`` section of a job file."""

    section: ClassVar[str] = "rig"

    swath_m: Length = choice(
        "swath",
        "6 ft",
        "Distance between lanes: the effective swath, not the width of the throw. Measure it with trays.",
        gt=0.05,
        le=60,
    )
    passes: Passes = choice(
        "passes",
        "two directions",
        "How the rate is split: 'one direction' at full rate, 'two directions' at half rate crosswise, or "
        "'half spacing' at half rate with lanes half a swath apart.",
    )
    hopper_kg: Mass = choice("hopper", "50 lb", "What the hopper holds of the product.", gt=0)
    machine: Machine = choice(
        "machine",
        "walk-behind",
        "'walk-behind' turns on the spot; 'tow-behind' needs its turning radius.",
    )
    turning_radius_m: Length = choice(
        "turning_radius",
        "5 ft",
        "Least turning radius of a tow-behind, to the middle of the swath.",
        gt=0,
        le=30,
    )
    reverse: bool = choice(
        "reverse",
        default=False,
        about="Whether a tow-behind may back up once in a turn, where that is shorter.",
    )
    speed_m_per_s: Speed = choice("speed", "3 mph", "Walking or driving speed.", gt=0.05, le=10)
    turn_s: Time = choice("turn_time", "4 s", "Time lost at each turn (a guess: time your own).", ge=0)
    headland_loops: int = choice(
        "headland_loops",
        1,
        "How often to go round the edge and every obstacle first, 0 to 3; left out, a tow-behind goes round as often "
        "as its turns need.",
        ge=0,
        le=3,
    )
    lane_end: float = choice(
        "lane_end",
        0.5,
        "Where a lane ends on a slanted edge: 0 stops where the middle of the swath meets it, 1 runs on until "
        "the whole swath has.",
        ge=0,
        le=1,
    )
    direction: float | str = choice(
        "direction",
        "best",
        "Direction of the lanes: 'best', degrees counter-clockwise from east, or the name of a wall landmark to "
        "walk along.",
    )
    zone_directions: dict[str, float | str] = choice(
        "zone_directions", {}, 'The same for single zones by name: { "back" = 90 }.'
    )
    zones: Together = choice(
        "zones",
        "quicker",
        "How zones that touch are worked: 'one by one', each at its setting; 'together', with the setting changed "
        "where one ends; or 'quicker': together where that saves a tenth of the time, as each change may go wrong.",
    )
    start: str = choice(
        "start",
        "",
        "Name of the landmark where the walk begins; else the refill point or a gate, if there is one.",
    )
    refill_s: Time = choice(
        "refill_time", "2 min", "Time to fill the hopper once (a guess: time your own).", ge=0
    )
    time_cap_s: Time = choice(
        "time_cap", "20 s", "How long to look for good ways and orders; the best so far is kept.", gt=0
    )
    setting_change_s: Time = choice(
        "setting_change_time",
        "20 s",
        "Time to stop in a lane, change the spreader's setting and go on (a guess: time your own).",
        ge=0,
    )
    stake_every: int = choice(
        "stake_every", 4, "Every how many lanes a stake is set out, 3 to 5; 0 for none.", ge=0, le=10
    )
    stake_rounding_m: Length = choice(
        "stake_rounding", "1 in", "What taped distances are rounded to: '1 in' or '1 cm'.", gt=0, le=0.5
    )
    tape_m: Length = choice("tape", "100 ft", "Length of the tape.", gt=1)
    stake_sigma_m: Length = choice(
        "stake_error", "1 in", "Standard error of one taped distance (a guess: tape one twice).", gt=0, le=1
    )

    @property
    def turn_depth_m(self) -> float:
        """How far a U turn reaches beyond the end of a lane; nothing for what turns on the spot. [m]"""
        return self.turning_radius_m if self.machine == "tow-behind" else 0.0

    @property
    def rounds_needed(self) -> int:
        """How many rounds leave room for a U turn, the middle of the machine kept clear of the edge. [count]"""
        if not self.turn_depth_m:
            return 1
        return max(ceil(self.turn_depth_m / self.swath_m + CLEARANCE - 1e-9), 1)

    @property
    def rounds(self) -> int:
        """How often one goes round: as stated, or as the turns need, three times at most. [count]"""
        if "headland_loops" in self.model_fields_set or not self.turn_depth_m:
            return self.headland_loops
        return max(self.headland_loops, min(self.rounds_needed, MOST_ROUNDS))
