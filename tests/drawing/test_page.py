"""Whole stories in a real browser: a lot with areas that are known is traced, saved, changed and planned.

The sheet is 40 m by 30 m of lot with a house of 10 m by 10 m, so 1,100 m² of lawn.
"""

import json
import threading
from pathlib import Path

import pytest
from playwright.sync_api import expect, sync_playwright

import lawnmap
from lawnmap.drawing import Service, Sketch, Studio, open_folder, open_paper, redirect_file

pytestmark = pytest.mark.browser

FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync"]  # fmt: skip
LOT = [(100, 100), (1060, 100), (1060, 820), (100, 820)]


@pytest.fixture(scope="module")
def browser(chromium):
    with sync_playwright() as player:
        started = player.chromium.launch(executable_path=chromium, args=FLAGS)
        yield started
        started.close()


class Hand:
    """A user's hand: it points at pixels of the sheet."""

    def __init__(self, page, size=(1200, 900)):
        self.page, self.size = page, size
        self.box = page.locator(".leaflet-image-layer").bounding_box()

    def at(self, right, down):
        return (
            self.box["x"] + right * self.box["width"] / self.size[0],
            self.box["y"] + down * self.box["height"] / self.size[1],
        )

    def click(self, *spots):
        for spot in spots:
            self.page.mouse.move(*self.at(*spot))
            self.page.mouse.click(*self.at(*spot))

    def scale(self, first, second, length):
        self.page.click("[data-tool=length]")
        self.click(first, second)
        self.page.fill("#ask-one", length)
        self.page.keyboard.press("Enter")
        expect(self.page.locator("#fit")).to_contain_text("scale")

    def saved(self):
        self.page.wait_for_timeout(300)  # a save begins a moment after the change
        expect(self.page.locator("#status")).to_have_text("Saved")

    def net_m2(self):
        self.saved()
        return self.net_m2_shown()

    def net_m2_shown(self):
        return float(self.page.inner_text("#zones tr:last-child td:nth-child(3)").split()[0].replace(",", ""))


def opened(browser, service, **options):
    context = browser.new_context(viewport={"width": 1400, "height": 950}, **options)
    page = context.new_page()
    page.faults = []
    page.on("pageerror", lambda fault: page.faults.append(str(fault)))
    page.on("console", lambda said: said.type == "error" and page.faults.append(said.text))
    path = redirect_file(service.address)
    try:
        page.goto(path.as_uri())
        page.wait_for_selector("body[data-ready]")
    finally:
        path.unlink()
    return page


@pytest.fixture
def page(browser, service):
    made = opened(browser, service)
    yield made
    faults = made.faults
    made.context.close()
    assert not faults


@pytest.fixture
def hand(page):
    return Hand(page)


def trace_lot(hand):
    hand.scale((100, 100), (1060, 100), "40 m")
    hand.scale((100, 100), (100, 820), "30 m")
    hand.page.click("[data-tool=lawn]")
    hand.click(*LOT, LOT[0])


def test_token_leaves_the_address(page, service):
    assert page.url == f"{service.keys.origin}/"
    assert page.evaluate("document.cookie") == ""


def test_lawn_with_a_house_has_its_true_area(page, hand, service):
    trace_lot(hand)
    page.click("[data-density=patchy]")
    page.select_option("#kind", "house")
    page.check("[name=form][value=rectangle]")
    hand.click((340, 340), (580, 340), (580, 580))
    assert hand.net_m2() == pytest.approx(1100, rel=0.003)
    expect(page.locator("#cutouts")).to_contain_text("house")
    folder = service.studio.store.folder
    measured = lawnmap.take_off(lawnmap.read(folder / "yard.geojson"))
    assert measured.net_area_m2 == pytest.approx(1100, rel=0.003)
    assert f"{measured.net_area_m2:,.0f} m²" in page.inner_text("#zones")
    assert measured.zones[0].density == "patchy"
    assert {path.name for path in folder.iterdir()} == {
        "sketch.json",
        "yard.geojson",
        "job.toml",
        "paper.png",
    }


