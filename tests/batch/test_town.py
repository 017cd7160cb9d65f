"""The index map in a browser, from disk, with the network off."""

import re

import pytest
from playwright.sync_api import expect

from lawnmap.batch import Options, run
from lawnmap.job import Choices, General

pytestmark = pytest.mark.browser

QUICK = Choices(general=General(leave_out=("lanes",)))
DESK = {"viewport": {"width": 1280, "height": 900}}
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}
HOSTILE = (
    "<img src=x onerror=document.title='hit'>",
    "</script><script>document.title='hit'</script>",
    "{{7*7}}${document.title='hit'}`",
)


@pytest.fixture
def opened(browser):
    """Open a page; at the end nothing but the page may have been asked for, and nothing complained."""
    heard, contexts = [], []

    def go(path, kind):
        context = browser.new_context(offline=True, **kind)
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda message: heard.append(message.text))
        page.on("pageerror", lambda fault: heard.append(str(fault)))
        page.on("request", lambda request: request.url == path.as_uri() or heard.append(request.url))
        page.goto(path.as_uri())
        page.wait_for_selector("body[data-ready]", timeout=10_000)
        return page

    yield go
    for context in contexts:
        context.close()
    assert heard == []


@pytest.mark.parametrize("kind", [DESK, PHONE], ids=["desktop", "phone"])
def test_one_click_from_a_row_to_the_figures(planned, opened, kind):
    page = opened(planned.page, kind)
    page.get_by_role("button", name="8 Larch Lane", exact=True).click()
    card = page.locator(".card")
    expect(card.locator("h3")).to_have_text("8 Larch Lane")
    expect(card).to_contain_text("Net lawn620 m²")
    wide = page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    assert wide, "the page is wider than the screen"


def test_one_click_from_a_yard_on_the_map_to_the_figures(planned, opened):
    page = opened(planned.page, DESK)
    spot = page.evaluate(
        """() => {
          for (const path of document.querySelectorAll("path.leaflet-interactive")) {
            const box = path.getBBox();
            const middle = new DOMPoint(box.x + box.width / 2, box.y + box.height / 2);
            if (path.isPointInFill(middle)) {
              const seen = middle.matrixTransform(path.getScreenCTM());
              return [seen.x, seen.y];
            }
          }
        }"""
    )
    page.mouse.click(*spot)
    expect(page.locator(".card h3")).to_have_text(re.compile("Larch Lane|Court|verge|Roundabout"))
    expect(page.locator(".card")).to_contain_text("Net lawn")


def test_it_can_be_read_without_scripts(planned, browser):
    context = browser.new_context(java_script_enabled=False, offline=True, **DESK)
    page = context.new_page()
    page.goto(planned.page.as_uri())
    expect(page.get_by_role("table", name="Yards")).to_contain_text("Roundabout")
    expect(page.locator(".tiles")).to_contain_text("2.576 ha")
    context.close()


def test_names_are_never_markup(town, tmp_path, opened):
    lots = town(0)
    for number, name in enumerate(HOSTILE):
        lots.add(name, number)
    report = run([lots.save(tmp_path / "town.gpkg")], tmp_path / "out", QUICK)
    page = opened(report.page, DESK)
    page.locator("button[data-zone]").nth(1).click()
    expect(page.locator(".card h3")).to_have_text(HOSTILE[1])
    assert page.title() == "out: portfolio of lawns"


def test_a_yard_may_have_a_map_of_its_own(town, tmp_path, opened):
    report = run([town(1).save(tmp_path / "town.gpkg")], tmp_path / "out", QUICK, Options(maps=True))
    page = opened(report.page, DESK)
    page.get_by_role("button", name="lot 0", exact=True).click()
    link = page.get_by_role("link", name="Its own map").get_attribute("href")
    assert (report.folder / link).read_text("utf-8").startswith("<!DOCTYPE html>")


def test_what_was_not_planned_stands_on_the_page(town, tmp_path, opened):
    path = town(2).spoil("lot 1", "lawn", density="lush").save(tmp_path / "town.gpkg")
    page = opened(run([path], tmp_path / "out", QUICK).page, DESK)
    expect(page.get_by_role("table", name="Not planned")).to_contain_text('"lush" is not a density class')


def test_a_large_town_is_drawn_as_points_and_cut_where_a_browser_gives_up(
    town, tmp_path, opened, monkeypatch
):
    monkeypatch.setattr("lawnmap.batch.town.MOST_DRAWN", 3)
    monkeypatch.setattr("lawnmap.batch.town.MOST_SHOWN", 4)
    page = opened(run([town(6).save(tmp_path / "town.gpkg")], tmp_path / "out", QUICK).page, DESK)
    expect(page.locator("button[data-zone]")).to_have_count(4)
    expect(page.locator("#tables")).to_contain_text("2 more yards are in the files beside this page.")
    page.locator("button[data-zone]").first.click()
    expect(page.locator(".card h3")).to_have_text("lot 0")
