"""The log held against its plan: real rates, settings, stock, the year's doses, what came up.

The plan: tall fescue at 7 lb / 1000 sq ft on 2,000 sq ft of bare ground in front (14 lb) and half of it on 3,000
sq ft behind (10.5 lb), in two passes; 20-5-10 for 1 lb of nitrogen / 1000 sq ft (5 lb of product, as in Rotary
Spreader Calibration Procedures, UMass Extension Turf Program).
"""

import json
import math
import re

import pytest

from lawnmap.record import Follow, tally
from lawnmap.units import US, convert, parse


def entry(**values):
    """An entry as a person writes it; days are of 2026."""
    values = {"material": "tall fescue"} | values
    day = values.pop("day", "09-12")
    day = day if len(day) > 5 else f"2026-{day}"
    lines = [f"{key} = {json.dumps(value)}" for key, value in values.items() if value != ""]
    return "\n".join(["[[entry]]", f"date = {day}", *lines, ""])


@pytest.fixture
def held(log_of, planned):
    def hold(*entries, follow=None, against=None):
        return tally(log_of("".join(entries)), against or planned, follow)

    return hold


def zone_of(found, name, material=0):
    return next(zone for zone in found.materials[material].by_zone if zone.zone == name)


def pounds(quantity):
    return convert(quantity.value, "lb")


def codes(found):
    return [one.code for one in found.findings]


def test_eleven_pounds_where_fourteen_were_planned(held):
    found = held(entry(amount="11 lb", zones=["front"], setting=5))
    front = zone_of(found, "front")
    assert (pounds(front.used), pounds(front.planned)) == pytest.approx((11, 14))
    assert front.ratio == pytest.approx(11 / 14)
    assert front.rest_m2 == 0
    # two rounds of half the rate: 2.75 instead of 3.5 lb / 1000 sq ft
    assert front.rates(US, "seed") == ("2.75 lb / 1000 sq ft", "3.5 lb / 1000 sq ft")
    back = zone_of(found, "back")
    assert pounds(back.still) == pytest.approx(10.5)


def test_the_setting_for_the_rest_in_proportion(held):
    """After one pass 5.5 of 7 lb are down: the second pass needs setting 5 × 7 / 5.5 = 6.36, and 7 lb."""
    found = held(entry(amount="5.5 lb", zones=["front"], setting=5, passes=1))
    front = zone_of(found, "front")
    assert front.setting_for_rest == pytest.approx(5 * 7 / 5.5)
    assert pounds(front.still) == pytest.approx(7)
    assert "in proportion" in front.setting_note
    # half the rate behind: half the setting and more is too far from the one that was tried
    assert zone_of(found, "back").setting_for_rest is None


def test_the_setting_for_the_rest_by_test_runs(held, plan_with, curve_runs):
    """Setting 4 lays 4 lb by the test runs and laid 2.75 here, so the planned 3.5 lb need 4 × 3.5 / 2.75 = 5.09."""
    found = held(
        entry(amount="5.5 lb", zones=["front"], setting=4, passes=1), against=plan_with(runs=curve_runs)
    )
    front = zone_of(found, "front")
    assert front.setting_for_rest == pytest.approx(4 * 3.5 / 2.75)
    assert front.setting_note == "by your test runs"


def test_a_rate_outside_the_test_runs_is_told(held, plan_with, curve_runs):
    found = held(
        entry(amount="1.2 lb", zones=["front"], setting=8, passes=1), against=plan_with(runs=curve_runs)
    )
    front = zone_of(found, "front")
    assert front.setting_for_rest is None
    assert "outside the rates tried" in front.setting_note


def test_a_setting_far_from_the_one_tried_is_not_guessed(held):
    front = zone_of(held(entry(amount="3 lb", zones=["front"], setting=5, passes=1)), "front")
    assert front.setting_for_rest is None
    assert "too far from setting 5" in front.setting_note


def test_part_of_a_zone(held):
    """500 of 2,000 sq ft, both passes: 3.5 lb were planned there, and 10.5 lb are still to come."""
    front = zone_of(held(entry(amount="3.5 lb", zones=["front"], area="500 sq ft", setting=5)), "front")
    assert front.ratio == pytest.approx(1)
    assert pounds(front.still) == pytest.approx(10.5)
    assert front.setting_for_rest == pytest.approx(5)


def test_all_zones_together_are_split_as_planned(held):
    found = held(entry(amount="24.5 lb"))
    assert [pounds(zone.used) for zone in found.materials[0].by_zone] == pytest.approx([14, 10.5])
    assert all(zone.ratio == pytest.approx(1) for zone in found.materials[0].by_zone)
    assert not found.findings


