"""The page as one file on a phone: it draws from disk without a network, and its file is a yard like any other."""

import json
import re

import pypdfium2 as pdfium
import pytest
from playwright.sync_api import expect

import lawnmap
from lawnmap.drawing import Sketch, open_paper, sketch_of, write_pocket
from lawnmap.drawing.pocket import bundle, pocket_page
from lawnmap.units import US

LOT = [(100, 100), (1060, 100), (1060, 820), (100, 820)]
HOMEOWNER = "sample_parcels/homeowner/yard.geojson"


@pytest.fixture
def phone(browser):
    """Open a page file as a phone does; it may ask for nothing, and nothing may stand in its console."""
    made = []

    def opened(path):
        context = browser.new_context(
            viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True, offline=True
        )
        page = context.new_page()
        page.faults = []
        page.on("console", lambda said: page.faults.append(said.text))
        page.on("pageerror", lambda fault: page.faults.append(str(fault)))
        page.on(
            "request",
            lambda asked: asked.url.startswith(("file:", "data:", "blob:")) or page.faults.append(asked.url),
        )
        page.goto(path.as_uri())
        page.wait_for_selector("body[data-ready]")
        made.append(page)
        return page

    yield opened
    for page in made:
        page.context.close()
    assert not [fault for page in made for fault in page.faults]


@pytest.fixture
def page_file(sheet, tmp_path):
    paper = open_paper(sheet)
    write_pocket(tmp_path / "phone.html", Sketch(name="Ours", units="metric", paper=paper.sheet), paper, None)
    return tmp_path / "phone.html"


def test_everything_is_inside(page_file):
    text = page_file.read_text("utf-8")
    page = re.sub(r"<script.*?</script>", "", text, flags=re.DOTALL)
    assert not re.search(r'(src|href)="(?!data:|/(yard|phone|map))', page)
    assert "unsafe" not in text
    assert "default-src 'none'" in text
    assert len(text) < 700_000


def test_every_module_is_bundled_once_and_after_what_it_uses():
    text = bundle()
    heads = re.findall(r"^modules\.(\w+) =", text, re.MULTILINE)
    assert len(heads) == len(set(heads))
    assert {"main", "geom", "areas", "fitting", "link"} <= set(heads)
    for place, name in enumerate(heads):
        used = re.findall(r"= modules\.(\w+);", text.split(f"modules.{name} =")[1].split("\nmodules.")[0])
        assert set(used) <= set(heads[:place])
    assert not re.search(r"^(import|export) ", text, re.MULTILINE)


def test_names_cannot_leave_their_place(sheet):
    paper = open_paper(sheet)
    page = pocket_page(Sketch(name="</script><script>alert(1)</script>", paper=paper.sheet), paper.picture)
    assert "<script>alert" not in page


