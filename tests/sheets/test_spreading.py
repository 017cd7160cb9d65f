"""What lands where, on the page, on the map, in the folder: read back and held against the plan."""

import base64
import io
import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree as ET

import numpy as np
import pytest
import rasterio
from PIL import Image

import lawnmap
from lawnmap.evenness import Spreader
from lawnmap.job import read_choices
from lawnmap.sheets.brief import brief
from lawnmap.sheets.page import write_page
from lawnmap.sheets.picture import draw_picture
from lawnmap.sheets.scene import compose

SAMPLE = Path(__file__).parents[2] / "sample_parcels" / "homeowner"
RUNS = [
    {"setting": setting, "used": used, "area": "500 sq ft"}
    for setting, used in ((3, "0.4 lb"), (5, "1 lb"), (5, "1.05 lb"), (8, "2.4 lb"))
]
TRAYS = {"trays": [0, 2, 5, 9, 14, 17, 18, 16, 12, 8, 4, 1, 0], "runs": RUNS, "raster": True}


def planned(values):
    choices = read_choices(SAMPLE)
    return lawnmap.plan(SAMPLE, replace(choices, spreader=Spreader.read(values, file="job.toml")))


@pytest.fixture(scope="module")
def full():
    """The sample with a catch test, test runs and a raster."""
    return planned(TRAYS)


@pytest.fixture(scope="module")
def plain():
    """The sample as it is: nothing is known of the spreader."""
    return planned({})


class Cells(HTMLParser):
    """Rows of the tables below a heading, by their caption."""

    def __init__(self, page):
        super().__init__()
        self.tables, self.caption, self.row, self.inside = {}, None, None, None
        self.feed(page)

    def handle_starttag(self, tag, _):
        self.inside = tag
        if tag == "caption":
            self.caption = ""
        if tag == "tr" and self.caption:
            self.row = []
            self.tables.setdefault(self.caption, []).append(self.row)
        if tag in ("th", "td") and self.row is not None:
            self.row.append("")

    def handle_data(self, data):
        if self.inside == "caption":
            self.caption += data
            self.inside = None
        elif self.row is not None and self.inside in ("th", "td", "button"):
            self.row[-1] += data
            self.inside = None


def test_the_layer_is_off_at_first_and_has_a_legend(full):
    scene = compose(full)
    deposit = next(layer for layer in scene.layers if layer.id == "deposit")
    assert not deposit.shown
    assert deposit.title == "What lands where"
    assert len(deposit.keys) == 8
    assert [layer.id for layer in scene.layers].index("deposit") < [layer.id for layer in scene.layers].index(
        "pass1"
    )


def test_the_picture_on_the_page_is_the_layer(full):
    """Read back by Pillow: a cell of the ground holds the colour of its class."""
    page = write_page(full)
    held = re.findall(r'href="data:image/png;base64,([^"]+)"', page)
    assert len(held) == 1, "the picture is on the page once"
    colours = np.asarray(Image.open(io.BytesIO(base64.b64decode(held[0]))))
    assert (colours == full.evenness.layer.rgba()).all()
    assert "data:image" not in draw_picture(full), "nobody could switch it on in a file of its own"


def test_tables_hold_the_figures_of_the_plan(full):
    tables = Cells(write_page(full)).tables
    zones = {row[0]: row[1:] for row in tables["By zone: tall fescue"][1:]}
    assert set(zones) == {zone.name for zone in full.evenness.zones}
    gates = {one.zone: str(one.setting) for one in full.evenness.settings}
    for zone in full.evenness.zones:
        assert zones[zone.name][0] == full.units.rate(zone.target_kg_per_m2)
        assert zones[zone.name][3] == f"{zone.cv:.0%}"
        assert gates[zone.name] in zones[zone.name][6]
    loads = {(row[0], row[1]): row[3] for row in tables["Loading the hopper"][1:]}
    assert loads["Shade strip", "Tall fescue"].endswith(f"setting {gates['Shade strip']}")
    assert "setting" not in loads["Shade strip", "18-24-12 fertilizer"], "the runs were made with seed"
    off = tables["Lands off the lawn"]
    assert off[-1] == [
        "All of it",
        full.units.mass(sum(full.evenness.off_lawn_kg.values())),
        f"{full.evenness.off_lawn_share:.1%}",
    ]
    advice = [row[0] for row in tables["What could be changed, one thing at a time"][1:]]
    assert "As planned now" in advice
    assert "Use a side shield on the headland loops" in advice