def test_several_entries_add_up(held):
    found = held(
        entry(amount="7 lb", zones=["front"], passes=1),
        entry(amount="8 lb", zones=["front"], passes=1, day="09-13"),
    )
    front = zone_of(found, "front")
    assert pounds(front.used) == pytest.approx(15)
    assert front.rest_m2 == 0
    assert front.ratio == pytest.approx(15 / 14)


def test_a_pass_too_many_is_told(held):
    found = held(entry(amount="14 lb", zones=["front"]), entry(amount="7 lb", zones=["front"], passes=1))
    assert codes(found) == ["log-done-twice"]
    assert "went on 1.5 times the planned ground" in found.findings[0].text


def test_where_none_was_planned(held, plan_with):
    """Compost is planned in front alone."""
    found = held(entry(material="compost", amount="1 cu yd", zones=["back"]))
    assert zone_of(found, "back").ratio is None
    assert zone_of(found, "back").planned_per_m2 == 0


def test_stock(held):
    found = held(
        entry(what="bought", amount="25 lb", day="2025-09-01"),
        entry(amount="20 lb", day="2025-09-10"),
        entry(what="bought", amount="10 lb"),
        entry(amount="11 lb", zones=["front"]),
    )
    (material,) = found.materials
    assert pounds(material.bought) == pytest.approx(35)
    assert pounds(material.left) == pytest.approx(4)
    assert pounds(material.used) == pytest.approx(31)
    assert pounds(zone_of(found, "front").used) == pytest.approx(11)  # of this year alone
    assert held(entry(amount="11 lb")).materials[0].left is None


def test_straw_and_compost(held):
    found = held(
        entry(material="straw", amount="3 bales"),
        entry(material="compost", amount="1.5 cu yd"),
        entry(material="straw", what="bought", amount="5 bales"),
    )
    compost, straw = sorted(found.materials, key=lambda one: one.name)
    assert straw.left.value == pytest.approx(2)
    assert zone_of(found, "front", found.materials.index(straw)).ratio == pytest.approx(3 / 4)
    # 2,000 sq ft at 1/4 in are 1.543 cu yd
    assert compost.by_zone[0].ratio == pytest.approx(1.5 / 1.543, rel=1e-3)


def test_nutrients_of_the_year_against_a_limit(held):
    """5 lb of 20-5-10 on 1,000 sq ft are 1 lb of N, 0.25 of P2O5 and 0.5 of K2O, twice."""
    twice = [entry(material="20-5-10 fertilizer", amount="25 lb", day=day) for day in ("04-12", "09-12")]
    follow = Follow(nitrogen_kg_per_m2="1.5 lb / 1000 sq ft")
    found = held(*twice, follow=follow)
    had = {(dose.zone, dose.name): convert(dose.had.value, "lb / 1000 sq ft") for dose in found.doses}
    assert had == pytest.approx(
        {
            (zone, name): value
            for zone in ("front", "back")
            for name, value in (("N", 2), ("P2O5", 0.5), ("K2O", 1))
        }
    )
    over = [one for one in found.findings if one.code == "log-over-limit"]
    assert [one.where for one in over] == ['zones "front", "back"']
    assert "with 2 lb / 1000 sq ft of N in 2026 the ground has had 1.33 times what is allowed" in over[0].text


def test_one_dose_against_the_ceiling(log_of, plan_with):
    """New Jersey allows 0.9 lb of N / 1000 sq ft at once (Calibrate your drop spreader, Rutgers Snyder Farm)."""
    planned = plan_with(ceiling="0.9 lb / 1000 sq ft", nitrogen="0.9 lb / 1000 sq ft")
    found = tally(log_of(entry(material="20-5-10 fertilizer", amount="25 lb")), planned)
    (over,) = [one for one in found.findings if one.code == "log-over-limit"]
    assert "1 lb / 1000 sq ft of N went down at once, over the ceiling of 0.9 lb" in over.text
    assert '(zones "front", "back")' in over.text
    assert over.where == "log.toml, line 1"
    assert not tally(log_of(entry(material="20-5-10 fertilizer", amount="22.5 lb")), planned).findings


def test_a_fertilizer_that_the_plan_lacks_counts_by_its_grade(held):
    found = held(entry(material="old bag", grade="10-0-0", amount="20 lb", zones=["front"]))
    (dose,) = found.doses
    assert (dose.name, convert(dose.had.value, "lb / 1000 sq ft")) == ("N", pytest.approx(1))
    assert not found.findings


