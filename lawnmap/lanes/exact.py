"""The very shortest order of a few lanes.

By dynamic programming over all sets of lanes walked so far and the end at which one stands (M. Held and R. M.
Karp, *A dynamic programming approach to sequencing problems*, Journal of SIAM 10, 1962); sets of one size are
worked out together.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Final

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

FEW: Final = 9
"""Lanes up to which the order is exact: more sets than that take longer than they save. [count]"""


def shortest_order(cost: NDArray[np.float64]) -> list[int]:
    """Return the walk through all lanes whose ways are shortest together.

    Parameters
    ----------
    cost : array, shape (2n + 2, 2n + 2)
        Length of the way between all ends; those of lane i are 2i and 2i + 1, the last row is the start. [m]

    Returns
    -------
    list of int
        Ends in walking order. [index]
    """
    count = len(cost) // 2 - 1
    ends = np.arange(2 * count)
    way = cost[:-2, :-2]
    least = np.full((1 << count, 2 * count), np.inf)
    came = np.zeros((1 << count, 2 * count), dtype=np.intp)
    least[1 << ends // 2, ends ^ 1] = cost[-1, :-2]  # entered at one end, one stands at the other
    for sets, entered, reached in _layers(count):
        gone = least[sets][:, :, None] + way
        last = gone.argmin(axis=1)
        rows, _ = np.indices(last.shape, sparse=True)
        total = gone[rows, last, ends]
        least[reached, ends ^ 1] = np.where(entered, total, least[reached, ends ^ 1])
        came[reached, ends ^ 1] = np.where(entered, last, came[reached, ends ^ 1])
    walk: list[int] = []
    done, end = (1 << count) - 1, int(np.argmin(least[-1]))
    while done:
        walk += [end, end ^ 1]
        done, end = done ^ 1 << end // 2, int(came[done, end])
    return walk[::-1]


@lru_cache(maxsize=FEW + 1)
def _layers(
    count: int,
) -> list[tuple[NDArray[np.intp], NDArray[np.bool_], NDArray[np.intp]]]:
    """Return for each size the sets of lanes, which ends may be entered next, and the set that this makes."""
    every = np.arange(1 << count)
    size = sum((every >> lane & 1 for lane in range(count)), start=np.zeros_like(every))
    bits = 1 << np.arange(2 * count) // 2
    found = []
    for number in range(1, count):
        sets = every[size == number]
        entered = (sets[:, None] & bits) == 0
        found.append((sets, entered, sets[:, None] | bits))
    return found
