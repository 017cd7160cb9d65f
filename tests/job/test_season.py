"""The calendar and the water of a job file: read, planned, and left alone where nobody asks."""

import json
from datetime import date
from pathlib import Path

import pytest

import lawnmap
from lawnmap.job import job_template, read_choices

SAMPLE = Path(__file__).parents[2] / "sample_parcels" / "homeowner"
JOB = f"""
leave_out = ["lanes"]

[yard]
file = {json.dumps(str(SAMPLE / "yard.geojson"))}

[seed]
species = {{ "tall fescue" = "90 %", "Kentucky bluegrass" = "10 %" }}
"""
DATES = """
[dates]
seeding = 2026-09-08
first_frost = 2026-11-05
hemisphere = "northern"
"""
WATER = """
[water]
hours = [[05:00:00, 10:00:00], ["16:00", "20:00"]]
price = "6.20 / 1000 gal"

[[station]]
name = "front heads"
zones = ["{zone}"]
flow = "8 gal/min"
uniformity = "60 %"
"""


@pytest.fixture(scope="module")
def zone():
    return lawnmap.read(SAMPLE / "yard.geojson").zones[0].name


def job(tmp_path, text):
    path = tmp_path / "job.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_plan_with_dates_and_stations(tmp_path, zone):
    made = lawnmap.plan(job(tmp_path, JOB + DATES + WATER.format(zone=zone)))
    assert made.season.seeding == date(2026, 9, 8)
    assert made.watering.phases[0].first == date(2026, 9, 8)
    assert made.watering.phases[0].runs[0].starts[0] == "05:00"
    codes = {found.code for found in made.findings}
    assert {"grasses-come-up-apart", "zone-without-water"} <= codes
    written = json.loads(json.dumps(made.to_dict()))
    assert written["season"]["steps"][0]["key"] == "soil_test"
    assert written["watering"]["phases"][0]["key"] == "germination"


def test_a_plan_without_them_is_as_it_was(tmp_path):
    made = lawnmap.plan(job(tmp_path, JOB))
    assert made.season is None
    assert made.watering is None
    assert made.to_dict()["season"] is None
    assert not {found.code for found in made.findings} & {"hemisphere-assumed", "zone-without-water"}
    assert not {default.section for default in made.defaults} & {"dates", "water", "station"}


def test_water_needs_no_calendar(tmp_path, zone):
    made = lawnmap.plan(job(tmp_path, JOB + WATER.format(zone=zone)))
    assert made.season is None
    assert made.watering.phases[0].first is None
    assert {default.key for default in made.defaults if default.section == "water"} >= {"days", "even_out"}


def test_without_seed_there_is_no_grass_to_wait_for(tmp_path):
    made = lawnmap.plan(job(tmp_path, JOB.replace('["lanes"]', '["lanes", "seed"]') + DATES))
    assert made.season.step("mow_low") is None


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[dates]\nfirst_mow = 2026-10-01\n", r'job.toml, \[dates\]: the key "seeding" is missing; add it'),
        ("[dates]\nseeding = 2026-09-08T07:00:00\n", r"seeding: 2026-09-08 07:00:00 is a time of day; give the day"),
        ("[dates]\nseeding = 20260908\n", r'seeding: "20260908" is no day of the calendar'),
        ("[[dates]]\nseeding = 2026-09-08\n", r'"dates" is a section; write it as \[dates\]'),
        ("[water]\n", r"\[water\]: no station says what waters which zone; add a \[\[station\]\] section"),
        ("[station]\nname = 'a'\n", r'"station" may stand several times; write it as \[\[station\]\]'),
        ("[[station]]\nname = 'a'\nflow = '8 gpm'\n", r'\[station\]: the key "zones" is missing; add it'),
        (
            "[[station]]\nname = 'a'\nzones = ['gone']\nflow = '8 gpm'\n",
            r'\[\[station\]\] a, zones: there is no zone "gone"; use one of:',
        ),
        ("[[station]]\nname = 'a'\nzones = ['x']\nflow = '0 gpm'\n", r"'0 gpm' is not possible; it must be more than"),
        ("[dates]\nseeding = 2027-02-29\n", r"is not valid TOML"),
        (
            "[dates]\nseeding = 2026-09-08\nholds = [{ from = 2026-09-10, too = 2026-09-11 }]\n",
            r'holds.0.too: there is no key "too" here; did you mean "to"',
        ),
    ],
)  # fmt: skip
def test_bad_sections_in_one_sentence(tmp_path, text, says):
    with pytest.raises(lawnmap.errors.InputError, match=says):
        lawnmap.plan(job(tmp_path, JOB + text))


def test_a_new_job_file_offers_the_sections(tmp_path):
    text = job_template({"file": "yard.geojson"})
    for head in ("# [dates]", "# [water]", "# [[station]]"):
        assert head in text
    choices = read_choices(job(tmp_path, text))
    assert choices.dates is None
    assert choices.stations == ()
    opened = text.replace("# [dates]\n", "[dates]\n").replace("# seeding =", "seeding = 2026-09-08")
    assert read_choices(job(tmp_path, opened)).dates.seeding == date(2026, 9, 8)


def test_strict_refuses_a_conflict(tmp_path):
    late = DATES.replace("2026-11-05", "2026-09-20")
    with pytest.raises(lawnmap.errors.FindingsError):
        lawnmap.plan(job(tmp_path, JOB + late), strict=True)
