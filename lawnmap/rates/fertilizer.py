"""What is fed: the ``[fertilizer]`` section, grades, and a nutrient target turned into product."""

from __future__ import annotations

import re
from typing import Annotated, ClassVar, Final, Literal, Self

from pydantic import AfterValidator, model_validator

from lawnmap.choices import MassPerArea, Percent, Section, choice
from lawnmap.errors import ChoiceError
from lawnmap.rates.packs import Packs
from lawnmap.yard import DENSITIES

Density = Literal["bare", "thin", "patchy", "full"]
Nutrient = Literal["N", "P2O5", "K2O", "P", "K"]

_P, _K, _O = 30.973762, 39.0983, 15.999
"""Standard atomic weights (IUPAC, abridged, 2021). [1]"""

P_IN_P2O5: Final = 2 * _P / (2 * _P + 5 * _O)
"""Phosphorus in the phosphate that a grade states: 0.4364. [1]"""

K_IN_K2O: Final = 2 * _K / (2 * _K + _O)
"""Potassium in the potash that a grade states: 0.8301. [1]"""

_GRADE: Final = re.compile(r"(\d+(?:\.\d+)?)-(\d+(?:\.\d+)?)-(\d+(?:\.\d+)?)")


def read_grade(text: str) -> tuple[float, float, float]:
    """Read a grade: percent by weight of N, P₂O₅ and K₂O.

    Parameters
    ----------
    text : str
        Three numbers with hyphens, as on the bag.

    Returns
    -------
    tuple of float
        The three as shares. [1]

    Raises
    ------
    ChoiceError
        For anything else, or more than 100 percent.

    Examples
    --------
    >>> read_grade("18-24-12")
    (0.18, 0.24, 0.12)
    """
    match = _GRADE.fullmatch("".join(text.split()))
    if match is None:
        raise ChoiceError(f'"{text}" is not a grade', mend='write the three numbers on the bag, "18-24-12"')
    n, p2o5, k2o = (float(part) / 100 for part in match.groups())
    if not 0 < n + p2o5 + k2o <= 1:
        raise ChoiceError(
            f'the grade "{text}" comes to {(n + p2o5 + k2o) * 100:g} %',
            mend="read the numbers on the bag again",
        )
    return n, p2o5, k2o


def _check_grade(text: str) -> str:
    read_grade(text)
    return "".join(text.split())


class Fertilizer(Section):
    """The ``[fertilizer]`` section of a job file."""

    section: ClassVar[str] = "fertilizer"

    grade: Annotated[str, AfterValidator(_check_grade)] = choice(
        "grade", "18-24-12", "Percent of N, P2O5 and K2O, as on the bag."
    )
    nutrient: Nutrient = choice(
        "nutrient", "N", "Which nutrient the rate is of: 'N', 'P2O5', 'K2O', or the elements 'P', 'K'."
    )
    rate_kg_per_m2: MassPerArea | None = choice(
        "rate", None, 'Nutrient to put down, "1 lb / 1000 sq ft"; the table\'s figure if left out.', gt=0
    )
    ceiling_kg_per_m2: MassPerArea | None = choice(
        "ceiling",
        None,
        'Most nitrogen (N) allowed in one dose where you are, "0.9 lb / 1000 sq ft"; a plan above it is refused.',
        gt=0,
    )
    on: tuple[Density, ...] = choice("on", DENSITIES, "Density classes that are fed.", min_length=1)
    packs: Packs = choice(
        "packs", ("50 lb", "25 lb", "15 lb"), "Sizes on sale, as in [seed] (these are common practice)."
    )
    allowance: Percent = choice("allowance", "5 %", "Bought on top of the sum (common practice).", ge=0, le=1)

    @model_validator(mode="after")
    def _check(self) -> Self:
        if not self.nutrient_share:
            raise ChoiceError(
                f"a {self.grade} fertilizer holds no {self.nutrient}",
                where="nutrient",
                mend="choose another grade or nutrient",
            )
        return self

    @property
    def nutrient_share(self) -> float:
        """Share by weight of the chosen nutrient. [1]"""
        n, p2o5, k2o = read_grade(self.grade)
        return {"N": n, "P2O5": p2o5, "K2O": k2o, "P": p2o5 * P_IN_P2O5, "K": k2o * K_IN_K2O}[self.nutrient]
