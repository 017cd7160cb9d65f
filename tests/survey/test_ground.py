"""Both feet, and grid distances brought to the ground, against published figures."""

import ezdxf
import pytest
from shapely.geometry import box

from lawnmap.errors import ChoiceError, InputError
from lawnmap.survey import Source, read
from lawnmap.survey.ground import settle_units, size_m


def drawn(folder, shape, name="yard.dxf"):
    document = ezdxf.new()
    corners = list(shape.exterior.coords)[:-1]
    document.modelspace().add_lwpolyline(corners, close=True, dxfattribs={"layer": "LAWN"})
    document.header["$INSUNITS"] = 0
    document.saveas(folder / name)
    return folder / name


def test_both_feet():
    """304,800 m are 999,998 US survey ft and 1,000,000 ft (E. McKay, National Geodetic Survey)."""
    assert 304_800 / size_m("us_survey_ft") == pytest.approx(999_998, rel=1e-12)
    assert 304_800 / size_m("ft") == pytest.approx(1_000_000, rel=1e-15)


def test_the_wrong_foot_moves_a_place(tmp_path):
    """At N 2,000,000 E 6,000,000 by 4 and 12 ft (reader letter on the foot controversy, microstationtoday.com)."""
    path = drawn(tmp_path, box(6e6, 2e6, 6e6 + 100, 2e6 + 100))
    one, other = (read(path, local_units=unit) for unit in ("US survey ft", "ft"))
    (west, south), (west_2, south_2) = (yard.zones[0].polygon.bounds[:2] for yard in (one, other))
    assert (west - west_2) / 0.3048 == pytest.approx(12, abs=0.001)
    assert (south - south_2) / 0.3048 == pytest.approx(4, abs=0.001)
    assert (one.plane.unit, other.plane.unit) == ("US survey ft", "ft")


def test_grid_to_ground_of_a_line(tmp_path):
    """Factor of a line (k₁ + 4 kₘ + k₂) / 6; grid 5,314.116 ft is 5,314.820 ft on the ground (blog.ashgps.com, 2013-10-08).

    The factors there lead from grid to ground, ours from ground to grid.
    """
    factor = (1.000133747228 + 4 * 1.000133747228 + 1.00012572109) / 6
    assert factor == pytest.approx(1.000132409, abs=1e-9)
    path = drawn(tmp_path, box(0, 0, 5314.116, 5314.116))
    yard = read(path, source=Source(local_units="ft", scale_factor=1 / factor))
    assert yard.zones[0].polygon.area ** 0.5 / 0.3048 == pytest.approx(5314.820, abs=0.001)


def test_one_length_by_two_factors(tmp_path):
    """Grid 1,305.3993 m at 1.000209086 is 1,305.4028 m at 1.00021177 (Jerry Mahun, Open Access Surveying
    Library, Horizontal Coordinate Systems ch. L, Table L-3)."""
    lengths = [
        read(drawn(tmp_path, box(0, 0, grid, grid)), source=Source(local_units="m", scale_factor=factor))
        .zones[0]
        .polygon.area
        ** 0.5
        for grid, factor in [(1305.3993, 1.000209086), (1305.4028, 1.00021177)]
    ]
    assert lengths[0] == pytest.approx(lengths[1], abs=0.0001)


def test_what_the_user_says_goes_before_the_file():
    scale = settle_units("m", Source(local_units="ft"), None)
    assert scale.unit == "ft"
    assert [found.code for found in scale.findings] == ["unit-overruled"]
    assert settle_units(None, Source(), None).unit is None


def test_the_unit_of_a_crs():
    """Axis units of the EPSG registry: 2263 US survey feet, 2223 international feet, 32618 metres."""
    assert settle_units(None, Source(), "EPSG:2263").unit == "us_survey_ft"
    assert settle_units(None, Source(), "EPSG:2223").unit == "ft"
    assert settle_units("m", Source(), "EPSG:32618").unit == "m"
    assert settle_units("ft", Source(), "EPSG:4326").unit is None
    with pytest.raises(InputError, match="its unit is ft, but EPSG:32618 is in m"):
        settle_units("ft", Source(), "EPSG:32618")
    with pytest.raises(ChoiceError, match="a scale factor is for coordinates without a CRS"):
        settle_units("m", Source(scale_factor=1.0001), "EPSG:32618")
