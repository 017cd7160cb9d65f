"""Pictures that say where they lie, against rasterio (GDAL), which reads and writes the same tags and files."""

from math import cos, radians, sin

import numpy as np
import pytest
import rasterio
from PIL import Image
from pyproj import Geod, Transformer
from rasterio.transform import Affine

from lawnmap.drawing.paper import open_paper
from lawnmap.drawing.sketch import Shape, Sketch
from lawnmap.drawing.trace import fit_of, trace
from lawnmap.errors import FileError
from lawnmap.measure import take_off
from lawnmap.survey import Source

UTM = "EPSG:32618"
EAST, NORTH = 388_000.0, 4_432_000.0  # upper left corner, in Pennsylvania
COS, SIN = cos(radians(12)), sin(radians(12))
TURNED = Affine(0.1 * COS, -0.1 * SIN, EAST, -0.1 * SIN, -0.1 * COS, NORTH)  # pixels of 0.1 m, turned by 12°


def from_origin(west, north, wide, high):
    return Affine(wide, 0, west, 0, -high, north)


def at(transform, column, row):
    a, b, c, d, e, f = transform[:6]
    return a * column + b * row + c, d * column + e * row + f


def geotiff(path, transform, crs=UTM, size=(300, 200), **profile):
    wide, high = size
    with rasterio.open(
        path, "w", driver="GTiff", width=wide, height=high, count=3, dtype="uint8", crs=crs, transform=transform, **profile
    ) as raster:  # fmt: skip
        raster.write(np.full((3, high, wide), 128, np.uint8))
    return path


def lonlat(paper, right, up):
    """Where a point of the sheet lies, by our own way."""
    at = fit_of(Sketch(paper=paper.sheet)).apply(np.array([[right, up]]))
    return paper.sheet.place.plane().to_lonlat(at)[0]


def metres_between(one, other):
    return Geod(ellps="WGS84").inv(*one, *other)[2]


@pytest.mark.parametrize(
    ("crs", "transform"),
    [
        (UTM, from_origin(EAST, NORTH, 0.1, 0.1)),
        (UTM, TURNED),
        ("EPSG:2272", from_origin(2_690_000, 240_000, 0.25, 0.25)),  # US survey feet
        ("EPSG:4326", from_origin(-76.3, 40.03, 1e-6, 8e-7)),
    ],
)
def test_corners_of_a_geotiff_lie_where_gdal_says(tmp_path, crs, transform):
    paper = open_paper(geotiff(tmp_path / "a.tif", transform, crs))
    with rasterio.open(tmp_path / "a.tif") as raster:
        around = Transformer.from_crs(raster.crs, "EPSG:4326", always_xy=True)
        for column, row in ((0, 0), (300, 0), (300, 200), (0, 200), (150, 100)):
            expected = around.transform(*at(raster.transform, column, row))
            assert metres_between(lonlat(paper, column, 200 - row), expected) < 0.02


def test_pixel_is_point_is_moved_by_half_a_pixel(tmp_path):
    path = geotiff(tmp_path / "a.tif", from_origin(EAST, NORTH, 1, 1))
    other = geotiff(tmp_path / "b.tif", from_origin(EAST, NORTH, 1, 1))
    with rasterio.open(other, "r+") as raster:
        raster.update_tags(AREA_OR_POINT="Point")
    assert metres_between(lonlat(open_paper(path), 10, 10), lonlat(open_paper(other), 10, 10)) < 1e-6


@pytest.mark.parametrize(
    ("ending", "world"), [(".jpg", ".jgw"), (".png", ".pgw"), (".jpg", ".JGW"), (".png", ".wld")]
)
def test_world_file_beside_a_picture(tmp_path, ending, world):
    Image.new("RGB", (300, 200), "green").save(tmp_path / f"a{ending}")
    a, b, _, d, e, _ = TURNED[:6]
    middle = at(TURNED, 0.5, 0.5)
    (tmp_path / f"a{world}").write_text(f"{a}\n{d}\n{b}\n{e}\n{middle[0]}\n{middle[1]}\n")
    (tmp_path / "a.prj").write_text(rasterio.crs.CRS.from_string(UTM).to_wkt())
    paper = open_paper(tmp_path / f"a{ending}")
    around = Transformer.from_crs(UTM, "EPSG:4326", always_xy=True)
    assert metres_between(lonlat(paper, 300, 200), around.transform(*at(TURNED, 300, 0))) < 0.02
    (tmp_path / "a.prj").unlink()
    again = open_paper(tmp_path / f"a{ending}", source=Source(crs=UTM))
    assert again.sheet == paper.sheet


