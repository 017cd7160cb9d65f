"""The yard's own plane: metres east and north of the middle of the site, equal in area.

A Lambert azimuthal equal-area projection centred on the site keeps every area of the ellipsoid;
at the size of a yard its lengths and angles are true as well (1 km from the centre by 2 parts in
10⁸; J. P. Snyder, *Map Projections: A Working Manual*, USGS Professional Paper 1395, 1987, p. 187).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Final

import numpy as np
from pyproj import CRS, Transformer

from lawnmap.errors import InputError

if TYPE_CHECKING:
    from numpy.typing import NDArray

WGS84: Final = "EPSG:4326"


@dataclass(frozen=True)
class Plane:
    """Where the coordinates of a yard lie.

    Attributes
    ----------
    source : str
        The CRS that the file was in, by authority code or name; ``"local"`` without one.
    datum : str
        Geographic CRS of the source, by authority code or WKT; empty for a local plane.
    longitude_deg, latitude_deg : float
        Origin of the plane in that datum; not a number for a local plane. [°]
    unit : str
        Unit of the source: ``"m"``, ``"ft"``, ``"US survey ft"``, ``"degree"``.
    """

    source: str
    datum: str = ""
    longitude_deg: float = float("nan")
    latitude_deg: float = float("nan")
    unit: str = "m"

    @property
    def georeferenced(self) -> bool:
        """Whether the plane has a place on the earth."""
        return bool(self.datum)

    def to_lonlat(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Turn plane coordinates into longitude and latitude on WGS 84.

        Parameters
        ----------
        points : array, shape (n, 2) = [east, north]
            Coordinates on the plane. [m]

        Returns
        -------
        array, shape (n, 2) = [longitude, latitude]
            Coordinates on the earth. [°]

        Raises
        ------
        InputError
            For a local plane, which has no place on the earth.
        """
        on_datum = self.to_datum(points)
        return _through(_between(self.datum, WGS84), on_datum)

    def to_datum(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Turn plane coordinates into longitude and latitude on the source's own datum. [m] to [°]

        PROJ goes back from a Lambert azimuthal equal-area plane by a short series that is off by up to 1.3 mm
        northward; the way there is exact, so what it misses is put right.
        """
        projection = self._projection()
        missed = points - _through(projection, _through(projection, points, inverse=True))
        return _through(projection, points + missed, inverse=True)

    def from_datum(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Turn longitude and latitude on the source's own datum into plane coordinates. [°] to [m]"""
        return _through(self._projection(), points)

    def crs(self) -> CRS:
        """Return the plane itself as a CRS, for a raster or a layer that keeps its coordinates.

        Raises
        ------
        InputError
            For a local plane, which has no place on the earth.
        """
        self._check()
        return _crs(self.datum, self.longitude_deg, self.latitude_deg)

    def _projection(self) -> Transformer:
        self._check()
        return _laea(self.datum, self.longitude_deg, self.latitude_deg)

    def _check(self) -> None:
        if not self.georeferenced:
            raise InputError(
                "this yard is in local coordinates and has no place on the earth",
                mend="read it with a CRS, or stay in metres",
            )

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping; a local plane has no longitude and latitude."""
        place = {"longitude_deg": self.longitude_deg, "latitude_deg": self.latitude_deg}
        return {
            "source": self.source,
            "georeferenced": self.georeferenced,
            "datum": self.datum,
            "unit": self.unit,
            **(place if self.georeferenced else {}),
        }


LOCAL: Final = Plane("local")
"""Metres without a place on the earth."""


@lru_cache(maxsize=64)
def _between(datum: str, target: str) -> Transformer:
    return Transformer.from_crs(CRS.from_user_input(datum), CRS.from_user_input(target), always_xy=True)


@lru_cache(maxsize=64)
def _laea(datum: str, longitude_deg: float, latitude_deg: float) -> Transformer:
    plane = _crs(datum, longitude_deg, latitude_deg)
    return Transformer.from_crs(CRS.from_user_input(datum), plane, always_xy=True)


def _crs(datum: str, longitude_deg: float, latitude_deg: float) -> CRS:
    geographic = CRS.from_user_input(datum)
    ellipsoid = geographic.ellipsoid
    assert ellipsoid is not None  # a geographic CRS has one
    return CRS.from_json_dict(
        {
            "type": "ProjectedCRS",
            "name": "lawnmap site plane",
            "base_crs": geographic.to_json_dict(),
            "conversion": {
                "name": "site-centred equal area",
                "method": {"name": "Lambert Azimuthal Equal Area", "id": {"authority": "EPSG", "code": 9820}},
                "parameters": [
                    {"name": "Latitude of natural origin", "value": latitude_deg, "unit": "degree"},
                    {"name": "Longitude of natural origin", "value": longitude_deg, "unit": "degree"},
                    {"name": "False easting", "value": 0, "unit": "metre"},
                    {"name": "False northing", "value": 0, "unit": "metre"},
                ],
            },
            "coordinate_system": {
                "subtype": "Cartesian",
                "axis": [
                    {"name": "Easting", "abbreviation": "E", "direction": "east", "unit": "metre"},
                    {"name": "Northing", "abbreviation": "N", "direction": "north", "unit": "metre"},
                ],
            },
        }
    )


def _through(
    transformer: Transformer, points: NDArray[np.float64], *, inverse: bool = False
) -> NDArray[np.float64]:
    direction = "INVERSE" if inverse else "FORWARD"
    first, second = transformer.transform(points[:, 0], points[:, 1], direction=direction)
    return np.column_stack([first, second])
