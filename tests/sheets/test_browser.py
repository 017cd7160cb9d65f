"""The page in a browser, from disk, with the network off."""

import re

import numpy as np
import pytest
from playwright.sync_api import expect

from lawnmap.sheets import write
from lawnmap.units import METRIC

pytestmark = pytest.mark.browser

HOSTILE = (
    "<img src=x onerror=document.title='hit'>",
    "</script><script>document.title='hit'</script>",
    "{{7*7}}{% raise %}",
    "${document.title='hit'}`;document.title='hit'//",
    "a\u2028b\u2029c",
)
DESK = {"viewport": {"width": 1280, "height": 900}}
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}


@pytest.fixture
def opened(browser, tmp_path):
    """Open a plan; at the end nothing but the page may have been asked for, and nothing complained."""
    heard, contexts = [], []

    def go(plan, **kind):
        path = write(plan, tmp_path / "out")
        context = browser.new_context(offline=True, **(kind or DESK))
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda message: heard.append(message.text))
        page.on("pageerror", lambda fault: heard.append(str(fault)))
        page.on("dialog", lambda dialog: heard.append(dialog.message))
        page.on("request", lambda request: request.url == path.as_uri() or heard.append(request.url))
        page.goto(path.as_uri())
        page.wait_for_selector("body[data-ready]", timeout=10_000)
        return page

    yield go
    for context in contexts:
        context.close()
    assert heard == []


def screen(page, east, north):
    """Where a point of a local yard is on the screen: CRS.Simple counts metres."""
    spot = page.evaluate(
        "([e, n]) => { const p = map_lawn.latLngToContainerPoint([n, e]); return [p.x, p.y] }", [east, north]
    )
    box = page.locator("#map_lawn").bounding_box()
    return box["x"] + spot[0], box["y"] + spot[1]


@pytest.mark.parametrize("kind", [DESK, PHONE], ids=["desk", "phone"])
@pytest.mark.parametrize("georeferenced", [True, False], ids=["earth", "local"])
def test_opens_with_no_network(opened, build_plan, kind, georeferenced):
    page = opened(build_plan(georeferenced=georeferenced), **kind)
    assert page.locator("#map_lawn path").count() > 30
    expect(page.locator(".label-zone", has_text="Back lawn")).to_have_count(1)
    expect(page.locator("#map_lawn .north")).to_have_text("N" if georeferenced else "up isnot north")
    assert page.evaluate("document.documentElement.scrollWidth") <= kind["viewport"]["width"]


def test_layers_switch_on_and_off(opened, plan):
    page = opened(plan)
    paths = page.locator(".leaflet-pass2-pane path")
    assert paths.count() == 0
    page.get_by_label("Lanes, pass 2").check()
    assert paths.count() == 8
    assert page.locator('.still [data-layer="pass2"]').first.get_attribute("display") is None
    page.get_by_label("Lanes, pass 2").uncheck()
    assert paths.count() == 0
    page.get_by_label("Lawn by density").uncheck()
    page.get_by_label("Lawn by density").check()
    # the lawn came back under the lanes, not over them
    heights = page.evaluate("['zones','pass1'].map((name) => +map_lawn.getPane(name).style.zIndex)")
    assert heights[0] < heights[1]


@pytest.mark.parametrize("kind", [DESK, PHONE], ids=["desk", "phone"])
def test_a_card_tells_area_rate_load_and_source(opened, build_plan, kind):
    page = opened(build_plan(georeferenced=False), **kind)
    page.locator("#map_lawn").scroll_into_view_if_needed()
    spot = screen(page, 5.5, 6.6)
    page.touchscreen.tap(*spot) if kind is PHONE else page.mouse.click(*spot)
    card = page.locator(".card")
    expect(card.locator("h3")).to_have_text("Front lawn")
    for part in (
        "8,351 sq ft ± 8.4 sq ft",
        "50.1 lb at 6 lb / 1000 sq ft",
        "2 fills of 12.5 lb, set for 3 lb / 1000 sq ft",
        "Invented table for tests",
    ):
        expect(card).to_contain_text(part)


