"""A whole season: order, label intervals, conflicts, the southern half, and every sentence of bad input."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lawnmap.errors import ChoiceError
from lawnmap.rates import Prescription, Product, Seed, Spray, prescribe
from lawnmap.rates.species import species_names
from lawnmap.schedule import Dates, season
from lawnmap.units import US

SOWN = date(2026, 9, 8)
FESCUE = {"tall fescue": 1.0}


def dates(**values):
    return Dates.read({"seeding": SOWN, **values}, file="job.toml")


def spray(**values):
    given = {
        "name": "siduron",
        "rate": "5 fl oz / acre",
        "yearly_maximum": "20 fl oz / acre",
        "carrier": "40 gal / acre",
        "tank": "4 gal",
    }
    return Spray.read(given | values, file="job.toml")


@pytest.fixture
def plan(lawn, prescription):
    def make(species=FESCUE, sprays=(), **values):
        return season(lawn, prescription, dates(**values), species=species, sprays=sprays)

    return make


def codes(made):
    return [found.code for found in made.findings]


def test_the_order_of_the_work(plan):
    made = plan()
    assert [step.key for step in made.steps] == [
        "soil_test", "mow_low", "aerate", "seeding", "feed", "contact", "germination", "emergence", "first_mow",
        "second_feed", "traffic", "next_spring",
    ]  # fmt: skip
    assert list(made.steps) == sorted(made.steps, key=lambda step: step.day)
    assert codes(made) == []


def test_published_intervals(plan):
    """Four weeks from germination to the second feed (K-State), 8 to 10 weeks to light traffic (Penn State)."""
    made = plan()
    day = {step.key: step.day for step in made.steps}
    assert day["second_feed"] - day["germination"] == timedelta(weeks=4)
    assert timedelta(weeks=8) <= day["traffic"] - day["seeding"] <= timedelta(weeks=10)
    assert timedelta(days=5) <= day["germination"] - SOWN <= timedelta(days=10)  # Nebraska Extension
    assert day["next_spring"] == date(2027, 3, 1)


def test_every_wait_names_its_source_or_is_plain_order(plan):
    made = plan(sprays=[spray(wait="0 days")])
    for step in made.steps:
        for wait in step.waits:
            assert step.day >= wait.over
            assert wait.source or wait.days == 0
    waits = [str(wait.source) for step in made.steps for wait in step.waits if wait.source]
    assert any("Penn State" in text for text in waits)
    assert any("(label)" in text for text in waits)


def test_moving_one_day_moves_the_rest(plan):
    late = plan(emergence=date(2026, 9, 28))
    mow, feed = late.step("first_mow"), late.step("second_feed")
    assert late.step("emergence").fixed
    assert mow.day == max(plan().step("first_mow").day, date(2026, 9, 28))
    sprouted = plan(germination=date(2026, 9, 24))
    assert sprouted.step("second_feed").day - feed.day == date(2026, 9, 24) - plan().step("germination").day


def test_without_fertilizer_or_grass_there_is_nothing_to_feed_or_mow(lawn):
    made = season(lawn, Prescription(()), dates(), species=FESCUE)
    assert {"feed", "second_feed", "mow_low", "aerate"}.isdisjoint(step.key for step in made.steps)


def test_a_further_product_waits_for_the_soil_test_and_the_seed_for_it(lawn):
    lime = Product(name="lime", rate_kg_per_m2="40 lb / 1000 sq ft")
    limed = prescribe(lawn, seed=Seed(), fertilizer=None, products=(lime,), units=US)
    made = season(lawn, limed, dates(), species=FESCUE)
    step = made.step("product lime")
    assert [wait.of for wait in step.waits] == ["soil_test"]
    assert made.step("soil_test").day + timedelta(days=14) == step.day == made.seeding
    assert "product lime" in {wait.of for wait in made.step("seeding").waits}


def test_steps_may_be_left_out_and_the_rest_still_stands(plan):
    made = plan(leave_out=["aerate", "traffic", "next_spring", "soil_test"])
    assert {"aerate", "traffic", "next_spring", "soil_test"}.isdisjoint(step.key for step in made.steps)
    assert made.step("first_mow").day == plan().step("first_mow").day


@pytest.mark.parametrize(
    ("event", "step"),
    [
        ("seeding", "seeding"),
        ("germination", "germination"),
        ("emergence", "emergence"),
        ("first mowing", "first_mow"),
    ],
)
def test_label_intervals_count_from_the_event_that_the_label_names(plan, event, step):
    made = plan(sprays=[spray(wait="4 weeks", counted_from=event)])
    assert made.step("spray siduron 1").day - made.step(step).day == timedelta(weeks=4)


def test_a_second_application_waits_for_the_first(plan):
    made = plan(sprays=[spray(wait="0 days", interval="28 days", applications=2)])
    first, second = made.step("spray siduron 1"), made.step("spray siduron 2")
    assert (first.day, second.day) == (SOWN, SOWN + timedelta(days=28))
    assert second.name == "Spray siduron 2 of 2"


def test_a_spray_before_the_seed_keeps_the_seed_waiting(plan):
    made = plan(sprays=[spray(seed_wait="2 weeks")])
    assert made.step("spray siduron 1").day == SOWN - timedelta(weeks=2)
    assert codes(made) == []


def test_two_sections_of_one_product_have_steps_of_their_own(plan):
    made = plan(sprays=[spray(wait="0 days"), spray(wait="5 days")])
    keys = [step.key for step in made.steps]
    assert len(keys) == len(set(keys))
    assert made.step("spray siduron (2) 1").day == SOWN + timedelta(days=5)


def conflict(lawn, prescription, *sprays, species=FESCUE, **values):
    made = season(lawn, prescription, dates(**values), species=species, sprays=sprays)
    return [str(found) for found in made.findings]


@pytest.mark.parametrize(
    ("sprays", "values", "says"),
    [
        (
            [{"seed_wait": "8 weeks"}],
            {"sprays": {"siduron": [date(2026, 8, 20)]}},
            'must wait until 2026-10-15: 56 days after "Spray siduron" (2026-08-20), by the label [inside-label',
        ),
        (
            [{"wait": "28 days", "counted_from": "emergence"}],
            {"sprays": {"siduron": [date(2026, 9, 25)]}},
            "by the label [inside-label-interval]",
        ),
        (
            [{"wait": "0 days", "interval": "28 days", "applications": 2}],
            {"sprays": {"siduron": [date(2026, 9, 8), date(2026, 9, 29)]}},
            'must wait until 2026-10-06: 28 days after "Spray siduron 1 of 2" (2026-09-08), by the label',
        ),
        ([{}], {}, "siduron: its label interval is not given, so it has no day in the calendar [spray-undated]"),
        (
            [{"wait": "0 days", "applications": 2}],
            {},
            "siduron: its label interval is not given, so it has no day in the calendar [spray-undated]",
        ),
        ([], {"first_mow": date(2026, 9, 9)}, 'First mowing: "First mowing" is set for 2026-09-09, but it must'),
        ([], {"soil_test": date(2026, 9, 1)}, 'until 2026-09-15: 14 days after "Soil test" (2026-09-01) [dates-out'),
        ([], {"first_frost": "2026-10-10"}, "too late: tall fescue wants 51 days before the first frost on 2026-10"),
        ([], {"soil_from": "2026-09-20"}, "on 2026-09-08 the soil is not yet as warm as you want it; that is from"),
        ([], {"soil_until": "2026-09-10"}, "but the soil has the right warmth only until 2026-09-10 [soil-outside"),
        (
            [],
            {"holds": [{"from": SOWN, "to": "2026-09-09", "why": "rain"}]},
            '[dates], holds: "Sow" moved from 2026-09-08 to 2026-09-10: rain [held-up]',
        ),
        ([], {"first_frost": "2026-11-01", "second_feed": "2026-11-05"}, "after the first frost on 2026-11-01"),
        ([], {"seeding": "2026-07-10"}, "2026-07-10 is out of season for cool-season grass on the northern half"),
        ([], {"seeding": "2027-04-20"}, "is the second-best time for cool-season grass on the northern half"),
        ([], {"hemisphere": "southern"}, "2026-09-08 is the second-best time for cool-season grass on the southern"),
    ],
)  # fmt: skip
def test_conflicts_are_found_and_said(lawn, prescription, sprays, values, says):
    found = conflict(lawn, prescription, *(spray(**given) for given in sprays), **values)
    assert any(says in text for text in found), found


def test_a_blend_that_comes_up_apart_is_told(plan):
    made = plan(species={"tall fescue": 0.9, "Kentucky bluegrass": 0.1})
    assert codes(made) == ["grasses-come-up-apart"]
    assert (
        "tall fescue is up after 5 to 10 days, Kentucky bluegrass after 14 to 30 days"
        in made.findings[0].text
    )
    assert made.step("first_mow").day >= made.step("emergence").day == SOWN + timedelta(days=30)


def test_a_grass_without_a_figure_is_told(plan):
    made = plan(species={"bermudagrass": 1.0}, seeding="2026-06-01")
    assert codes(made) == ["germination-assumed"]


def test_the_southern_half_by_the_yards_own_place(takeoff, zone, prescription):
    made = season(
        takeoff(zone(), latitude_deg=-36.8), prescription, dates(seeding="2027-03-10"), species=FESCUE
    )
    assert made.hemisphere == "southern"
    assert codes(made) == []
    assert made.step("next_spring").day == date(2027, 9, 1)
    assert "15 February to 30 April" in made.step("seeding").why[0]


def test_a_yard_without_a_place_is_taken_for_a_northern_one(takeoff, zone, prescription):
    made = season(takeoff(zone()), prescription, dates(), species=FESCUE)
    assert codes(made) == ["hemisphere-assumed"]


def test_leap_days_are_counted(plan):
    made = plan(seeding="2028-02-20", hemisphere="southern")
    assert made.step("germination").day == date(2028, 2, 29)  # nine days on
    assert plan(seeding="2028-02-29", hemisphere="southern").seeding == date(2028, 2, 29)


def test_the_last_sensible_day_is_counted_back_from_the_frost(plan):
    assert plan(first_frost="2026-10-31").last_seeding == date(2026, 9, 10)
    assert plan().last_seeding is None


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({"seeding": "2027-02-29"}, r'job.toml, \[dates\], seeding: "2027-02-29" is no day of the calendar'),
        (
            {"first_frost": date(2025, 10, 20)},
            r"first_frost: 2025-10-20 is not the first frost after seeding on",
        ),
        ({"soil_from": "2026-10-01", "soil_until": "2026-09-01"}, r"soil_until: lies before soil_from"),
        ({"holds": [{"from": "2026-09-10", "to": "2026-09-09"}]}, r"ends on 2026-09-09, before it begins"),
        ({"holds": [{"from": "2026-09-10", "to": "2062-09-12"}]}, r"is longer than a year; check the years"),
        ({"soil_test_time": "90 weeks"}, r"soil_test_time: '90 weeks' is not possible; it must be at most"),
        ({"leave_out": ["seeding"]}, r"'seeding' is not known"),
        ({"first_mown": "2026-10-20"}, r'there is no key "first_mown" here; did you mean "first_mow"'),
        ({"hemisphere": "south"}, r'\'south\' is not known; did you mean "southern"'),
    ],
)
def test_bad_dates_in_one_sentence(values, says):
    with pytest.raises(ChoiceError, match=says):
        dates(**values)


def test_days_of_a_spray_that_is_not_there(lawn, prescription):
    with pytest.raises(ChoiceError, match=r'there is no spray "sidurom"; did you mean "siduron"'):
        conflict(lawn, prescription, spray(), sprays={"sidurom": ["2026-09-08"]})


def test_more_days_than_applications(lawn, prescription):
    with pytest.raises(
        ChoiceError, match=r"2 days for 1 application\(s\) of siduron; set applications in its"
    ):
        conflict(lawn, prescription, spray(), sprays={"siduron": ["2026-09-08", "2026-10-08"]})


def test_the_soil_that_the_grass_wants(plan):
    """Fall Seeding of Tall Fescue, NC State University: 60 °F; Texas A&M AgriLife B-6239: 70 to 95 °F."""
    assert "Soil for tall fescue: 60 °F (16 °C) or warmer." in plan().step("seeding").why
    warm = plan(species={"bermudagrass": 1.0}, seeding="2026-06-01").step("seeding").why
    assert "Soil for warm-season grass: 70 to 95 °F (21 to 35 °C)." in warm


GRASSES = st.dictionaries(st.sampled_from(species_names()), st.floats(0.1, 1), min_size=1, max_size=4)
HOLDS = st.lists(st.tuples(st.integers(-40, 120), st.integers(0, 15)), max_size=4)


@given(
    species=GRASSES,
    sown=st.dates(date(2000, 1, 1), date(2100, 12, 31)),
    holds=HOLDS,
    label=st.fixed_dictionaries(
        {
            "wait": st.integers(0, 90).map("{} days".format),
            "counted_from": st.sampled_from(["seeding", "germination", "emergence", "first mowing"]),
        }
    ),
)
def test_whatever_is_sown_whenever_every_wait_is_kept(lawn, prescription, species, sown, holds, label):
    """Without days of the user nothing can be out of order, and no hold has work in it."""
    made = season(
        lawn,
        prescription,
        dates(
            seeding=sown,
            hemisphere="northern",
            holds=[
                {"from": sown + timedelta(days=first), "to": sown + timedelta(days=first + length)}
                for first, length in holds
            ],
        ),
        species=species,
        sprays=[spray(**label, interval="21 days", applications=3)],
    )
    assert not {"inside-label-interval", "dates-out-of-order"} & set(codes(made))
    assert list(made.steps) == sorted(made.steps, key=lambda step: step.day)
    for step in made.steps:
        assert all(step.day >= wait.over for wait in step.waits)
        if step.key not in {"germination", "emergence", "next_spring"}:
            offset = (step.day - sown).days
            assert not any(first <= offset <= first + length for first, length in holds)


def test_everything_can_be_written_as_json_values(plan):
    found = plan(first_frost="2026-10-31").to_dict()
    assert found["seeding"] == "2026-09-08"
    assert found["last_seeding"] == "2026-09-10"
    assert found["steps"][3]["key"] == "seeding"
    assert found["steps"][3]["waits"][0]["of"] == "soil_test"
