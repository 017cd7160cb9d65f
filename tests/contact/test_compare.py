"""Ways to bring seed into the soil: the sums of each, and the set of them that takes least."""

import json
from decimal import Decimal

import pytest
from shapely.geometry import box

from lawnmap.choices import template
from lawnmap.contact import Contact, compare
from lawnmap.errors import ChoiceError
from lawnmap.lanes import Rig, labour_of, lay
from lawnmap.rates import Straw, Topdress
from lawnmap.units import METRIC, UNITS, convert, parse

FOOT = 0.3048
SPOT = {"spot": ("bare", 8, 12)}  # 96 sq ft: by hand
BARE = {"bare": ("bare", 40, 50)}  # 2,000 sq ft
PATCHY = {"back": ("patchy", 100, 60)}


def way(found, name):
    return next(one for one in found.ways if one.name == name)


def minutes(time_s):
    return time_s / 60


def test_by_hand_is_ground_over_pace(compared):
    """96 sq ft ÷ 300 sq ft/h = 19.2 min, and 5 min to fetch the cultivator."""
    hand = way(compared(SPOT), "hand cultivator")
    assert minutes(hand.on("spot").time_s) == pytest.approx(19.2)
    assert hand.on("spot").sum == "96 sq ft ÷ 300 sq ft/h"
    assert minutes(hand.time_s) == pytest.approx(24.2)


def test_a_machine_has_lanes_of_its_own_width(compared):
    """The same as laying the bare rectangle with a rig of that width, done twice for two passes."""
    rig = Rig(swath_m="6 ft", headland_loops=1)
    found = compared(PATCHY, rig=rig, slit_seeder={"width": "4 ft", "speed": "2 mph", "passes": 2})
    seeder = way(found, "slit seeder")
    alone = lay(
        box(0, 0, 100 * FOOT, 60 * FOOT),
        Rig(swath_m="4 ft", passes="one direction", speed_m_per_s="2 mph", headland_loops=1, stake_every=0),
    )
    assert seeder.lanes.passes[0].swath_m == pytest.approx(4 * FOOT)
    assert len(seeder.lanes.lanes) == len(alone.lanes)
    assert seeder.on("back").time_s == pytest.approx(2 * alone.time_s, rel=0.02)
    assert found.advice[0].open == "slit seeder"


def test_time_in_lanes_is_that_of_field_capacity(compared):
    """Estimating Field Capacity of Farm Machines, PM 696, Iowa State University Extension.

    Acres an hour are miles an hour × feet × field efficiency / 8.25, and 8.25 is 43,560 over 5,280.
    """
    constant = float(UNITS["acre"].si / (UNITS["mi"].si * UNITS["ft"].si))
    assert constant == 8.25
    seeder = way(compared(PATCHY, slit_seeder={"width": "4 ft", "speed": "2 mph"}), "slit seeder")
    rig = Rig(swath_m="4 ft", speed_m_per_s="2 mph")
    efficiency = labour_of(seeder.lanes, rig).field_efficiency
    hours = 6000 / 43560 / (2 * 4 * efficiency / constant)
    assert seeder.on("back").time_s / 3600 == pytest.approx(hours, rel=0.1)


def test_topdressing_is_volume_over_pace(compared):
    """2,000 sq ft at 1/4 in are 1.543 cu yd: at 1 cu yd/h, 93 min."""
    laid = way(compared(BARE, covers={"topdress": Topdress(load="1 cu yd")}), "topdressing")
    assert minutes(laid.on("bare").time_s) == pytest.approx(1.5432 * 60, rel=1e-3)
    assert laid.material == "1.54 cu yd of compost, 2 loads"
    bagged = way(compared(BARE, covers={"topdress": Topdress(bag="2 cu ft")}), "topdressing")
    assert bagged.material.endswith(" 22 bags")


def test_straw_is_ground_over_pace_and_bales(compared):
    laid = way(compared(BARE, covers={"straw": Straw(area_per_bale="500 sq ft")}), "straw")
    assert minutes(laid.on("bare").time_s) == pytest.approx(40)
    assert laid.material == "5 bales of straw"
    assert "half of the soil in sight" in laid.said


