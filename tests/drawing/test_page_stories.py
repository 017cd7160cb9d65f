"""Whole stories in a real browser: what people do from beginning to end, and what may come between."""

import threading
from pathlib import Path

import pytest
from playwright.sync_api import expect

from lawnmap.drawing import Service, Sketch, Studio, open_folder, open_paper

pytestmark = pytest.mark.browser

LOT = [(100, 100), (1060, 100), (1060, 820), (100, 820)]


def test_keyboard_alone(page, make_hand):
    """No pointer at all: scale, a lawn, its class, a house, a corner moved, undone, saved and planned."""
    press = page.keyboard.press

    def tab_to(what, most=80):
        for _ in range(most):
            if page.evaluate("what => document.activeElement.matches(what)", what):
                return
            press("Tab")
        pytest.fail(f"the Tab key does not reach {what}")

    def steps(*ways):
        for key, count in ways:
            for _ in range(count):
                press(key)
        press("Enter")

    tab_to("[data-tool=length]")
    press("Enter")  # goes on to the sheet
    steps(("ArrowLeft", 20))
    steps(("ArrowRight", 40))
    page.keyboard.type("40 m")
    press("Enter")
    expect(page.locator("#fit")).to_contain_text("scale")
    press("l")
    tab_to("#sheet")
    steps(("ArrowDown", 15))
    steps(("ArrowLeft", 40))
    steps(("ArrowUp", 30))
    steps(("ArrowRight", 40))
    press("f")
    hand = make_hand(page)
    assert hand.net_m2() == pytest.approx(40 * 30, rel=0.003)
    tab_to("[data-density=bare]")
    press("Enter")
    hand.saved()
    assert "bare" in page.inner_text("#zones")
    tab_to('[data-corner="0:0:false"]')
    press("ArrowUp")
    hand.saved()
    assert hand.net_m2() < 1200
    press("Control+z")
    assert hand.net_m2() == pytest.approx(40 * 30, rel=0.003)
    tab_to("[data-move]")
    press("ArrowRight")
    assert hand.net_m2() == pytest.approx(40 * 30, rel=0.003)
    tab_to("#plan", 200)
    press("Enter")
    expect(page.locator("#plan-said")).to_have_text("Planned.", timeout=60_000)


def test_changed_on_disk_is_refused_and_both_are_kept(page, hand, service):
    hand.trace_lot()
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


def test_two_tabs(page, hand, service):
    other = page.context.new_page()
    other.goto(service.keys.origin)
    other.wait_for_selector("body[data-ready]")
    page.bring_to_front()
    hand.trace_lot()
    hand.saved()
    other.bring_to_front()
    other.fill("#yard-name", "Second tab")
    other.press("#yard-name", "Tab")
    expect(other.locator("#conflict")).to_be_visible()
    assert b"Second tab" not in service.studio.store.sketch()
    other.click("#theirs")
    other.wait_for_selector("body[data-ready]")
    expect(other.locator("[data-shape]")).to_have_count(1)
    other.fill("#yard-name", "Second tab")
    other.press("#yard-name", "Tab")
    expect(other.locator("#status")).to_have_text("Saved")
    assert b"Second tab" in service.studio.store.sketch()


def test_touch_on_a_phone(open_page, make_hand, service):
    """Taps, a pinch and a grip dragged by a finger, at the size of a phone."""
    page = open_page(service, (390, 844), has_touch=True, is_mobile=True)
    hand = make_hand(page)
    fingers = page.context.new_cdp_session(page)
    page.locator("[data-tool=length]").tap()
    for spot in LOT[:2]:
        page.touchscreen.tap(*hand.at(*spot))
    page.fill("#ask-one", "40 m")
    page.locator("#ask [value=ok]").tap()
    expect(page.locator("#fit")).to_contain_text("scale")
    page.locator("[data-tool=lawn]").tap()
    for spot in (*LOT, LOT[0]):
        page.touchscreen.tap(*hand.at(*spot))
    assert hand.net_m2() == pytest.approx(1200, rel=0.03)  # a fingertip where a pixel is 0.1 m
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    before = hand.box["width"]
    x, y = hand.at(*LOT[2])
    pinch = {"x": x, "y": y, "scaleFactor": 3, "relativeSpeed": 2000, "gestureSourceType": "touch"}
    fingers.send("Input.synthesizePinchGesture", pinch)
    page.wait_for_timeout(400)
    hand = make_hand(page)
    assert hand.box["width"] > 1.8 * before
    assert page.evaluate("window.visualViewport.scale") == 1  # the sheet is zoomed, not the page
    grip = page.locator('[data-corner="0:2:false"]').bounding_box()
    assert min(grip["width"], grip["height"]) >= 24  # WCAG 2.2, 2.5.8: target size, at the least
    x, y = grip["x"] + grip["width"] / 2, grip["y"] + grip["height"] / 2
    goal = hand.at(820, 820)
    fingers.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]})
    for share in (0.1, 0.4, 0.7, 1):
        spot = {"x": x + share * (goal[0] - x), "y": y + share * (goal[1] - y)}
        fingers.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [spot]})
    fingers.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    assert hand.net_m2() == pytest.approx(1050, rel=0.03)


