"""The shortest way on foot between two places, round whatever stands between them."""

from __future__ import annotations

import heapq
from itertools import count
from math import inf
from time import perf_counter
from typing import TYPE_CHECKING, Final

import numpy as np
import shapely

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from shapely.geometry import MultiPolygon, Polygon

_CROWD: Final = 200  # corners looked at from one place: among more the way found may not be the very shortest
_HAIR_M: Final = 1e-6
_MARGIN_M: Final = 2.0  # of the first ellipse about two places that are close to each other


class Walkway:
    """Ground that may be walked on, with the corners that shortest ways bend round.

    A shortest way among obstacles is straight between corners that stick into the ground (T.
    Lozano-Pérez and M. A. Wesley, *An algorithm for planning collision-free paths among polyhedral
    obstacles*, Communications of the ACM 22, 1979); it is found by A* over those corners,
    whose views are worked out only when the search reaches them.

    Parameters
    ----------
    ground : Polygon or MultiPolygon
        Where one may walk. [m]
    clearance_m : float
        How far to keep from its edges, and how much a curved edge may be simplified. [m]
    deadline_s : float
        When to stop looking for ways, on `time.perf_counter`. [s]
    """

    def __init__(self, ground: Polygon | MultiPolygon, clearance_m: float, deadline_s: float = inf) -> None:
        self.deadline_s = deadline_s
        free = shapely.buffer(ground, -clearance_m, join_style="mitre", mitre_limit=2.0)
        self.free: Polygon | MultiPolygon = (
            shapely.simplify(free, clearance_m / 2) if clearance_m > 0 else free
        )
        # ways from corner to corner run along the edge: with a hair's breadth more room none touches it, and
        # the test that knows no touching takes a fraction of the time
        self._roomy = shapely.buffer(self.free, _HAIR_M, join_style="mitre")
        shapely.prepare([self.free, self._roomy])
        self.corners = _corners(self.free)
        self._seen: dict[int, dict[int, float]] = {}
        self._looked: dict[int, set[int]] = {}

    def clear(self, start: NDArray[np.float64], end: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Tell which straight ways stay on the ground, clear of its edges.

        Parameters
        ----------
        start, end : array, shape (n, 2)
            Where each begins and ends. [m]
        """
        lines = shapely.linestrings(np.stack([start, end], axis=1))
        return np.asarray(shapely.contains_properly(self._roomy, lines), dtype=bool)

    def snap(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Move points that lie off the ground to the nearest place on it.

        Parameters
        ----------
        points : array, shape (n, 2)
            Places. [m]
        """
        if self.free.is_empty:
            return points
        places = np.asarray(shapely.points(points))
        off = ~np.asarray(shapely.covers(self.free, places), dtype=bool)
        if not off.any():
            return points
        moved = points.copy()
        nearest = shapely.shortest_line(places[off], self.free)
        moved[off] = shapely.get_coordinates(nearest).reshape(-1, 2, 2)[:, 1]
        return moved

    def way(self, start: NDArray[np.float64], end: NDArray[np.float64]) -> NDArray[np.float64] | None:
        """Return the shortest way between two places, or None where there is none.

        Parameters
        ----------
        start, end : array, shape (2,)
            Where it begins and ends. [m]

        Returns
        -------
        array, shape (n, 2), or None
            Its points, both ends among them. [m]
        """
        inner = self.snap(np.stack([start, end]))
        if self.clear(inner[:1], inner[1:])[0]:
            return np.stack([start, end])
        bends = self._bends(inner[0], inner[1])
        return None if bends is None else np.concatenate([start[None], bends, end[None]])

    def ways(self, start: NDArray[np.float64], end: NDArray[np.float64]) -> list[NDArray[np.float64] | None]:
        """Return the shortest way for each pair of places, as `way` does for one.

        Parameters
        ----------
        start, end : array, shape (n, 2)
            Where each begins and ends. [m]
        """
        if not len(start):
            return []
        clear = self.clear(start, end).tolist()
        return [
            np.stack([a, b]) if free else self.way(a, b) for a, b, free in zip(start, end, clear, strict=True)
        ]

    def _bends(self, start: NDArray[np.float64], end: NDArray[np.float64]) -> NDArray[np.float64] | None:
        """Return the corners that the shortest way bends round.

        A way no longer than L lies within an ellipse about both places, so the search takes in only the
        corners there, and wider ellipses until the way found is as short as its ellipse promises.
        """
        detour = np.hypot(*(self.corners - start).T) + np.hypot(*(self.corners - end).T)
        straight = float(np.hypot(*(end - start)))
        limit, most = 1.3 * straight + _MARGIN_M, float(detour.max(initial=0.0))
        while not self.late:
            found = self._search(np.flatnonzero(detour <= limit), start, end)
            if found is not None:
                bends, gone = found
                if gone <= limit or limit >= most:
                    return np.asarray(self.corners[bends])
                limit = gone
            elif limit >= most:
                return None
            else:
                limit *= 2
        return None

    def _view(self, place: NDArray[np.float64], corners: NDArray[np.intp]) -> tuple[list[int], list[float]]:
        """Return which of some corners a place sees, and how far they are."""
        there = self.corners[corners]
        if len(corners) > _CROWD:
            near = np.argpartition(((there - place) ** 2).sum(axis=1), _CROWD)[:_CROWD]
            corners, there = corners[near], there[near]
        clear = self.clear(np.broadcast_to(place, there.shape), there)
        return corners[clear].tolist(), np.hypot(*(there[clear] - place).T).tolist()

    def _view_from(self, corner: int, corners: NDArray[np.intp]) -> list[tuple[int, float]]:
        """Return which of some corners another corner sees; each pair is looked at once."""
        looked, seen = self._looked.setdefault(corner, set()), self._seen.setdefault(corner, {})
        wanted = corners.tolist()
        new = [other for other in wanted if other not in looked]
        if new:
            looked.update(new)
            seen.update(zip(*self._view(self.corners[corner], np.array(new)), strict=True))
        return [(other, seen[other]) for other in wanted if other in seen]

    @property
    def late(self) -> bool:
        """Whether the time for looking is over."""
        return perf_counter() > self.deadline_s

    def _search(
        self, corners: NDArray[np.intp], start: NDArray[np.float64], end: NDArray[np.float64]
    ) -> tuple[list[int], float] | None:
        """Run A* from one place to another; the corners passed, in order, and the length."""
        goal = dict(zip(*self._view(end, corners), strict=True))
        ahead = dict(zip(corners.tolist(), np.hypot(*(self.corners[corners] - end).T).tolist(), strict=True))
        came: dict[int, int] = {}
        ticket = count()
        queue: list[tuple[float, int, float, int, int]] = []
        for corner, far in zip(*self._view(start, corners), strict=True):
            heapq.heappush(queue, (far + ahead[corner], next(ticket), far, corner, -1))
        while queue and goal and not self.late:
            _, _, gone, corner, before = heapq.heappop(queue)
            if corner == -2:
                return _trace(came, before), gone
            if corner in came:
                continue
            came[corner] = before
            if corner in goal:
                arrived = gone + goal[corner]
                heapq.heappush(queue, (arrived, next(ticket), arrived, -2, corner))
            for other, far in self._view_from(corner, corners):
                if other not in came:
                    heapq.heappush(
                        queue, (gone + far + ahead[other], next(ticket), gone + far, other, corner)
                    )
        return None


def length_m(way: NDArray[np.float64]) -> float:
    """Return the length of a way.

    Parameters
    ----------
    way : array, shape (n, 2)
        Its points. [m]
    """
    step = way[1:] - way[:-1]
    return float(np.hypot(step[:, 0], step[:, 1]).sum())


def _trace(came: dict[int, int], corner: int) -> list[int]:
    bends = []
    while corner >= 0:
        bends.append(corner)
        corner = came[corner]
    return bends[::-1]


def _corners(free: Polygon | MultiPolygon) -> NDArray[np.float64]:
    """Return the corners that stick into the ground: there alone a shortest way can bend."""
    found = [np.empty((0, 2))]
    for ring in shapely.get_rings(shapely.get_parts(shapely.normalize(free))):
        points = shapely.get_coordinates(ring)[:-1]
        here, there = points - np.roll(points, 1, axis=0), np.roll(points, -1, axis=0) - points
        # normalised rings all keep the ground to their right, so such a corner turns left
        found.append(points[here[:, 0] * there[:, 1] > here[:, 1] * there[:, 0]])
    return np.concatenate(found)
