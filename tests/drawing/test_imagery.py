"""Tiles under a sheet lie where the web map's own projection puts them (pyproj, EPSG:3857), and are off by default."""

import re
import threading

import numpy as np
import pytest
from pyproj import Transformer

from lawnmap.drawing import Service, Sketch, Studio, grid, open_folder, place_at
from lawnmap.drawing.imagery import MOST_TILES, tiles_under
from lawnmap.errors import ChoiceError, InputError

HALF_WORLD_M = np.pi * 6378137.0  # EPSG:3857 runs from -this to this
SHEET = place_at("40.0379, -76.3055", grid("60 m x 40 m").sheet)
NAME = "OpenStreetMap.Mapnik"


def test_each_tile_lies_in_its_place():
    laid = tiles_under(SHEET, NAME)
    to_lonlat = Transformer.from_crs("EPSG:3857", "EPSG:4326", always_xy=True)
    assert 1 <= len(laid["tiles"]) <= MOST_TILES
    assert "OpenStreetMap" in laid["credit"]
    for tile in laid["tiles"]:
        zoom, column, row = map(int, re.search(r"/(\d+)/(\d+)/(\d+)\.png", tile["address"]).groups())
        wide = 2 * HALF_WORLD_M / 2**zoom
        (down, left), (up, right) = tile["box"]
        for (at_right, at_up), (across, below) in (((left, up), (0, 0)), ((right, down), (1, 1))):
            lonlat = to_lonlat.transform(
                -HALF_WORLD_M + (column + across) * wide, HALF_WORLD_M - (row + below) * wide
            )
            east, north = SHEET.place.plane().from_datum(np.array([lonlat]))[0]
            assert (at_right - 30, at_up - 20) == pytest.approx((east, north), abs=0.05)


def test_they_cover_the_sheet():
    boxes = np.array([tile["box"] for tile in tiles_under(SHEET, NAME)["tiles"]])
    assert boxes[:, 0].min(axis=0) == pytest.approx((-50, -50), abs=51)
    assert (boxes[:, 0].min(axis=0) <= 0).all()
    assert (boxes[:, 1].max(axis=0) >= (40, 60)).all()


def test_a_large_sheet_takes_fewer_and_coarser_ones():
    assert len(tiles_under(place_at("40, -76", grid("4 km x 4 km").sheet), NAME)["tiles"]) <= MOST_TILES


def test_off_by_default(service):
    assert tiles_under(SHEET, None) is None
    assert service.guard.hosts == ()


def test_only_the_named_host_is_let_in(tmp_path):
    made = Service(Studio(open_folder(tmp_path / "job", Sketch(paper=SHEET)), NAME))
    made.socket.close()
    assert made.guard.hosts == ("https://tile.openstreetmap.org",)


@pytest.mark.parametrize("text", ["", "40", "91, 0", "40, 200", "north, west", "40, -76, 3", "nan, nan"])
def test_no_place_on_the_earth(text):
    with pytest.raises(InputError, match="is no place on the earth; write latitude and longitude"):
        place_at(text, SHEET)


def test_what_cannot_be_had_is_told(tmp_path):
    with pytest.raises(InputError, match="needs a blank sheet with a place on the earth; give one with --at"):
        tiles_under(grid("60 m x 40 m").sheet, NAME)
    with pytest.raises(ChoiceError, match="not a known source of tiles"):
        Studio(open_folder(tmp_path / "job", Sketch(paper=SHEET)), "Nobody.Tiles")


@pytest.mark.browser
def test_tiles_are_shown_and_nothing_else_is_fetched(browser, tmp_path):
    made = Service(Studio(open_folder(tmp_path / "job", Sketch(paper=SHEET)), NAME))
    threading.Thread(target=made.run, daemon=True).start()
    context = browser.new_context()
    asked = []
    context.route(
        re.compile("^https"), lambda route: (asked.append(route.request), route.fulfill(status=204))
    )
    page = context.new_page()
    page.goto(made.address)
    page.wait_for_selector("body[data-ready]")
    page.wait_for_selector(".tile")
    assert page.locator(".tile").count() == len(tiles_under(SHEET, NAME)["tiles"])
    assert {request.url.split("/")[2] for request in asked} == {"tile.openstreetmap.org"}
    assert "OpenStreetMap" in page.inner_text("#credit")
    made.stop()
    context.close()