@pytest.mark.parametrize(("units", "words"), [(METRIC, r"([\d.]+) m$"), (None, r"(\d+) ft (\d+) in$")])
def test_tape_measures_what_is_there(opened, build_plan, units, words):
    """The terrace is 12 m wide, the drive 18 m long on its long side; a pixel is the tape's resolution."""
    page = opened(build_plan(georeferenced=False, **({"units": units} if units else {})))
    page.get_by_role("button", name="Measure with the tape").click()
    corners = [(16, 31), (28, 31), (28, 35)]
    for corner in corners:
        page.mouse.click(*screen(page, *corner))
        page.wait_for_timeout(300)  # two quick clicks are a double click
    read = [float(number) for number in re.search(words, page.locator("#tape").inner_text()).groups()]
    metres = read[0] if units else (read[0] * 12 + read[1]) * 0.0254
    pixel = 1 / np.ptp([screen(page, 0, 0)[0], screen(page, 1, 0)[0]])
    assert metres == pytest.approx(16, abs=2 * pixel + 0.02)
    page.keyboard.press("Escape")
    expect(page.locator("#tape")).to_be_hidden()
    expect(page.locator(".card")).to_have_count(0)  # the clicks measured and opened nothing


def test_tape_on_the_earth_agrees_with_the_plane(opened, plan):
    page = opened(plan)
    page.get_by_role("button", name="Measure with the tape").click()
    ends = plan.yard.plane.to_lonlat(np.array([[0.0, 0.0], [50.0, 0.0]]))
    box = page.locator("#map_lawn").bounding_box()
    for longitude, latitude in ends.tolist():
        spot = page.evaluate(
            "(at) => { const p = map_lawn.latLngToContainerPoint(at); return [p.x, p.y] }",
            [latitude, longitude],
        )
        page.mouse.click(box["x"] + spot[0], box["y"] + spot[1])
        page.wait_for_timeout(300)
    feet, inches = map(int, re.search(r"(\d+) ft (\d+) in", page.locator("#tape").inner_text()).groups())
    assert (feet * 12 + inches) * 0.0254 == pytest.approx(50.0, abs=0.3)


@pytest.mark.parametrize("evil", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_names_are_shown_as_they_are(opened, build_plan, evil):
    plan = build_plan(georeferenced=False, rename=lambda name: f"{evil} {name}")
    page = opened(plan)
    assert page.locator("h1").evaluate("(e) => e.textContent") == plan.name
    page.mouse.click(*screen(page, 5.5, 6.6))
    expect(page.locator(".card h3")).to_be_visible()
    assert page.locator(".card h3").evaluate("(e) => e.textContent") == f"{evil} Front lawn"
    assert page.title() == re.sub(r"\s+", " ", f"{plan.name}: lawn plan") or "\u2028" in evil
    assert page.locator("img").count() == 0


def test_a_row_of_the_table_shows_its_zone(opened, plan):
    page = opened(plan)
    page.get_by_role("button", name="5. Spot by the gate").click()
    expect(page.locator(".card h3")).to_have_text("Spot by the gate")
    expect(page.locator(".label-zone", has_text="Spot by the gate")).to_have_count(
        1
    )  # now there is room for its name


def test_names_on_the_map_do_not_overlap(opened, plan):
    page = opened(plan, **PHONE)
    boxes = page.locator(".label-seat .label").evaluate_all(
        "(all) => all.map((e) => { const b = e.getBoundingClientRect(); return [b.left, b.top, b.right, b.bottom] })"
    )
    assert len(boxes) > 8
    for i, (left, top, right, foot) in enumerate(boxes):
        for other in boxes[:i]:
            assert (
                right <= other[0] + 1 or other[2] <= left + 1 or foot <= other[1] + 1 or other[3] <= top + 1
            )


def test_without_scripts_the_picture_stands_there(browser, plan, tmp_path):
    path = write(plan, tmp_path / "out")
    context = browser.new_context(offline=True, java_script_enabled=False, **DESK)
    page = context.new_page()
    page.goto(path.as_uri())
    assert page.locator(".still svg").is_visible()
    assert not page.locator("#map_lawn").is_visible()
    context.close()


def test_paper_gets_the_picture(opened, plan):
    page = opened(plan)
    page.emulate_media(media="print")
    assert page.locator(".still svg").is_visible()
    assert not page.locator("#map_lawn").is_visible()
    assert not page.locator("input").first.is_visible()
