"""Precipitation and uniformity of a station, against published figures and exact constants."""

from fractions import Fraction
from statistics import mean

import numpy as np
import pytest
from scipy import stats

from lawnmap.errors import ChoiceError
from lawnmap.schedule import Station, low_half_of, multiplier, precipitation_rate
from lawnmap.schedule.stations import serve
from lawnmap.units import convert, parse
from lawnmap.units.measures import FOOT_M, GALLON_M3

# G. Grabow, NC State University, reference manual of an open-source irrigation package, entries "DU" and "DU.lh".
CANS_ML = (47, 42, 45, 24, 13, 26, 33, 34, 27, 30, 40, 44, 32, 12, 12)


def station(**values):
    given = {"name": "front lawn", "zones": ["front"]}
    return Station.read(given | values, file="job.toml")


def one(takeoff, zone, even_out="low half", **values):
    served, found = serve(
        takeoff(zone(area=values.pop("zone_area", "900 sq ft"))), [station(**values)], even_out
    )
    return served[0], [finding.code for finding in found]


def test_constants_of_the_trade():
    """96.25 = 60 × 231 / 144 and 623.377 = 1000 × 144 / 231, exactly, from the gallon and the foot alone."""
    inch = FOOT_M / 12
    assert GALLON_M3 / 60 / FOOT_M**2 / (inch / 3600) == Fraction(9625, 100)
    assert 1000 * FOOT_M**2 * inch / GALLON_M3 == Fraction(144000, 231)
    assert float(Fraction(144000, 231)) == pytest.approx(623.38, abs=0.005)


def test_published_precipitation_rate():
    """Sprinkler Precipitation Rates (teaching slides), slide 5: 8 gpm on 60 × 15 ft is 0.86 in/h."""
    rate = precipitation_rate(parse("8 gal/min", "flow"), parse("900 sq ft", "area"))
    assert convert(rate, "in/h") == pytest.approx(0.86, abs=0.005)
    assert convert(rate, "in/h") == pytest.approx(96.25 * 8 / 900, rel=1e-12)


def test_cans_of_a_published_example(takeoff, zone):
    """Low quarter 49.62039 %, low half 71.58351 %: the reference manual above."""
    served, _ = one(
        takeoff, zone, catch_volumes=[f"{ml} mL" for ml in CANS_ML], opening="72 mm", catch_time="15 min"
    )
    assert 100 * served.low_quarter == pytest.approx(49.62039, abs=1e-4)
    assert 100 / served.multiplier == pytest.approx(71.58351, abs=1e-4)


def test_volumes_and_depths_of_the_same_cans_agree(takeoff, zone):
    """A round can of 72 mm: 1 mL stands 1000 / (π/4 · 72²) mm deep."""
    depths = [f"{ml * 1000 / (np.pi / 4 * 72**2):.12f} mm" for ml in CANS_ML]
    by_depth, _ = one(takeoff, zone, catch=depths, catch_time="15 min")
    by_volume, _ = one(
        takeoff, zone, catch_volumes=[f"{ml} mL" for ml in CANS_ML], opening="72 mm", catch_time="15 min"
    )
    assert by_depth.precipitation_m_per_s == pytest.approx(by_volume.precipitation_m_per_s)
    assert convert(by_depth.precipitation_m_per_s, "mm/h") == pytest.approx(
        mean(CANS_ML) * 1000 / (np.pi / 4 * 72**2) * 4
    )


def test_low_half_of_a_normal_spread_against_a_sample():
    """A large sample of a normal distribution; 0.628 is the ratio of its partial means by scipy."""
    z = stats.norm
    assert (1 - low_half_of(0.6)) / 0.4 == pytest.approx(
        (z.pdf(z.ppf(0.5)) / 0.5) / (z.pdf(z.ppf(0.25)) / 0.25), rel=1e-9
    )
    catch = np.sort(np.random.default_rng(7).normal(10, 2, 400_000))
    quarter, half = (catch[: int(len(catch) * share)].mean() / catch.mean() for share in (0.25, 0.5))
    assert low_half_of(quarter) == pytest.approx(half, abs=0.002)


@pytest.mark.parametrize(
    ("even_out", "expected"), [("none", 1.0), ("low quarter", 1 / 0.6), ("low half", 1 / (1 - 0.4 * 0.6277))]
)
def test_runs_grow_with_unevenness(takeoff, zone, even_out, expected):
    served, codes = one(takeoff, zone, even_out, flow="8 gal/min", uniformity="60 %")
    assert served.multiplier == pytest.approx(expected, rel=1e-4)
    assert codes == []


def test_an_even_station_needs_nothing_more_and_a_broken_one_not_ever_more():
    assert multiplier(1.0) == 1.0
    assert multiplier(None) == 1.0
    assert multiplier(0.0) == multiplier(0.1) == 2.0