def test_plan_from_the_page_is_the_folder_planned(page, hand, service):
    trace_lot(hand)
    hand.saved()
    page.click("#plan")
    expect(page.locator("#plan-said")).to_have_text("Planned.", timeout=60_000)
    page.frame_locator("#map").locator(".leaflet-container").wait_for()
    plan = json.loads((service.studio.store.folder / "plan" / "plan.json").read_text("utf-8"))
    again = lawnmap.plan(service.studio.store.folder)
    assert plan["takeoff"]["net_area_m2"] == pytest.approx(again.takeoff.net_area_m2, rel=1e-12)
    assert plan["units"] == "metric"
    shown = page.inner_text("#outcome")
    assert f"Tall fescue: {lawnmap.units.METRIC.mass(again.prescription.materials[0].total_kg)}" in shown
    assert f"{sum(one.lane_count for one in again.lanes.passes)} lanes" in shown
    page.click("#show-map")
    expect(page.locator("#sheet")).to_be_visible()
    page.click("[data-density=bare]")
    expect(page.locator("#plan-said")).to_contain_text("plan again")


def test_choices_go_into_the_job_file_and_bad_ones_are_marked(page, hand, service):
    trace_lot(hand)
    hand.saved()
    path = service.studio.store.folder / "job.toml"
    path.write_text(path.read_text("utf-8") + "\n# by hand\n", "utf-8")  # an editor has it open as well
    page.fill("#choice-seed-rate", "30")
    page.press("#choice-seed-rate", "Tab")
    expect(page.locator("[data-section=seed] [data-key=rate] .bad")).to_contain_text('"30" has no unit')
    expect(page.locator("#choice-seed-rate")).to_have_attribute("aria-invalid", "true")
    page.fill("#choice-seed-rate", "30 g / m²")
    page.press("#choice-seed-rate", "Tab")
    expect(page.locator("#choices-said")).to_have_text("Saved in job.toml.")
    page.fill("#choice-seed-purity", "97.5 %")  # one alone is not enough
    page.press("#choice-seed-purity", "Tab")
    expect(page.locator("[data-section=seed] [data-key=germination] .bad")).to_contain_text("germination")
    page.fill("#choice-seed-germination", "90 %")
    page.press("#choice-seed-germination", "Tab")
    expect(page.locator("#choices-said")).to_have_text("Saved in job.toml.")
    page.click("text=Spreader or rig")
    page.select_option("#choice-rig-passes", "half spacing")
    page.fill("#yard-name", "Renamed")
    page.press("#yard-name", "Tab")
    hand.saved()
    choices = lawnmap.job.read_choices(path)
    assert choices.seed.rate_kg_per_m2 == pytest.approx(0.030)
    assert (choices.seed.germination, choices.rig.passes) == ((0.9,), "half spacing")
    assert choices.general.name == "Renamed"
    assert path.read_text("utf-8").endswith("# by hand\n")
    page.faults.clear()  # the browser writes each refusal, 422, into its console


def test_undo_redo_and_a_corner_dragged_added_and_removed(page, hand):
    trace_lot(hand)
    assert hand.net_m2() == pytest.approx(1200, rel=0.003)
    page.mouse.move(*hand.at(*LOT[2]))
    page.mouse.down()
    page.mouse.move(*hand.at(1000, 800))
    page.mouse.move(*hand.at(820, 820), steps=4)  # half a side less: a triangle of 10 m by 30 m goes
    live = page.inner_text(".label.area")
    page.mouse.up()
    assert hand.net_m2() == pytest.approx(1050, rel=0.005)
    assert float(live.split()[0].replace(",", "")) == pytest.approx(1050, rel=0.005)
    page.keyboard.press("Control+z")
    assert hand.net_m2() == pytest.approx(1200, rel=0.003)
    page.keyboard.press("Control+y")
    assert hand.net_m2() == pytest.approx(1050, rel=0.005)
    page.locator('[data-corner="0:2:false"]').click(button="right")
    assert hand.net_m2() == pytest.approx(600, rel=0.005)
    page.locator('[data-corner="0:1:false"]').focus()
    page.keyboard.press("Shift+ArrowLeft")
    assert hand.net_m2() < 597


