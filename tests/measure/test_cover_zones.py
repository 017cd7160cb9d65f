"""Cover of a yard from an orthophoto, and the zones proposed from it: known shares at known places."""

import numpy as np
import pytest
import rasterio
import shapely
from pyproj import Transformer
from shapely.geometry import box

from lawnmap.errors import FileError, InputError, OutputError
from lawnmap.measure import map_cover, propose_zones, take_off
from lawnmap.yard import Obstacle, Origin, Plane, Yard, Zone

GRASS, SOIL = (70, 130, 40), (110, 80, 50)
PLACE = Plane("EPSG:4326", datum="EPSG:4326", longitude_deg=-88.2, latitude_deg=40.1, unit="degree")
UTM = "EPSG:32616"
PIXEL_M = 0.1
WIDTH_M = 2.0
LAWN = box(-30, -20, 30, 20)
BARE = box(5, -5, 17, 7)
"""East half 90 % green but for a bare patch with 5 %, west half 30 %."""


def through(transform, column, row):
    a, b, c, d, e, f = tuple(transform)[:6]
    return a * column + b * row + c, d * column + e * row + f


def share_at(east, north):
    share = np.where(east < 0, 0.3, 0.9)
    return np.where((east > 5) & (east < 17) & (north > -5) & (north < 7), 0.05, share)


@pytest.fixture(scope="module")
def ortho(tmp_path_factory):
    """A photo in UTM, a little turned against the plane of the yard, with a dark pond."""
    path = tmp_path_factory.mktemp("photo") / "ortho.tif"
    onto = Transformer.from_crs(UTM, PLACE.crs(), always_xy=True)
    east_0, north_0 = onto.transform(0, 0, direction="INVERSE")
    transform = rasterio.Affine(PIXEL_M, 0, east_0 - 40, 0, -PIXEL_M, north_0 + 30)
    columns, rows = np.meshgrid(np.arange(800) + 0.5, np.arange(600) + 0.5)
    east, north = onto.transform(*through(transform, columns, rows))
    grass = np.random.default_rng(3).random(east.shape) < share_at(east, north)
    rgb = np.where(grass[..., None], GRASS, SOIL).astype(np.uint8)
    with rasterio.open(
        path, "w", driver="GTiff", width=800, height=600, count=3, dtype="uint8", crs=UTM, transform=transform
    ) as file:
        file.write(np.moveaxis(rgb, -1, 0))
    return path


def yard_of(*zones, obstacles=(), plane=PLACE):
    return Yard("Lot", zones or (Zone("Lawn", LAWN),), obstacles, plane=plane, origin=Origin("lot.geojson"))


def test_cover_is_what_was_strewn(ortho):
    found = map_cover(ortho, yard_of(), cell_m=1.0)
    centres = found.centres()
    for ground, percent in ((box(-29, -19, -1, 19), 30), (box(19, -19, 29, 19), 90), (box(6, -4, 16, 6), 5)):
        on = shapely.contains_xy(ground, centres[..., 0], centres[..., 1])
        # 100 pixels to a cell: the mean over n cells errs by about 5 / √n percent
        assert 100 * found.share[on].mean() == pytest.approx(percent, abs=15 / on.sum() ** 0.5)
    assert found.pixel_m == pytest.approx(PIXEL_M, rel=0.01)
    assert [one.code for one in found.findings] == ["cover-pixels-coarse"]
    assert np.isfinite(found.share).sum() == 60 * 40


def test_cells_agree_with_pixels_put_in_one_by_one(ortho):
    """Each pixel's middle through pyproj into its cell, instead of the warp of GDAL."""
    found = map_cover(ortho, yard_of(), cell_m=2.0)
    with rasterio.open(ortho) as file:
        red, mid, _ = file.read()
        rows, columns = np.indices(red.shape)
        east, north = Transformer.from_crs(UTM, PLACE.crs(), always_xy=True).transform(
            *through(file.transform, columns + 0.5, rows + 0.5)
        )
    column = np.floor((east - found.west_m) / 2).astype(int)
    row = np.floor((found.north_m - north) / 2).astype(int)
    high, wide = found.share.shape
    on = (column >= 0) & (column < wide) & (row >= 0) & (row < high)
    place = row[on] * wide + column[on]
    counted = np.bincount(place, (mid > red)[on], high * wide) / np.bincount(place, minlength=high * wide)
    assert np.abs(found.share.ravel() - counted).max() < 0.03


