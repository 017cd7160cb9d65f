"""The GPX door: walks round a lawn with a GPS receiver, and the waypoints taken on the way."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np
import shapely
from lazy_loader import load
from shapely.geometry import LineString, Point, Polygon
from shapely.ops import substring

from lawnmap.errors import FileError, ShapeError
from lawnmap.survey.attributes import told_by
from lawnmap.survey.drift import equivalent_sigma, paced
from lawnmap.survey.features import Feature, Sheet
from lawnmap.survey.layers import quiet, refuse_entities
from lawnmap.units import US
from lawnmap.yard import Finding, finding

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from numpy.typing import NDArray

    from lawnmap.survey.source import Source

pyogrio = load("pyogrio")  # takes geopandas with it

SIGMA_M: Final = 3.0
"""Standard error of one coordinate of a handheld receiver under open sky. [m]

Phones are typically accurate to a radius of 4.9 m under open sky (U.S. Space Force, GPS.gov, *GPS
Accuracy*, after F. van Diggelen and P. Enge, ION GNSS+ 2015; *from memory*). Read as the radius that
holds 68 % of fixes, it is 1.51 standard errors of one coordinate.
"""

_DEGREE_M = 111_320.0  # thinning and gaps need no better than half a percent
_FULL_TURN_DEG = 360.0  # what lies farther, or is not a number, is no longitude or latitude
_FIELDS = ("name", "type", "desc")


def open_gpx(path: Path, source: Source) -> Sheet:
    """Read the tracks, routes and waypoints of a GPX file.

    Each track or route is one outline, closed where its ends are nearer than the source's
    ``closing_gap``, thinned by its ``jitter``. One named as water or as a landmark stays a line.

    Parameters
    ----------
    path : Path
        The file.
    source : Source
        What gap is closed, and how much jitter is thinned out.

    Raises
    ------
    FileError
        Where the file is no GPX.
    ShapeError
        Where a walk ends too far from its start.
    """
    refuse_entities(path)
    found: list[Finding] = []
    with quiet(found):
        layers = {
            name: pyogrio.raw.read(path, layer=name, columns=list(columns), return_fids=True)
            for name, columns in {
                "waypoints": _FIELDS,
                "tracks": _FIELDS,
                "routes": _FIELDS,
            }.items()
        }
        clock = _clock(path)
    features = list(_marks(layers["waypoints"]))
    walks = [
        walk
        for kind, times in (("track", clock), ("route", {}))
        for walk in _walks(layers[f"{kind}s"], kind, source, times)
    ]
    features += [walk.feature for walk in walks]
    found += [told for walk in walks for told in walk.found]
    if not features:
        raise FileError("there is no walk in it", mend="export the tracks with it")
    fix_m = source.vertex_accuracy_m or SIGMA_M
    sigma_m = max([walk.sigma_m for walk in walks if walk.sigma_m], default=fix_m)
    if source.vertex_accuracy_m is None:
        text = (
            f"each coordinate of a fix is taken to be sure to {US.width(fix_m)}; fixes drift together along a walk, "
            f"which makes its area as unsure as corners would that are each off by {US.width(sigma_m)} on their own"
        )
        found.append(finding("gps-accuracy", text))
    return Sheet(
        features,
        "GPX",
        "tracks",
        "EPSG:4326",
        findings=tuple(found),
        vertex_sigma_m=sigma_m,
        method=f"walked with a GPS receiver, each fix sure to {US.width(fix_m)}, and its drift allowed for",
        sigma_settled=True,
    )


def _clock(path: Path) -> dict[int, NDArray[np.float64]]:
    """Seconds at which each point of each track was passed, by the number of the track; without gaps or none."""
    _, _, _, (track, when) = pyogrio.raw.read(
        path, layer="track_points", columns=["track_fid", "time"], read_geometry=False
    )
    if when.dtype.kind != "M":
        return {}
    seconds = (when - when.min()) / np.timedelta64(1, "s") if len(when) else np.empty(0)
    clock = {int(number): seconds[track == number] for number in np.unique(track)}
    return {
        number: times
        for number, times in clock.items()
        if np.isfinite(times).all() and (np.diff(times) >= 0).all() and times[-1] > times[0]
    }


def _rows(layer: tuple[Any, ...]) -> Iterator[tuple[int, Any, dict[str, object]]]:
    meta, fids, shapes, columns = layer
    with np.errstate(invalid="ignore"):  # what is not a number is refused later, with its place
        drawn = shapely.from_wkb(shapes, on_invalid="fix")
    for number, (_, shape, *cells) in enumerate(zip(fids, drawn, *columns, strict=True), start=1):
        yield number, shape, dict(zip((str(name) for name in meta["fields"]), cells, strict=True))


def _marks(layer: tuple[Any, ...]) -> Iterator[Feature]:
    for number, shape, said in _rows(layer):
        yield Feature(shape, {"role": "landmark", **said}, f"waypoint {number}")


def _walks(
    layer: tuple[Any, ...], kind: str, source: Source, clock: dict[int, NDArray[np.float64]]
) -> Iterator[_Walk]:
    for number, shape, said in _rows(layer):
        where = f'{kind} {number} "{said["name"]}"' if said.get("name") else f"{kind} {number}"
        pieces = [
            np.asarray(piece.coords)[:, :2] for piece in shapely.get_parts([shape]) if not piece.is_empty
        ]
        if not pieces or not all((np.abs(piece) <= _FULL_TURN_DEG).all() for piece in pieces):
            raise FileError(
                "it has no points, or points without a place", where=where, mend="export it again"
            )
        walk = _Walk(pieces, where, source, clock.get(number - 1))
        told = told_by(str(said.get("type") or "")) or told_by(str(said.get("name") or ""))
        line_only = told is not None and told[0] in {"water", "landmark"}
        walk.feature = Feature(walk.line() if line_only else walk.ground(), said, f"{kind} {number}")
        yield walk


class _Walk:
    """One track: its pieces in metres about its first point, made into one line or outline."""

    feature: Feature

    def __init__(
        self,
        pieces: list[NDArray[np.float64]],
        where: str,
        source: Source,
        times_s: NDArray[np.float64] | None,
    ) -> None:
        self.first = pieces[0][0]
        self.scale = _DEGREE_M * np.array([np.cos(np.radians(self.first[1])), 1.0])
        self.pieces = [(piece - self.first) * self.scale for piece in pieces]
        self.where, self.source = where, source
        self.found: list[Finding] = []
        self.sigma_m = 0.0  # not known before an outline is made
        points = np.concatenate(self.pieces)
        if times_s is None or len(times_s) != len(points):
            times_s = paced(points)
        # The first passing of each point: where a walk ends at its start, its clock does not begin again.
        self.passed = dict(zip(map(tuple, points[::-1].tolist()), times_s[::-1].tolist(), strict=True))

    def line(self) -> Any:
        """The walk as a line, thinned."""
        points = self._joined()
        if len(points) < 2:
            return Point(self.first)
        return self._back(LineString(points).simplify(self.source.jitter_m, preserve_topology=False))

    def ground(self) -> Any:
        """The ground walked round, or the parts of it where every piece is closed for itself."""
        if len(self.pieces) > 1 and all(self._closes(piece) for piece in self.pieces):
            return shapely.MultiPolygon([self._outline(piece) for piece in self.pieces])
        return self._outline(self._joined())

    def _closes(self, piece: NDArray[np.float64]) -> bool:
        length_m = LineString(piece).length if len(piece) > 3 else 0.0
        gap_m = float(np.hypot(*(piece[-1] - piece[0])))
        return length_m > 4 * self.source.closing_gap_m and gap_m <= self.source.closing_gap_m

    def _joined(self) -> NDArray[np.float64]:
        for before, after in zip(self.pieces, self.pieces[1:], strict=False):
            gap_m = float(np.hypot(*(after[0] - before[-1])))
            if gap_m > self.source.closing_gap_m:
                self._refuse(f"the recording breaks off and goes on {US.length(gap_m)} away", gap_m)
        if len(self.pieces) > 1:
            self._tell(
                "walk-joined", f"the {len(self.pieces)} pieces of the walk are joined in the order walked"
            )
        return np.concatenate(self.pieces)

    def _outline(self, points: NDArray[np.float64]) -> Any:
        gap_m = float(np.hypot(*(points[-1] - points[0])))
        points = self._without_overlap(points)
        if len(points) < 3:
            raise ShapeError(
                "the walk has fewer than three points", where=self.where, mend="walk round the lawn"
            )
        if gap_m > self.source.closing_gap_m and np.hypot(*(points[-1] - points[0])) > 1e-6:
            self._refuse(f"the walk ends {US.length(gap_m)} from where it began", gap_m)
        if np.hypot(*(points[-1] - points[0])) > 1e-6:
            self._tell("walk-closed", f"the walk ends {US.length(gap_m)} from where it began and is closed")
        return self._thinned(Polygon(points))

    def _without_overlap(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Cut both ends where the last stretch of the walk crosses the first."""
        if len(points) < 4:
            return points
        line = LineString(points)
        reach_m = min(4 * self.source.closing_gap_m, line.length / 4)
        head, tail = substring(line, 0, reach_m), substring(line, line.length - reach_m, line.length)
        crossing = head.intersection(tail)
        if crossing.is_empty or head.is_empty or np.array_equal(points[0], points[-1]):
            return points
        spot = shapely.get_parts(crossing)[0].representative_point()
        start_m, end_m = head.project(spot), line.length - reach_m + tail.project(spot)
        cut = np.asarray(substring(line, start_m, end_m).coords)
        cut[-1] = cut[0]
        length_m = line.length - (end_m - start_m)
        self._tell(
            "walk-overlap", f"the walk runs on past its start; {US.length(length_m)} are cut off its ends"
        )
        return cut

    def _thinned(self, outline: Polygon) -> Any:
        thin = outline.simplify(self.source.jitter_m, preserve_topology=True)
        dropped = shapely.get_num_coordinates(outline) - shapely.get_num_coordinates(thin)
        if dropped and outline.area > 0:
            change = 100 * (thin.area / outline.area - 1)
            self._tell(
                "walk-thinned",
                f"{dropped} points that jitter by less than {US.width(self.source.jitter_m)} are left out, which "
                f"changes the area by {change:+.2f} %",
            )
        self._weigh(shapely.get_coordinates(thin)[:-1])
        return self._back(thin)

    def _weigh(self, ring: NDArray[np.float64]) -> None:
        """Note how unsure the drift of the receiver makes the outline."""
        times = np.array([self.passed.get(tuple(corner), np.nan) for corner in ring.tolist()])
        known = np.flatnonzero(np.isfinite(times))
        if not len(known):
            return
        times = np.interp(np.arange(len(ring)), known, times[known])  # where two ends were cut
        fix_m = self.source.vertex_accuracy_m or SIGMA_M
        self.sigma_m = max(self.sigma_m, equivalent_sigma(ring, times, fix_m))

    def _back(self, shape: Any) -> Any:
        return shapely.transform(shape, lambda points: points / self.scale + self.first)

    def _tell(self, code: str, text: str) -> None:
        self.found.append(finding(code, text, self.where))

    def _refuse(self, what: str, gap_m: float) -> None:
        raise ShapeError(
            what,
            where=self.where,
            mend=f'walk it whole, or state closing_gap = "{np.ceil(gap_m):.0f} m" in [yard] to close it straight',
        )
