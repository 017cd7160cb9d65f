"""The GeoJSON door (RFC 7946), with the older ``crs`` member and our word for local coordinates."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from itertools import chain
from math import isfinite
from typing import TYPE_CHECKING, Any, Final, NoReturn

import numpy as np
import shapely
from shapely.geometry import shape as shape_of

from lawnmap.errors import FileError, ShapeError
from lawnmap.survey.features import Feature, Sheet
from lawnmap.yard import Finding, finding

if TYPE_CHECKING:
    from pathlib import Path

    from numpy.typing import NDArray

    from lawnmap.survey.source import Source

MEMBER: Final = "lawnmap"
"""Foreign member (RFC 7946, section 6.1) of a file in local coordinates: ``{"coordinates": "local", "unit": "m"}``."""

LARGEST_BYTES: Final = 512 * 2**20
"""A larger text would need some four times its size in memory. [byte]"""

_GEOMETRIES = {
    "Point", "MultiPoint", "LineString", "MultiLineString", "Polygon", "MultiPolygon", "GeometryCollection",
}  # fmt: skip


def open_geojson(path: Path, source: Source) -> Sheet:  # noqa: ARG001  every door takes the source
    """Read a GeoJSON file.

    Parameters
    ----------
    path : Path
        The file.
    source : Source
        Not needed: the file has one layer.

    Raises
    ------
    FileError
        Where the file is no GeoJSON.
    ShapeError
        Where a ring has fewer than three corners.
    """
    document = _document(path)
    rows = _rows(document)
    rings = _Rings()
    features, slots = [], []
    for number, row in enumerate(rows, start=1):
        where = f"feature {number}"
        geometry, properties = _split(row, where)
        slots.append(rings.take(geometry, where))
        features.append((properties, where))
    shapes = rings.built(slots)
    member = document.get(MEMBER)
    local = isinstance(member, dict) and member.get("coordinates") == "local"
    return Sheet(
        features=[
            Feature(shape, properties, where)
            for shape, (properties, where) in zip(shapes, features, strict=True)
        ],
        format="GeoJSON",
        crs=None if local else _crs(document),
        unit=str(member.get("unit", "m")) if local and isinstance(member, dict) else None,
        findings=tuple(rings.findings),
    )


def _document(path: Path) -> dict[str, Any]:
    if path.stat().st_size > LARGEST_BYTES:
        raise FileError(
            f"it is larger than {LARGEST_BYTES // 2**20} MB, the most that is read as GeoJSON",
            mend="save it as GeoPackage",
        )
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        raise FileError(
            f"byte {fault.start + 1} is not UTF-8 text, as GeoJSON must be",
            mend="save it with UTF-8 encoding",
        ) from None
    try:
        document = json.loads(text, parse_constant=_refuse_constant)
    except json.JSONDecodeError as fault:
        raise FileError(
            f"it is no JSON: {fault.msg.lower()} in line {fault.lineno}, column {fault.colno}",
            mend="export it again",
        ) from None
    except RecursionError:
        raise FileError("it is nested too deep to be GeoJSON", mend="export it again") from None
    except ValueError as fault:  # an integer of thousands of digits
        raise FileError(f"it holds an impossible number ({fault})", mend="correct it") from None
    if not isinstance(document, dict):
        raise FileError("it is JSON, but not GeoJSON", mend="export it as a GeoJSON FeatureCollection")
    return document


def _refuse_constant(word: str) -> NoReturn:
    raise FileError(f"{word} stands where a number must be", mend="correct it in the file")


def _rows(document: dict[str, Any]) -> list[Any]:
    kind = document.get("type")
    if kind == "FeatureCollection" and isinstance(document.get("features"), list):
        rows: list[Any] = document["features"]
        if not rows:
            raise FileError("the layer is empty", mend="draw the lawn, or choose another file")
        return rows
    if kind == "Feature":
        return [document]
    if kind in _GEOMETRIES:
        return [{"type": "Feature", "geometry": document, "properties": {}}]
    other = {"Topology": "TopoJSON"}.get(str(kind), "JSON of another kind")
    raise FileError(f"it is {other}, not GeoJSON", mend="export it as a GeoJSON FeatureCollection")


def _split(row: object, where: str) -> tuple[dict[str, Any] | None, dict[str, object]]:
    if not isinstance(row, dict):
        raise FileError("it is no feature", where=where, mend="export the file again")
    geometry, properties = row.get("geometry"), row.get("properties") or {}
    if geometry is not None and not (isinstance(geometry, dict) and geometry.get("type") in _GEOMETRIES):
        raise FileError("it has a geometry of no known type", where=where, mend="export the file again")
    if not isinstance(properties, dict):
        raise FileError("its properties are no object", where=where, mend="export the file again")
    return geometry, {str(key).lower(): value for key, value in properties.items()}


def _crs(document: dict[str, Any]) -> str:
    """Read the ``crs`` member of the format of 2008; without one it is longitude and latitude."""
    member = document.get("crs")
    if member is None:
        return "EPSG:4326"
    try:
        name = str(member["properties"]["name"])
    except (KeyError, TypeError):
        raise FileError(
            'its "crs" member does not name a CRS', mend="take the member out and give the CRS with --crs"
        ) from None
    return "EPSG:4326" if name.upper().endswith("CRS84") else name


@dataclass
class _Rings:
    """All rings of a file, to be turned into polygons in one go."""

    rings: list[list[list[float]]] = field(default_factory=list)
    polygon_of_ring: list[int] = field(default_factory=list)
    where_of_polygon: list[str] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    @property
    def polygons(self) -> int:
        """How many polygons were taken."""
        return len(self.where_of_polygon)

    def take(self, geometry: dict[str, Any] | None, where: str) -> object:
        """Take a polygon's rings and return which polygons are its; build any other shape at once."""
        if geometry is None:
            return None
        kind, coordinates = geometry["type"], geometry.get("coordinates")
        try:
            if kind == "Polygon" and coordinates:
                return range(self.polygons, self._take_polygon(coordinates, where))
            if kind == "MultiPolygon" and coordinates:
                first = self.polygons
                for polygon in coordinates:
                    self._take_polygon(polygon, where)
                return range(first, self.polygons)
            return shape_of(geometry)
        except (TypeError, ValueError, KeyError, IndexError, AttributeError, RecursionError) as fault:
            if isinstance(fault, ShapeError):
                raise
            raise FileError(
                "its coordinates cannot be read", where=where, mend="export the file again"
            ) from None

    def _take_polygon(self, polygon: list[list[list[float]]], where: str) -> int:
        for ring in polygon:
            closed = ring
            if ring and ring[0] != ring[-1]:
                closed = [*ring, ring[0]]
                self.findings.append(
                    finding("ring-closed", "the outline is closed from its last corner to its first", where)
                )
            if len(closed) < 4:
                raise ShapeError("an outline has fewer than three corners", where=where, mend="redraw it")
            self.rings.append(closed)
            self.polygon_of_ring.append(self.polygons)
        if polygon:
            self.where_of_polygon.append(where)
        return self.polygons

    def built(self, slots: list[object]) -> list[Any]:
        """Return one shape per slot."""
        if not self.rings:
            return slots
        counts = np.fromiter(map(len, self.rings), np.intp, len(self.rings))
        rings = np.asarray(
            shapely.linearrings(self._points(), indices=np.repeat(np.arange(len(counts)), counts))
        )
        polygons = np.asarray(shapely.polygons(rings, indices=np.asarray(self.polygon_of_ring)))
        return [self._shape(slot, polygons) for slot in slots]

    @staticmethod
    def _shape(slot: object, polygons: NDArray[np.object_]) -> object:
        if not isinstance(slot, range):
            return slot
        return (
            polygons[slot.start]
            if len(slot) == 1
            else shapely.multipolygons(polygons[slot.start : slot.stop])
        )

    def _points(self) -> NDArray[np.float64]:
        """All positions as one array; heights are left out here, since most files have none."""
        positions = list(chain.from_iterable(self.rings))
        try:
            widths = set(map(len, positions))
            if widths != {2}:
                if any(any(position[2:3]) for position in positions):
                    self.findings.append(
                        finding("height-dropped", "heights are left out; areas are as seen from above")
                    )
                positions = [[position[0], position[1]] for position in positions]
            flat = np.fromiter(chain.from_iterable(positions), np.float64, 2 * len(positions))
        except (TypeError, ValueError, IndexError, OverflowError):
            raise self._blamed() from None
        if not np.isfinite(flat).all():
            raise self._blamed()
        return flat.reshape(-1, 2)

    def _blamed(self) -> FileError:
        """Find the first ring with a coordinate that is no number."""
        for ring, polygon in zip(self.rings, self.polygon_of_ring, strict=True):
            for position in ring:
                try:
                    good = all(isfinite(float(number)) for number in (position[0], position[1]))
                except (TypeError, ValueError, IndexError, OverflowError):
                    good = False
                if not good:
                    where = self.where_of_polygon[polygon]
                    what = "a coordinate is not a number, or a corner has only one"
                    return FileError(what, where=where, mend="correct it in the file")
        return FileError("a coordinate is not a number", mend="export the file again")
