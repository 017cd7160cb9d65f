"""The ``[record]`` section of a job file: how a plan starts from the log of what was done before."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from lawnmap.choices import MassPerArea, Section, choice
from lawnmap.record.logfile import LOG_FILE

if TYPE_CHECKING:
    from collections.abc import Mapping


class Follow(Section):
    """The ``[record]`` section of a job file. Without it a plan takes no notice of the log."""

    section: ClassVar[str] = "record"

    log: str = choice("log", LOG_FILE, "The log, beside the job file.", min_length=1)
    year: int | None = choice(
        "year",
        None,
        "Year whose doses count toward yearly limits; that of the newest entry if left out.",
        ge=1900,
        le=2200,
    )
    stock: bool = choice(
        "stock", default=True, about="Whether what is left of logged purchases is taken off what to buy."
    )
    stand: bool = choice(
        "stand", default=True, about="Whether zones take their density from the last cover in the log."
    )
    applied: bool = choice(
        "applied",
        default=True,
        about="Whether sprays of the year in the log count toward the yearly maximum of a label.",
    )
    nitrogen_kg_per_m2: MassPerArea | None = choice(
        "nitrogen_limit", None, 'Most N in a year where you are, "3 lb / 1000 sq ft".', gt=0
    )
    phosphate_kg_per_m2: MassPerArea | None = choice(
        "phosphate_limit", None, "Most P2O5 in a year where you are.", gt=0
    )
    potash_kg_per_m2: MassPerArea | None = choice(
        "potash_limit", None, "Most K2O in a year where you are.", gt=0
    )

    @property
    def limits(self) -> Mapping[str, float]:
        """Yearly limits that the user gave, by nutrient. [kg/m²]"""
        given = {"N": self.nitrogen_kg_per_m2, "P2O5": self.phosphate_kg_per_m2, "K2O": self.potash_kg_per_m2}
        return {name: limit for name, limit in given.items() if limit is not None}
