"""The job and its log: a plan that starts from it, and a log held against the plan."""

import json

import pytest
from shapely.geometry import box

from lawnmap.errors import ChoiceError
from lawnmap.job import Choices, log_entry, log_path, plan_yard, read_choices, read_log, tally_job
from lawnmap.sheets import brief, log_brief
from lawnmap.sheets.page import write_page
from lawnmap.units import US
from lawnmap.yard import Yard, Zone

FOOT = 0.3048
JOB = """
leave_out = ["lanes"]
[yard]
file = "yard.geojson"
[seed]
rate = "7 lb / 1000 sq ft"
packs = ["25 lb", "5 lb"]
[[spray]]
name = "invented herbicide"
rate = "4 fl oz / acre"
yearly_maximum = "10 fl oz / acre"
applications = 2
carrier = "1 gal / 1000 sq ft"
tank = "2 gal"
"""


@pytest.fixture
def yard():
    """2,000 sq ft bare in front, 3,000 sq ft patchy behind."""
    return Yard(
        "Lot",
        (
            Zone("front", box(0, 0, 40 * FOOT, 50 * FOOT), density="bare"),
            Zone("back", box(40 * FOOT, 0, 100 * FOOT, 50 * FOOT), density="patchy"),
        ),
    )


@pytest.fixture
def job(tmp_path):
    def write(more=""):
        (tmp_path / "job.toml").write_text(JOB + more, "utf-8")
        return read_choices(tmp_path)

    return write


@pytest.fixture
def logged(yard, job):
    """A year's log: 25 lb bought, 11 lb used in front, sprayed once, front came up to 85 %."""
    path = log_path(job())
    for values in (
        {"date": "2026-09-01", "what": "bought", "material": "tall fescue", "amount": "25 lb"},
        {
            "date": "2026-09-12",
            "material": "tall fescue",
            "amount": "11 lb",
            "zones": ["front"],
            "setting": 5.0,
        },
        {"date": "2026-09-13", "material": "invented herbicide", "amount": "0.459 fl oz"},
        {"date": "2026-10-12", "what": "stand", "zones": ["front"], "cover": "85 %"},
    ):
        log_entry(yard, path, values)
    return path


def test_a_job_that_does_not_ask_takes_no_notice_of_the_log(yard, job, logged):
    plan = plan_yard(yard, job())
    assert plan.record is None
    assert plan.takeoff.zones[0].density == "bare"
    assert plan.to_dict()["record"] is None
    assert 'id="log"' not in write_page(plan)
    assert logged.exists()


def test_the_next_plan_starts_from_it(yard, job, logged):
    plan = plan_yard(yard, job("[record]\nyear = 2027\n"))
    assert [zone.density for zone in plan.takeoff.zones] == ["full", "patchy"]
    seed = plan.prescription.materials[0]
    assert seed.in_stock_kg == pytest.approx(14 * 0.45359237)
    assert not seed.packs  # 10.5 lb for the back, and 14 lb are there
    assert len(plan.record.done) == 4
    assert plan.sprays[0].used_share == pytest.approx([0.4, 0.8])
    assert "10.5 lb; 14 lb in stock" in brief(plan)


def test_within_the_year_a_spray_counts_what_was_done(yard, job, logged):
    plan = plan_yard(yard, job("[record]\n"))
    assert plan.sprays[0].used_share == pytest.approx([0.8], rel=1e-3)
    plan = plan_yard(yard, job("[record]\napplied = false\nstand = false\nstock = false\n"))
    assert plan.sprays[0].used_share == pytest.approx([0.4, 0.8])
    assert plan.takeoff.zones[0].density == "bare"
    assert plan.prescription.materials[0].in_stock_kg == 0


def test_what_is_all_done_is_not_planned_again(yard, job, logged):
    again = {"date": "2026-10-20", "material": "invented herbicide", "amount": "0.459 fl oz"}
    log_entry(yard, logged, again)
    plan = plan_yard(yard, job("[record]\n"))
    assert plan.sprays == ()
    assert "log-spray-done" in {found.code for found in plan.findings}


def test_more_than_the_label_allows_is_refused(yard, job, logged):
    with logged.open("a", encoding="utf-8") as stream:
        stream.write(
            '\n[[entry]]\ndate = 2026-09-13\nmaterial = "invented herbicide"\namount = "0.5 fl oz"\n'
        )
    with pytest.raises(
        ChoiceError, match=r'"invented herbicide", with what the log has put down: 1 application'
    ):
        plan_yard(yard, job("[record]\n"))


