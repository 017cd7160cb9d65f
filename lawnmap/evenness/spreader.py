"""The ``[spreader]`` section of a job file: how the spreader throws, and what its test runs gave."""

from __future__ import annotations

from pathlib import Path
from typing import ClassVar, Literal, Self

from pydantic import model_validator

from lawnmap.choices import Length, Percent, Section, choice
from lawnmap.errors import ChoiceError
from lawnmap.evenness.catch import CatchTest, read_catch, typed
from lawnmap.evenness.overlap import Way
from lawnmap.evenness.score import Throwing
from lawnmap.evenness.settings import SettingCurve, TestRun, fit_settings
from lawnmap.evenness.shapes import shaped
from lawnmap.evenness.strips import LaneEnds
from lawnmap.yard import Finding


class Spreader(Section):
    """The ``[spreader]`` section of a job file."""

    section: ClassVar[str] = "spreader"

    pattern: Literal["triangle", "trapezoid", "bell", "box"] = choice(
        "pattern",
        "triangle",
        "Shape of the throw where there is no catch test: 'triangle' or 'bell' for a rotary, 'trapezoid' for one "
        "with a flat top, 'box' for a drop spreader or a boom.",
    )
    throw_m: Length | None = choice(
        "throw",
        None,
        "Whole width of the throw, from the farthest grain on the left to that on the right. Left out, the throw is "
        "the one whose half-rate points lie a swath apart.",
        gt=0.05,
        le=100,
    )
    left_share: Percent = choice(
        "left_share", "50 %", "How much of the throw's width lies left of the walking line.", gt=0.05, lt=0.95
    )
    catch: str | None = choice(
        "catch", None, "File with a catch test: a column offset_ft or offset_m, then one column per run."
    )
    trays: tuple[float, ...] = choice(
        "trays",
        (),
        "A catch test typed in: weight in each tray from left to right, the middle one on the line.",
    )
    tray_spacing_m: Length = choice("tray_spacing", "1 ft", "Distance between trays typed in.", gt=0)
    smooth: bool = choice(
        "smooth",
        False,  # noqa: FBT003  a default stands second in every choice
        "Whether to smooth the catch test, for a single run of few grains; it draws the swath out a little.",
    )
    open_late_m: Length = choice(
        "open_late", "0 ft", "How far you walk after opening the gate until material lands.", ge=0, le=10
    )
    shut_late_m: Length = choice(
        "shut_late",
        "0 ft",
        "How far you walk after shutting the gate while material still lands.",
        ge=0,
        le=10,
    )
    feather_m: Length | None = choice(
        "feather",
        None,
        "Half the length over which the rate rises at a lane end. Left out: half the swath for a rotary, as it "
        "throws to the front as well (a guess), and nothing for a box.",
        ge=0,
        le=30,
    )
    shield: bool = choice(
        "shield",
        False,  # noqa: FBT003  a default stands second in every choice
        "Whether a side shield is used along the edges.",
    )
    wander_m: Length = choice(
        "wander",
        "0.4 ft",
        "How far a lane strays from its line, as a standard deviation (a guess: no measurement of people walking to "
        "a flag was found).",
        ge=0,
        le=5,
    )
    way: Way = choice(
        "way", "back and forth", "'back and forth', or 'round and round' with every lane walked the same way."
    )
    cv_limit: Percent = choice(
        "cv_limit",
        "15 %",
        "Most variation between lanes: up to 15 % is acceptable in the field (D. Forristal, Teagasc).",
        gt=0,
        le=1,
    )
    runs: tuple[TestRun, ...] = choice(
        "runs",
        (),
        "Test runs: { setting = 5, used = '2.1 lb', area = '500 sq ft' }, at two settings or more.",
    )

    advice: bool | None = choice(
        "advice",
        None,
        "Whether the map page ranks what could be changed, each with the figure that it would reach; the lawn is "
        "laid several times over for it. Left out: where this section says how the spreader throws.",
    )
    raster: bool = choice(
        "raster",
        False,  # noqa: FBT003  a default stands second in every choice
        "Whether what lands where is written as deposit.tif as well, for a GIS.",
    )

    @model_validator(mode="after")
    def _one_throw(self) -> Self:
        if self.catch and self.trays:
            raise ChoiceError("there is a catch file and a row of trays as well", mend="keep one of the two")
        if self.pattern in {"bell", "box"} and self.left_share != 0.5:
            raise ChoiceError(
                f"a {self.pattern} has as much on the left as on the right",
                where="left_share",
                mend="choose 'triangle' or 'trapezoid', or give tray weights",
            )
        return self

    def test(self, folder: Path | None = None) -> CatchTest | None:
        """Return the catch test, if there is one.

        Parameters
        ----------
        folder : Path, optional
            Where the job file lies, from which the name of the catch file counts.
        """
        if self.catch:
            return read_catch((folder or Path()) / self.catch)
        return typed(self.trays, self.tray_spacing_m) if self.trays else None

    def throwing(self, swath_m: float, folder: Path | None = None) -> Throwing:
        """Return how the spreader throws: its pattern, its lane ends, its shield.

        Parameters
        ----------
        swath_m : float
            Distance between lanes, for a throw whose width is not known. [m]
        folder : Path, optional
            Where the job file lies.
        """
        test = self.test(folder)
        if test is not None:
            pattern = test.pattern(smooth=self.smooth)
        else:
            unit = shaped(self.pattern, 1.0, left_share=self.left_share)
            wide = swath_m if self.throw_m is None else self.throw_m / unit.width_m
            pattern = shaped(self.pattern, wide, left_share=self.left_share)
        sharp = test is None and self.pattern == "box"
        guessed = 0.0 if sharp else pattern.effective_swath_m / 2
        feather = guessed if self.feather_m is None else self.feather_m
        return Throwing(
            pattern, LaneEnds(self.open_late_m, self.shut_late_m, feather), self.shield, self.cv_limit
        )

    @property
    def wants_advice(self) -> bool:
        """Whether what could be changed is to be ranked."""
        return bool(self.model_fields_set - {"raster"}) if self.advice is None else self.advice

    def curve(self) -> SettingCurve | None:
        """Return the curve through the test runs, if there are any."""
        return fit_settings(self.runs) if self.runs else None

    def findings(self, folder: Path | None = None) -> tuple[Finding, ...]:
        """Return what the user should know about the catch test and the test runs.

        Parameters
        ----------
        folder : Path, optional
            Where the job file lies.
        """
        test, curve = self.test(folder), self.curve()
        return (*(test.findings() if test else ()), *(curve.findings() if curve else ()))