def test_the_three_drawings_stand_on_the_page(full):
    page = write_page(full)
    for title in ("One swath", "Lanes 5 ft apart, CV 5%", "Variation for every spacing"):
        assert f">{title}</text>" in page
    first = full.evenness.throw.figures(full.units)[0]
    assert ET.tostring(first, encoding="unicode").startswith("<svg viewBox=")


def test_nothing_known_means_no_advice_no_gate_no_raster(plain, tmp_path):
    assert plain.evenness.advice == ()
    assert plain.evenness.settings == ()
    page = write_page(plain)
    assert "How evenly it lands" in page
    assert "What could be changed" not in page
    assert "Gate" not in page
    assert 'href="deposit.tif"' not in page
    lawnmap.write(plain, tmp_path / "out")
    assert not (tmp_path / "out" / "deposit.tif").exists()
    assert "Advice" not in brief(plain)


def test_the_brief_has_a_line_for_each_gate_and_the_best_change(full):
    text = brief(full)
    assert text.count("\nGate: ") == 3  # the spot by hand needs none
    assert "\nAdvice: use a side shield on the headland loops" in text


def test_findings_of_the_spreader_reach_the_plan(full):
    assert "few-runs" in {found.code for found in full.findings}


@pytest.mark.filterwarnings("ignore::rasterio.errors.NotGeoreferencedWarning")
def test_the_raster_holds_what_left_the_hopper(full, tmp_path):
    """Conservation: all cells together are what left the hopper; the second band is the rate over its target."""
    lawnmap.write(full, tmp_path / "out")
    with rasterio.open(tmp_path / "out" / "deposit.tif") as file:
        rate, ratio = file.read()
        cell_m2 = abs(file.transform.a * file.transform.e)
        assert file.transform.b == file.transform.d == 0, "north is up"
    assert rate.sum(dtype=float) * cell_m2 == pytest.approx(full.evenness.hopper_kg, rel=1e-5)
    targets = {zone.target_kg_per_m2 for zone in full.evenness.zones}
    on = ~np.isnan(ratio) & (rate > 1e-4)
    found = rate[on] / ratio[on]
    assert np.abs(found[:, None] - np.array(sorted(targets))).min(axis=1).max() < 1e-5
    assert 'href="deposit.tif"' in (tmp_path / "out" / "map.html").read_text("utf-8")


def test_plan_json_has_it_all(full):
    values = full.to_dict()["evenness"]
    assert values["throw"]["laid"]["cv"] == pytest.approx(full.evenness.throw.laid.cv)
    assert {row["change"] for row in values["advice"]} >= {"as planned"}
    assert values["settings"][0]["setting"]["plus_minus"] > 0


def test_a_throw_that_no_spacing_evens_out_is_a_finding():
    found = planned({"trays": [0, 5, 1, 7, 2, 0], "cv_limit": "0.001 %"})
    assert found.evenness.throw is None
    assert "no-even-spacing" in {one.code for one in found.findings}
    assert "How evenly it lands" in write_page(found)


def test_a_zone_that_no_run_comes_near_is_a_finding():
    found = planned({"runs": RUNS[:3]})
    codes = [one.code for one in found.findings if one.where == "Shade strip"]
    assert "setting-untested" in codes
    assert "make a test run higher than setting 5" in write_page(found)


@pytest.mark.browser
def test_the_picture_lies_where_its_cells_are(full, browser, tmp_path):
    page_file = lawnmap.write(full, tmp_path / "out")
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    heard = []
    page.on("console", lambda message: heard.append(message.text))
    page.goto(page_file.as_uri())
    page.wait_for_selector("body[data-ready]")
    assert page.locator(".leaflet-deposit-pane img").count() == 0
    page.locator('input[data-switch="deposit"]').check()
    drawn = page.locator(".leaflet-deposit-pane img").bounding_box()
    west, north = full.evenness.layer.corners_m[0]
    east, south = full.evenness.layer.corners_m[2]
    places = page.evaluate(
        "(ends) => ends.map(([e, n]) => { const p = map_lawn.latLngToContainerPoint([n, e]); return [p.x, p.y] })",
        [[west, north], [east, south]],
    )
    stage = page.locator("#map_lawn").bounding_box()
    page.locator('input[data-switch="deposit"]').uncheck()
    assert page.locator(".leaflet-deposit-pane img").count() == 0
    page.close()
    assert drawn["x"] - stage["x"] == pytest.approx(places[0][0], abs=2)
    assert drawn["y"] - stage["y"] == pytest.approx(places[0][1], abs=2)
    assert drawn["width"] == pytest.approx(places[1][0] - places[0][0], abs=2)
    assert heard == []
