"""The page for people who do not see well or do not point: axe-core, sizes of text and targets, names and order.

Rules: W3C, *Web Content Accessibility Guidelines* 2.2, as axe-core 4 checks them.
"""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

import lawnmap
from lawnmap.drawing import sketch_of, write_pocket

pytestmark = pytest.mark.browser


def check(page):
    found = Axe().run(page)
    told = [
        (fault["id"], fault["help"], [node["html"][:120] for node in fault["nodes"][:3]])
        for fault in found.response["violations"]
    ]
    assert not told
    assert len(found.response["passes"]) > 20


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_from_the_first_click_to_the_plan(open_page, make_hand, service, scheme):
    page = open_page(service, color_scheme=scheme)
    check(page)
    hand = make_hand(page)
    hand.trace_lot()
    hand.saved()
    page.click("[data-section=fertilizer] > summary")
    page.fill("#choice-seed-rate", "30")
    page.press("#choice-seed-rate", "Tab")
    expect(page.locator("[data-section=seed] [data-key=rate] .bad")).to_contain_text("no unit")
    check(page)
    page.fill("#choice-seed-rate", "")
    page.press("#choice-seed-rate", "Tab")
    page.click("#plan")
    expect(page.locator("#plan-said")).to_have_text("Planned.", timeout=60_000)
    page.click("#show-map")  # the map has tests of its own
    check(page)
    page.faults.clear()  # the refused choice


def test_axe_finds_nothing_in_the_questions(page, hand):
    page.click("[data-tool=length]")
    hand.click((100, 100), (1060, 100))
    expect(page.locator("#ask")).to_be_visible()
    check(page)
    page.keyboard.press("Escape")
    page.click("[data-tool=control]")
    hand.click((100, 100))
    expect(page.locator("#ask-point")).to_be_visible()
    check(page)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_on_a_phone(browser, tmp_path, scheme):
    write_pocket(
        tmp_path / "phone.html", sketch_of(lawnmap.read("sample_parcels/homeowner/yard.geojson")), None, None
    )
    context = browser.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True, color_scheme=scheme
    )
    page = context.new_page()
    page.goto((tmp_path / "phone.html").as_uri())
    page.wait_for_selector("body[data-ready]")
    page.locator("[data-shape]").first.tap()
    check(page)
    small = page.evaluate(SMALL_TARGETS)
    assert not small
    context.close()


SMALL_TARGETS = """() => [...document.querySelectorAll("button, select, input:not([type=radio]):not([type=checkbox]), summary")]
  .filter((one) => one.offsetParent && one.getBoundingClientRect().height < 44 && one.type !== "file")
  .map((one) => one.outerHTML.slice(0, 80))"""
SMALL_TEXT = """() => [...document.querySelectorAll("body *")]
  .filter((one) => [...one.childNodes].some((part) => part.nodeType === 3 && part.textContent.trim()))
  .filter((one) => one.offsetParent && parseFloat(getComputedStyle(one).fontSize) < 12)
  .map((one) => one.outerHTML.slice(0, 80))"""


def test_no_text_is_under_12_pixels(page, hand):
    hand.trace_lot()
    hand.saved()
    page.click("#choices summary >> nth=1")
    assert not page.evaluate(SMALL_TEXT)


def test_tab_goes_through_the_tools_then_the_sheet_then_the_side(page, hand):
    hand.trace_lot()
    hand.saved()
    page.reload()
    page.wait_for_selector("body[data-ready]")
    seen = []
    while len(seen) < 200 and seen[-1:] != ["BODY"]:  # the end of the page
        page.keyboard.press("Tab")
        seen.append(page.evaluate(PLACE))
    order = list(dict.fromkeys(seen))
    assert order == ["HEADER", "sheet", "ASIDE", "BODY"]
    assert seen == sorted(seen, key=order.index)  # and never jumps back


PLACE = """() => {
  const at = document.activeElement;
  return at.closest("#sheet") ? "sheet" : at.closest("header, aside, body").tagName;
}"""
