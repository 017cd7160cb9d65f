"""Each sample is what its ORIGIN.md says: invented, made by the program named there, and of the area worked out there."""

import json
import subprocess
import sys
from pathlib import Path

import geopandas as gpd
import pyogrio
import pytest
from shapely import union_all
from shapely.geometry import shape

HERE = Path(__file__).parent


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """The data files, made again."""
    folder = tmp_path_factory.mktemp("samples")
    program = HERE / "making" / "make_samples.py"
    subprocess.run([sys.executable, str(program), str(folder)], check=True, timeout=120)
    return folder


def layers_of(path):
    return {layer: gpd.read_file(path, layer=layer) for layer, _ in pyogrio.list_layers(path)}


@pytest.mark.parametrize("name", ["contractor/yard.gpkg", "portfolio/yards.gpkg"])
def test_geopackage_can_be_made_again(samples, made, name):
    kept, again = layers_of(samples / name), layers_of(made / name)
    assert kept.keys() == again.keys()
    for layer, frame in kept.items():
        assert frame.crs == again[layer].crs
        assert frame.drop(columns="geometry").equals(again[layer].drop(columns="geometry"))
        assert frame.geometry.geom_equals_exact(again[layer].geometry, 1e-6).all()


@pytest.mark.parametrize(
    "name",
    [
        "homeowner/yard.geojson",
        "homeowner/sketch.svg",
        "homeowner/tape/tape_sheet.csv",
        "contractor/survey/fernhill_points.csv",
        "contractor/survey/fernhill_deed.txt",
    ],
)
def test_text_file_can_be_made_again(samples, made, name):
    assert (samples / name).read_text("utf-8") == (made / name).read_text("utf-8")


@pytest.mark.parametrize(
    "sample", ["contractor", "contractor/survey", "homeowner", "homeowner/tape", "portfolio"]
)
def test_it_is_said_to_be_invented(samples, sample):
    assert "**Invented by us; no such" in (samples / sample / "ORIGIN.md").read_text("utf-8")


def test_sketch_is_a_picture_of_its_own_size(samples):
    head = (samples / "homeowner" / "sketch.png").read_bytes()[:24]
    assert head[:8] == b"\x89PNG\r\n\x1a\n"  # W3C, Portable Network Graphics, section 5.2
    width, height = (int.from_bytes(head[start : start + 4], "big") for start in (16, 20))
    assert f'width="{width}" height="{height}"' in (samples / "homeowner" / "sketch.svg").read_text("utf-8")


def test_contractor_sums_fit_the_drawing(samples, expected_m2):
    layers = layers_of(samples / "contractor" / "yard.gpkg")
    taken = union_all(layers["obstacles"].geometry)
    lawns = zip(layers["lawns"]["name"], layers["lawns"].geometry, strict=True)
    drawn = {name: outline.difference(taken).area for name, outline in lawns}
    square = (1200 / 3937) ** 2
    assert {name: area * square for name, area in drawn.items()} == pytest.approx(
        expected_m2["contractor"], rel=1e-9
    )


def test_homeowner_sums_fit_the_drawing(samples, expected_m2):
    text = json.loads((samples / "homeowner" / "yard.geojson").read_text("utf-8"))
    assert text["lawnmap"] == {"coordinates": "local", "unit": "ft"}
    shapes = {
        (said["properties"]["role"], said["properties"]["name"]): shape(said["geometry"])
        for said in text["features"]
    }
    taken = union_all([outline for (role, _), outline in shapes.items() if role == "obstacle"])
    drawn = {
        name: outline.difference(taken).area for (role, name), outline in shapes.items() if role == "lawn"
    }
    # corners are rounded to 0.001 ft, over edges of some 300 ft at most: 0.1 sq ft in all
    for name, expected in expected_m2["homeowner"].items():
        assert drawn[name] * 0.3048**2 == pytest.approx(expected, abs=0.1 * 0.3048**2)


def test_portfolio_sums_fit_the_drawing(samples, expected_m2):
    layers = layers_of(samples / "portfolio" / "yards.gpkg")
    assert len(expected_m2["portfolio"]) >= 24
    lawns = layers["lawns"].dissolve("yard").geometry
    taken = layers["obstacles"].dissolve("yard").geometry.to_dict()
    drawn = {
        yard: outline.difference(taken[yard]).area if yard in taken else outline.area
        for yard, outline in lawns.items()
    }
    assert drawn == pytest.approx(expected_m2["portfolio"], rel=1e-9)


@pytest.mark.parametrize(
    ("text", "value"),
    [("3 + 4 × 2", 11), ("(3 + 4) × 2² ÷ 7", 4), ("2 × sin 30° × 5²", 25), ("7 − 2 − 1", 4)],
)
def test_sums_are_worked_out_as_written(work_out, text, value):
    assert work_out(text) == pytest.approx(value)


@pytest.mark.parametrize(
    ("sample", "words"),
    [("contractor", "84,218.82 US survey sq ft, 7,824.22 m²"), ("homeowner", "5,798.91 sq ft, 538.74 m²")],
)
def test_stated_total_is_the_sum_of_the_zones(samples, expected_m2, sample, words):
    assert words in (samples / sample / "ORIGIN.md").read_text("utf-8")
    stated_m2 = float(words.split(", ")[-1].removesuffix(" m²").replace(",", ""))
    assert sum(expected_m2[sample].values()) == pytest.approx(stated_m2, abs=0.005)
