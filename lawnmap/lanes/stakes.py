"""Stakes at lane ends, set out with a tape from fixed places, without any satellite.

A stake is found where two tapes from fixed points meet (ties), neither of them through a building, or at a distance along a wall and square off
it (baseline and offset; the right angle by the 3-4-5 rule, FAO R7021E, chapter 4). With a standard error σ of
one tape, ties place a stake to within √2 σ / sin γ, γ the angle between the tapes: best at a right angle, and
never used below 30°.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
import shapely

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from lawnmap.lanes.fixed import FixedPlaces, Wall
    from lawnmap.lanes.model import Pass

LEAST_ANGLE_DEG: Final = 30.0
"""Tapes that meet at a sharper angle do not fix a stake. [°]"""

_LEAST_SINE: Final = float(np.sin(np.radians(LEAST_ANGLE_DEG)))
_SQUARE_M: Final = 4.0  # long leg of the 3-4-5 triangle that sets the right angle
_FARTHEST_OFFSET_M: Final = 10.0
_TWO_TAPES: Final = 1.5  # ties take two tapes and two people: they must be surer by this factor
_IN_LINE_DEG: Final = 1.0


@dataclass(frozen=True)
class Taping:
    """How one measures.

    Attributes
    ----------
    sigma_m : float
        Standard error of one taped distance. [m]
    round_m : float
        What distances are rounded to: an inch or a centimetre. [m]
    tape_m : float
        Length of the tape. [m]
    """

    sigma_m: float = 0.0254
    round_m: float = 0.01
    tape_m: float = 30.0

    @property
    def error_m(self) -> float:
        """Standard error of one distance, rounding included. [m]"""
        return float(np.hypot(self.sigma_m, self.round_m / np.sqrt(12)))

    def rounded(self, distance_m: float) -> float:
        """Return a distance as it is read off the tape. [m]"""
        return round(distance_m / self.round_m) * self.round_m


@dataclass(frozen=True)
class Tie:
    """One taped distance.

    Attributes
    ----------
    place : str
        What the tape is hooked to, or the wall it lies along or stands square to.
    how : str
        ``"from"`` a point, ``"along"`` a wall, ``"off"`` a wall.
    distance_m : float
        The distance, rounded. [m]
    """

    place: str
    how: str
    distance_m: float

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {"place": self.place, "how": self.how, "distance_m": self.distance_m}


@dataclass(frozen=True)
class Stake:
    """One stake, in the order in which they are set.

    Attributes
    ----------
    number : int
        Its number. [count]
    lane : int
        The lane, by its number in walking order. [count]
    end : str
        ``"start"`` or ``"end"`` of the lane.
    east_m, north_m : float
        Where it stands. [m]
    ties : tuple of Tie
        Two distances that fix it; none where nothing in the yard does.
    angle_deg : float
        Angle at which the tapes meet; 90 for a wall. [°]
    error_m : float
        Standard error of its place; not a number without ties. [m]
    check_m : float
        Distance to the stake before, to check by; 0 for the first. [m]
    aim : str
        What stands in line beyond the other end of the lane, to walk towards; empty where nothing does.
    """

    number: int
    lane: int
    end: str
    east_m: float
    north_m: float
    ties: tuple[Tie, ...]
    angle_deg: float
    error_m: float
    check_m: float
    aim: str

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping of JSON values; without ties the error is null."""
        return {
            "number": self.number,
            "lane": self.lane,
            "end": self.end,
            "east_m": round(self.east_m, 4),
            "north_m": round(self.north_m, 4),
            "ties": [tie.to_dict() for tie in self.ties],
            "angle_deg": round(self.angle_deg, 1),
            "error_m": round(self.error_m, 4) if self.ties else None,
            "check_m": self.check_m,
            "aim": self.aim,
        }


def stake_out(
    single: Pass, places: FixedPlaces, every: int, taping: Taping | None = None
) -> tuple[Stake, ...]:
    """Set out the first, the last and every few lanes of a pass.

    Parameters
    ----------
    single : Pass
        The lanes.
    places : FixedPlaces
        What a tape can be hooked to.
    every : int
        Every how many lanes; 0 for no stakes. [count]
    taping : Taping, optional
        How one measures.

    Returns
    -------
    tuple of Stake
        Both ends of each lane set out, in walking order.
    """
    if every <= 0 or not len(single.lanes):
        return ()
    taping = taping or Taping()
    last = len(single.lanes) - 1
    chosen = sorted({*range(0, last + 1, every), last})
    stakes: list[Stake] = []
    aims = aims_of(single.lanes, places)
    reached = places.reached(single.lanes[chosen].reshape(-1, 2))
    for lane in chosen:
        for side, end in enumerate(("start", "end")):
            place = single.lanes[lane, side]
            fix = _fix(place, places, taping, reached[len(stakes)])
            before = stakes[-1] if stakes else None
            check = np.hypot(place[0] - before.east_m, place[1] - before.north_m) if before else 0.0
            stakes.append(
                Stake(
                    len(stakes) + 1,
                    lane + 1,
                    end,
                    float(place[0]),
                    float(place[1]),
                    fix.ties,
                    fix.angle_deg,
                    fix.error_m,
                    taping.rounded(float(check)),
                    aims[lane] if end == "end" else "",
                )
            )
    return tuple(stakes)


@dataclass(frozen=True)
class _Fix:
    ties: tuple[Tie, ...]
    angle_deg: float
    error_m: float


def _fix(place: NDArray[np.float64], places: FixedPlaces, taping: Taping, reached: NDArray[np.bool_]) -> _Fix:
    """Return the surer of the best ties and the best wall; a wall, which one person can tape, has an edge."""
    found = [
        _best_ties(place, places, taping, reached),
        *(_off_wall(place, wall, taping) for wall in places.walls),
    ]
    fixes = [fix for fix in found if fix is not None]
    return min(fixes, key=_trouble, default=_Fix((), 0.0, float("nan")))


