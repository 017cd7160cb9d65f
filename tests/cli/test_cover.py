"""``lawnmap cover`` as a user types it."""

import json
import sys

import numpy as np
import pytest
import rasterio
from PIL import Image
from pyproj import Transformer

import lawnmap
from lawnmap.cli import main

GRASS, SOIL = (70, 130, 40), (110, 80, 50)


@pytest.fixture
def cover(monkeypatch, capsys):
    def run(*words):
        monkeypatch.setattr(sys, "argv", ["lawnmap", "cover", *map(str, words)])
        with pytest.raises(SystemExit) as end:
            main()
        told = capsys.readouterr()
        return end.value.code or 0, told.out, " ".join(told.err.split())

    return run


@pytest.fixture
def spot(tmp_path):
    rgb = np.full((10, 20, 3), SOIL, np.uint8)
    rgb[:, :7] = GRASS
    Image.fromarray(rgb).save(tmp_path / "spot.png")
    return tmp_path / "spot.png"


@pytest.fixture
def ortho(tmp_path):
    """A lot on a grid of degrees, thin in its west and full in its east, and a photo of it in UTM."""
    ring = [[-93.001, 45], [-93, 45], [-93, 45.0005], [-93.001, 45.0005], [-93.001, 45]]
    feature = {
        "type": "Feature",
        "properties": {"role": "lawn", "name": "Lot"},
        "geometry": {"type": "Polygon", "coordinates": [ring]},
    }
    (tmp_path / "lot.geojson").write_text(json.dumps({"type": "FeatureCollection", "features": [feature]}))
    onto = Transformer.from_crs("EPSG:4326", "EPSG:32615", always_xy=True)
    west, north = onto.transform(-93.001, 45.0005)
    middle = onto.transform(-93.0005, 45)[0]
    size = (400, 500)
    transform = rasterio.Affine(0.2, 0, west - 10, 0, -0.2, north + 10)
    east = west - 10 + 0.2 * (np.arange(size[1]) + 0.5)
    grass = np.random.default_rng(5).random(size) < np.where(east < middle, 0.3, 0.95)
    rgb = np.where(grass[..., None], GRASS, SOIL).astype(np.uint8)
    path = tmp_path / "ortho.tif"
    with rasterio.open(
        path, "w", driver="GTiff", width=size[1], height=size[0], count=3, dtype="uint8",
        crs="EPSG:32615", transform=transform,
    ) as file:  # fmt: skip
        file.write(np.moveaxis(rgb, -1, 0))
    return path


def test_a_photo_is_measured(cover, spot, tmp_path):
    code, out, err = cover(spot, "-o", tmp_path / "counted.png")
    assert code == 0
    assert 'Cover: 35.0 %, which is thin; write cover_percent = 35 or density = "thin"' in out
    assert "few-photos" in err
    assert (tmp_path / "counted.png").is_file()


def test_json_and_other_limits(cover, spot):
    values = json.loads(cover(spot, "--json")[1])
    assert values["cover_percent"] == pytest.approx(35)
    assert values["limits"]["hue_to_deg"] == 120
    assert (
        json.loads(cover(spot, "--json", "--hue-from", "101")[1])["cover_percent"] == 0
    )  # the grass has 100
    assert json.loads(cover(spot, "--json", "--saturation", "90 %")[1])["cover_percent"] == 0


def test_zones_are_proposed_and_plan(cover, ortho, tmp_path):
    proposed = tmp_path / "proposed.geojson"
    words = (ortho, "--zones", tmp_path / "lot.geojson", "-o", proposed, "--grid", tmp_path / "cover.tif")
    code, out, err = cover(*words)
    assert code == 0, err
    assert "Proposed zones" in out
    assert "cover-pixels-coarse" in err
    whole = lawnmap.take_off(lawnmap.read(tmp_path / "lot.geojson"))
    found = lawnmap.take_off(lawnmap.read(proposed))
    assert {zone.name: zone.density for zone in found.zones} == {"Lot, thin": "thin", "Lot, full": "full"}
    assert found.net_area_m2 == pytest.approx(whole.net_area_m2, rel=1e-5)
    for zone in found.zones:
        assert zone.net_area_m2 == pytest.approx(whole.net_area_m2 / 2, rel=0.03)
    assert (tmp_path / "cover.tif").is_file()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (
            ["spot.png", "spot.png", "-o", "x.png"],
            "counted can be made from one photo only; give them one at",
        ),
        (["spot.png", "--grid", "x.tif"], "a photo alone has no place for a grid; give --zones"),
        (["spot.png", "--zones", "lot.geojson"], "the zones need a file to go to; give -o proposed.geojson"),
        (["spot.png", "--saturation", "10"], '--saturation: "10" has no unit'),
        (["spot.png", "--hue-from", "130"], "hues from 130 to 120 degrees are no range"),
        (["none.png"], "none.png: there is no such file; check its name"),
        (
            ["ortho.tif", "--zones", "lot.geojson", "-o", "x.geojson", "--cell", "0 ft"],
            "cells of 0 m are not possible",
        ),
    ],
)
@pytest.mark.usefixtures("spot", "ortho")
def test_wrong_input_is_told_in_one_sentence(cover, words, says, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    before = sorted(tmp_path.iterdir())
    code, out, err = cover(*words)
    assert code == 1
    assert not out
    assert says in err
    assert sorted(tmp_path.iterdir()) == before