def test_zones_are_those_that_were_strewn(ortho):
    yard = yard_of()
    grid = map_cover(ortho, yard)
    found = propose_zones(yard, grid, width_m=WIDTH_M)
    zones = {zone.name: zone for zone in found.zones}
    assert set(zones) == {"Lawn, bare", "Lawn, thin", "Lawn, full"}
    for name, ground, percent in (
        ("Lawn, bare", BARE, 5),
        ("Lawn, thin", box(-30, -20, 0, 20), 30),
        ("Lawn, full", box(0, -20, 30, 20).difference(BARE), 90),
    ):
        mine = zones[name].polygon
        # nowhere more than a cell of two feet off, on average
        edge_m = ground.boundary.difference(LAWN.boundary).length
        assert mine.symmetric_difference(ground).area < 0.61 * edge_m
        assert zones[name].cover_percent == pytest.approx(percent, abs=6)
    graded = {zone.name: zone.density for zone in take_off(found).zones}
    assert graded == {"Lawn, bare": "bare", "Lawn, thin": "thin", "Lawn, full": "full"}


def test_pieces_fill_the_outline_and_can_be_walked(ortho):
    yard = yard_of()
    found = propose_zones(yard, map_cover(ortho, yard), width_m=WIDTH_M)
    grounds = [zone.polygon for zone in found.zones]
    assert sum(ground.area for ground in grounds) == pytest.approx(LAWN.area, rel=1e-9)
    assert shapely.union_all(grounds).symmetric_difference(LAWN).area < 1e-6
    for ground in grounds:
        kept = ground.buffer(-WIDTH_M / 2).buffer(WIDTH_M / 2)
        assert kept.area > 0.93 * ground.area
        # the steps of the cells are gone: far fewer corners than cells along the edge
        assert shapely.get_num_coordinates(ground) < ground.length / 0.6


def test_obstacles_stay_and_small_patches_go(ortho):
    pond = Obstacle("Pond", "pool", box(6, -4, 16, 6))
    yard = yard_of(obstacles=(pond,))
    grid = map_cover(ortho, yard)
    found = propose_zones(yard, grid, width_m=WIDTH_M, least_m2=100)
    assert found.obstacles == (pond,)
    # what is left of the bare patch is a rim of a yard around the pond, far less than 100 m²
    assert {zone.name for zone in found.zones} == {"Lawn, thin", "Lawn, full"}
    assert np.isnan(grid.share[(abs(grid.centres() - [11, 1]) < 4.5).all(axis=-1)]).all()


def test_zones_are_split_one_by_one_and_keep_their_slope(ortho):
    west = Zone("West", box(-30, -20, -2, 20), "full", slope_percent=12)
    east = Zone("East", box(2, -20, 30, 20))
    yard = yard_of(west, east)
    found = propose_zones(yard, map_cover(ortho, yard), width_m=WIDTH_M)
    assert [zone.name for zone in found.zones] == ["West", "East, bare", "East, full"]
    assert found.zones[0].polygon.equals(west.polygon), "one class alone leaves the outline as it is"
    assert found.zones[0].density is None
    assert found.zones[0].slope_percent == 12
    assert found.zones[0].cover_percent == pytest.approx(30, abs=2)


def test_the_grid_reads_back_as_a_raster(ortho, tmp_path):
    grid = map_cover(ortho, yard_of(), cell_m=1.0)
    grid.write_raster(tmp_path / "cover.tif")
    with rasterio.open(tmp_path / "cover.tif") as file:
        assert file.read(1) == pytest.approx(grid.share.astype(np.float32), nan_ok=True)
        assert tuple(file.transform)[:6] == pytest.approx(grid.affine)
    with pytest.raises(OutputError, match="choose another folder"):
        grid.write_raster(tmp_path / "nowhere" / "cover.tif")