def test_area_drawn_on_it_is_the_ellipsoids(tmp_path):
    """A square of 20 m by 20 m of UTM is larger on the ground by the square of its point scale (pyproj's geodesic)."""
    paper = open_paper(geotiff(tmp_path / "a.tif", from_origin(EAST, NORTH, 0.1, 0.1)))
    ring = ((50.0, 0.0), (250.0, 0.0), (250.0, 200.0), (50.0, 200.0))
    sketch = Sketch(
        paper=paper.sheet, shapes=(Shape(id="a", role="lawn", form="polygon", points=ring, density="thin"),)
    )
    yard, troubles = trace(sketch, fit_of(sketch))
    assert not troubles
    assert yard.plane.georeferenced
    corners = [(EAST + 0.1 * right, NORTH - 20 + 0.1 * up) for right, up in ring]
    points = Transformer.from_crs(UTM, "EPSG:4326", always_xy=True).itransform(corners)
    area, _ = Geod(ellps="WGS84").polygon_area_perimeter(*zip(*points, strict=True))
    assert take_off(yard).net_area_m2 == pytest.approx(abs(area), rel=1e-6)


def test_local_feet(tmp_path):
    Image.new("RGB", (100, 100), "green").save(tmp_path / "a.png")
    (tmp_path / "a.pgw").write_text("0.5\n0\n0\n-0.5\n1000\n2000\n")
    paper = open_paper(tmp_path / "a.png", source=Source(local_units="ft"))
    assert paper.sheet.place is None
    assert fit_of(Sketch(paper=paper.sheet)).metres_per_unit((5, 5)) == pytest.approx(0.5 * 0.3048)


def test_a_large_one_is_made_smaller_and_stays_in_its_place(tmp_path):
    paper = open_paper(geotiff(tmp_path / "a.tif", from_origin(EAST, NORTH, 0.02, 0.02), size=(5000, 2500)))
    assert (paper.sheet.wide, paper.sheet.high) == (4000, 2000)
    around = Transformer.from_crs(UTM, "EPSG:4326", always_xy=True)
    assert metres_between(lonlat(paper, 4000, 0), around.transform(EAST + 100, NORTH - 50)) < 0.02


def bad(folder, world="0.5\n0\n0\n-0.5\n1000\n2000\n"):
    Image.new("RGB", (100, 100), "green").save(folder / "a.png")
    (folder / "a.pgw").write_text(world)
    return folder / "a.png"


@pytest.mark.parametrize(
    "world", ["", "1\n2\n3\n", "a\nb\nc\nd\ne\nf\n", "nan\n0\n0\n-1\n0\n0\n", "1\n0\n0\n-1\n0\n0\n7\n"]
)
def test_a_damaged_world_file_is_named(tmp_path, world):
    with pytest.raises(FileError, match=r"a\.pgw: it is no world file of six numbers; export it again"):
        open_paper(bad(tmp_path, world))


def test_what_is_left_open_is_asked_for(tmp_path):
    with pytest.raises(FileError, match=r"a\.png.*where its coordinates lie; say which CRS with --crs"):
        open_paper(bad(tmp_path))
    with pytest.raises(FileError, match="no size on the ground"):
        open_paper(bad(tmp_path, "0\n0\n0\n0\n5\n5\n"), source=Source(local_units="m"))
    (tmp_path / "a.pgw").unlink()
    with pytest.raises(FileError, match="does not say where it lies; put its world file beside it"):
        open_paper(tmp_path / "a.png", source=Source(crs=UTM))


def test_too_much_ground_and_no_picture(tmp_path):
    path = geotiff(tmp_path / "a.tif", from_origin(EAST, NORTH, 100, 100))
    with pytest.raises(FileError, match="too much ground for one yard; crop it"):
        open_paper(path)
    Image.new("F", (10, 10)).save(tmp_path / "heights.tif")
    with pytest.raises(FileError, match="it holds measured values and not a picture"):
        open_paper(tmp_path / "heights.tif")