def test_second_run_goes_on_where_the_first_stopped(page, hand, service):
    hand.trace_lot()
    hand.saved()
    page.reload()
    page.wait_for_selector("body[data-ready]")
    assert page.locator("[data-shape]").count() == 1
    assert hand.net_m2_shown() == pytest.approx(1200, rel=0.003)


HOMEOWNER = Path(__file__).parents[2] / "sample_parcels" / "homeowner"
NET_SQ_FT = 5798.91  # worked out by hand in sample_parcels/homeowner/ORIGIN.md


@pytest.fixture
def homeowner(open_page, make_hand, tmp_path):
    paper = open_paper(HOMEOWNER / "sketch.png")
    service = Service(Studio(open_folder(tmp_path / "job", Sketch(paper=paper.sheet), paper)))
    threading.Thread(target=service.run, daemon=True).start()
    yield Homeowner(make_hand(open_page(service, (1500, 1500)), (940, 1300)))
    service.stop()


class Homeowner:
    """Traces the sample sketch, whose sheet has 8 pixels to the foot."""

    def __init__(self, hand):
        self.hand, self.page = hand, hand.page

    def feet(self, *spots):
        self.hand.click(*((190 + 8 * east, 1170 - 8 * north) for east, north in spots))

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


def test_homeowner_reaches_the_true_area_of_the_sample_sketch(homeowner):
    page, shape = homeowner.page, homeowner.shape
    homeowner.hand.scale((190, 1170), (750, 1170), "70 ft")
    homeowner.hand.scale((190, 1170), (190, 130), "130 ft")
    shape("rectangle", "lawn", (52, 83), (64, 83), (64, 91))
    page.click("[data-density=bare]")
    shape("corners", "lawn", (0, 0), (70, 0), (70, 50), (0, 50))
    page.click("[data-density=patchy]")
    shape("rectangle", "lawn", (0, 50), (14, 50), (14, 80))
    shape("corners", "lawn", (14, 50), (70, 50), (70, 118), (0, 130), (0, 80), (14, 80))
    page.click("[data-density=patchy]")
    shape("corners", "house", (14, 38), (56, 38), (56, 80), (40, 80), (40, 68), (14, 68))
    shape("rectangle", "drive", (44, 0), (56, 0), (56, 38))
    shape("corners", "walk", (30, 26), (44, 26), (44, 30), (34, 30), (34, 38), (30, 38))
    shape("rectangle", "walk", (20, 68), (40, 68), (40, 80))
    shape("rectangle", "bed", (14, 34), (28, 34), (28, 38))
    shape("rectangle", "other", (4, 114), (12, 114), (12, 124))
    shape("circle", "tree", (63, 20), (66, 20))
    shape("circle", "tree", (50, 110), (54, 110))
    page.select_option("#kind", "pool")
    page.check("[name=form][value=corners]")
    homeowner.feet((20, 106), (36, 106))  # two lobes of 6 ft, a waist of 4 ft, three tangents
    homeowner.curve((42, 100), (31.2, 96.4))
    homeowner.curve((28, 98), (24.8, 96.4))
    homeowner.curve((14, 100), (20, 106))
    page.keyboard.press("f")
    for corner, through, end in (((0, 0), (7.071, 7.071), (0, 10)), ((70, 98), (63, 98), (70, 91))):
        page.select_option("#kind", "bed")
        homeowner.feet(corner, (10, 0) if corner == (0, 0) else (70, 105))
        homeowner.curve(through, end)
        page.keyboard.press("f")
    net = homeowner.hand.net_m2()  # in square feet on this page
    assert net == pytest.approx(NET_SQ_FT, rel=0.003)


def test_stop_saves_first_and_ends_the_server(page, hand, service):
    hand.trace_lot()
    page.click("#stop")
    expect(page.locator("#status")).to_contain_text("Stopped")
    assert service.studio.store.yard()
    assert service.server.should_exit


def test_server_gone_and_the_page_still_has_all(open_page, make_hand, service, tmp_path):
    """What is drawn after the program was killed can be taken along, and the next run goes on with it."""
    page = open_page(service)
    hand = make_hand(page)
    hand.trace_lot()
    hand.saved()
    service.stop()
    page.wait_for_timeout(1500)
    page.click("[data-density=bare]")
    expect(page.locator("#status")).to_contain_text("the program has stopped")
    with page.expect_download() as getting:
        page.click("#rescue")
    getting.value.save_as(tmp_path / "copy.json")
    again = Service(Studio(open_folder(service.studio.store.folder, None)))
    threading.Thread(target=again.run, daemon=True).start()
    other = open_page(again)
    other.set_input_files("#open-file", tmp_path / "copy.json")
    expect(other.locator("#zones")).to_contain_text("bare")
    again.stop()
    page.faults.clear()  # the browser writes each failed request into its console