def test_a_small_spot_is_done_by_hand_and_trodden(compared):
    (advice,) = compared(SPOT).advice
    assert (advice.open, advice.press, advice.cover) == ("hand cultivator", "tread it down", "straw")
    (advice,) = compared(SPOT, ways=["rake", "drag mat", "straw"]).advice
    assert advice.open == "rake"


def test_a_machine_is_fetched_for_much_ground_and_not_for_little(compared):
    """400 sq ft of thin lawn take a rake 16 min and 5 to fetch it; half an hour to fetch a machine is more."""
    little, much = {"strip": ("thin", 20, 20)}, {"field": ("thin", 200, 100)}
    assert compared(little).advice[0].open == "rake"
    assert compared(much).advice[0].open in {"core aerator", "slit seeder"}
    # what is fetched for the large zone is there for the small one as well
    both = compared(little | much)
    assert {one.open for one in both.advice} == {compared(much).advice[0].open}


def test_no_other_choice_of_ways_takes_less(compared):
    """Every way for every zone, tried one by one."""
    found = compared(BARE | {"strip": ("thin", 20, 20), "back": ("patchy", 60, 60)})
    opens = [one for one in found.ways if one.step == "open"]
    zones = [one.zone for one in found.advice]

    def total(chosen):
        used = {one.name: one for one in chosen}.values()
        return sum(one.fetch_s for one in used) + sum(
            one.on(zone).time_s for zone, one in zip(zones, chosen, strict=True)
        )

    choices = [[]]
    for zone in zones:
        choices = [[*before, one] for before in choices for one in opens if one.on(zone)]
    advised = [way(found, one.open) for one in found.advice]
    assert total(advised) == pytest.approx(min(total(chosen) for chosen in choices), abs=2)


def test_with_a_wage_the_cheapest_is_advised(compared):
    """A rake at 30 an hour is 16 min or 8.00 and 2.50 to fetch; a hire of 100 is dearer than any raking here."""
    zones = {"strip": ("thin", 20, 20)}
    found = compared(zones, wage=30, slit_seeder={"width": "2 ft", "hire": 100, "fetch_time": "0 min"})
    assert found.advice[0].open == "rake"
    assert found.cost == pytest.approx(Decimal("10.5"))
    rake = way(found, "rake")
    assert rake.on("strip").cost == Decimal(8)
    seeder = way(found, "slit seeder")
    assert seeder.cost - seeder.on("strip").cost == 100
    quick = compared(zones, slit_seeder={"width": "2 ft", "hire": 100, "fetch_time": "0 min"})
    assert quick.advice[0].open == "slit seeder"
    assert quick.cost is None


def test_material_is_part_of_the_cost(compared):
    """Five bales at 8 are 40; 2,000 sq ft at 3,000 sq ft/h and 30 an hour are 20; half an hour to fetch is 15."""
    covers = {"straw": Straw(area_per_bale="500 sq ft")}
    found = compared(BARE, covers=covers, wage=30, straw={"pace": "3000 sq ft/h", "price": 8})
    assert way(found, "straw").cost == pytest.approx(Decimal(75))
    assert "straw" in found.advice[0].cover


def test_of_two_covers_the_lesser_unless_the_job_names_one(compared):
    assert compared(BARE).advice[0].cover == "straw"
    assert compared(BARE, straw={"pace": "100 sq ft/h"}).advice[0].cover == "topdressing"
    named = compared(BARE, covers={"topdress": Topdress(), "straw": Straw()}).advice[0].cover
    assert named == "topdressing and straw"
    cheap = {"wage": 30, "straw": {"pace": "3000 sq ft/h", "price": 8}}
    assert compared(BARE, **cheap).advice[0].cover == "straw"


def test_bare_ground_is_rolled_where_there_is_a_roller(compared):
    (advice,) = compared(BARE, ways=["drag mat", "roller"]).advice
    assert (advice.open, advice.press) == ("drag mat", "roller")
    (advice,) = compared(BARE, ways=["drag mat"]).advice
    assert advice.press == "tread it down"
    (advice,) = compared(BARE, ways=["slit seeder", "roller"]).advice
    assert advice.press == ""


