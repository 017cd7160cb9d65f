"""Sprays, topdressing and straw from the job file into the plan."""

import json
import tomllib

import pytest
from shapely.geometry import box

import lawnmap
from lawnmap.errors import ChoiceError
from lawnmap.job import Choices, General, job_template, plan_yard, read_choices
from lawnmap.rates import Straw, Topdress
from lawnmap.sheets import brief
from lawnmap.units import parse
from lawnmap.yard import Yard, Zone

FOOT = 0.3048
JOB = """
leave_out = ["lanes"]
[yard]
file = "yard.geojson"
[[spray]]
name = "invented herbicide"
rate = "{rate}"
yearly_maximum = "4 fl oz / acre"
carrier = "1 gal / 1000 sq ft"
tank = "2 gal"
{more}
[topdress]
depth = "1/4 in"
[straw]
area_per_bale = "500 sq ft"
"""


@pytest.fixture
def yard():
    """5,000 sq ft: 2,000 bare and 3,000 patchy."""
    return Yard(
        "Lot",
        (
            Zone("front", box(0, 0, 40 * FOOT, 50 * FOOT), density="bare"),
            Zone("back", box(40 * FOOT, 0, 100 * FOOT, 50 * FOOT), density="patchy"),
        ),
    )


@pytest.fixture
def choices(tmp_path):
    def read(rate="2 fl oz / acre", more=""):
        (tmp_path / "job.toml").write_text(JOB.format(rate=rate, more=more), "utf-8")
        return read_choices(tmp_path)

    return read


def test_the_job_reads_sprays_and_covers(yard, choices):
    """5 gal for 5,000 sq ft is two tanks of 2 gal and one of 1 gal; 2,000 sq ft at 1/4 in is 1.543 cu yd."""
    plan = plan_yard(yard, choices())
    (spray,) = plan.sprays
    assert (spray.full_tanks, spray.tanks) == (2, 3)
    assert spray.last_tank_m3 == pytest.approx(parse("1 gal", "volume"))
    assert spray.product.value == pytest.approx(parse("2 fl oz", "volume") * 5000 / 43560)
    compost, bales = plan.covers
    assert compost.total == pytest.approx(parse("1.543 cu yd", "volume"), rel=1e-3)
    assert bales.buy == 5  # 4 and an allowance of 5 %


def test_plan_json_holds_them(yard, choices):
    read = json.loads(json.dumps(plan_yard(yard, choices(more="passes = 2")).to_dict(), allow_nan=False))
    assert read["lawnmap"] == 1
    spray = read["sprays"][0]
    assert spray["tank_loads"][-1]["last"] == spray["tanks"] == 5
    assert spray["running_total_per_m2"] == [spray["yearly_maximum_per_m2"]]
    assert [cover["kind"] for cover in read["covers"]] == ["topdressing", "straw"]


def test_what_can_hurt_is_among_the_cautions(yard, choices):
    said = plan_yard(yard, choices()).cautions
    for words in ("licence", "children, pets", "wind", "drift", "water, its edges", "gloves", "dusty"):
        assert any(words in sentence for sentence in said), words
    assert len(set(said)) == len(said)


def test_a_job_without_these_sections_has_nothing_of_them(yard):
    plan = plan_yard(yard, Choices(general=General(leave_out=("lanes",))))
    assert (plan.sprays, plan.covers) == ((), ())
    assert not any("drift" in sentence or "Compost" in sentence for sentence in plan.cautions)
    assert "spray" not in brief(plan)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"rate": "5 fl oz / acre"}, r"job\.toml, \[spray\], rate: one application .* 1\.25 times"),
        (
            {"rate": "2 fl oz / 1000 sq ft"},
            r"21\.8 times what the label allows .*; is one of the two per acre and the other per 1000 sq ft",
        ),
        ({"more": "applications = 3"}, r"3 application\(s\) .* 1\.5 times the yearly maximum; the label is"),
        ({"more": 'rates = "1"'}, 'there is no key "rates" here; did you mean "rate"'),
    ],
)
def test_a_wrong_label_is_refused_when_the_job_file_is_read(choices, changes, says):
    with pytest.raises(ChoiceError, match=says):
        choices(**changes)


def test_a_grass_that_the_label_forbids_stops_the_plan(yard, choices):
    with pytest.raises(ChoiceError, match="your label keeps it off tall fescue"):
        plan_yard(yard, choices(more='not_on = ["tall fescue"]'))


def test_findings_of_a_spray_are_those_of_the_plan(yard, choices):
    plan = plan_yard(yard, choices(rate="0.05 fl oz / acre"))
    assert "rate-mixed-up" in {found.code for found in plan.findings}


def test_brief_has_a_line_for_each(yard, choices):
    text = brief(plan_yard(yard, choices(more="applications = 2")))
    assert (
        "Invented herbicide: 0.23 fl oz (6.79 mL) in 5 gal of spray on 5,000 sq ft, 3 tanks of 2 gal, the last 1 gal; "
        "2 applications, 100 % of the year's maximum"
    ) in text
    assert "Compost: 1.54 cu yd" in text
    assert "Straw: 4 bales; buy 5 bales" in text


def test_defaults_of_asked_sections_are_listed_and_only_then(choices):
    assert {one.section for one in choices().defaults()} >= {"topdress", "straw"}
    assert not {one.section for one in Choices().defaults()} & {"topdress", "straw"}
    given = Choices(topdress=Topdress(), straw=Straw())
    assert {one.key for one in given.defaults() if one.section == "topdress"} >= {"depth", "material"}


def test_a_new_job_file_offers_them_commented_out():
    text = job_template({"file": "yard.geojson"})
    for head in ("# [[spray]]", "# [topdress]", "# [straw]"):
        assert head in text.splitlines()
    assert not tomllib.loads(text).keys() & {"spray", "topdress", "straw"}
    assert "# rate =" in text.splitlines()  # no rate of a pesticide is built in


def test_the_folder_is_written_with_them(yard, choices, tmp_path):
    page = lawnmap.write(plan_yard(yard, choices()), tmp_path / "plan").read_text("utf-8")
    assert "Tank by tank: invented herbicide" in page
