"""From the sheet to the ground: a scale or a transformation by least squares, with what it misses by.

The sheet has its origin at the lower left and runs right and up, in pixels or points; the ground is in
metres east and north. References:

1. R. E. Deakin, *Coordinate Transformations for Cadastral Surveying*, RMIT University, 2007: similarity and
   affine transformation by least squares, residuals and their root mean square.
2. R. Hartley and A. Zisserman, *Multiple View Geometry in Computer Vision*, 2nd ed., Cambridge 2003, section 4.4:
   the normalised direct linear transformation for a projective map. *from memory*
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from lawnmap.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

Kind = Literal["scale", "similarity", "affine", "projective"]

NEEDED: Final[dict[str, int]] = {"similarity": 2, "affine": 3, "projective": 4}
"""Control points that fix each kind exactly; with one more there are residuals to judge it by."""

SLANT_LIMIT: Final = 0.03
"""Misfit of a known length, or difference of the scales of the two axes, from which a slanted photo or a wrong
entry is suspected. *common practice* [1]"""


@dataclass(frozen=True, eq=False)
class Fit:
    """How the sheet lies on the ground.

    Attributes
    ----------
    kind : str
        ``scale``, ``similarity``, ``affine`` or ``projective``.
    matrix : array, shape (3, 3)
        Homogeneous map from (right, up, 1) on the sheet to (east, north, 1) on the ground. [m]
    residuals_m : array, shape (n,)
        Distance by which each known length or control point is missed. [m]
    rms_m : float
        Root of the mean square of the residuals. [m]
    worst : float
        Largest misfit of a known length, relative; 0 for control points. [1]
    warnings : tuple of str
        What makes the fit doubtful.
    """

    kind: Kind
    matrix: NDArray[np.float64]
    residuals_m: NDArray[np.float64]
    rms_m: float
    worst: float = 0.0
    warnings: tuple[str, ...] = field(default=())

    def apply(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Turn sheet coordinates into ground coordinates.

        Parameters
        ----------
        points : array, shape (n, 2) = [right, up]
            Points on the sheet. [sheet units]

        Returns
        -------
        array, shape (n, 2) = [east, north]
            Points on the ground. [m]
        """
        return _project(self.matrix, np.asarray(points, dtype=float))

    def metres_per_unit(self, point: tuple[float, float]) -> float:
        """Return the length on the ground of one unit of the sheet around a point. [m]"""
        here = np.array([point, (point[0] + 1, point[1]), (point[0], point[1] + 1)])
        ground = self.apply(here)
        return float(np.sqrt(abs(np.linalg.det(ground[1:] - ground[0]))))

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as JSON values."""
        return {
            "kind": self.kind,
            "matrix": self.matrix.tolist(),
            "residuals_m": self.residuals_m.tolist(),
            "rms_m": self.rms_m,
            "worst": self.worst,
            "warnings": list(self.warnings),
        }


def fit_lengths(lines: NDArray[np.float64], lengths_m: Sequence[float]) -> Fit:
    """Fit one scale to known lengths.

    The scale s makes the sum of squares of (length - s · drawn) least: s = Σ p L / Σ p².

    Parameters
    ----------
    lines : array, shape (n, 2, 2) = [line, end, (right, up)]
        Ends on the sheet. [sheet units]
    lengths_m : sequence of float
        Their lengths on the ground. [m]

    Raises
    ------
    InputError
        Without a line, or with one of no length.
    """
    lines, lengths = np.asarray(lines, dtype=float), np.asarray(lengths_m, dtype=float)
    if len(lines) == 0 or len(lines) != len(lengths):
        raise InputError("no known length is given", mend="click both ends of one length and type it")
    drawn = np.hypot(*(lines[:, 1] - lines[:, 0]).T)
    if not (np.all(np.isfinite(lengths)) and np.all(lengths > 0) and np.all(drawn > 0)):
        raise InputError(
            "a known length is zero or not a number", mend="click two different points and type a length"
        )
    scale = float(drawn @ lengths / (drawn @ drawn))
    misses = scale * drawn - lengths
    worst = float(np.max(np.abs(misses) / lengths))
    warnings = []
    if worst > SLANT_LIMIT:
        warnings.append(
            f"one known length is missed by {worst:.1%}: check what was typed, or the picture was taken at a slant, "
            "where one scale is wrong; use four control points instead"
        )
    if len(lines) == 1:
        warnings.append("one known length cannot be checked; give a second one across it")
    matrix = np.diag([scale, scale, 1.0])
    return Fit("scale", matrix, np.abs(misses), _rms(misses), worst, tuple(warnings))


def fit_points(sheet: NDArray[np.float64], ground_m: NDArray[np.float64], kind: Kind | None = None) -> Fit:
    """Fit control points by least squares.

    Parameters
    ----------
    sheet : array, shape (n, 2) = [right, up]
        Control points on the sheet. [sheet units]
    ground_m : array, shape (n, 2) = [east, north]
        The same points on the ground. [m]
    kind : str, optional
        ``similarity``, ``affine`` or ``projective``; by default similarity for two or three points, and the
        projective map for four or more where a similarity misses them.

    Raises
    ------
    InputError
        With too few points, or points on one line.
    """
    sheet, ground = np.asarray(sheet, dtype=float), np.asarray(ground_m, dtype=float)
    if len(sheet) != len(ground) or len(sheet) < NEEDED[kind or "similarity"]:
        raise InputError(
            f"{len(sheet)} control points are too few for a {kind or 'similarity'} transformation",
            mend=f"give at least {NEEDED[kind or 'similarity']}",
        )
    if not (np.all(np.isfinite(sheet)) and np.all(np.isfinite(ground))):
        raise InputError("a control point is not a number", mend="type its coordinates again")
    if kind is None:
        fit = fit_points(sheet, ground, "similarity")
        slanted = len(sheet) >= NEEDED["projective"] and fit.rms_m > SLANT_LIMIT * _spread(ground) / 10
        return fit_points(sheet, ground, "projective") if slanted else fit
    matrix = {"similarity": _similarity, "affine": _affine, "projective": _projective}[kind](sheet, ground)
    misses = _project(matrix, sheet) - ground
    residuals = np.hypot(*misses.T)
    return Fit(kind, matrix, residuals, _rms(residuals), 0.0, _doubts(kind, matrix, len(sheet)))


def tie(first: tuple[float, float], second: tuple[float, float], distances_m: tuple[float, float], *, left: bool) -> (
    tuple[float, float]
):  # fmt: skip
    """Find a point by its distances from two fixed corners.

    Parameters
    ----------
    first, second : tuple of float
        The corners. [m]
    distances_m : tuple of float
        From the first and from the second corner. [m]
    left : bool
        Whether the point lies left of the line from the first to the second.

    Returns
    -------
    tuple of float
        East and north. [m]

    Raises
    ------
    InputError
        Where the two tapes cannot meet.

    Examples
    --------
    >>> tie((0, 0), (50, 0), (30, 40), left=True)
    (18.0, 24.0)
    """
    base = np.subtract(second, first)
    span = float(np.hypot(*base))
    to_first, to_second = distances_m
    if span == 0:
        raise InputError("the two corners are one point", mend="tape from two different corners")
    along = (to_first**2 - to_second**2 + span**2) / (2 * span)
    square = to_first**2 - along**2
    if square < 0:
        raise InputError(
            f"two tapes of {to_first:g} m and {to_second:g} m cannot meet over {span:g} m",
            mend="measure again",
        )
    unit = base / span
    across = np.array([-unit[1], unit[0]]) * (1 if left else -1)
    east, north = np.asarray(first) + along * unit + np.sqrt(square) * across
    return float(east), float(north)


def _similarity(sheet: NDArray[np.float64], ground: NDArray[np.float64]) -> NDArray[np.float64]:
    zero, one = np.zeros(len(sheet)), np.ones(len(sheet))
    right, up = sheet.T
    rows = np.concatenate([np.column_stack([right, -up, one, zero]), np.column_stack([up, right, zero, one])])
    (a, b, east, north), *_ = np.linalg.lstsq(rows, np.concatenate(ground.T), rcond=None)
    if a == b == 0:
        raise InputError("the control points are one point", mend="spread them over the sheet")
    return np.array([[a, -b, east], [b, a, north], [0, 0, 1]])


def _affine(sheet: NDArray[np.float64], ground: NDArray[np.float64]) -> NDArray[np.float64]:
    rows = np.column_stack([sheet, np.ones(len(sheet))])
    _refuse_line(sheet)
    solution, *_ = np.linalg.lstsq(rows, ground, rcond=None)
    return np.vstack([solution.T, [0, 0, 1]])


def _projective(sheet: NDArray[np.float64], ground: NDArray[np.float64]) -> NDArray[np.float64]:
    """Solve the normalised direct linear transformation (reference 2)."""
    _refuse_line(sheet)
    _refuse_line(ground)
    from_sheet, from_ground = _normaliser(sheet), _normaliser(ground)
    p, q = _project(from_sheet, sheet), _project(from_ground, ground)
    zero, one = np.zeros(len(p)), np.ones(len(p))
    first = np.column_stack([p, one, zero, zero, zero, -q[:, :1] * p, -q[:, 0]])
    second = np.column_stack([zero, zero, zero, p, one, -q[:, 1:] * p, -q[:, 1]])
    *_, basis = np.linalg.svd(np.concatenate([first, second]))
    matrix = np.linalg.inv(from_ground) @ basis[-1].reshape(3, 3) @ from_sheet
    if abs(matrix[2, 2]) < 1e-12 * np.abs(matrix).max():
        raise InputError(
            "the control points fix no projective map", mend="take corners that make a wide quadrangle"
        )
    return np.asarray(matrix / matrix[2, 2])


def _normaliser(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the similarity that centres points and brings their mean distance to the square root of two."""
    centre = points.mean(axis=0)
    size = np.sqrt(2) / np.hypot(*(points - centre).T).mean()
    return np.array([[size, 0, -size * centre[0]], [0, size, -size * centre[1]], [0, 0, 1]])


