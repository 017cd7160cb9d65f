"""The scene as a folium map, which is handed identifiers, numbers and our own colours and never a word."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final

import numpy as np
import shapely
from lazy_loader import load

from lawnmap.errors import ChoiceError, nearest

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from lawnmap.job import Plan
    from lawnmap.sheets.marks import Layer, Look, Scene
    from lawnmap.yard import Plane

folium = load("folium")  # slow to load, and only this sheet needs it
xyzservices = load("xyzservices")  # the same, and only where imagery is asked for

NAME: Final = "map_lawn"
"""Identifier of the map's element and name of its variable."""

_DECIMALS: Final = {True: 8, False: 3}  # a millimetre, in degrees and in metres

ZOOMS: Final = {True: (14, 24), False: (-3, 8)}
"""Least and greatest zoom, on the earth and in metres."""

_LOWEST: Final = 310
"""Height of the lowest pane: over the tiles (200), under the pane (400) where folium puts points."""


@dataclass(frozen=True)
class Display:
    """Where metres of the yard lie on the map.

    Attributes
    ----------
    plane : Plane
        The plane of the yard.
    """

    plane: Plane

    def at(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Turn [east, north] into [longitude, latitude], or leave them for a local yard. [m] to [° or m]"""
        return self.plane.to_lonlat(points) if self.plane.georeferenced else points

    def latlng(self, points: NDArray[np.float64]) -> list[list[float]]:
        """Turn [east, north] into what Leaflet calls latitude and longitude. [m] to [° or m]"""
        found: list[list[float]] = (
            self.at(points)[:, ::-1].round(_DECIMALS[self.plane.georeferenced]).tolist()
        )
        return found

    def metres(self, scene: Scene) -> list[list[float]]:
        """Return what turns [longitude, latitude, 1] into [east, north], fitted at the corners of the scene.

        Over a yard of 1 km the fit is better than one part in a thousand; only the tape uses it.
        """
        west, south, east, north = scene.bounds
        corners = np.array([[west, south], [east, south], [east, north], [west, north]])
        shown = self.at(corners)
        middle = shown.mean(axis=0)  # numbers near zero keep the fit sharp
        design = np.column_stack([shown - middle, np.ones(4)])
        fit = np.linalg.lstsq(design, corners, rcond=None)[0]
        fit[2] -= middle @ fit[:2]
        matrix: list[list[float]] = fit.T.tolist()
        return matrix


@dataclass(frozen=True)
class Tiles:
    """Imagery to put under the map.

    Attributes
    ----------
    provider : xyzservices.TileProvider
        Its address and whom to credit.
    hosts : tuple of str
        Hosts that the page may load pictures from.
    """

    provider: Any = field(repr=False)
    hosts: tuple[str, ...] = ()


def find_tiles(plan: Plan) -> Tiles | None:
    """Return the imagery that a plan asks for.

    Parameters
    ----------
    plan : Plan
        A finished plan.

    Raises
    ------
    ChoiceError
        For an unknown name, a source that needs a key, or a yard without a place on the earth.
    """
    name = plan.imagery
    if name is None:
        return None
    tiles = tiles_named(name)
    if not plan.yard.plane.georeferenced:
        raise ChoiceError(
            f'imagery "{name}" cannot lie under a yard in local coordinates',
            mend="leave imagery out, or give the yard a CRS",
        )
    return tiles


def tiles_named(name: str) -> Tiles:
    """Return a source of tiles.

    Parameters
    ----------
    name : str
        As the xyzservices package names it.

    Raises
    ------
    ChoiceError
        For an unknown name, or a source that needs a key.
    """
    known = {provider.name: provider for provider in xyzservices.providers.flatten().values()}
    try:
        provider = xyzservices.providers.query_name(name)
    except ValueError:
        mend = nearest(name, known)
        raise ChoiceError(
            f'imagery "{name}" is not a known source of tiles',
            mend=mend
            if len(mend) < 100
            else 'take a name that xyzservices lists, such as "OpenStreetMap.Mapnik"',
        ) from None
    if provider.requires_token():
        raise ChoiceError(f'imagery "{name}" needs a key of its provider', mend="take a source without a key")
    address = provider.build_url(fill_subdomain=False)
    host = address.split("/")[2]
    names = provider.get("subdomains", "abc") if "{s}" in host else "a"
    return Tiles(provider, tuple(f"https://{host.replace('{s}', name)}" for name in names))


def map_script(scene: Scene, display: Display, tiles: Tiles | None = None) -> str:
    """Return the script that builds the map with all its layers.

    Parameters
    ----------
    scene : Scene
        What to draw; its labels are not looked at.
    display : Display
        Where it lies on the map.
    tiles : Tiles, optional
        Imagery to put under it.
    """
    georeferenced = display.plane.georeferenced
    west, south, east, north = scene.bounds
    middle = display.latlng(np.array([[(west + east) / 2, (south + north) / 2]]))[0]
    chart = _named(
        folium.Map(
            location=middle if georeferenced else None,
            tiles=None,
            crs="EPSG3857" if georeferenced else "Simple",
            zoom_start=18 if georeferenced else 3,
            zoom_control=False,  # our own script adds it, with its labels
            attribution_control=tiles is not None,
            zoom_snap=0.1,
            zoom_delta=0.5,
        ),
        NAME.partition("_")[2],
    )
    if tiles:
        sharpest = tiles.provider.get("max_zoom", 18)
        imagery = folium.TileLayer(tiles.provider, max_zoom=ZOOMS[True][1], max_native_zoom=sharpest)
        _named(imagery, "imagery").add_to(chart)
    for height, layer in enumerate(scene.layers):
        _named(folium.map.CustomPane(layer.id, z_index=_LOWEST + height), layer.id).add_to(chart)
        if layer.image:
            continue  # our own script lays it: its picture is on the page already
        shapes = folium.GeoJson(
            _collection(layer, display),
            show=layer.shown,
            smooth_factor=0,
            marker=folium.CircleMarker(radius=5),
            pane=layer.id,
        )
        _named(shapes, layer.id).add_to(chart)
    chart.render()
    text: str = chart.get_root().script.render()
    return text


def _named(element: Any, name: str) -> Any:
    """Give an element of the map the same name in every run, one that our script knows."""
    element._id = name  # noqa: SLF001  branca offers no other way, and else draws lots
    return element


def _collection(layer: Layer, display: Display) -> dict[str, Any]:
    decimals = _DECIMALS[display.plane.georeferenced]
    shapes = np.array([mark.shape for mark in layer.marks], dtype=object)
    placed = shapely.transform(shapes, lambda points: display.at(points).round(decimals))
    features = [
        {
            "type": "Feature",
            "id": mark.id,
            "properties": {"style": _style(mark.look)},
            "geometry": shapely.geometry.mapping(shape),
        }
        for mark, shape in zip(layer.marks, placed, strict=True)
    ]
    return {"type": "FeatureCollection", "features": features}


def _style(look: Look) -> dict[str, object]:
    found: dict[str, object] = {
        "stroke": bool(look.stroke),
        "color": look.stroke,
        "weight": look.width_px,
        "opacity": 1,
        "fill": bool(look.fill),
        "fillColor": "url(#hatch)" if look.fill == "hatch" else look.fill,
        "fillOpacity": look.opacity,
    }
    return found | ({"dashArray": look.dash} if look.dash else {})
