"""What one swath leaves on the ground across the walking line, as straight pieces that integrate exactly."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from lawnmap.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

_SAME = 1e-12
"""Knots closer than this share of the width are one knot."""


@dataclass(frozen=True, eq=False)
class Pattern:
    """Rate across one swath, as a share of the throw per metre of width.

    The rate runs straight from knot to knot and is nothing outside; where it jumps, the knot stands
    twice. Sums, mirror images and means over a cell of such a pattern are exact.

    Attributes
    ----------
    offset_m : array, shape (n,)
        Knots across the walking line, left of it negative, rising. [m]
    density_per_m : array, shape (n,)
        Share of the throw that lands per metre of width; its integral is 1. [1/m]
    shape : str
        What it is: ``"triangle"``, ``"catch test"`` and so on.
    """

    offset_m: NDArray[np.float64] = field(repr=False)
    density_per_m: NDArray[np.float64] = field(repr=False)
    shape: str = "drawn"

    def __post_init__(self) -> None:
        offset = np.array(self.offset_m, dtype=float)
        density = np.array(self.density_per_m, dtype=float)
        where = f"spread pattern ({self.shape})"
        if offset.ndim != 1 or offset.shape != density.shape or len(offset) < 2:
            raise InputError(
                "a pattern needs two points or more, each with a rate",
                where=where,
                mend="add trays to the row",
            )
        if not (np.isfinite(offset).all() and np.isfinite(density).all()):
            raise InputError("a value is not a number", where=where, mend="correct or leave out that tray")
        if (density < 0).any():
            raise InputError(
                f"a rate is below zero ({density.min():g})", where=where, mend="weigh that tray again"
            )
        if (np.diff(offset) < 0).any() or offset[-1] <= offset[0]:
            raise InputError(
                "the points do not run from left to right", where=where, mend="put them in order"
            )
        mass = float(np.trapezoid(density, offset))
        if mass <= 0:
            raise InputError("nothing was caught", where=where, mend="open the gate and run the test again")
        object.__setattr__(self, "offset_m", offset)
        object.__setattr__(self, "density_per_m", density / mass)
        offset.flags.writeable = False
        self.density_per_m.flags.writeable = False

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Pattern) and self._key() == other._key()

    def __hash__(self) -> int:
        return hash(self._key())

    def _key(self) -> tuple[bytes, bytes, str]:
        return self.offset_m.tobytes(), self.density_per_m.tobytes(), self.shape

    @property
    def left_m(self) -> float:
        """How far the throw reaches to the left, as an offset. [m]"""
        return float(self.offset_m[0])

    @property
    def right_m(self) -> float:
        """How far the throw reaches to the right. [m]"""
        return float(self.offset_m[-1])

    @property
    def width_m(self) -> float:
        """Whole width of the throw. [m]"""
        return self.right_m - self.left_m

    @property
    def reach_m(self) -> float:
        """How far it reaches to the wider side. [m]"""
        return max(abs(self.left_m), abs(self.right_m))

    @property
    def centre_m(self) -> float:
        """Offset of the middle of the material; off-centre to the right is positive. [m]"""
        u, p = self.offset_m, self.density_per_m
        # the exact first moment of a straight piece
        return float(np.sum(np.diff(u) * (u[:-1] * (2 * p[:-1] + p[1:]) + u[1:] * (p[:-1] + 2 * p[1:]))) / 6)

    @property
    def left_share(self) -> float:
        """Share of the material that lands left of the walking line. [1]"""
        return float(self.cumulative(np.zeros(1))[0])

    @property
    def energy_per_m(self) -> float:
        """Integral of the square, which the sums of overlap and wander rest on. [1/m]"""
        return square_integral(self.offset_m, self.density_per_m[:-1], self.density_per_m[1:])

    @property
    def half_rate_m(self) -> tuple[float, float]:
        """Outermost offsets, left and right, at which the rate is half the highest. [m]"""
        half = self.density_per_m.max() / 2
        return (
            _first_crossing(self.offset_m, self.density_per_m, half),
            -_first_crossing(-self.offset_m[::-1], self.density_per_m[::-1], half),
        )

    @property
    def effective_swath_m(self) -> float:
        """Distance between the two half-rate points. [m]

        "Twice the distance out from the center of the pattern to the point where the rate is one-half
        the average rate at the center" (Ohio State University Extension, Bulletin 817, section
        b817_13), measured on both sides so that it holds for a lopsided throw as well. Exact for
        triangles and trapezoids: lanes laid so far apart add up to one rate.
        """
        left, right = self.half_rate_m
        return right - left

    def density(self, offset_m: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the rate at offsets; at a jump the mean of both sides.

        Parameters
        ----------
        offset_m : array
            Across the walking line. [m]

        Returns
        -------
        array
            Share per metre of width. [1/m]
        """
        return (self._side(offset_m, "left") + self._side(offset_m, "right")) / 2

    def cumulative(self, offset_m: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the share of the throw that lands left of offsets, exactly.

        Parameters
        ----------
        offset_m : array
            Across the walking line. [m]

        Returns
        -------
        array
            From 0 to 1. [1]
        """
        u, p = self.offset_m, self.density_per_m
        width = np.diff(u)
        slope = np.divide(np.diff(p), width, out=np.zeros_like(width), where=width > 0)
        before = np.concatenate([[0.0], np.cumsum(width * (p[:-1] + p[1:]) / 2)])
        at = np.clip(offset_m, u[0], u[-1])
        piece = np.clip(np.searchsorted(u, at, side="right") - 1, 0, len(width) - 1)
        run = at - u[piece]
        total: NDArray[np.float64] = before[piece] + run * (p[piece] + slope[piece] * run / 2)
        return total

    def spectrum(self, frequency_per_m: NDArray[np.float64]) -> NDArray[np.complex128]:
        """Return the Fourier transform at frequencies other than nought; it is 1 there.

        The transform of straight pieces is a sum over their kinks and jumps.

        Parameters
        ----------
        frequency_per_m : array, shape (k,)
            Cycles per metre. [1/m]
        """
        kink, jump = self._bends()
        omega = 2j * np.pi * frequency_per_m[:, None]
        wave = np.exp(-omega * self.offset_m)
        transform: NDArray[np.complex128] = (wave @ kink) / omega[:, 0] ** 2 + (wave @ jump) / omega[:, 0]
        return transform

    def correlation(self, shift_m: NDArray[np.float64], *, mirrored: bool = False) -> NDArray[np.float64]:
        """Return the integral of the pattern times itself moved aside, exactly. [1/m]

        Each pair of bends gives one term: a cube for two kinks, a square for kink and jump, a straight line for
        two jumps (the fourth integral of their product; derived here).

        Parameters
        ----------
        shift_m : array
            How far it is moved. [m]
        mirrored : bool
            Whether the one that is moved is thrown the other way round.
        """
        kink, jump = self._bends()
        u, turn = self.offset_m, -1.0 if mirrored else 1.0
        apart = shift_m[..., None, None] + turn * u - u[:, None]
        cube, line = np.outer(kink, kink) / 12, turn * np.outer(jump, jump) / 2
        square = (np.outer(jump, kink) - turn * np.outer(kink, jump)) / 4
        terms = np.abs(apart) * (cube * apart**2 + square * apart - line)
        total: NDArray[np.float64] = terms.sum(axis=(-2, -1))
        return total

    @property
    def largest_term_per_m(self) -> float:
        """How large the terms of `correlation` can be together, before they cancel out. [1/m]"""
        kink, jump = (float(np.abs(bend).sum()) for bend in self._bends())
        return self.width_m * (kink * self.width_m + jump) ** 2

    def _bends(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """By how much slope and rate change at each knot. [1/m², 1/m]"""
        u, p = self.offset_m, self.density_per_m
        width = np.diff(u)
        slope = np.divide(np.diff(p), width, out=np.zeros_like(width), where=width > 0)
        kink = np.diff(np.concatenate([[0.0], slope, [0.0]]))
        jump = np.concatenate([[p[0]], np.where(width <= 0, np.diff(p), 0.0)])
        jump[-1] -= p[-1]
        return kink, jump

    def mirrored(self) -> Pattern:
        """Return the pattern seen from the other end of the lawn."""
        return Pattern(-self.offset_m[::-1], self.density_per_m[::-1], self.shape)

    def shifted(self, by_m: float) -> Pattern:
        """Return the pattern thrown further to the right.

        Parameters
        ----------
        by_m : float
            How far; negative is to the left. [m]
        """
        return Pattern(self.offset_m + by_m, self.density_per_m, self.shape)

    def shielded(self, edge_m: float) -> Pattern:
        """Return the pattern with a shield on the right that throws back what would pass it.

        Parameters
        ----------
        edge_m : float
            Offset of the shield. [m]
        """
        keep = self.offset_m <= edge_m
        cut = Pattern._cut(self, edge_m)
        if keep.all() or cut is None:
            return self
        back = (2 * edge_m - self.offset_m[~keep][::-1], self.density_per_m[~keep][::-1])
        edge = float(self._side(np.array([edge_m]), "right")[0])
        folded = (np.append(back[0], edge_m), np.append(back[1], edge))
        return add_up([cut, folded], f"{self.shape} with a shield")

    def _cut(self, edge_m: float) -> tuple[NDArray[np.float64], NDArray[np.float64]] | None:
        """The knots up to an edge, closed by one on it."""
        keep = self.offset_m <= edge_m
        if not keep.any():
            return None
        edge = float(self._side(np.array([edge_m]), "left")[0])
        return np.append(self.offset_m[keep], edge_m), np.append(self.density_per_m[keep], edge)

    def _side(self, offset_m: NDArray[np.float64], side: str) -> NDArray[np.float64]:
        return one_side(self.offset_m, self.density_per_m, offset_m, side)

    def to_dict(self) -> dict[str, object]:
        """Return the knots and the figures that describe them as a mapping."""
        return {
            "shape": self.shape,
            "offset_m": self.offset_m.round(6).tolist(),
            "density_per_m": self.density_per_m.round(9).tolist(),
            "width_m": self.width_m,
            "effective_swath_m": self.effective_swath_m,
            "centre_m": self.centre_m,
            "left_share": self.left_share,
        }


def one_side(
    knot: NDArray[np.float64], value: NDArray[np.float64], at: NDArray[np.float64], side: str
) -> NDArray[np.float64]:
    """Return straight pieces just left or just right of points; nothing outside.

    Parameters
    ----------
    knot, value : array, shape (n,)
        The pieces. [any]
    at : array
        Where to read them, in the unit of the knots. [any]
    side : str
        ``"left"`` or ``"right"``: from where a jump is approached.
    """
    end = np.searchsorted(knot, at, side="right" if side == "right" else "left")
    inside = (end > 0) & (end < len(knot))
    end = np.clip(end, 1, len(knot) - 1)
    width = knot[end] - knot[end - 1]
    share = np.divide(at - knot[end - 1], width, out=np.zeros_like(width), where=width > 0)
    read: NDArray[np.float64] = np.where(inside, value[end - 1] + share * (value[end] - value[end - 1]), 0.0)
    return read


def add_up(parts: Iterable[tuple[NDArray[np.float64], NDArray[np.float64]]], shape: str) -> Pattern:
    """Return the sum of several runs of straight pieces as one pattern.

    Parameters
    ----------
    parts : iterable of (array, array)
        Offsets and rates of each, as `Pattern` holds them. [m, 1/m]
    shape : str
        What to call the sum.
    """
    parts = list(parts)
    knot = merge(np.concatenate([offset for offset, _ in parts]))
    left, right = sums_at(parts, knot)
    density = np.column_stack([left, right]).ravel()
    offset = np.repeat(knot, 2)
    twice = np.append(np.ones(1, bool), (np.diff(offset) > 0) | (np.diff(density) != 0))
    # nothing lands outside the outermost knots
    offset, density = offset[1:-1], density[1:-1]
    twice = twice[1:-1]
    twice[0] = True
    return Pattern(offset[twice], density[twice], shape)


def sums_at(
    parts: Iterable[tuple[NDArray[np.float64], NDArray[np.float64]]], knot: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the sum of straight pieces just left and just right of knots.

    Parameters
    ----------
    parts : iterable of (array, array)
        Offsets and rates of each. [m, 1/m]
    knot : array, shape (n,)
        Where to add them up; knots of a part within a hair of one of these count as on it. [m]
    """
    left, right = np.zeros_like(knot), np.zeros_like(knot)
    for offset, value in parts:
        on = snap(offset, knot)
        left += one_side(on, value, knot, "left")
        right += one_side(on, value, knot, "right")
    return left, right


def merge(offset_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return offsets in order, those within a hair of each other counted once.

    Parameters
    ----------
    offset_m : array, shape (n,)
        Any offsets. [m]
    """
    ordered = np.unique(offset_m)
    hair = _SAME * max(1.0, float(np.abs(ordered).max()))
    apart: NDArray[np.float64] = ordered[np.append(True, np.diff(ordered) > hair)]
    return apart


def snap(offset: NDArray[np.float64], knot: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return offsets moved on to the nearest knot where they are within a hair of it.

    Parameters
    ----------
    offset, knot : array, shape (n,)
        Both rising. [m]
    """
    near = np.clip(np.searchsorted(knot, offset), 1, len(knot) - 1)
    near -= offset - knot[near - 1] < knot[near] - offset
    hair = 4 * _SAME * max(1.0, float(np.abs(knot).max()))
    moved: NDArray[np.float64] = np.where(np.abs(knot[near] - offset) < hair, knot[near], offset)
    return moved


def square_integral(
    knot: NDArray[np.float64], first: NDArray[np.float64], last: NDArray[np.float64]
) -> float:
    """Return the integral of the square of straight pieces.

    Parameters
    ----------
    knot : array, shape (n,)
        Ends of the pieces. [m]
    first, last : array, shape (n - 1,)
        Value at both ends of each piece. [any]
    """
    return float(np.sum(np.diff(knot) * (first * first + first * last + last * last)) / 3)


def _first_crossing(offset: NDArray[np.float64], density: NDArray[np.float64], level: float) -> float:
    """Where the rate first reaches a level, coming from the left."""
    at = int(np.argmax(density >= level))
    if at == 0:
        return float(offset[0])
    rise = density[at] - density[at - 1]
    return float(offset[at - 1] + (level - density[at - 1]) / rise * (offset[at] - offset[at - 1]))
