"""How the ground is graded and measured where the yard file leaves it open."""

from __future__ import annotations

from typing import ClassVar, Literal, Self

from pydantic import model_validator

from lawnmap.choices import Area, Length, Percent, Section, choice
from lawnmap.yard import DensityTable

Density = Literal["bare", "thin", "patchy", "full"]


class Ground(Section):
    """The ``[ground]`` section of a job file.

    Sources of the defaults: the setback of 20 ft is New York, Environmental Conservation Law § 17-2103 (3)(c),
    for fertilizer beside surface water; Vermont, Act 37 of 2011, asks for 25 ft, and towns differ. That bare
    spots of up to 100 sq ft are seeded by hand is *common practice*. The cover table is that of
    `lawnmap.yard.DensityTable`, with its sources.
    """

    section: ClassVar[str] = "ground"

    default_density: Density = choice(
        "default_density", "thin", "Class of a zone that states neither its density nor its cover."
    )
    thin_from: Percent = choice(
        "thin_from",
        "15 %",
        "Least cover of desirable grass that is thin; below it the ground is bare.",
        gt=0,
        le=1,
    )
    patchy_from: Percent = choice("patchy_from", "50 %", "Least cover that is patchy.", gt=0, le=1)
    full_from: Percent = choice("full_from", "80 %", "Least cover that is full.", gt=0, le=1)
    vertex_accuracy_m: Length | None = choice(
        "vertex_accuracy",
        None,
        "Standard error of one coordinate of one corner, in place of what the yard file tells.",
        ge=0,
    )
    water_setback_m: Length = choice(
        "water_setback",
        "20 ft",
        "Strip along water that gets seed but no fertilizer, where the yard file states none. 20 ft is New York's "
        "law; local ordinances differ, so look yours up.",
        ge=0,
    )
    hand_spot_m2: Area = choice(
        "hand_spot", "100 sq ft", "Bare zones up to this size are seeded by hand.", ge=0
    )

    @model_validator(mode="after")
    def _rises(self) -> Self:
        _ = self.density_table  # refuses percentages that do not rise
        return self

    @property
    def density_table(self) -> DensityTable:
        """Where each class of density begins."""
        return DensityTable(
            *(round(100 * share, 9) for share in (self.thin_from, self.patchy_from, self.full_from))
        )
