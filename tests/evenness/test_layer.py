"""The map layer, its PNG, its GeoTIFF and the drawings, read back by other programs."""

import struct
import subprocess
import sys
import xml.etree.ElementTree as ET
import zlib

import numpy as np
import pytest
import rasterio
from pyproj import CRS
from shapely.geometry import box

from lawnmap.errors import InputError, OutputError
from lawnmap.evenness.chart import draw_overlap
from lawnmap.evenness.deposit import deposit
from lawnmap.evenness.layer import COLOURS, LABELS, layer, png
from lawnmap.evenness.raster import write_raster
from lawnmap.evenness.score import Throwing
from lawnmap.evenness.shapes import box as curtain
from lawnmap.evenness.shapes import trapezoid, triangle
from lawnmap.units import METRIC
from lawnmap.yard import Plane

SWATH = 1.8
PLACE = Plane("EPSG:4326", datum="EPSG:4326", longitude_deg=-88.2, latitude_deg=40.1, unit="degree")


@pytest.fixture
def made(lawn, lay, lanes_over):
    return layer(lay(lanes_over(lawn, SWATH)), lawn, Throwing(triangle(SWATH)), cell_m=0.3)


def test_a_perfect_lawn_is_one_colour(lay, lanes_over):
    ground = box(0, 0, 30, 10 * SWATH)
    found = layer(lay(lanes_over(ground, SWATH)), ground, Throwing(curtain(SWATH)), cell_m=0.1)
    inside = found.classes() >= 0
    assert inside.sum() * 0.01 == pytest.approx(ground.area)
    assert set(found.classes()[inside]) == {3}
    assert found.rgba()[inside].tolist()[0] == [0xF7, 0xF7, 0xF7, 255]


def test_classes_follow_the_breaks(made):
    ratio = made.ratio.copy()
    ratio[0, :7] = [0.2, 0.5, 0.8, 1.0, 1.2, 1.4, 3.0]
    assert type(made)(ratio, made.stray, made.stray, made.grid).classes()[0, :7].tolist() == list(range(7))
    assert len(LABELS) == len(COLOURS) == len(made.legend()) - 1


def test_material_off_the_lawn_is_grey(made):
    centres = made.grid.centres()
    house = (abs(centres[..., 0] - 13) < 2.9) & (abs(centres[..., 1] - 10.5) < 2.4)
    assert np.isnan(made.ratio[house]).all()
    edge = made.stray > 0.3
    assert edge.any()
    assert (made.rgba()[edge][:, 3] > 50).all()


def test_corners_of_a_north_up_picture(made):
    west, north = made.corners_m[0]
    assert made.corners_m[2] == pytest.approx([west + 0.3 * made.grid.columns, north - 0.3 * made.grid.rows])


def test_png_holds_the_colours():
    """Read back by the chunks of the PNG specification (W3C, second edition)."""
    rgba = np.arange(2 * 3 * 4, dtype=np.uint8).reshape(2, 3, 4)
    data = png(rgba)
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    place, chunks = 8, {}
    while place < len(data):
        size, name = struct.unpack(">I4s", data[place : place + 8])
        body = data[place + 8 : place + 8 + size]
        assert struct.unpack(">I", data[place + 8 + size : place + 12 + size])[0] == zlib.crc32(name + body)
        chunks[name], place = body, place + 12 + size
    assert struct.unpack(">IIBBBBB", chunks[b"IHDR"]) == (3, 2, 8, 6, 0, 0, 0)
    lines = np.frombuffer(zlib.decompress(chunks[b"IDAT"]), np.uint8).reshape(2, 13)
    assert (lines[:, 1:].reshape(2, 3, 4) == rgba).all()


def test_geotiff_reads_back(made, tmp_path):
    path = write_raster(made, tmp_path / "rate.tif", PLACE)
    with rasterio.open(path) as file:
        assert file.read(1) == pytest.approx(made.rate_kg_per_m2.astype(np.float32))
        assert file.read(2) == pytest.approx(made.ratio.astype(np.float32), nan_ok=True)
        assert tuple(file.transform)[:6] == pytest.approx(made.grid.affine)
        assert np.isnan(file.nodata)
        assert file.descriptions == ("rate, kg/m2", "rate over target")
        method = CRS.from_wkt(file.crs.to_wkt()).coordinate_operation.method_name
        assert method.startswith("Lambert Azimuthal Equal Area")
    assert [one.name for one in tmp_path.iterdir()] == ["rate.tif"]


@pytest.mark.filterwarnings("ignore::rasterio.errors.NotGeoreferencedWarning")
def test_geotiff_of_a_turned_deposit_in_local_metres(lawn, lay, lanes_over, tmp_path):
    found = deposit(lay(lanes_over(lawn, SWATH, 20)), triangle(SWATH), cell_m=0.3)
    with rasterio.open(write_raster(found, tmp_path / "rate.tif")) as file:
        assert tuple(file.transform)[:6] == pytest.approx(found.affine)
        assert file.crs is None
        assert file.read(1).sum() * 0.09 == pytest.approx(found.hopper_kg, rel=1e-5)
        column, row = found.grid.columns // 2, found.grid.rows // 3
        assert file.xy(row, column) == pytest.approx(tuple(found.grid.centres()[row, column]))


def test_without_rasterio_the_sentence_says_what_to_install(made, tmp_path, monkeypatch):
    monkeypatch.setattr("lawnmap.evenness.raster.find_spec", lambda _: None)
    with pytest.raises(InputError, match=r"needs the package rasterio; .*lawnmap\[raster\]"):
        write_raster(made, tmp_path / "rate.tif")


def test_a_folder_that_is_not_there(made, tmp_path):
    with pytest.raises(OutputError, match="choose another folder"):
        write_raster(made, tmp_path / "nowhere" / "rate.tif")


def test_rasterio_is_not_loaded_with_the_room():
    code = "import sys, lawnmap.evenness; print('rasterio._base' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"


@pytest.mark.parametrize("throw", [triangle(2.0, left_share=0.4), trapezoid(2.0), curtain(2.0)])
@pytest.mark.parametrize("way", ["back and forth", "round and round"])
def test_drawing_is_one_picture_that_says_its_figures(throw, way):
    root = ET.fromstring(draw_overlap(throw, 2.0, way=way, units=METRIC))
    assert root.tag.endswith("svg")
    texts = ["".join(node.itertext()) for node in root.iter() if node.tag.endswith("text")]
    assert any(text.startswith("Lanes 2 m apart, CV") for text in texts)
    assert {"One swath", "Variation for every spacing"} <= set(texts)
    drawn = [node for node in root.iter() if node.tag.endswith("polyline")]
    assert len(drawn) > 6
    assert "2 m apart" in root[0].text


def test_too_many_cells_for_a_picture(lawn, lay, lanes_over):
    with pytest.raises(InputError, match="choose larger cells"):
        layer(lay(lanes_over(lawn, SWATH)), lawn, Throwing(triangle(SWATH)), cell_m=0.01)