PRICES = """
[prices]
labour = "40.00 / h"
by_hand = "0.10 / sq ft"
[[prices.material]]
name = "tall fescue"
packs = [{ size = "25 lb", price = "60.00" }, { size = "5 lb", price = "15.00" }]
[[prices.material]]
name = "18-24-12 fertilizer"
packs = [{ size = "50 lb", price = "40.00" }, { size = "25 lb", price = "25.00" }, { size = "15 lb", price = "20.00" }]
[[prices.material]]
name = "invented herbicide"
price = "60.00 / gal"
"""


def test_what_is_out_of_stock_is_charged_all_the_same(yard, job, logged):
    with_log = plan_yard(yard, job("[record]\nstand = false\n" + PRICES))
    without = plan_yard(yard, job(PRICES))
    assert with_log.prescription.materials[0].in_stock_kg
    offered = [plan.quote.to_dict()["lines"] for plan in (with_log, without)]
    spread = [[line for line in lines if line["name"] != "Invented herbicide"] for lines in offered]
    assert spread[0] == spread[1]
    assert spread[0] != offered[0], "what is still to be sprayed has a line of its own"


def test_the_page_shows_it(yard, job, logged):
    plan = plan_yard(yard, job("[record]\n"))
    page = write_page(plan)
    for words in ("What was really done", "Used against planned, 2026", "What is left", "What came up"):
        assert words in page
    assert "14 lb in stock" in page
    json.dumps(plan.to_dict(), allow_nan=False)


def test_a_log_is_held_against_the_plan_as_it_was(yard, job, logged):
    """The stand that came up does not change what was planned before."""
    choices = job("[record]\n")
    held = tally_job(yard, choices, read_log(logged))
    front = held.materials[0].by_zone[0]
    assert front.ratio == pytest.approx(11 / 14)
    text = log_brief(held, US)
    assert "Tall fescue: 11 lb used of 25 lb bought, 14 lb left" in text
    assert "front: 11 lb where 14 lb was planned (79%): 2.75 lb / 1000 sq ft instead of 3.5" in text
    assert "back: not done yet; the rest needs 10.5 lb (too far from setting 5" in text
    assert "front, 2026-10-12: 85 % cover, full (planned as bare)" in text
    assert "of invented herbicide, 40 % of the 10 fl oz / acre allowed" in text


def test_the_setting_for_the_rest_is_said(yard, job):
    path = log_path(job())
    values = {"date": "2026-09-12", "material": "tall fescue", "amount": "5.5 lb", "zones": ["front"]}
    log_entry(yard, path, values | {"setting": 5.0, "passes": 1})
    text = log_brief(tally_job(yard, job(), read_log(path)), US)
    assert "set the gate to 6.4 for the rest, which needs 7 lb (in proportion, which holds" in text
    assert "no purchase in the log" in text


def test_words_for_nothing(yard, job, tmp_path):
    held = tally_job(yard, job(), read_log(tmp_path / "none.toml"))
    assert log_brief(held, US).startswith("The log is empty")
    assert 'id="log"' not in write_page(plan_yard(yard, job("[record]\n")))


def test_a_zone_that_there_is_not_is_refused_before_anything_is_written(yard, job):
    path = log_path(job())
    with pytest.raises(ChoiceError, match='new entry: there is no zone "frnt"; did you mean "front"'):
        log_entry(yard, path, {"date": "2026-09-12", "material": "lime", "amount": "1 lb", "zones": ["frnt"]})
    assert not path.exists()


def test_where_the_log_is(job, tmp_path):
    assert log_path(job()) == tmp_path / "log.toml"
    assert log_path(job('[record]\nlog = "book.toml"\n')) == tmp_path / "book.toml"
    assert log_path(Choices(), tmp_path / "yards" / "yard.gpkg") == tmp_path / "yards" / "log.toml"


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ("[record]\nyears = 2026\n", 'there is no key "years" here; did you mean "year"'),
        ("[record]\nyear = 20\n", "20 is not possible; it must be at least 1900"),
        ("[record]\nnitrogen_limit = 3\n", r"\[record\], nitrogen_limit: 3 has no unit"),
    ],
)
def test_wrong_choices(job, more, says):
    with pytest.raises(ChoiceError, match=says):
        job(more)