def test_keyboard_alone_draws_a_lawn(page, hand):
    hand.scale((100, 100), (1060, 100), "40 m")
    page.click("[data-tool=lawn]")
    page.locator("#sheet").focus()
    for way in ("ArrowLeft", "ArrowDown", "ArrowRight"):
        for _ in range(8):
            page.keyboard.press(way)
        page.keyboard.press("Enter")
    page.keyboard.press("f")
    hand.saved()
    perimeter_px = page.evaluate("document.querySelectorAll('[data-corner$=false]').length")
    assert perimeter_px == 3
    assert hand.net_m2() > 1


def test_typed_lengths_make_a_square(page, hand):
    hand.scale((100, 100), (1060, 100), "40 m")
    page.click("[data-tool=lawn]")
    hand.click((200, 700))
    page.mouse.move(*hand.at(600, 700))
    page.fill("#typed", "10 m")
    page.press("#typed", "Enter")
    page.mouse.move(*hand.at(500, 300))
    page.fill("#typed", "10 m square")
    page.press("#typed", "Enter")
    page.mouse.move(*hand.at(220, 300))
    page.fill("#typed", "10 m square")
    page.press("#typed", "Enter")
    page.click("#finish")
    assert hand.net_m2() == pytest.approx(100, abs=0.11)


def test_bow_tie_is_shown_and_is_no_zone(page, hand, service):
    hand.scale((100, 100), (1060, 100), "40 m")
    page.click("[data-tool=lawn]")
    hand.click(LOT[0], LOT[2], LOT[1], LOT[3], LOT[0])
    hand.saved()
    expect(page.locator("#troubles")).to_contain_text("crosses itself")
    assert not service.studio.store.yard()
    assert json.loads(service.studio.store.sketch())["shapes"]


def test_changed_on_disk_is_refused_and_both_are_kept(page, hand, service):
    trace_lot(hand)
    hand.saved()
    store = service.studio.store
    theirs = store.sketch().replace(b'"Trial"', b'"Theirs"')
    (store.folder / "sketch.json").write_bytes(theirs)
    page.fill("#yard-name", "Mine")
    page.press("#yard-name", "Tab")
    expect(page.locator("#conflict")).to_be_visible()
    assert store.sketch() == theirs
    page.click("#mine")
    hand.saved()
    assert b'"Mine"' in store.sketch()
    kept = {path.read_bytes() for path in (store.folder / "kept").iterdir()}
    assert theirs in kept
    page.faults.clear()  # the browser writes the refusal, 412, into its console


def test_two_tabs(browser, page, hand, service):
    other = page.context.new_page()
    other.goto(service.keys.origin)
    other.wait_for_selector("body[data-ready]")
    trace_lot(hand)
    hand.saved()
    other.fill("#yard-name", "Second tab")
    other.press("#yard-name", "Tab")
    expect(other.locator("#conflict")).to_be_visible()
    assert b"Second tab" not in service.studio.store.sketch()


def test_touch_on_a_phone(browser, service):
    page = opened(browser, service, has_touch=True)
    page.set_viewport_size({"width": 390, "height": 844})
    page.reload()
    page.wait_for_selector("body[data-ready]")
    hand = Hand(page)
    page.locator("[data-tool=length]").tap()
    for spot in LOT[:2]:
        page.touchscreen.tap(*hand.at(*spot))
    page.fill("#ask-one", "40 m")
    page.keyboard.press("Enter")
    page.locator("[data-tool=lawn]").tap()
    for spot in (*LOT, LOT[0]):
        page.touchscreen.tap(*hand.at(*spot))
    assert hand.net_m2() == pytest.approx(1200, rel=0.02)  # a fingertip on a small screen
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert not page.faults
    page.context.close()


