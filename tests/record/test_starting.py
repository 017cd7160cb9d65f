"""The next plan starts from the log: stand, stock, and what the ground has had of a spray."""

import pytest

from lawnmap.errors import ChoiceError
from lawnmap.measure import take_off
from lawnmap.rates import Seed, Spray, prescribe
from lawnmap.record import stock_of, with_applied, with_stand
from lawnmap.units import convert, parse

LABEL = {
    "name": "invented herbicide",
    "rate": "4 fl oz / acre",
    "yearly_maximum": "10 fl oz / acre",
    "carrier": "1 gal / 1000 sq ft",
    "tank": "2 gal",
}
SPRAYED = """
[[entry]]
date = 2026-09-12
material = "invented herbicide"
zones = ["front"]
amount = "0.1837 fl oz"
"""


def test_the_last_cover_is_the_density_of_the_next_plan(yard, log_of):
    log = log_of(
        '[[entry]]\ndate = 2026-10-10\nwhat = "stand"\nzones = ["front"]\ncover = "30 %"\n'
        '[[entry]]\ndate = 2027-05-10\nwhat = "stand"\nzones = ["front"]\ncover = "90 %"\n'
    )
    front, back = take_off(with_stand(yard, log)).zones
    assert (front.density, front.density_from, front.cover_percent) == ("full", "cover", 90)
    assert back.density == "patchy"


def test_a_cover_without_zones_is_of_all(yard, log_of):
    log = log_of('[[entry]]\ndate = 2026-10-10\nwhat = "stand"\ncover = "60 %"\n')
    assert {zone.density for zone in take_off(with_stand(yard, log)).zones} == {"patchy"}


def test_stock_is_bought_less_used_and_never_less_than_nothing(log_of):
    log = log_of(
        '[[entry]]\ndate = 2026-09-01\nwhat = "bought"\nmaterial = "Tall fescue"\namount = "25 lb"\n'
        '[[entry]]\ndate = 2026-09-12\nmaterial = "tall fescue"\namount = "20 lb"\n'
        '[[entry]]\ndate = 2026-09-12\nmaterial = "lime"\namount = "20 lb"\n'
        '[[entry]]\ndate = 2026-09-12\nwhat = "bought"\nmaterial = "gypsum"\namount = "20 lb"\n'
        '[[entry]]\ndate = 2026-09-12\nmaterial = "gypsum"\namount = "21 lb"\n'
        '[[entry]]\ndate = 2026-09-12\nwhat = "bought"\nmaterial = "dye"\namount = "1 gal"\n'
    )
    stock = stock_of(log)
    assert stock == {"tall fescue": pytest.approx(parse("5 lb", "mass")), "gypsum": 0.0}


@pytest.mark.parametrize(
    ("stock", "bought", "left"),
    [
        ("0 lb", 30, 5.5),
        ("5 lb", 25, 5.5),
        ("24.5 lb", 5, 5),
        ("40 lb", 0, 15.5),
        ("1 lb", 25, 1.5),
        ("6 lb", 20, 1.5),
    ],
)
def test_stock_is_used_before_anything_is_bought(yard, stock, bought, left):
    """24.5 lb are needed, 25.725 lb with 5 % on top; bags of 10 and 5 lb."""
    seed = Seed(rate_kg_per_m2="7 lb / 1000 sq ft", packs=("10 lb", "5 lb"))
    there = {"tall fescue": parse(stock, "mass")}
    (material,) = prescribe(take_off(yard), seed=seed, stock_kg=there).materials
    assert convert(sum(pack.size_kg * pack.count for pack in material.packs), "lb") == pytest.approx(bought)
    assert convert(material.left_over_kg, "lb") == pytest.approx(left)
    assert material.to_dict()["in_stock_kg"] == pytest.approx(there["tall fescue"])


def test_what_the_ground_has_had_counts_toward_the_label(yard, log_of):
    """0.1837 fl oz on 2,000 sq ft are 4 fl oz / acre; of two applications one is left, and makes 8 of 10."""
    label = Spray(**LABEL, applications=2)
    (spray,) = with_applied([label], take_off(yard), log_of(SPRAYED), 2026)
    assert [convert(total.value, "fl oz / acre") for total in spray.running_total] == pytest.approx(
        [8], rel=1e-3
    )
    (spray,) = with_applied([label], take_off(yard), log_of(SPRAYED), 2027)
    assert spray.applied_this_year is None
    assert spray.applications == 2


def test_a_spray_that_is_all_done_is_left_out(yard, log_of):
    assert with_applied([Spray(**LABEL)], take_off(yard), log_of(SPRAYED), 2026) == ()


def test_one_zone_after_the_other_is_one_application(yard, log_of):
    log = log_of(SPRAYED + SPRAYED.replace("front", "back").replace("09-12", "09-13"))
    (spray,) = with_applied([Spray(**LABEL, applications=2)], take_off(yard), log, 2026)
    assert spray.applications == 1


def test_a_partner_in_the_tank_that_is_done_is_forgotten(yard, log_of):
    two = [
        Spray(**LABEL, mix_with=["dye"]),
        Spray(**LABEL | {"name": "dye"}, mix_with=["invented herbicide"]),
    ]
    (dye,) = with_applied(two, take_off(yard), log_of(SPRAYED), 2026)
    assert (dye.name, dye.mix_with) == ("dye", ())


def test_a_plan_over_the_label_with_the_log_is_refused(yard, log_of):
    """Twice the planned amount is down: 8, and 4 more are 12 of 10."""
    says = r'\[\[spray\]\] "invented herbicide", with what the log has put down: 1 application\(s\) .* 1\.2 times'
    with pytest.raises(ChoiceError, match=says):
        with_applied(
            [Spray(**LABEL, applications=2)],
            take_off(yard),
            log_of(SPRAYED.replace("0.1837", "0.3674")),
            2026,
        )


def test_told_twice_is_refused(yard, log_of):
    with pytest.raises(
        ChoiceError, match="the log tells what was applied this year, and so does this; leave it"
    ):
        with_applied(
            [Spray(**LABEL, applications=2, applied_this_year="1 fl oz / acre")],
            take_off(yard),
            log_of(SPRAYED),
            2026,
        )


def test_an_active_ingredient_is_counted_as_the_label_counts_it(yard, log_of):
    """4 fl oz at 4 lb / gal are an eighth of a pound."""
    label = LABEL | {
        "rate": "0.125 lb / acre",
        "yearly_maximum": "0.5 lb / acre",
        "rate_of": "active ingredient",
        "strength": "4 lb / gal",
        "applications": 2,
    }
    (spray,) = with_applied([Spray(**label)], take_off(yard), log_of(SPRAYED), 2026)
    assert convert(spray.applied_this_year.value, "lb / acre") == pytest.approx(0.125, rel=1e-3)
