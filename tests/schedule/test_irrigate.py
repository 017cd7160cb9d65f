"""Run times against a published worked example, exact sums, and every restriction."""

from datetime import date
from itertools import pairwise

import pytest

from lawnmap.errors import ChoiceError
from lawnmap.rates import Prescription
from lawnmap.schedule import Dates, Station, Water, irrigate, precipitation_rate, run_time, season
from lawnmap.units import convert, parse


def station(name="front lawn", zones=("front",), **values):
    given = values or {"flow": "8 gal/min", "uniformity": "100 %"}
    return Station.read({"name": name, "zones": list(zones)} | given, file="job.toml")


def water(**values):
    return Water.read(values, file="job.toml")


def phase(made, key):
    return next(one for one in made.phases if one.key == key)


@pytest.fixture
def yard(takeoff, zone):
    return takeoff(zone("front", "900 sq ft"), latitude_deg=41.0)


def test_published_run_time():
    """B. Carlos and J. Guitjens, Gross Estimated Runtimes for Small to Medium Turf Areas, Univ. of Nevada
    Cooperative Extension: 0.35 in a day at 85 %, 225 sq ft, 3.60 gpm: 57.2 gal, 15.9 min (it rounds early)."""
    flow, area = parse("3.6 gal/min", "flow"), parse("225 sq ft", "area")
    time_s = run_time(parse("0.35 in", "depth"), precipitation_rate(flow, area), 1 / 0.85)
    assert time_s / 60 == pytest.approx(15.9, abs=0.2)
    assert convert(time_s * flow, "gal") == pytest.approx(57.2, abs=0.6)
    assert time_s / 60 == pytest.approx(0.35 / 0.85 / 96.25 * 225 / 3.6 * 60, rel=1e-12)


def test_minutes_by_hand(yard):
    """8 gpm on 900 sq ft: 0.8556 in/h; 1/8 in takes 8.77 min, so 9; 1/4 in 17.53, so 18; 1/2 in 35.06, so 36."""
    made = irrigate(yard, [station()], water(weaning_runs=2))
    assert [one.runs[0].run_s / 60 for one in made.phases] == [9, 18, 36]
    assert [one.runs_per_day for one in made.phases] == [2, 1, 1]
    assert [one.days_per_week for one in made.phases] == [7, 7, 2]


def test_water_by_hand(yard):
    """Two runs of 9 min a day at 8 gpm: 1,008 gal a week; at 6.20 per 1,000 gal that is 6.25."""
    first = irrigate(yard, [station()], water(price="6.20 / 1000 gal")).phases[0]
    assert convert(first.volume_m3_per_week, "gal") == pytest.approx(2 * 9 * 8 * 7)
    assert first.cost_per_week == "6.25"
    assert convert(first.volume_m3, "gal") == pytest.approx(2 * 9 * 8 * first.days)
    assert irrigate(yard, [station()]).phases[0].cost_per_week is None


def test_depth_over_area_is_the_volume(yard):
    """A gallon is 231 cubic inches: 0.62338 gal on a square foot stand an inch deep."""
    made = irrigate(yard, [station()])
    for one in made.phases:
        run = one.runs[0]
        inches = convert(run.applied_m, "in")
        assert convert(run.volume_m3, "gal") == pytest.approx(900 * inches * 144 / 231)
        assert run.applied_m >= one.depth_m
        assert run.run_s % 60 == 0


def test_the_common_practice_beside_it(yard):
    """Ten minutes three times a day at 8 gpm: 240 gal a day, 0.43 in on 900 sq ft."""
    made = irrigate(yard, [station()])
    assert convert(made.custom.volume_m3_per_week, "gal") == pytest.approx(7 * 240)
    assert convert(made.custom.depth_m_per_day["front lawn"], "in") == pytest.approx(240 / 900 * 231 / 144)


def test_uneven_stations_run_longer(yard):
    even, uneven = (
        irrigate(yard, [station(flow="8 gpm", uniformity=share)]).phases[2].runs[0].run_s
        for share in ("100 %", "50 %")
    )
    assert even < uneven < 2 * even


def test_stations_run_one_behind_the_other(takeoff, zone):
    yard = takeoff(zone("front", "900 sq ft"), zone("back", "900 sq ft"))
    made = irrigate(
        yard,
        [station("a"), station("b", ("back",))],
        water(hours=[["6:00", "18:00"]], between="2 min", germination_runs=2),
    )
    first = made.phases[0]
    assert [[start / 3600 for start in run.starts_s] for run in first.runs] == [
        pytest.approx([6, 18 - 20 / 60]),
        pytest.approx([6 + 11 / 60, 18 - 9 / 60]),
    ]
    assert first.runs[0].to_dict()["starts"] == ["06:00", "17:40"]


