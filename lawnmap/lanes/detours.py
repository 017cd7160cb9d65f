"""The shortest way on foot between two places, round whatever stands between them."""

from __future__ import annotations

import heapq
from itertools import count
from typing import TYPE_CHECKING

import numpy as np
import shapely

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from shapely.geometry import MultiPolygon, Polygon


class Walkway:
    """Ground that may be walked on, with the corners that shortest ways bend round.

    A shortest way among obstacles is straight between corners that stick into the ground (T.
    Lozano-Pérez and M. A. Wesley, *An algorithm for planning collision-free paths among polyhedral
    obstacles*, Communications of the ACM 22, 1979); it is found by A* over those corners, whose
    views are worked out only when the search reaches them.

    Parameters
    ----------
    ground : Polygon or MultiPolygon
        Where one may walk. [m]
    clearance_m : float
        How far to keep from its edges, and how much a curved edge may be simplified. [m]
    """

    def __init__(self, ground: Polygon | MultiPolygon, clearance_m: float) -> None:
        free = shapely.buffer(ground, -clearance_m, join_style="mitre", mitre_limit=2.0)
        self.free: Polygon | MultiPolygon = (
            shapely.simplify(free, clearance_m / 2) if clearance_m > 0 else free
        )
        shapely.prepare(self.free)
        self.corners = _corners(self.free)
        self._views: dict[int, tuple[list[int], list[float]]] = {}

    def clear(self, start: NDArray[np.float64], end: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Tell which straight ways stay on the ground.

        Parameters
        ----------
        start, end : array, shape (n, 2)
            Where each begins and ends. [m]
        """
        lines = shapely.linestrings(np.stack([start, end], axis=1))
        return np.asarray(shapely.covers(self.free, lines), dtype=bool)

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
        if not len(self.corners):
            return None
        bends = self._search(inner[0], inner[1])
        if bends is None:
            return None
        return np.concatenate([start[None], self.corners[bends], end[None]])

    def _view(self, place: NDArray[np.float64]) -> tuple[list[int], list[float]]:
        """Return the corners that a place sees, and how far they are."""
        seen = np.flatnonzero(self.clear(np.broadcast_to(place, self.corners.shape), self.corners))
        far = np.hypot(*(self.corners[seen] - place).T)
        return seen.tolist(), far.tolist()

    def _search(self, start: NDArray[np.float64], end: NDArray[np.float64]) -> list[int] | None:
        """Run A* from one place to another; the corners passed, in order."""
        goal = dict(zip(*self._view(end), strict=True))
        ahead = np.hypot(*(self.corners - end).T).tolist()
        best: dict[int, float] = {}
        came: dict[int, int] = {}
        ticket = count()
        queue: list[tuple[float, int, float, int, int]] = []
        for corner, far in zip(*self._view(start), strict=True):
            heapq.heappush(queue, (far + ahead[corner], next(ticket), far, corner, -1))
        while queue:
            _, _, gone, corner, before = heapq.heappop(queue)
            if corner == -2:
                return _trace(came, before)
            if corner in best:
                continue
            best[corner], came[corner] = gone, before
            if corner in goal:
                heapq.heappush(queue, (gone + goal[corner], next(ticket), gone + goal[corner], -2, corner))
            if corner not in self._views:
                self._views[corner] = self._view(self.corners[corner])
            for other, far in zip(*self._views[corner], strict=True):
                if other not in best:
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
    return float(np.hypot(*np.diff(way, axis=0).T).sum())


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