def _project(matrix: NDArray[np.float64], points: NDArray[np.float64]) -> NDArray[np.float64]:
    whole = np.column_stack([points, np.ones(len(points))]) @ matrix.T
    return np.asarray(whole[:, :2] / whole[:, 2:])


def _refuse_line(points: NDArray[np.float64]) -> None:
    sizes = np.linalg.svd(points - points.mean(axis=0), compute_uv=False)
    if sizes[-1] < 1e-6 * sizes[0]:
        raise InputError("the control points lie on one line", mend="add one well off that line")


def _doubts(kind: Kind, matrix: NDArray[np.float64], count: int) -> tuple[str, ...]:
    doubts = []
    if count == NEEDED[kind]:
        doubts.append(
            f"{count} control points fix a {kind} transformation exactly, so nothing checks them; add one"
        )
    sizes = np.linalg.svd(matrix[:2, :2], compute_uv=False)
    if kind == "affine" and sizes[0] / sizes[1] - 1 > SLANT_LIMIT:
        doubts.append(
            f"the two directions of the picture differ in scale by {sizes[0] / sizes[1] - 1:.0%}: it was taken at a "
            "slant or scanned badly; with four control points use the projective transformation"
        )
    if np.linalg.det(matrix[:2, :2]) < 0:
        doubts.append("the picture is a mirror image of the ground by these points; check which is which")
    return tuple(doubts)


def _rms(misses: NDArray[np.float64]) -> float:
    return float(np.sqrt(np.mean(np.square(misses))))


def _spread(points: NDArray[np.float64]) -> float:
    return float(np.hypot(*np.ptp(points, axis=0)))