@pytest.mark.parametrize(
    ("values", "codes"),
    [
        ({"flow": "8 gal/min"}, ["station-not-tested"]),
        ({"flow": "8 gal/min", "uniformity": "30 %"}, ["station-uneven"]),
        (
            {"flow": "480 gal/min", "uniformity": "70 %"},
            ["station-rate-unusual"],
        ),  # 8 gal/min, an hour's flow
        ({"flow": "0.1 gal/min", "uniformity": "70 %"}, ["station-rate-unusual"]),
        ({"flow": "8 gal/min", "precipitation": "0.4 in/h", "uniformity": "70 %"}, ["flow-and-catch-differ"]),
        ({"flow": "8 gal/min", "precipitation": "0.8 in/h", "uniformity": "70 %"}, []),
    ],
)
def test_doubts_about_a_station(takeoff, zone, values, codes):
    assert one(takeoff, zone, **values)[1] == codes


def test_a_flow_and_its_precipitation_say_the_same(takeoff, zone):
    by_flow, _ = one(takeoff, zone, flow="8 gal/min", uniformity="70 %")
    by_depth, _ = one(takeoff, zone, precipitation=f"{96.25 * 8 / 900} in/h", uniformity="70 %")
    assert by_flow.precipitation_m_per_s == pytest.approx(by_depth.precipitation_m_per_s)
    assert by_flow.flow_m3_per_s == pytest.approx(by_depth.flow_m3_per_s)


def test_zones_shared_and_left_dry(takeoff, zone):
    yard = takeoff(zone("front"), zone("back"), zone("side"))
    stations = [
        station(name="a", zones=["front"], flow="8 gpm", uniformity="70 %"),
        station(name="b", zones=["front", "side"], flow="8 gpm", uniformity="70 %"),
    ]
    served, found = serve(yard, stations, "low half")
    assert [finding.code for finding in found] == ["zone-shared", "zone-without-water"]
    assert found[1].text == 'no station waters "back"'
    assert convert(served[1].area_m2, "sq ft") == pytest.approx(1500)


def test_a_full_stand_may_stay_dry_and_stations_with_their_own_area_share_nothing(takeoff, zone):
    yard = takeoff(zone("front"), zone("side", density="full"))
    stations = [
        station(name=name, zones=["front"], area="500 sq ft", flow="8 gpm", uniformity="70 %")
        for name in ("a", "b")
    ]
    served, found = serve(yard, stations, "low half")
    assert found == ()
    assert convert(served[0].area_m2, "sq ft") == pytest.approx(500)


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({"flow": "0 gal/min"}, r"\[station\], flow: '0 gal/min' is not possible; it must be more than 0"),
        ({"flow": "8"}, r'flow: "8" has no unit'),
        ({"zones": []}, r"zones"),
        ({"zones": None}, r"zones"),
        ({}, r"flow: nothing says how much water it puts down; give its flow, its precipitation, or a catch"),
        ({"catch": ["0.1 in"] * 6}, r"catch_time: the cans have no time; say how long it ran"),
        ({"catch": ["0.1 in"] * 3, "catch_time": "15 min"}, r"3 cans say nothing about a low quarter"),
        ({"catch": ["0 in"] * 5, "catch_time": "15 min"}, r"a catch is below zero, or nothing was caught"),
        (
            {"catch_volumes": ["9 mL"] * 5, "catch_time": "15 min"},
            r"opening: volumes need the opening of a can",
        ),
        (
            {"catch_volumes": ["9 mL"] * 5, "catch": ["1 mm"] * 5, "catch_time": "15 min"},
            r"the cans are given twice; give depths or volumes",
        ),
        (
            {"catch": ["1 mm"] * 5, "catch_time": "15 min", "uniformity": "60 %"},
            r"its uniformity is given twice; leave it to the cans",
        ),
        (
            {"catch": ["1 mm"] * 5, "catch_time": "15 min", "precipitation": "1 in/h"},
            r"its precipitation is given twice; leave it to the cans",
        ),
        ({"precipitation": "40 in/h"}, r"'40 in/h' is not possible; it must be at most"),
        ({"flow": "8 gpm", "uniformity": "160 %"}, r"'160 %' is not possible; it must be at most 100 %"),
    ],
)
def test_bad_stations_in_one_sentence(values, says):
    given = {"name": "front lawn", "zones": ["front"]} | values
    if given["zones"] is None:
        del given["zones"]
    with pytest.raises(ChoiceError, match=says):
        Station.read(given, file="job.toml")


@pytest.mark.parametrize(
    ("stations", "says"),
    [
        (
            [{"zones": ["frnt"]}],
            r'\[\[station\]\] front lawn, zones: there is no zone "frnt"; did you mean "front"',
        ),
        ([{}, {}], r'there are two stations "front lawn"; rename one'),
        ([{"zones": ["gone"]}], r"\[\[station\]\] front lawn, area: its zones have no ground; give its area"),
    ],
)
def test_stations_that_do_not_fit_the_yard(takeoff, zone, stations, says):
    yard = takeoff(zone(), zone("gone", "0 sq ft"))
    with pytest.raises(ChoiceError, match=says):
        serve(yard, [station(flow="8 gpm", **values) for values in stations], "low half")