def test_names_stay_text(page, hand):
    trace_lot(hand)
    page.fill("#chosen input", '<img src=x onerror="document.title=1">')
    page.press("#chosen input", "Tab")
    hand.saved()
    expect(page.locator("#zones")).to_contain_text("<img src=x")
    assert page.locator("#zones img").count() == 0


def test_lawn_is_split_by_density_joined_again_and_gets_a_hole(page, hand):
    trace_lot(hand)
    page.click("#split")
    hand.click((580, 60), (580, 860))
    page.keyboard.press("f")
    hand.saved()
    expect(page.locator("#zones tr")).to_have_count(3)
    assert hand.net_m2() == pytest.approx(1200, rel=0.003)
    page.locator("[data-shape]").nth(1).click()
    page.click("[data-density=bare]")
    hand.saved()
    assert "bare" in page.inner_text("#zones")
    page.select_option("#join", index=1)
    hand.saved()
    expect(page.locator("#zones tr")).to_have_count(2)
    page.click("#hole")
    hand.click((340, 340), (580, 340), (580, 580), (340, 580), (340, 340))
    assert hand.net_m2() == pytest.approx(1100, rel=0.003)


def test_tree_and_a_curved_bed(page, hand):
    trace_lot(hand)
    page.select_option("#kind", "tree")
    hand.click((800, 300), (848, 300))
    hand.saved()
    assert hand.net_m2() == pytest.approx(1200 - 3.1416 * 4, rel=0.003)
    page.select_option("#kind", "bed")
    page.check("[name=form][value=corners]")
    hand.click((400, 600))
    page.keyboard.press("c")
    hand.click((520, 480), (640, 600))  # half a circle of 5 m
    page.keyboard.press("f")
    assert hand.net_m2() == pytest.approx(1200 - 3.1416 * 4 - 3.1416 * 25 / 2, rel=0.003)


def test_second_run_goes_on_where_the_first_stopped(browser, page, hand, service):
    trace_lot(hand)
    hand.saved()
    page.reload()
    page.wait_for_selector("body[data-ready]")
    assert page.locator("[data-shape]").count() == 1
    assert hand.net_m2_shown() == pytest.approx(1200, rel=0.003)


def test_control_points_set_a_slanted_photo_straight(page, hand, service):
    """Four corners of a known quadrangle, clicked where a slanted photo shows them, give its true area."""
    seen = [(300, 300), (900, 300), (1060, 820), (100, 820)]  # 40 m by 30 m, the far side seen shorter
    for spot, east, north in zip(seen, ("0", "40", "40", "0"), ("30", "30", "0", "0"), strict=True):
        page.click("[data-tool=control]")
        hand.click(spot)
        page.fill("#ask-one", east)
        page.fill("#ask-two", north)
        page.press("#ask-two", "Enter")
    expect(page.locator("#fit")).to_contain_text("projective")
    page.click("[data-tool=lawn]")
    hand.click(*seen, seen[0])
    assert hand.net_m2() == pytest.approx(1200, rel=0.003)
    assert page.inner_text(".label.area") == "1,200 m²"


def test_yard_is_handed_out_for_a_gis(page, hand, service, tmp_path):
    trace_lot(hand)
    hand.saved()
    for link, name in (("GeoJSON", "yard.geojson"), ("GeoPackage", "yard.gpkg"), ("DXF", "yard.dxf")):
        with page.expect_download() as getting:
            page.click(f"text={link}")
        getting.value.save_as(tmp_path / name)
        assert lawnmap.take_off(lawnmap.read(tmp_path / name)).net_area_m2 == pytest.approx(1200, rel=0.003)


HOMEOWNER = Path(__file__).parents[2] / "sample_parcels" / "homeowner"
NET_SQ_FT = 5798.91  # worked out by hand in sample_parcels/homeowner/ORIGIN.md