def test_other_years_do_not_count(held):
    old = entry(material="20-5-10 fertilizer", amount="25 lb", day="2025-09-12")
    assert not held(old, entry(amount="11 lb")).doses
    assert held(old, entry(amount="11 lb"), follow=Follow(year=2025)).doses


def spraying(amount="0.459 fl oz", day="09-12", **more):
    """4 fl oz / acre on 5,000 sq ft are 0.459 fl oz."""
    return entry(material="Invented Herbicide", amount=amount, day=day, **more)


def test_sprays_of_the_year_against_the_label(held):
    found = held(spraying(), spraying(day="10-12"))
    product, ingredient = (
        next(dose for dose in found.doses if dose.kind == kind and dose.zone == "front")
        for kind in ("product", "active ingredient")
    )
    assert convert(product.had.value, "fl oz / acre") == pytest.approx(8, rel=1e-3)
    assert product.share == pytest.approx(0.8, rel=1e-3)
    # 8 fl oz at 4 lb / gal are a quarter of a pound
    assert convert(ingredient.had.value, "lb / acre") == pytest.approx(0.25, rel=1e-3)
    assert ingredient.share == pytest.approx(0.8, rel=1e-3)
    assert codes(found) == ["log-spray-done"]
    assert not held(spraying()).findings


def test_over_the_label_and_inside_the_interval(held):
    found = held(spraying(), spraying(day="09-30"), spraying(day="10-28"))
    assert set(codes(found)) == {
        "log-over-limit",
        "log-done-twice",
        "log-interval-broken",
        "log-spray-done",
    }
    broken = next(one for one in found.findings if one.code == "log-interval-broken")
    assert "came again on 2026-09-30 after 18 days (last on 2026-09-12); the label asks for 28" in broken.text
    assert broken.where == 'zones "front", "back"'
    over = next(one for one in found.findings if one.code == "log-over-limit")
    assert "1.2 times what is allowed" in over.text


def test_an_interval_is_counted_over_new_year(held):
    found = held(spraying(day="2026-12-20"), spraying(day="2027-01-04"))
    assert codes(found) == ["log-interval-broken"]
    assert not held(spraying(day="2026-12-20"), spraying(day="2027-01-17")).findings


def test_two_halves_of_a_zone_on_one_day_are_not_one_ground_twice(held):
    half = {"zones": ["front"], "area": "1000 sq ft", "amount": "0.0918 fl oz"}
    doses = held(spraying(**half), spraying(**half)).doses
    assert convert(doses[0].had.value, "fl oz / acre") == pytest.approx(4, rel=1e-3)
    doses = held(spraying(**half), spraying(**half, day="10-12")).doses
    assert convert(doses[0].had.value, "fl oz / acre") == pytest.approx(8, rel=1e-3)


def test_a_spray_that_the_job_lacks_counts_by_its_ingredient(held):
    found = held(
        spraying(),
        entry(
            material="another", active_ingredient="Made up", strength="50 %", amount="1 lb", zones=["front"]
        ),
    )
    front = next(dose for dose in found.doses if dose.zone == "front" and dose.kind == "active ingredient")
    # an eighth of a pound to the acre, and half a pound on 2,000 sq ft
    assert convert(front.had.value, "lb / acre") == pytest.approx(0.125 + 0.5 * 43.56 / 2, rel=1e-3)
    assert "log-over-limit" in codes(found)


@pytest.mark.parametrize(
    ("values", "code", "says"),
    [
        ({"zones": ["frnt"]}, "log-zone-unknown", r'there is no zone "frnt", .* did you mean "front"'),
        ({"material": "tal fescue"}, "log-not-in-plan", 'not in the plan, .* did you mean "tall fescue"'),
        ({"amount": "2 gal"}, "log-measure-differs", "measured in weight in the plan and in volume here"),
        ({"amount": "2 bales"}, "log-measure-differs", "in bales here"),
        ({"amount": "200 lb"}, "log-amount-doubtful", r"8\.16 times what the plan wanted"),
        ({"amount": "1067 lb"}, "log-amount-doubtful", r"43\.6 times .* per acre .* \(43\.56 times\)"),
        ({"amount": "9 oz"}, "log-amount-doubtful", "0.023 times .* the other way round"),
    ],
)
def test_what_does_not_fit_is_told_with_its_line(held, values, code, says):
    found = held(entry(**({"amount": "24.5 lb"} | values)))
    (one,) = found.findings
    assert one.code == code
    assert one.where == "log.toml, line 1"
    assert re.search(says, one.text)


