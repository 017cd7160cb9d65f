"""Topdressing and straw against published tables."""

import json

import pytest

from lawnmap.errors import ChoiceError
from lawnmap.rates import Straw, Topdress, straw, topdress
from lawnmap.units import convert, parse


@pytest.mark.parametrize(
    ("depth", "published"),
    [
        ("1/8 in", 0.4),
        ("1/4 in", 0.77),
        ("3/8 in", 1.14),
        ("1/2 in", 1.54),
        ("5/8 in", 1.91),
        ("3/4 in", 2.31),
    ],
)
def test_volumes(takeoff, zone, depth, published):
    """Volume of Soil Needed to Topdress 1,000 Square Feet (a table seen second-hand), within its rounding."""
    cover = topdress(takeoff(zone()), Topdress(depth=depth))
    assert convert(cover.total, "cu yd") == pytest.approx(published, abs=0.02)


def test_deschutes(takeoff, zone):
    """Deschutes Recycling, how many cubic yards do I need: 2000 sq ft at 1/4 in is 1.6 cu yd (0.0031 a sq ft inch)."""
    cover = topdress(takeoff(zone(area="2000 sq ft")), Topdress())
    assert convert(cover.total, "cu yd") == pytest.approx(1.6, abs=0.06)


def test_bags_loads_and_weight(lawn):
    """Bare and thin ground, 2020 sq ft at 1/4 in, is 42.08 cu ft; with 5 % 44.19: 23 bags, one load, 1547 lb."""
    choices = Topdress(bag="2 cu ft", load="2 cu yd", weight="35 lb/cu ft")
    cover = topdress(lawn, choices)
    assert [zone.zone for zone in cover.by_zone] == ["slope", "back", "spot"]
    assert convert(cover.total, "cu ft") == pytest.approx(2020 / 48)
    assert (cover.buy, cover.loads) == (23, 1)
    assert convert(cover.weight_kg, "lb") == pytest.approx(2020 / 48 * 1.05 * 35)
    assert cover.source.grade == "common practice"
    assert topdress(lawn, Topdress(weight=choices.weight_kg_per_m3)).weight_kg == cover.weight_kg
    assert topdress(lawn, Topdress(depth="1/4 in")).source.grade == "user"


def test_loose_material(lawn):
    cover = topdress(lawn, Topdress(zones=["back"]))
    assert (cover.buy, cover.loads, cover.weight_kg) == (None, None, None)
    read = json.loads(json.dumps(cover.to_dict()))
    assert read["total_m3"] == pytest.approx(parse("1000 sq ft", "area") * parse("1/4 in", "length"))
    assert read["by_zone"][0]["zone"] == "back"


@pytest.mark.parametrize(("season", "bales"), [("cool-season", 1.5), ("warm-season", 1.0)])
def test_straw(takeoff, zone, season, bales):
    """NC Cooperative Extension, Seeding a New Lawn: 1 to 2 bales for 1000 sq ft, one for warm-season grasses."""
    cover = straw(takeoff(zone(area="10000 sq ft")), Straw(season=season))
    assert cover.total == pytest.approx(10 * bales)
    assert cover.source.publisher == "NC Cooperative Extension"
    assert "30 to 40 % of the soil" in cover.reason


def test_own_bales(lawn):
    cover = straw(lawn, Straw(area_per_bale="500 sq ft", on=["bare", "thin"]))
    assert cover.total == pytest.approx(2020 / 500)
    assert cover.buy == 5  # 4.04 and 5 % are 4.24
    assert cover.to_dict()["total_bales"] == cover.total
    assert cover.source.grade == "user"


@pytest.mark.parametrize(
    ("section", "values", "says"),
    [
        (Topdress, {"depth": "0 in"}, "more than 0"),
        (Topdress, {"depth": "5 ft"}, "at most 7.87 in"),
        (Topdress, {"weight": 35}, "35 has no unit"),
        (Topdress, {"weight": "35 lb"}, "is a quantity of weight"),
        (Straw, {"area_per_bale": "7 sq ft"}, "a bale covers more than that"),
        (Straw, {"season": "cool"}, "use one of: cool-season, warm-season"),
    ],
)
def test_bad_choices(section, values, says):
    with pytest.raises(ChoiceError, match=says):
        section.read(values, file="job.toml")


def test_unknown_zone(lawn):
    with pytest.raises(
        ChoiceError, match=r'\[topdress\], zones: there is no zone "bak"; did you mean "back"'
    ):
        topdress(lawn, Topdress(zones=["bak"]))