@pytest.mark.browser
def test_a_lawn_is_traced_kept_saved_and_measured(phone, make_hand, open_page, service, page_file, tmp_path):
    page = phone(page_file)
    hand = make_hand(page)

    def tap(*spots):
        for spot in spots:
            page.touchscreen.tap(*hand.at(*spot))

    page.locator("[data-tool=length]").tap()
    tap(*LOT[:2])
    page.fill("#ask-one", "40 m")
    page.locator("#ask [value=ok]").tap()
    page.locator("[data-tool=lawn]").tap()
    tap(*LOT, LOT[0])
    page.locator("[data-density=bare]").tap()
    page.evaluate("window.scrollTo(0, 0)")
    hand = make_hand(page)
    page.select_option("#kind", "house")
    tap((340, 340), (580, 340), (580, 580), (340, 580))
    page.locator("#finish").tap()
    shown = hand.net_m2_shown()
    assert shown == pytest.approx(1100, rel=0.03)
    expect(page.locator("#findings")).to_contain_text("preview")
    with page.expect_download() as getting:
        page.locator("#save-top").tap()
    assert getting.value.suggested_filename == "Ours.geojson"
    getting.value.save_as(tmp_path / "ours.geojson")
    takeoff = lawnmap.take_off(lawnmap.read(tmp_path / "ours.geojson"))
    assert takeoff.net_area_m2 == pytest.approx(shown, abs=0.5)
    assert (takeoff.zones[0].density, takeoff.yard.name) == ("bare", "Ours")
    served = open_page(service)  # the same picture on a computer
    served.set_input_files("#open-file", tmp_path / "ours.geojson")
    expect(served.locator("#zones")).to_contain_text("bare")
    assert make_hand(served).net_m2() == pytest.approx(takeoff.net_area_m2, abs=0.5)
    page.reload()
    page.wait_for_selector("body[data-ready]")
    expect(page.locator("[data-shape]")).to_have_count(2)  # the browser has kept it
    page.locator("#fresh").tap()
    expect(page.locator("[data-shape]")).to_have_count(0)
    page.set_input_files("#open-file", tmp_path / "ours.geojson")
    expect(page.locator("[data-shape]")).to_have_count(2)
    page.locator("#undo").tap()
    expect(page.locator("[data-shape]")).to_have_count(0)
    saved = json.loads((tmp_path / "ours.geojson").read_text("utf-8"))
    saved["lawnmap"]["sketch"]["paper"]["wide"] += 1
    (tmp_path / "other.geojson").write_text(json.dumps(saved))
    page.set_input_files("#open-file", tmp_path / "other.geojson")
    expect(page.locator("#status")).to_contain_text("drawn on another sheet")
    page.set_input_files("#open-file", page_file)
    expect(page.locator("#status")).to_contain_text("no file that was saved by this page")


@pytest.mark.browser
def test_preview_agrees_with_python_on_the_sample(phone, tmp_path):
    yard = lawnmap.read(HOMEOWNER)
    write_pocket(tmp_path / "phone.html", sketch_of(yard), None, None)
    page = phone(tmp_path / "phone.html")
    takeoff = lawnmap.take_off(yard)
    rows = page.locator("#zones tr")
    for row, zone in zip(rows.all(), takeoff.zones, strict=False):
        assert US.area(zone.net_area_m2) in row.inner_text()
        assert zone.density in row.inner_text()
    assert US.area(takeoff.net_area_m2) in rows.last.inner_text()
    taken = {}
    for cut in takeoff.cutouts:
        taken[cut.kind] = taken.get(cut.kind, 0) + cut.area_m2
    for kind, area_m2 in taken.items():
        figure = re.search(rf"{kind} ([\d.,]+) sq ft", page.inner_text("#cutouts"))[1].rstrip(".,")
        assert float(figure.replace(",", "")) == pytest.approx(area_m2 / 0.09290304, abs=0.51)


@pytest.mark.browser
def test_its_print_has_the_drawing_its_names_and_the_areas(phone, tmp_path):
    write_pocket(tmp_path / "phone.html", sketch_of(lawnmap.read(HOMEOWNER)), None, None)
    page = phone(tmp_path / "phone.html")
    page.pdf(path=tmp_path / "print.pdf", format="Letter")
    with pdfium.PdfDocument(tmp_path / "print.pdf") as document:
        text = "".join(sheet.get_textpage().get_text_bounded() for sheet in document)
        picture = document[0].render(scale=0.5).to_pil().convert("RGB")
    for word in ("Our yard", "Kidney pool", "Front yard", "Net lawn"):
        assert word in text
    assert "Known length" not in text  # no tools
    assert len(picture.resize((60, 80)).getcolors(5000)) > 50  # the drawing is there and not a blank box
    assert page.locator("body.printing").count() == 0


def test_served_page_hands_it_out(studio):
    page = studio.pocket()
    held = json.loads(re.search(r'id="held">(.*?)</script>', page, re.DOTALL)[1])
    assert held["sketch"]["name"] == "Trial"
    assert held["paper"].startswith("data:image/png;base64,")
