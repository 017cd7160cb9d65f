"""The map page as a text: what it may load, what it carries, how it treats the words of a user."""

import base64
import json
import re
from hashlib import sha256
from html.parser import HTMLParser

import pytest

from lawnmap.errors import ChoiceError, OutputError
from lawnmap.sheets import assets
from lawnmap.sheets.contents import SHEETS
from lawnmap.sheets.page import write_page
from lawnmap.sheets.scene import compose
from lawnmap.sheets.webmap import Display, map_script
from lawnmap.units import METRIC

HOSTILE = [
    "<img src=x onerror=alert(1)>",
    "</script><script>alert(1)</script>",
    "</style><svg onload=alert(1)>",
    "{{7*7}}|{{ cycler.__init__.__globals__.os.getcwd() }}",
    "{% for x in y %}{# note #}",
    "${alert(1)}`;alert(1)//",
    "a\u2028b\u2029c\x00d\ud800e\u202ef",
    "\"'&amp;&lt;\\u003c\\",
    "<!--<script>",
    "]]>",
    "x" * 400,
]
"""Markup, template braces of Jinja, template literals of JavaScript, ends of blocks, separators, escapes, length."""


class Reader(HTMLParser):
    """Collects text, tags and attributes as a parser sees them."""

    def __init__(self, page):
        super().__init__()
        self.tags, self.texts, self.blocks, self.open = [], [], [], []
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag in ("script", "style"):
            self.open = [tag, dict(attrs), ""]

    def handle_endtag(self, tag):
        if self.open and tag == self.open[0]:
            self.blocks.append(tuple(self.open))
            self.open = []

    def handle_data(self, data):
        if self.open:
            self.open[2] += data
        else:
            self.texts.append(data)


@pytest.fixture(scope="module")
def page():
    return {}


@pytest.fixture
def read(page, plan):
    if "read" not in page:
        page["read"] = Reader(write_page(plan))
    return page["read"]


def policy_of(read):
    return next(
        attrs["content"] for tag, attrs in read.tags if attrs.get("http-equiv") == "Content-Security-Policy"
    )


def test_only_blocks_with_a_hash_may_run(read):
    policy = policy_of(read)
    assert policy.startswith("default-src 'none';")
    assert "unsafe" not in policy
    assert "http" not in policy
    for kind, attrs, text in read.blocks:
        digest = base64.b64encode(sha256(text.encode()).digest()).decode()
        assert (f"'sha256-{digest}'" in policy) is (attrs.get("type") != "application/json"), kind


def test_nothing_is_loaded(read):
    beside = {sheet.name for sheet in SHEETS}
    ids = {attrs["id"] for _, attrs in read.tags if "id" in attrs}
    for tag, attrs in read.tags:
        assert "src" not in attrs
        assert tag not in ("link", "img", "iframe", "object", "embed")
        assert "style" not in attrs
        assert not any(name.startswith("on") for name in attrs)
        assert tag != "a" or attrs["href"] in beside or attrs["href"].removeprefix("#") in ids
    for kind, _, text in read.blocks:
        assert "sourceMappingURL" not in text
        assert kind != "style" or not re.search(r"@import|url\((?!#)", text)


def test_leaflet_is_the_published_one_with_its_licence():
    """The sums are those of leaflet.js and leaflet.css in the makers' own package leaflet@1.9.4."""
    assert "Leaflet 1.9.4" in assets.leaflet("leaflet.js")
    script = assets.leaflet_script()
    assert script.startswith("/*!\nBSD 2-Clause License")
    assert "THIS SOFTWARE IS PROVIDED BY THE COPYRIGHT HOLDERS" in script


def test_another_leaflet_is_refused(monkeypatch):
    monkeypatch.setitem(assets.LEAFLET_HASHES, "leaflet.css", "0" * 64)
    assets.leaflet.cache_clear()
    with pytest.raises(OutputError, match=r"installed leaflet.css is not that of Leaflet 1.9.4; install"):
        assets.leaflet("leaflet.css")
    assets.leaflet.cache_clear()