def test_phases_take_their_days_from_the_calendar(yard):
    made_season = season(
        yard, Prescription(()), Dates(seeding=date(2026, 9, 8)), species={"Kentucky bluegrass": 1.0}
    )
    made = irrigate(yard, [station()], None, made_season)
    days = {step.key: step.day for step in made_season.steps}
    first, last = made.phases[0], made.phases[-1]
    assert first.first == date(2026, 9, 8)
    assert (days["emergence"] - first.last).days == 1
    assert last.first == days["first_mow"]
    ends = [(one.first, one.last) for one in made.phases]
    assert all((later[0] - earlier[1]).days == 1 for earlier, later in pairwise(ends))


def test_without_a_calendar_lengths_come_from_the_tables(yard):
    """NC Cooperative Extension: light watering for 15 to 20 days; a Nebraska column: two weeks."""
    first = irrigate(yard, [station()]).phases[0]
    assert 14 <= first.days <= 20
    assert first.first is None
    assert {source.publisher for source in first.sources} >= {"NC Cooperative Extension"}


@pytest.mark.parametrize(
    ("values", "code", "says"),
    [
        (
            {"hours": [["6:00", "6:05"]]},
            "watering-does-not-fit",
            "2 rounds of 9 min a day do not fit into the hours that are allowed; none do",
        ),
        (
            {"hours": [["6:00", "6:10"]]},
            "watering-does-not-fit",
            "2 rounds of 9 min a day do not fit into the hours that are allowed; 1 does",
        ),
        (
            {"days": ["Monday", "Thursday"]},
            "watering-days-too-few",
            "seed must not dry out, but water is allowed on 2 days a week only",
        ),
        (
            {"flow_limit": "5 gal/min"},
            "flow-over-limit",
            '"front lawn" draws 1.60 times what the supply gives: it will throw short',
        ),
    ],
)
def test_what_is_not_possible_is_said(yard, values, code, says):
    found = irrigate(yard, [station()], water(**values)).findings
    assert any(one.code == code and one.text.startswith(says) for one in found), found


def test_nothing_is_said_where_all_fits(yard):
    assert irrigate(yard, [station()], water(flow_limit="8 gal/min")).findings == ()


def test_days_are_spread_over_those_allowed(yard):
    made = irrigate(
        yard, [station()], water(days=["Monday", "Tuesday", "Wednesday", "Friday"], weaning_runs=2)
    )
    assert phase(made, "weaning").weekdays == ("Monday", "Wednesday")
    assert phase(made, "germination").days_per_week == 4


def test_fewer_days_than_runs_give_more_at_a_time(yard):
    made = irrigate(yard, [station()], water(days=["Monday"], weaning_runs=3, weaning_depth="1 in"))
    assert convert(phase(made, "weaning").depth_m, "in") == pytest.approx(1)


def test_stations_without_seed_do_not_run_for_it(takeoff, zone):
    yard = takeoff(zone("front", "900 sq ft"), zone("side", "900 sq ft", density="full"))
    stations = [station("side heads", ("side",)), station("front heads")]
    made = irrigate(yard, stations, sown={"front"})
    assert all([run.station for run in one.runs] == ["front heads"] for one in made.phases)
    assert [found.code for found in made.findings] == ["station-without-seed"]
    assert set(made.custom.depth_m_per_day) == {"front heads"}
    assert irrigate(yard, stations[:1], sown={"front"}).phases == ()


def test_no_station_no_run(yard):
    with pytest.raises(ChoiceError, match=r"no station says what waters which zone; add a \[\[station\]\]"):
        irrigate(yard, [])


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({"price": "6.20"}, r'price: "6.20" is no price of water; write money over a volume'),
        ({"price": "x / gal"}, r'"x / gal" is no price of water'),
        ({"price": "6 / 1000 ft"}, r"is a quantity of length, not of volume"),
        ({"hours": [["6:00", "26:00"]]}, r'"26:00" is no time of day'),
        ({"hours": [["6:00", "9:00"], ["8:00", "12:00"]]}, r"the hours overlap from 08:00 to 09:00"),
        ({"hours": []}, r"hours"),
        ({"days": ["Mon"]}, r"'Mon' is not known"),
        ({"germination_depth": "2 ft"}, r"'2 ft' is not possible; it must be at most"),
        ({"flow_limit": "0 gpm"}, r"'0 gpm' is not possible; it must be more than 0"),
        ({"germination_runs": 0}, r"is not possible; it must be at least 1"),
        ({"even_out": "high half"}, r"'high half' is not known"),
    ],
)
def test_bad_water_in_one_sentence(values, says):
    with pytest.raises(ChoiceError, match=says):
        water(**values)


def test_prices_are_exact(yard):
    """1000 gal are 3.785411784 m³ by definition."""
    assert float(water(price="6.20 / 1000 gal").price_per_m3) == pytest.approx(6.20 / 3.785411784)
    assert float(water(price="1.80 / m3").price_per_m3) == pytest.approx(1.80)


def test_everything_can_be_written_as_json_values(yard):
    found = irrigate(yard, [station()], water(price="6.20 / 1000 gal")).to_dict()
    assert found["phases"][0]["runs"][0]["starts"][0] == "06:00"
    assert found["common_practice"]["runs_per_day"] == 3
    assert found["stations"][0]["measured_by"] == "flow"