def test_time_and_cost_of_the_advice_add_up(compared):
    found = compared(
        SPOT | BARE,
        ways=["hand cultivator", "rake", "straw"],
        wage=30,
        straw={"pace": "1000 sq ft/h", "price": 10},
    )
    used = ("hand cultivator", "rake", "straw")
    assert found.time_s == pytest.approx(sum(way(found, name).time_s for name in used))
    assert found.cost == pytest.approx(sum(way(found, name).cost for name in used))


def test_where_nothing_suits_it_is_said(compared):
    (advice,) = compared(PATCHY, ways=["drag mat", "rake"]).advice
    assert advice.open == ""
    assert advice.reasons == ("none of the ways in [contact] suits this ground",)


def test_ground_too_narrow_for_a_machine_is_not_for_it(compared):
    found = compared({"strip": ("bare", 2, 100)}, drag_mat={"width": "8 ft"}, ways=["drag mat", "rake"])
    assert [one.name for one in found.ways] == ["rake"]


def test_reasons_show_the_arithmetic(compared):
    reasons = compared(BARE, wage=30).advice[0].reasons
    assert "rake: 2,000 sq ft ÷ 1,500 sq ft/h = 1 h 20 min, 40.00" in reasons
    assert any(reason.startswith("drag mat: 1 × ") and "in lanes of 5 ft" in reason for reason in reasons)
    assert any("with fetching and hire once for all zones" in reason for reason in reasons)


def test_ways_name_their_sources_or_common_practice(compared):
    found = compared(BARE | PATCHY)
    for one in found.ways:
        assert "Extension" in one.said or "common practice" in one.said, one.name
    assert any("sows by itself" in note for note in found.notes)
    assert any("guesses or common practice" in note for note in found.notes)


def test_the_result_is_json(compared):
    found = compared(SPOT | BARE | PATCHY, wage=30, straw={"pace": "3000 sq ft/h", "price": 8})
    read = json.loads(json.dumps(found.to_dict(), allow_nan=False))
    assert read["time_s"] == pytest.approx(found.time_s)
    assert [one["zone"] for one in read["advice"]] == ["spot", "bare", "back"]
    rake = next(one for one in read["ways"] if one["name"] == "rake")
    assert (rake["cost"], rake["lane_count"]) == ("42.50", None)


def test_no_ground_has_no_ways(compared):
    found = compared({"front": ("full", 40, 50)})
    assert (found.ways, found.time_s, found.cost) == ((), 0, None)


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({"ways": ["harrow"]}, "'harrow' is not known"),
        ({"wage": -1}, "-1 is not possible; it must be at least 0"),
        ({"rake": {"pace": "0 sq ft/h"}}, r"rake\.pace: '0 sq ft/h' is not possible; it must be more than 0"),
        ({"rake": {"pace": 1500}}, "1500 has no unit; write area per time with its unit"),
        ({"rake": {"pace": "1500 sq ft"}}, "is a quantity of area, not of area per time"),
        ({"rake": {}}, r'the key "rake\.pace" is missing'),
        (
            {"drag_mat": {"width": "5 ft", "sped": "3 mph"}},
            'there is no key "sped" here; did you mean "speed"',
        ),
        ({"drag_mat": {"width": "5 ft", "speed": "0 mph"}}, "is not possible; it must be more than"),
        ({"ways": []}, "does not fit"),
    ],
)
def test_bad_choices(values, says):
    with pytest.raises(ChoiceError, match=says):
        Contact.read(values, file="job.toml")


def test_the_template_holds_every_way():
    text = template(Contact)
    for key in (
        "hand_cultivator",
        "drag_mat",
        "core_aerator",
        "slit_seeder",
        "roller",
        "topdressing",
        "straw",
    ):
        assert f"{key} = {{" in text


def test_metric_sentences(takeoff):
    found = compare(takeoff(**BARE), Contact(), Rig(), units=METRIC)
    assert "186 m² ÷ 139 m²/h" in way(found, "rake").on("bare").sum
    assert convert(parse("1500 sq ft/h", "area_per_time") * 3600, "m²") == pytest.approx(139.35, abs=0.01)