@pytest.mark.parametrize("evil", HOSTILE, ids=range(len(HOSTILE)))
def test_words_of_a_user_stay_words(build_plan, evil):
    plan = build_plan(rename=lambda name: f"{evil}{name}", units=METRIC)
    calm = build_plan(units=METRIC)
    page = write_page(plan)
    read = Reader(page.encode().decode())
    # the same elements and the same scripts as with harmless names: nothing became markup or code
    expected = Reader(write_page(calm))
    assert drawn(read) == drawn(expected)
    assert [text for _, attrs, text in read.blocks if "type" not in attrs] == [
        text for _, attrs, text in expected.blocks if "type" not in attrs
    ]
    data = json.loads(next(text for _, attrs, text in read.blocks if attrs.get("type") == "application/json"))
    assert data["cards"]["z0"]["title"] == f"{evil}Front lawn"
    shown = re.sub("[\x00\ud800]", "\ufffd", evil)
    assert any(text == f"{shown}{plan_name(calm)}" for text in read.texts)


def drawn(read):
    """Tags but for the labels of the still picture, which depend on the length of names."""
    return [tag for tag, attrs in read.tags if tag not in ("g", "text", "rect")]


def plan_name(plan):
    return plan.name


def test_no_word_of_a_user_reaches_the_template(build_plan):
    plan = build_plan(rename=lambda name: f"WORD{name}")
    script = map_script(compose(plan), Display(plan.yard.plane))
    assert "WORD" not in script
    assert "geo_json_zones" in script


def test_the_same_plan_gives_the_same_bytes(build_plan):
    assert write_page(build_plan()) == write_page(build_plan())


def test_the_page_can_be_used_without_seeing_it(read):
    tags = [tag for tag, _ in read.tags]
    assert tags.count("h1") == tags.count("main") == 1
    assert read.tags[0] == ("html", {"lang": "en"})
    assert all(
        "aria-label" in attrs for tag, attrs in read.tags if tag == "svg" and attrs.get("role") == "img"
    )
    words = " ".join(read.texts)
    for part in (
        "Front lawn",
        "8,351 sq ft ± 8.4 sq ft",
        "2 × 50 lb + 1 × 20 lb",
        "each of 2 passes",
        "The label on the product is the law",
    ):
        assert part in words


def test_assumptions_findings_sources_and_notes_are_told(read):
    words = " ".join(read.texts)
    assert "Share of the seed that is the named kind: 95 % (section [seed], key purity)" in words
    assert "Back lawn: 2 corners are left to be spread by hand" in words
    assert "Invented table for tests, nobody, row 1 (user)" in words
    assert "Dog in the yard until noon" in words
    assert "This is not a land survey" in words


def test_imagery_opens_the_page_for_its_host_alone(build_plan):
    read = Reader(write_page(build_plan(imagery="OpenStreetMap.Mapnik")))
    assert "img-src https://tile.openstreetmap.org;" in policy_of(read)
    assert "tile.openstreetmap.org/{z}/{x}/{y}.png" in "".join(text for _, _, text in read.blocks)
    assert "OpenStreetMap\\u003c/a\\u003e contributors" in "".join(text for _, _, text in read.blocks)


def test_imagery_with_several_hosts(build_plan):
    policy = policy_of(Reader(write_page(build_plan(imagery="OpenTopoMap"))))
    hosts = " ".join(f"https://{name}.tile.opentopomap.org" for name in "abc")
    assert f"img-src {hosts};" in policy


@pytest.mark.parametrize(
    ("name", "georeferenced", "message"),
    [
        (
            "OpenStreetMap.Mapnick",
            True,
            'is not a known source of tiles; did you mean "OpenStreetMap.Mapnik"',
        ),
        ("{{7*7}}", True, "is not a known source of tiles; take a name that xyzservices lists"),
        ("OpenStreetMap.Mapnik", False, "cannot lie under a yard in local coordinates"),
        ("Thunderforest.OpenCycleMap", True, "needs a key of its provider"),
    ],
)
def test_imagery_that_cannot_be_had(build_plan, name, georeferenced, message):
    with pytest.raises(ChoiceError, match=re.escape(message)):
        write_page(build_plan(imagery=name, georeferenced=georeferenced))
