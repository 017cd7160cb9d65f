"""The way from a yard's plane to the earth and back."""

import numpy as np
import pytest

from lawnmap.errors import InputError
from lawnmap.yard import Plane
from lawnmap.yard.plane import LOCAL

POINTS = np.array([[0, 0], [0, 0.001], [10, 10], [-10, 5], [500, -900]], dtype=float)


@pytest.mark.parametrize("latitude_deg", [-55, 0, 44.9, 70])
@pytest.mark.parametrize("datum", ["EPSG:4326", "EPSG:4269"])
def test_there_and_back_everywhere_the_origin_included(datum, latitude_deg):
    plane = Plane(datum, datum, -93.1, latitude_deg, "degree")
    assert plane.from_datum(plane.to_datum(POINTS)) == pytest.approx(POINTS, abs=1e-7)
    # NAD 83 and WGS 84 are taken for one by PROJ's default operation
    assert plane.to_lonlat(POINTS) == pytest.approx(plane.to_datum(POINTS), abs=1e-12)


def test_a_local_plane_has_no_place():
    with pytest.raises(InputError, match="no place on the earth"):
        LOCAL.to_lonlat(POINTS)
