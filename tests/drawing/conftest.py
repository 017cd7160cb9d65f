import threading

import pytest
from PIL import Image, ImageDraw
from playwright.sync_api import expect

from lawnmap.drawing import Service, Sketch, Studio, open_folder, open_paper, redirect_file

PIXELS_PER_M = 24  # of the sheet below
LOT = [(100, 100), (1060, 100), (1060, 820), (100, 820)]
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync"]  # fmt: skip


@pytest.fixture
def sheet(tmp_path):
    """A sketch of a lot of 40 m by 30 m with a house of 10 m by 10 m, 24 pixels to the metre."""
    picture = Image.new("RGB", (1200, 900), "#faf8f0")
    pencil = ImageDraw.Draw(picture)
    pencil.rectangle((100, 100, 1060, 820), outline="#333333", width=3)
    pencil.rectangle((340, 340, 580, 580), outline="#883333", width=3)
    path = tmp_path / "sketch.png"
    picture.save(path)
    return path


@pytest.fixture
def studio(sheet, tmp_path):
    paper = open_paper(sheet)
    sketch = Sketch(name="Trial", units="metric", paper=paper.sheet)
    return Studio(open_folder(tmp_path / "job", sketch, paper))


@pytest.fixture
def service(studio):
    made = Service(studio)
    thread = threading.Thread(target=made.run, daemon=True)
    thread.start()
    yield made
    made.stop()
    thread.join(10)
    made.socket.close()


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
        self.page.wait_for_timeout(60)  # a save begins a moment after the change
        expect(self.page.locator("#status")).to_have_text("Saved")

    def net_m2(self):
        self.saved()
        return self.net_m2_shown()

    def net_m2_shown(self):
        return float(self.page.inner_text("#zones tr:last-child td:nth-child(3)").split()[0].replace(",", ""))

    def trace_lot(self):
        """Scale the sheet and draw the lot, 1,200 m²."""
        self.scale((100, 100), (1060, 100), "40 m")
        self.scale((100, 100), (100, 820), "30 m")
        self.page.click("[data-tool=lawn]")
        self.click(*LOT, LOT[0])


@pytest.fixture
def open_page(browser):
    """Open the page of a service; at the end nothing may stand in its console."""
    made = []

    def opened(service, viewport=(1400, 950), **options):
        context = browser.new_context(viewport={"width": viewport[0], "height": viewport[1]}, **options)
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
        made.append(page)
        return page

    yield opened
    for page in made:
        page.context.close()
    assert not [fault for page in made for fault in page.faults]


@pytest.fixture
def page(open_page, service):
    return open_page(service)


@pytest.fixture
def make_hand():
    return Hand


@pytest.fixture
def hand(page):
    return Hand(page)
