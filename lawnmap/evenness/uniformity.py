"""How even a set of catches is: coefficient of variation, Christiansen's coefficient, the low quarter."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

import numpy as np

from lawnmap.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

Deviation = Literal["sample", "population"]


def coefficient_of_variation(catch: Sequence[float], deviation: Deviation = "sample") -> float:
    """Return standard deviation over mean of catches.

    Parameters
    ----------
    catch : sequence of float
        What each tray caught. [any]
    deviation : str
        ``"sample"`` divides by n - 1, as trays are a sample of the ground; ``"population"`` by n, as
        `overlap` and the map do, which hold all of it.

    Examples
    --------
    >>> round(coefficient_of_variation([8, 10, 12]), 3)
    0.2
    """
    values = _checked(catch)
    return float(values.std(ddof=1 if deviation == "sample" else 0) / values.mean())


def christiansen(catch: Sequence[float]) -> float:
    """Return Christiansen's coefficient: one less the mean deviation over the mean.

    J. E. Christiansen, *Irrigation by Sprinkling*, California Agricultural Experiment Station
    Bulletin 670, 1942.

    Parameters
    ----------
    catch : sequence of float
        What each tray caught. [any]

    Examples
    --------
    >>> christiansen([10, 10, 10])
    1.0
    """
    values = _checked(catch)
    return float(1 - np.abs(values - values.mean()).mean() / values.mean())


def low_part(catch: Sequence[float], share: float = 0.25) -> float:
    """Return the mean of the lowest catches over the mean of all: the distribution uniformity.

    Parameters
    ----------
    catch : sequence of float
        What each tray caught. [any]
    share : float
        Which part: 0.25 for the low quarter, 0.5 for the low half. How many trays that is, is rounded,
        halves to the even number. [1]

    Examples
    --------
    >>> low_part([5, 10, 10, 15])
    0.5
    """
    values = np.sort(_checked(catch))
    count = max(1, round(len(values) * share))
    return float(values[:count].mean() / values.mean())


def _checked(catch: Sequence[float]) -> NDArray[np.float64]:
    values = np.asarray(catch, dtype=float)
    if len(values) < 2:
        raise InputError("evenness needs two trays or more", mend="set out a row of trays")
    if not (np.isfinite(values).all() and (values >= 0).all()):
        raise InputError("a catch is below zero or not a number", mend="weigh that tray again")
    if values.sum() <= 0:
        raise InputError("nothing was caught", mend="open the gate and run the test again")
    return values