def test_a_photo_too_large_is_read_smaller(ortho, monkeypatch):
    whole = map_cover(ortho, yard_of(), cell_m=2.0)
    monkeypatch.setattr("lawnmap.measure.cover_grid._MOST_PIXELS", 60_000)
    less = map_cover(ortho, yard_of(), cell_m=2.0)
    assert less.pixel_m > 2 * whole.pixel_m
    assert less.percent == pytest.approx(whole.percent, abs=2)


def test_a_photo_that_shows_a_part_says_so(ortho, tmp_path):
    part = tmp_path / "part.tif"
    with rasterio.open(ortho) as file:
        window = rasterio.windows.Window(0, 0, 500, 600)
        form = {**file.profile, "width": 500}
        with rasterio.open(part, "w", **form) as cut:
            cut.write(file.read(window=window))
    found = map_cover(part, yard_of(), cell_m=1.0)
    assert "cover-photo-short" in {one.code for one in found.findings}
    assert 0.5 < np.isfinite(found.share).sum() / 2400 < 0.9
    zones = propose_zones(yard_of(), found, width_m=WIDTH_M).zones
    assert sum(zone.polygon.area for zone in zones) == pytest.approx(LAWN.area, rel=1e-9)


def spoilt(path, ortho, **change):
    with rasterio.open(ortho) as file:
        form = {**file.profile, **change}
        with rasterio.open(path, "w", **form) as copy:
            copy.write(file.read(list(range(1, form["count"] + 1))))
    return path


@pytest.mark.filterwarnings("ignore::rasterio.errors.NotGeoreferencedWarning")
def test_photos_that_cannot_be_used(ortho, tmp_path):
    with rasterio.open(ortho) as file:
        a, b, c, d, e, f = tuple(file.transform)[:6]
        elsewhere = rasterio.Affine(a, b, c + 2_000, d, e, f)
    text = tmp_path / "text.tif"
    text.write_text("not a photo", "utf-8")
    cases = (
        (FileError, text, "it is not a photo with a place on the earth, or a damaged one; give a GeoTIFF"),
        (FileError, tmp_path / "none.tif", "there is no such file; check its name"),
        (FileError, spoilt(tmp_path / "two.tif", ortho, count=2), "it has 2 bands, not red, green and blue"),
        (
            FileError,
            spoilt(tmp_path / "lost.tif", ortho, crs=None),
            "does not say where on the earth it lies",
        ),
        (
            InputError,
            spoilt(tmp_path / "far.tif", ortho, transform=elsewhere),
            "does not show the yard; check the CRS",
        ),
    )
    for kind, path, says in cases:
        with pytest.raises(kind, match=f"{path.name}: .*{says}"):
            map_cover(path, yard_of())


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"cell_m": 0.15}, "pixels of 0.1 m are too coarse for cells of 0.15 m; choose larger cells"),
        ({"cell_m": 0.0}, "cells of 0 m are not possible; give a side between 5 cm and 50 m"),
    ],
)
def test_cells_that_do_not_fit(ortho, change, says):
    with pytest.raises(InputError, match=says):
        map_cover(ortho, yard_of(), **change)


def test_a_yard_without_a_place_on_the_earth(ortho):
    with pytest.raises(
        InputError, match=r"lot.geojson: the yard has no place on the earth.*give the yard a CRS"
    ):
        map_cover(ortho, yard_of(plane=Plane("local")))


def test_without_rasterio_the_sentence_says_what_to_install(ortho, monkeypatch):
    monkeypatch.setattr("lawnmap.measure.cover_grid.find_spec", lambda _: None)
    with pytest.raises(InputError, match=r"needs the package rasterio; .*lawnmap\[raster\]"):
        map_cover(ortho, yard_of())


def test_a_width_of_nothing(ortho):
    yard = yard_of()
    with pytest.raises(InputError, match="zones need a width above zero"):
        propose_zones(yard, map_cover(ortho, yard), width_m=0)
