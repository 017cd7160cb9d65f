"""What became of the yards as a table, one row per yard: the columns of every result file."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, Final

import numpy as np
import pyarrow as pa
import shapely
from pyproj import CRS

from lawnmap.yard import DENSITIES

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from lawnmap.batch.model import Outcome
    from lawnmap.measure import ZoneArea
    from lawnmap.yard import Plane

ZONE: Final = pa.struct(
    [
        ("zone", pa.string()),
        ("density", pa.string()),
        ("slope_percent", pa.float64()),
        ("net_area_m2", pa.float64()),
        ("surface_area_m2", pa.float64()),
        ("unfed_area_m2", pa.float64()),
        ("by_hand", pa.bool_()),
        ("ground", pa.binary()),
    ]
)
"""One zone; ``ground`` is its net ground in longitude and latitude on WGS 84, as well-known binary."""

GIVEN: Final = pa.struct(
    [
        ("zone", pa.string()),
        ("material", pa.string()),
        ("kind", pa.string()),
        ("area_m2", pa.float64()),
        ("rate_kg_per_m2", pa.float64()),
        ("amount_kg", pa.float64()),
        ("allowance", pa.float64()),
        ("packs", pa.string()),
    ]
)
"""So much of one material for one zone, and the packs that it is sold in."""

_FIGURES: Final = (
    "gross_area_m2", "net_area_m2", "net_area_se_m2", "surface_area_m2", "unfed_area_m2",
    *(f"{density}_area_m2" for density in DENSITIES), "path_length_m", "walk_time_s", "refill_time_s", "interior_cv",
)  # fmt: skip

SCHEMA: Final = pa.schema(
    [
        ("yard", pa.string()),
        ("file", pa.string()),
        ("status", pa.string()),
        ("reason", pa.string()),
        ("units", pa.string()),
        ("folder", pa.string()),
        *((name, pa.float64()) for name in _FIGURES),
        ("lanes", pa.int64()),
        ("fills", pa.int64()),
        ("quote_subtotal", pa.string()),
        ("quote_total", pa.string()),
        ("currency", pa.string()),
        ("longitude_deg", pa.float64()),
        ("latitude_deg", pa.float64()),
        ("zones", pa.list_(ZONE)),
        ("given", pa.list_(GIVEN)),
        ("findings", pa.list_(pa.string())),
        ("geometry", pa.binary()),
    ],
    metadata={
        "geo": json.dumps(
            {
                "version": "1.1.0",
                "primary_column": "geometry",
                "columns": {
                    "geometry": {
                        "encoding": "WKB",
                        "geometry_types": ["MultiPolygon"],
                        "crs": CRS.from_user_input("OGC:CRS84").to_json_dict(),
                    }
                },
            }
        )
    },
)
"""Columns of a result, in SI, with the metadata of GeoParquet (OGC 24-013)."""

REFUSED_KEY: Final = b"lawnmap_refused"


def table_of(outcomes: Sequence[Outcome], refused: int) -> pa.Table:
    """Put the outcomes of a task into a table.

    Parameters
    ----------
    outcomes : sequence of Outcome
        One per yard.
    refused : int
        How many of them could not be planned; it is kept with the table. [count]
    """
    zones, owner = _zones_of(outcomes)
    grounds = _on_earth(outcomes, zones, owner)
    shapes = _together(grounds, owner, len(outcomes))
    points = shapely.point_on_surface(shapes)
    binary = shapely.to_wkb(grounds)
    columns: dict[str, Any] = {
        name: [getattr(outcome, name) for outcome in outcomes]
        for name in ("yard", "file", "status", "reason", "units", "folder", "interior_cv")
    }
    columns |= _areas(outcomes)
    columns |= _work(outcomes)
    columns["longitude_deg"] = _or_none(shapely.get_x(points))
    columns["latitude_deg"] = _or_none(shapely.get_y(points))
    columns["zones"] = _split(
        [_zone(*pair) for pair in zip(zones, binary, strict=True)], owner, len(outcomes)
    )
    columns["given"] = [[vars(given) for given in outcome.given] for outcome in outcomes]
    columns["findings"] = [list(outcome.findings) for outcome in outcomes]
    columns["geometry"] = shapely.to_wkb(shapes).tolist()
    arrays = [pa.array(columns[field.name], type=field.type) for field in SCHEMA]
    metadata = {**(SCHEMA.metadata or {}), REFUSED_KEY: str(refused).encode()}
    return pa.table(arrays, schema=SCHEMA.with_metadata(metadata))


def _zones_of(outcomes: Sequence[Outcome]) -> tuple[list[ZoneArea], NDArray[np.int64]]:
    counts = [len(outcome.takeoff.zones) if outcome.takeoff else 0 for outcome in outcomes]
    zones = [zone for outcome in outcomes if outcome.takeoff for zone in outcome.takeoff.zones]
    return zones, np.repeat(np.arange(len(outcomes)), counts)


def _on_earth(outcomes: Sequence[Outcome], zones: list[ZoneArea], owner: NDArray[np.int64]) -> NDArray[Any]:
    """Net grounds in longitude and latitude; None for yards that have no place on the earth."""
    grounds = np.empty(len(zones), dtype=object)
    by_plane: dict[Plane, list[int]] = {}
    for number, yard in enumerate(owner.tolist()):
        takeoff = outcomes[yard].takeoff
        assert takeoff is not None  # a zone comes from a take-off
        if takeoff.yard.plane.georeferenced:
            by_plane.setdefault(takeoff.yard.plane, []).append(number)
    for plane, numbers in by_plane.items():
        drawn = np.array([zones[number].ground for number in numbers], dtype=object)
        grounds[numbers] = shapely.transform(drawn, plane.to_lonlat)
    crossed = np.flatnonzero(~(shapely.is_valid(grounds) | shapely.is_missing(grounds)))
    # corners on an edge of another ring are rounded off it by the last digit
    grounds[crossed] = shapely.make_valid(grounds[crossed], method="structure", keep_collapsed=False)
    return grounds


def _together(grounds: NDArray[Any], owner: NDArray[np.int64], count: int) -> NDArray[Any]:
    """One multipolygon for each yard, zones that touch grown together; None without ground."""
    shapes = np.full(count, None, dtype=object)
    kept = np.flatnonzero(~(shapely.is_missing(grounds) | shapely.is_empty(grounds)))
    owners, slot, zones = np.unique(owner[kept], return_inverse=True, return_counts=True)
    if len(owners):
        several = zones[slot] > 1
        shapes[owner[kept[~several]]] = grounds[kept[~several]]
    if (zones > 1).any():
        _, places = np.unique(slot[several], return_inverse=True)
        held: Any = shapely.geometrycollections(grounds[kept[several]], indices=places)
        shapes[owners[zones > 1]] = shapely.union_all(held[:, np.newaxis], axis=1)
    parts, of = shapely.get_parts(shapes, return_index=True)
    if len(parts):
        found, slot = np.unique(of, return_inverse=True)
        shapes[found] = shapely.multipolygons(parts, indices=slot)
    return shapes


def _areas(outcomes: Sequence[Outcome]) -> dict[str, list[float | None]]:
    columns: dict[str, list[float | None]] = {}
    for name in ("gross_area_m2", "net_area_m2", "net_area_se_m2"):
        columns[name] = [getattr(outcome.takeoff, name, None) for outcome in outcomes]
    for name in ("surface_area_m2", "unfed_area_m2"):
        columns[name] = [
            sum(getattr(zone, name) for zone in outcome.takeoff.zones) if outcome.takeoff else None
            for outcome in outcomes
        ]
    for density in DENSITIES:
        columns[f"{density}_area_m2"] = [
            sum(zone.net_area_m2 for zone in outcome.takeoff.zones if zone.density == density)
            if outcome.takeoff
            else None
            for outcome in outcomes
        ]
    return columns


def _work(outcomes: Sequence[Outcome]) -> dict[str, list[Any]]:
    columns = {
        name: [getattr(outcome.walked, name, None) for outcome in outcomes]
        for name in ("lanes", "path_length_m", "walk_time_s", "refill_time_s", "fills")
    }
    for name in ("subtotal", "total"):
        sums = [getattr(outcome.quoted, name, None) for outcome in outcomes]
        columns[f"quote_{name}"] = [None if one is None else str(one) for one in sums]
    columns["currency"] = [getattr(outcome.quoted, "currency", None) for outcome in outcomes]
    return columns


def _zone(zone: ZoneArea, ground: bytes | None) -> dict[str, object]:
    return {
        "zone": zone.name,
        "density": zone.density,
        "slope_percent": zone.slope_percent,
        "net_area_m2": zone.net_area_m2,
        "surface_area_m2": zone.surface_area_m2,
        "unfed_area_m2": zone.unfed_area_m2,
        "by_hand": zone.by_hand,
        "ground": ground,
    }


def _split(
    rows: list[dict[str, object]], owner: NDArray[np.int64], count: int
) -> list[list[dict[str, object]]]:
    ends = np.searchsorted(owner, np.arange(count + 1)).tolist()
    return [rows[ends[number] : ends[number + 1]] for number in range(count)]


def _or_none(values: NDArray[np.float64]) -> list[float | None]:
    return [None if np.isnan(value) else value for value in values.tolist()]
