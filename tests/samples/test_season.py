"""The contractor's calendar and stations, worked out by hand from the tables they rest on."""

from datetime import date

import pytest

import lawnmap
from lawnmap.job import open_job
from lawnmap.rates import prescribe
from lawnmap.schedule import irrigate, season
from lawnmap.units import US, convert


@pytest.fixture(scope="module")
def contractor(samples):
    yard, choices = open_job(samples / "contractor")
    takeoff = lawnmap.take_off(yard, choices.ground)
    prescription = prescribe(
        takeoff, seed=choices.seed, fertilizer=choices.fertilizer, products=choices.products, units=US
    )
    made = season(takeoff, prescription, choices.dates, species=choices.seed.blend)
    return made, irrigate(takeoff, choices.stations, choices.water, made)


def test_days(contractor):
    """Sown on 1 September: bluegrass sprouts after 14 days (Penn State), is all up after 30, second feed four weeks
    after germination (K-State), light traffic after nine weeks (Penn State); the crew is away on the day of the
    first mowing, 18 days after germination."""
    day = {step.key: step.day for step in contractor[0].steps}
    assert day["seeding"] == date(2026, 9, 1)
    assert day["soil_test"] == date(2026, 8, 18)
    assert day["germination"] == date(2026, 9, 15)
    assert day["emergence"] == date(2026, 10, 1)
    assert day["first_mow"] == date(2026, 10, 5)
    assert day["second_feed"] == date(2026, 10, 13)
    assert day["traffic"] == date(2026, 11, 3)


def test_minutes_of_a_station_with_cans(contractor):
    """Eight cans of 0.09625 in on the mean in 15 min are 0.385 in/h; the lower four hold 0.0825 in, 0.857 of it:
    1/8 in takes 19.5 min, and 22.7 with the dry half in mind; so 23."""
    watering = contractor[1]
    assert convert(watering.stations[0].precipitation_m_per_s, "in/h") == pytest.approx(0.385)
    assert 1 / watering.stations[0].multiplier == pytest.approx(0.0825 / 0.09625)
    assert watering.phases[0].runs[0].run_s == 23 * 60


def test_only_the_blend_and_the_hold_are_told_and_nothing_is_doubted(contractor):
    made, watering = contractor
    assert {found.code for found in made.findings} == {"grasses-come-up-apart", "held-up"}
    assert watering.findings == ()
