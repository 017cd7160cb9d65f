"""Pictures from above under a sheet that has a place on the earth: which tiles, and where on the sheet each lies.

Tiles are cut in the Popular Visualisation Pseudo-Mercator of IOGP (*Guidance Note 7-2*, method 1024): at zoom *z* the
world is 2^z tiles wide and high, counted from 180° west and from the north.
"""

from __future__ import annotations

from itertools import product
from math import ceil, floor
from typing import TYPE_CHECKING, Final

import numpy as np

from lawnmap.drawing.sketch import Place, Sheet
from lawnmap.errors import InputError
from lawnmap.sheets.webmap import tiles_named

if TYPE_CHECKING:
    from numpy.typing import NDArray

MOST_TILES: Final = 60
"""So many are fetched at the most, so that nobody's server is asked for more than a view or two. [count]"""

WGS84: Final = "EPSG:4326"


def place_at(text: str, sheet: Sheet) -> Sheet:
    """Give a blank sheet a place: its middle lies at a latitude and longitude.

    Parameters
    ----------
    text : str
        Latitude and longitude in degrees, as maps on a phone show them: ``"40.0379, -76.3055"``.
    sheet : Sheet
        The sheet.

    Raises
    ------
    InputError
        Where it is no place on the earth.

    Examples
    --------
    >>> place_at("40.0379, -76.3055", Sheet(kind="grid", wide=40.0, high=30.0, metres_per_unit=1.0)).east_m
    -20.0
    """
    try:
        latitude, longitude = (float(part) for part in text.split(","))
    except ValueError:
        latitude = longitude = float("nan")
    if not (abs(latitude) < 85 and abs(longitude) <= 180):
        raise InputError(
            f'"{text}" is no place on the earth', mend='write latitude and longitude: "40.0379, -76.3055"'
        )
    place = Place(source=WGS84, datum=WGS84, longitude_deg=longitude, latitude_deg=latitude, unit="degree")
    return sheet.model_copy(update={"place": place, "east_m": -sheet.wide / 2, "north_m": -sheet.high / 2})


def tiles_under(sheet: Sheet, name: str | None) -> dict[str, object] | None:
    """Return the tiles to lay under a sheet.

    Parameters
    ----------
    sheet : Sheet
        What is drawn on.
    name : str, optional
        A source of tiles as the xyzservices package names it; no tiles without one.

    Returns
    -------
    dict or None
        ``tiles``, each with its address and its box on the sheet [[up, right], [up, right]], and whom to ``credit``.

    Raises
    ------
    ChoiceError
        For an unknown name, or a source that needs a key.
    InputError
        Where the sheet has no place on the earth.
    """
    if name is None:
        return None
    provider = tiles_named(name).provider
    if sheet.kind != "grid" or sheet.place is None:
        raise InputError(
            f'imagery "{name}" needs a blank sheet with a place on the earth',
            mend='give one with --at "LATITUDE, LONGITUDE", or draw on a yard file that has a CRS',
        )
    zoom = int(provider.get("max_zoom", 19))
    to_sheet = _world_to_sheet(sheet)
    while len(numbers := _numbers(sheet, to_sheet, zoom)) > MOST_TILES:
        zoom -= 1
    tiles = []
    for column, row in numbers:
        corners = np.array([[column, row + 1, 1], [column + 1, row, 1]]) / [2**zoom, 2**zoom, 1] @ to_sheet.T
        address = provider.build_url(x=column, y=row, z=zoom, fill_subdomain=True)
        tiles.append({"address": address, "box": corners[:, ::-1].tolist()})
    return {"tiles": tiles, "credit": provider.get("attribution", "")}


def _world_to_sheet(sheet: Sheet) -> NDArray[np.float64]:
    """Fit the affine map from the world, one unit wide and high, to the sheet; a yard is small enough for it."""
    assert sheet.place is not None  # the caller has seen to it
    right, up = (
        part.ravel() for part in np.meshgrid([0, sheet.wide / 2, sheet.wide], [0, sheet.high / 2, sheet.high])
    )
    scale = sheet.metres_per_unit or 1.0
    plane = np.column_stack([sheet.east_m + scale * right, sheet.north_m + scale * up])
    longitude, latitude = sheet.place.plane().to_lonlat(plane).T
    world = np.column_stack(
        [(longitude + 180) / 360, (1 - np.arcsinh(np.tan(np.radians(latitude))) / np.pi) / 2]
    )
    middle = world.mean(axis=0)  # numbers near zero keep the fit sharp
    design = np.column_stack([world - middle, np.ones(9)])
    fitted: NDArray[np.float64] = np.linalg.lstsq(design, np.column_stack([right, up]), rcond=None)[0].T
    fitted[:, 2] -= fitted[:, :2] @ middle
    return fitted


def _numbers(sheet: Sheet, to_sheet: NDArray[np.float64], zoom: int) -> list[tuple[int, int]]:
    corners = np.array([[0, 0], [sheet.wide, sheet.high]])
    world = np.linalg.solve(to_sheet[:, :2], (corners - to_sheet[:, 2]).T).T * 2**zoom
    west, north = world.min(axis=0)
    east, south = world.max(axis=0)
    return list(product(range(floor(west), ceil(east)), range(floor(north), ceil(south))))
