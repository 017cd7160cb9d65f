"""What is sown and how much of it: the ``[seed]`` section, and pure live seed from the label."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal, Self

from pydantic import BeforeValidator, model_validator

from lawnmap.choices import MassPerArea, Percent, Section, choice
from lawnmap.errors import ChoiceError, nearest
from lawnmap.rates.packs import Packs
from lawnmap.rates.species import known_name, species_names

_LABEL_ROUNDING = 0.0005
"""Labels print hundredths of a percent; a sum may be off by five of them. [1]"""


def _shares(value: object) -> object:
    """Let one species stand for all of the seed. From a file, a share needs its percent sign."""
    return {value: "100 %"} if isinstance(value, str) else value


def _several(value: object) -> object:
    return tuple(value) if isinstance(value, list | tuple) else (value,)


Blend = Annotated[dict[str, Percent], BeforeValidator(_shares)]
Parts = Annotated[tuple[Percent, ...], BeforeValidator(_several)]


class Factors(Section):
    """Share of the new-lawn rate that each density class gets."""

    section: ClassVar[str] = "seed.factors"

    bare: float = choice("bare", 1.0, "Share for bare ground.", ge=0, le=3)
    thin: float = choice("thin", 1.0, "Share for a thin stand.", ge=0, le=3)
    patchy: float = choice("patchy", 0.5, "Share for a patchy stand.", ge=0, le=3)
    full: float = choice("full", 0.0, "Share for a full stand.", ge=0, le=3)

    def of(self, density: str) -> float:
        """Return the share for one density class. [1]"""
        return {"bare": self.bare, "thin": self.thin, "patchy": self.patchy, "full": self.full}[density]


class Seed(Section):
    """The ``[seed]`` section of a job file."""

    section: ClassVar[str] = "seed"

    species: Blend = choice(
        "species",
        "tall fescue",
        'One species, or a blend by weight: { "tall fescue" = "90 %", "Kentucky bluegrass" = "10 %" }.',
    )
    level: Literal["low", "typical", "high"] = choice(
        "level", "typical", "Which figure of the published range to take: 'low', 'typical' or 'high'."
    )
    rate_kg_per_m2: MassPerArea | None = choice(
        "rate", None, 'Your own rate for bare ground instead of the table\'s, "7 lb / 1000 sq ft".', gt=0
    )
    rate_means: Literal["pure live seed", "as bagged"] = choice(
        "rate_means",
        "pure live seed",
        "What the rate counts, where the label below is given: 'pure live seed' raises it for what will not "
        "grow, 'as bagged' leaves it.",
    )
    purity: Parts = choice(
        "purity", (), 'Pure seed on the label, "97.5 %"; a list where the label names several varieties.'
    )
    germination: Parts = choice("germination", (), "Germination on the label, one for each purity.")
    hard_seed: Percent = choice(
        "hard_seed", "0 %", "Hard seed on the label: alive, and added to the germination.", ge=0, lt=1
    )
    crop: Percent | None = choice("crop", None, 'Other crop seed on the label, "0.5 %".', ge=0, le=1)
    inert: Percent | None = choice("inert", None, "Inert matter on the label.", ge=0, le=1)
    weed: Percent | None = choice("weed", None, "Weed seed on the label.", ge=0, le=1)
    factors: Factors = choice(
        "factors",
        {"bare": 1.0, "thin": 1.0, "patchy": 0.5, "full": 0.0},
        "Share of the rate for bare ground that each density class gets.",
    )
    packs: Packs = choice(
        "packs",
        ("50 lb", "25 lb", "10 lb", "5 lb"),
        'Sizes on sale (these are common practice), or with prices [{ size = "50 lb", price = 120 }].',
    )
    allowance: Percent = choice(
        "allowance",
        "5 %",
        "Bought on top of the sum, for spills and the last corner (common practice).",
        ge=0,
        le=1,
    )

    @model_validator(mode="after")
    def _check(self) -> Self:
        _check_blend(self)
        _check_label(self)
        return self

    @property
    def blend(self) -> dict[str, float]:
        """Share by weight of each species, named as the tables name it where they hold it. [1]"""
        return {known_name(name) or name: share for name, share in self.species.items()}

    @property
    def name(self) -> str:
        """What to call the seed."""
        names = list(self.blend)
        if len(names) == 1:
            return names[0]
        return " + ".join(f"{share * 100:g} % {name}" for name, share in self.blend.items())

    @property
    def live_share(self) -> float | None:
        """Pure live seed in what is bought, from the label; None without one. [1]

        Purity times germination, hard seed counted as alive; summed over the varieties of a mixture
        (*Pure live seed*, Texas Department of Transportation).
        """
        if not self.purity:
            return None
        pairs = zip(self.purity, self.germination, strict=True)
        return sum(pure * (sprouts + self.hard_seed) for pure, sprouts in pairs)


def _check_blend(seed: Seed) -> None:
    whole = sum(seed.species.values())
    if abs(whole - 1) > _LABEL_ROUNDING or min(seed.species.values()) <= 0:
        raise ChoiceError(
            f"the parts of the blend come to {whole * 100:g} %",
            where="species",
            mend="give each a share above 0 so that they sum to 100 %",
        )
    if seed.rate_kg_per_m2 is None:
        for name in seed.species:
            if known_name(name) is None:
                raise ChoiceError(
                    f'"{name}" is not a species in the tables',
                    where="species",
                    mend=nearest(name, species_names()).removesuffix("?") + ", or give your own rate",
                )
    if len(seed.blend) < len(seed.species):
        raise ChoiceError("the blend names one species twice", where="species", mend="add up its shares")


def _check_label(seed: Seed) -> None:
    if len(seed.purity) != len(seed.germination):
        raise ChoiceError(
            f"the label has {len(seed.purity)} figures for purity and {len(seed.germination)} for germination",
            where="germination",
            mend="give one germination for each purity",
        )
    for key, parts in (("purity", seed.purity), ("germination", seed.germination)):
        if any(not 0 < part <= 1 for part in parts):
            raise ChoiceError(
                "a share on the label is not between 0 and 100 %", where=key, mend="read it again"
            )
    if any(part + seed.hard_seed > 1 for part in seed.germination):
        raise ChoiceError(
            "germination and hard seed are more than 100 %", where="hard_seed", mend="read the label again"
        )
    rest = (seed.crop, seed.inert, seed.weed)
    pure = sum(seed.purity)
    if all(part is None for part in rest):
        if pure > 1 + _LABEL_ROUNDING:
            raise ChoiceError(
                f"pure seed comes to {pure * 100:g} %", where="purity", mend="read the label again"
            )
        return
    whole = pure + sum(part or 0.0 for part in rest)
    if abs(whole - 1) > _LABEL_ROUNDING + 1e-12:
        raise ChoiceError(
            f"pure seed, other crop, inert matter and weed seed on the label come to {whole * 100:g} %, not 100 %",
            where="purity",
            mend="read the label again",
        )