def _trouble(fix: _Fix) -> float:
    return fix.error_m * (_TWO_TAPES if fix.ties[0].how == "from" else 1.0)


def _best_ties(
    place: NDArray[np.float64], places: FixedPlaces, taping: Taping, reached: NDArray[np.bool_]
) -> _Fix | None:
    """Return the two points whose tapes meet nearest to a right angle, of those the tape reaches if any."""
    step = places.points - place
    far = np.hypot(step[:, 0], step[:, 1])
    for reach in (taping.tape_m, np.inf):
        near = np.flatnonzero(reached & (far <= reach) & (far > 10 * taping.round_m))
        if len(near) < 2:
            continue
        east, north = step[near].T
        cross = np.abs(np.outer(east, north) - np.outer(north, east))
        sine = cross / np.outer(far[near], far[near])
        one, two = divmod(int(sine.argmax()), len(near))
        if sine[one, two] < _LEAST_SINE:
            continue
        i, j = int(near[one]), int(near[two])
        dot = float(step[i] @ step[j])
        ties = tuple(Tie(places.names[k], "from", taping.rounded(float(far[k]))) for k in (i, j))
        angle = float(np.degrees(np.arctan2(cross[one, two], dot)))
        return _Fix(ties, angle, tie_error_m(angle, taping.error_m))
    return None


def tie_error_m(angle_deg: float, sigma_m: float) -> float:
    """Return the standard error of a stake at the meeting of two tapes.

    Parameters
    ----------
    angle_deg : float
        Angle between the tapes. [°]
    sigma_m : float
        Standard error of one distance. [m]

    Examples
    --------
    >>> round(tie_error_m(90, 0.1), 4)
    0.1414
    """
    return float(np.sqrt(2) * sigma_m / np.sin(np.radians(angle_deg)))


def tie_distances_m(
    place: NDArray[np.float64], one: NDArray[np.float64], two: NDArray[np.float64]
) -> tuple[float, float]:
    """Return the two distances that fix a place.

    Parameters
    ----------
    place, one, two : array, shape (2,)
        The place and two fixed points. [m]

    Examples
    --------
    >>> ties = tie_distances_m(np.array([30.0, 50.0]), np.array([0.0, 0.0]), np.array([40.0, 0.0]))
    >>> [round(tie, 3) for tie in ties]
    [58.31, 50.99]
    """
    return float(np.hypot(*(place - one))), float(np.hypot(*(place - two)))


def _off_wall(place: NDArray[np.float64], wall: Wall, taping: Taping) -> _Fix | None:
    """Return the distance along a wall and square off it, where the place lies beside it and near."""
    step = place - wall.origin
    along = float(step @ wall.along)
    off = abs(float(step[1] * wall.along[0] - step[0] * wall.along[1]))
    if not 0 <= along <= wall.length_m or off > _FARTHEST_OFFSET_M:
        return None
    swing = off * np.sqrt(2) * taping.error_m / _SQUARE_M
    ties = (Tie(wall.name, "along", taping.rounded(along)), Tie(wall.name, "off", taping.rounded(off)))
    return _Fix(ties, 90.0, float(np.hypot(np.sqrt(2) * taping.error_m, swing)))


def baseline_marks_m(lanes: NDArray[np.float64], wall: Wall) -> NDArray[np.float64]:
    """Return where along a wall, or its extension, each lane or its extension meets it.

    Parallel lanes a swath apart meet it every swath / sin(angle between lane and wall).

    Parameters
    ----------
    lanes : array, shape (n, 2, 2)
        Lanes. [m]
    wall : Wall
        The baseline.

    Returns
    -------
    array, shape (n,)
        Distances from the wall's zero; infinite for a lane along the wall. [m]
    """
    step = lanes[:, 1] - lanes[:, 0]
    cross = wall.along[0] * step[:, 1] - wall.along[1] * step[:, 0]
    lag = lanes[:, 0] - wall.origin
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray((lag[:, 0] * step[:, 1] - lag[:, 1] * step[:, 0]) / cross)


def aims_of(lanes: NDArray[np.float64], places: FixedPlaces) -> tuple[str, ...]:
    """Return for each lane the name of what stands nearest in line beyond its end, in sight of it.

    Parameters
    ----------
    lanes : array, shape (n, 2, 2)
        Lanes in walking direction. [m]
    places : FixedPlaces
        What can be aimed at, and the buildings that hide it.
    """
    names = [name for name, _ in places.aims]
    if not len(lanes) or not names:
        return ("",) * len(lanes)
    marks = np.array([place for _, place in places.aims])
    step = (lanes[:, 1] - lanes[:, 0])[:, None]
    beyond = marks[None] - lanes[:, None, 1]
    cross = step[..., 0] * beyond[..., 1] - step[..., 1] * beyond[..., 0]
    turn = np.abs(np.arctan2(cross, (step * beyond).sum(axis=-1)))
    far = np.where(turn < np.radians(_IN_LINE_DEG), np.hypot(beyond[..., 0], beyond[..., 1]), np.inf)
    lane, mark = np.nonzero(np.isfinite(far))
    sights = shapely.linestrings(np.stack([lanes[lane, 1], marks[mark]], axis=1))
    far[lane, mark] = np.where(shapely.intersects(places.solid, sights), np.inf, far[lane, mark])
    nearest = np.argmin(far, axis=1)
    seen = np.isfinite(far[np.arange(len(lanes)), nearest])
    return tuple(names[which] if can else "" for which, can in zip(nearest, seen, strict=True))
