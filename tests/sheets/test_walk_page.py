"""The walk on the map page: stepped through in a browser, and its tables."""

import json
import re

import pytest
from playwright.sync_api import expect

from lawnmap.job import Choices, plan_yard
from lawnmap.lanes import Rig
from lawnmap.sheets import write
from lawnmap.sheets.page import write_page
from lawnmap.sheets.walk_figures import labour_table, refill_table, stake_tables
from lawnmap.units import duration

PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}


def test_the_labour_of_every_product_is_told(walked_plan):
    table = labour_table(walked_plan)
    assert [row[0] for row in table.rows] == [outing.product for outing in walked_plan.lanes.outings]
    for row, outing in zip(table.rows, walked_plan.lanes.outings, strict=True):
        assert row[5] == duration(outing.labour.total_s)
    assert "Zone by zone" in table.notes[0]
    assert "ASABE EP496" in table.notes[-1]


def test_a_stated_direction_tells_its_price(walk_of):
    yard = walk_of().yard
    plan = plan_yard(yard, Choices(rig=Rig(swath_m="6 ft", direction=30.0, zones="one by one")))
    notes = " ".join(labour_table(plan).notes)
    assert re.search(r"Back lawn: the direction asked for takes [\d.]+ % more walking and turning", notes)


def test_refills_tell_after_which_lane_and_how_much(walked_plan):
    table = refill_table(walked_plan)
    loads = [float(row[4].removesuffix(" lb")) for row in table.rows]
    assert max(loads) <= 6
    assert all(re.fullmatch(r"(before|at .* on) (lane|round) \d+", row[5]) for row in table.rows)


def test_stakes_tell_two_tapes(walked_plan):
    rows = [row for table in stake_tables(walked_plan) for row in table.rows]
    stakes = [stake for single in walked_plan.lanes.passes for stake in single.stakes]
    assert len(rows) == len(stakes)
    assert all(" from " in row[2] or " along " in row[2] or row[2] == "from its neighbours" for row in rows)


def test_a_plan_without_a_walk_has_no_panel(plan):
    page = write_page(plan)
    assert 'class="walker"' not in page
    assert json.loads(re.search(r'id="plan">(.*?)</script>', page)[1])["walk"] is None


@pytest.fixture
def opened(browser, tmp_path):
    heard, contexts = [], []

    def go(plan, **kind):
        path = write(plan, tmp_path / "out")
        context = browser.new_context(offline=True, **(kind or {"viewport": {"width": 1280, "height": 900}}))
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


@pytest.mark.browser
def test_steps_follow_the_plan(opened, walked_plan):
    page = opened(walked_plan)
    steps = walked_plan.lanes.outings[0].steps
    words, on = page.locator("#walk-words"), page.get_by_role("button", name="Next")
    drawn = page.locator(".leaflet-walk-pane path")
    assert drawn.count() == 0
    for step in steps[:6]:
        on.click()
        expect(words).to_contain_text(f"Step {step.number} of {len(steps)}: {step.zone}")
        name = f"lane {step.lane} of {step.lane_count}" if step.kind == "lane" else f"round {step.lane}"
        expect(words).to_contain_text(f"{name}, {walked_plan.units.length(step.length_m)}, set for ")
        assert (words.locator("text=First load").count() > 0) == (step.load_kg is not None)
        assert (words.locator("text=go and fill").count() > 0) == step.refill_after
        assert drawn.count() >= 5
    page.get_by_role("button", name="Back", exact=True).click()
    expect(words).to_contain_text("Step 5 of")
    slide = page.get_by_label("Step of the walk")
    slide.fill(str(len(steps)))
    expect(words).to_contain_text("Last one: done")
    expect(on).to_be_disabled()


@pytest.mark.browser
def test_the_keyboard_and_a_reader_of_screens_follow(opened, walked_plan):
    page = opened(walked_plan)
    slide = page.get_by_label("Step of the walk")
    slide.focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    expect(page.locator("#walk-words")).to_contain_text("Step 2 of")
    step = walked_plan.lanes.outings[0].steps[1]
    assert f"{step.lane}" in slide.get_attribute("aria-valuetext")
    assert page.locator("#walk-words").get_attribute("aria-live") == "polite"
    page.get_by_role("button", name="Back", exact=True).focus()
    page.keyboard.press("ArrowLeft")
    expect(page.locator("#walk-words")).to_contain_text("Step 1 of")
    play = page.get_by_role("button", name="Play")
    play.click()
    expect(page.locator("#walk-words")).to_contain_text("Step 3 of", timeout=5000)
    assert page.locator("#walk-words").get_attribute("aria-live") == "off"
    page.get_by_role("button", name="Pause").click()
    expect(play).to_have_attribute("aria-pressed", "false")


@pytest.mark.browser
def test_each_product_has_its_own_walk(opened, walk_of):
    plan = walk_of(georeferenced=False)
    page = opened(plan, **PHONE)
    second = plan.lanes.outings[1]
    page.locator("#walk-product").select_option("1")
    page.get_by_role("button", name="Next").click()
    expect(page.locator("#walk-words")).to_contain_text(f"Step 1 of {len(second.steps)}")
    rate = plan.units.rate(second.steps[0].settings[0].rate_kg_per_m2)
    expect(page.locator("#walk-words")).to_contain_text(f"set for {rate}")
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    height = page.get_by_role("button", name="Next").bounding_box()["height"]
    assert height >= 44  # WCAG 2.2, success criterion 2.5.5, target size


@pytest.mark.browser
def test_stakes_and_refills_are_layers_with_cards(opened, walk_of):
    plan = walk_of(georeferenced=False)
    page = opened(plan)
    marks = page.locator(".leaflet-overlay-pane path")  # where the library keeps all points
    before = marks.count()
    page.get_by_label(re.compile("^Stakes, pass 1")).check()
    first = [stake for single in plan.lanes.passes if single.number == 1 for stake in single.stakes]
    assert marks.count() - before == len(first)
    marks.last.dispatch_event("click")
    expect(page.locator(".card")).to_contain_text("Tape 1")
    page.get_by_label("Refills, first product").check()
    assert page.locator(".leaflet-refills-pane path").count() > 0


@pytest.mark.browser
def test_words_of_the_user_stay_words(opened, walk_of):
    page = opened(walk_of(rename=lambda name: f"<img src=x onerror=document.title='hit'> {name}"))
    page.get_by_role("button", name="Next").click()
    expect(page.locator("#walk-words")).to_contain_text("<img src=x onerror=")
    page.locator("summary", has_text="Labour, refills, stakes").click()
    page.locator(".walk-tables summary").click()
    assert page.title() != "hit"


@pytest.mark.browser
def test_paper_leaves_the_stakes_to_the_field_sheet_and_says_so(opened, walk_of):
    page = opened(walk_of())
    page.locator("summary", has_text="Labour, refills, stakes").click()
    told, stakes = page.locator(".walk-tables .paper"), page.locator(".walk-tables details")
    assert stakes.is_visible()
    assert not told.is_visible()
    page.emulate_media(media="print")
    assert not stakes.is_visible()
    expect(told).to_contain_text("walk.csv; the field sheet has the first of each zone")