class Homeowner(Hand):
    """Traces the sample sketch, whose sheet has 8 pixels to the foot."""

    def feet(self, *spots):
        self.click(*((190 + 8 * east, 1170 - 8 * north) for east, north in spots))

    def shape(self, form, kind, *spots):
        if kind == "lawn":
            self.page.click("[data-tool=lawn]")
        else:
            self.page.select_option("#kind", "other")  # so that a tree is a change
            self.page.select_option("#kind", kind)
        self.page.check(f"[name=form][value={form}]")
        self.feet(*spots)
        if form == "corners":
            self.page.keyboard.press("f")

    def curve(self, *spots):
        self.page.keyboard.press("c")
        self.feet(*spots)


def test_homeowner_reaches_the_true_area_of_the_sample_sketch(browser, tmp_path):
    paper = open_paper(HOMEOWNER / "sketch.png")
    service = Service(Studio(open_folder(tmp_path / "job", Sketch(paper=paper.sheet), paper)))
    threading.Thread(target=service.run, daemon=True).start()
    page = opened(browser, service)
    page.set_viewport_size({"width": 1500, "height": 1500})
    page.reload()
    page.wait_for_selector("body[data-ready]")
    hand = Homeowner(page, (940, 1300))
    hand.scale((190, 1170), (750, 1170), "70 ft")
    hand.scale((190, 1170), (190, 130), "130 ft")
    hand.shape("rectangle", "lawn", (52, 83), (64, 83), (64, 91))
    page.click("[data-density=bare]")
    hand.shape("corners", "lawn", (0, 0), (70, 0), (70, 50), (0, 50))
    page.click("[data-density=patchy]")
    hand.shape("rectangle", "lawn", (0, 50), (14, 50), (14, 80))
    hand.shape("corners", "lawn", (14, 50), (70, 50), (70, 118), (0, 130), (0, 80), (14, 80))
    page.click("[data-density=patchy]")
    hand.shape("corners", "house", (14, 38), (56, 38), (56, 80), (40, 80), (40, 68), (14, 68))
    hand.shape("rectangle", "drive", (44, 0), (56, 0), (56, 38))
    hand.shape("corners", "walk", (30, 26), (44, 26), (44, 30), (34, 30), (34, 38), (30, 38))
    hand.shape("rectangle", "walk", (20, 68), (40, 68), (40, 80))
    hand.shape("rectangle", "bed", (14, 34), (28, 34), (28, 38))
    hand.shape("rectangle", "other", (4, 114), (12, 114), (12, 124))
    hand.shape("circle", "tree", (63, 20), (66, 20))
    hand.shape("circle", "tree", (50, 110), (54, 110))
    page.select_option("#kind", "pool")
    page.check("[name=form][value=corners]")
    hand.feet((20, 106), (36, 106))  # two lobes of 6 ft, a waist of 4 ft, three tangents
    hand.curve((42, 100), (31.2, 96.4))
    hand.curve((28, 98), (24.8, 96.4))
    hand.curve((14, 100), (20, 106))
    page.keyboard.press("f")
    for corner, through, end in (((0, 0), (7.071, 7.071), (0, 10)), ((70, 98), (63, 98), (70, 91))):
        page.select_option("#kind", "bed")
        hand.feet(corner, (10, 0) if corner == (0, 0) else (70, 105))
        hand.curve(through, end)
        page.keyboard.press("f")
    net = hand.net_m2()  # in square feet on this page
    page.screenshot(path=tmp_path / "story.png")
    service.stop()
    page.context.close()
    assert net == pytest.approx(NET_SQ_FT, rel=0.003)


def test_stop_saves_first_and_ends_the_server(page, hand, service):
    trace_lot(hand)
    page.click("#stop")
    expect(page.locator("#status")).to_contain_text("Stopped")
    assert service.studio.store.yard()
    assert service.server.should_exit