def test_what_came_up_on_bare_ground(held):
    """14 lb on 2,000 sq ft: the share that emerged is plants over seeds, and the table has 227,000 a pound or so."""
    found = held(
        entry(amount="14 lb", zones=["front"]),
        entry(material="", what="stand", zones=["front"], plants="4 plants/sq in", cover="60 %", day="10-10"),
    )
    (stand,) = found.stands
    per_pound = stand.seeds_per_m2 / parse("7 lb / 1000 sq ft", "mass_per_area") * 0.45359237
    assert 150_000 < per_pound < 300_000
    assert stand.emerged == pytest.approx(parse("4 plants/sq in", "count_per_area") / stand.seeds_per_m2)
    assert (stand.cover_percent, stand.density, stand.density_planned) == (60, "patchy", "bare")
    assert "7 to 14 plants / sq in (Seeding Rate Considerations, UMass Extension" in stand.mature


def test_old_plants_are_not_taken_for_new_ones(held):
    (stand,) = held(entry(material="", what="stand", zones=["back"], plants="9 plants/sq in")).stands
    assert stand.emerged is None
    assert stand.seeds_per_m2 > 0  # as planned, for nothing is logged


def test_the_last_count_holds_and_seeds_are_those_before_it(held):
    found = held(
        entry(amount="14 lb", zones=["front"], day="2025-09-12"),
        entry(material="", what="stand", zones=["front"], cover="30 %", day="2025-10-10"),
        entry(amount="7 lb", zones=["front"], day="2026-04-12"),
        entry(material="", what="stand", cover="85 %", plants="9 plants/sq in", day="2026-05-20"),
    )
    front = found.stands[0]
    assert (front.cover_percent, front.density) == (85, "full")
    full = held(entry(material="", what="stand", zones=["front"], plants="1 plants/sq in")).stands[0]
    assert front.seeds_per_m2 == pytest.approx(full.seeds_per_m2 / 2)


def test_a_count_where_there_is_no_zone(held):
    found = held(entry(material="", what="stand", zones=["bak"], cover="30 %"))
    assert codes(found) == ["log-zone-unknown"]
    assert not found.stands


def test_the_result_is_json(held):
    found = held(
        entry(what="bought", amount="25 lb"),
        entry(
            amount="5.5 lb", zones=["front"], setting=5, passes=1, weather="calm", photos=["a.jpg"], by="me"
        ),
        entry(material="20-5-10 fertilizer", amount="25 lb"),
        spraying(time="07:30"),
        entry(material="", what="stand", cover="60 %", plants="4 plants/sq in", day="10-10"),
        follow=Follow(nitrogen_kg_per_m2="3 lb / 1000 sq ft"),
    )
    read = json.loads(json.dumps(found.to_dict(), allow_nan=False))
    assert read["year"] == 2026
    assert read["done"][1]["how"] == "5.5 lb, 1 pass, setting 5, calm, by me, photo a.jpg"
    assert read["done"][3]["how"].startswith("07:30: 0.459 fl oz")
    assert read["materials"][0]["left_kg"] == pytest.approx(parse("19.5 lb", "mass"))
    assert math.isclose(read["doses"][0]["share"], 1 / 3)


def test_an_empty_log(held):
    found = held()
    assert (found.year, found.done, found.materials, found.doses, found.findings) == (None, (), (), (), ())


def test_a_zone_without_lawn_takes_nothing(log_of, plan_with):
    """A house over the whole of a zone: what is entered for both goes on the other."""
    planned = plan_with(shadowed="shed")
    entries = entry(material="old bag", grade="10-0-0", amount="20 lb", zones=["shed", "front"])
    found = tally(log_of(entries), planned)
    assert {dose.zone for dose in found.doses} == {"front"}
    assert not tally(
        log_of(entry(material="old bag", grade="10-0-0", amount="1 lb", zones=["shed"])), planned
    ).doses


def test_a_grass_that_the_tables_do_not_count_has_no_seeds(log_of, plan_with):
    planned = plan_with(species="moss grass")
    found = tally(log_of(entry(material="", what="stand", zones=["front"], plants="4 plants/sq in")), planned)
    assert (found.stands[0].seeds_per_m2, found.stands[0].emerged) == (None, None)


def test_a_count_where_nothing_was_sown(log_of, plan_with):
    found = tally(
        log_of(entry(material="", what="stand", zones=["shed"], plants="4 plants/sq in")),
        plan_with(shadowed="shed"),
    )
    assert found.stands[0].seeds_per_m2 is None
