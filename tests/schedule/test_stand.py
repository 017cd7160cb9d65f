"""Grasses and their calendar, against what publications say of them."""

from datetime import date

import pytest

from lawnmap.rates.species import species_names
from lawnmap.schedule import stand_of
from lawnmap.schedule.intervals import WARM_SEASON, germination, interval


@pytest.mark.parametrize(
    ("grass", "low", "high"),
    [
        (
            "tall fescue",
            5,
            10,
        ),  # 5 to 10 days: Nebraska Extension, Sustainable Acreage Ground Covers; 10: K-State
        ("centipedegrass", 14, 21),  # general web article quoting Alabama Cooperative Extension
        ("bermudagrass", 14, 21),  # none; 2 to 3 weeks for most turfgrasses: Iowa State University Extension
    ],
)
def test_days_to_germination(grass, low, high):
    found, _ = germination(grass)
    assert (found.low, found.high) == (low, high)


def test_bluegrass_takes_two_weeks():
    """Penn State University News, Choose The Right Grass Seed For Pennsylvania Lawns, 7 September 2001."""
    assert germination("Kentucky bluegrass")[0].typical == 14


@pytest.mark.parametrize("grass", species_names())
def test_every_grass_of_the_tables_has_days(grass):
    found, _ = germination(grass)
    assert 0 < found.low <= found.typical <= found.high <= 60
    assert found.source.publisher


def test_warm_season_grasses_are_grasses_of_the_tables():
    assert set(WARM_SEASON) <= set(species_names())


def test_six_weeks_of_growth_before_frost():
    """The Kansan, Fall care for lawn, September 2019: tall fescue wants six weeks of root growth before winter."""
    last, days, source = stand_of({"tall fescue": 1.0}).last_seeding(date(2026, 10, 20))
    assert days == 42 + germination("tall fescue")[0].typical
    assert date(2026, 10, 20) - last == days * (date(2026, 1, 2) - date(2026, 1, 1))
    assert "Kansan" in source.publisher


def test_the_main_grass_decides_how_late():
    blend = stand_of({"tall fescue": 0.9, "Kentucky bluegrass": 0.1})
    assert blend.last_seeding(date(2026, 10, 20)) == stand_of({"tall fescue": 1.0}).last_seeding(
        date(2026, 10, 20)
    )
    assert blend.slowest == "Kentucky bluegrass"


def test_warm_season_grass_wants_two_to_three_months():
    """University of Massachusetts Amherst, as quoted: two months in warm climates, three in cool ones."""
    assert interval("warm-season", "seeding before frost").words() == "60 to 90 days"
    assert stand_of({"bermudagrass": 1.0}).last_seeding(date(2026, 10, 20))[1] == 75


@pytest.mark.parametrize(
    ("grass", "day", "half", "found"),
    [
        # Purdue AY-3: 15 August to 15 September; UC Guide to Healthy Lawns: September and October
        ("tall fescue", date(2026, 9, 1), "northern", "best"),
        ("tall fescue", date(2026, 3, 1), "southern", "best"),
        ("tall fescue", date(2026, 9, 1), "southern", "second best"),
        ("tall fescue", date(2026, 7, 10), "northern", ""),
        ("tall fescue", date(2026, 1, 10), "northern", ""),
        ("tall fescue", date(2026, 5, 1), "northern", "second best"),
        # NC Cooperative Extension: warm-season grass from May to July
        ("bermudagrass", date(2026, 6, 1), "northern", "best"),
        ("bermudagrass", date(2026, 9, 20), "northern", ""),
        ("bermudagrass", date(2026, 12, 1), "southern", "best"),
    ],
)
def test_seasons_by_half_of_the_earth(grass, day, half, found):
    assert stand_of({grass: 1.0}).suits(day, half) == found
