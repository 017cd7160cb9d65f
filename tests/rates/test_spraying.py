"""Several sprays of one season: shared tanks and ingredients, grasses that a label forbids.

Every rate is invented for arithmetic. What services say of mesotrione is told with their names: Kent County
Cooperative Extension (Delaware), Turfgrass - Spring Seedings; Iowa State University Extension, Establishing a Lawn
from Seed.
"""

import pytest

from lawnmap.errors import ChoiceError
from lawnmap.rates import Seed, Spray, ingredient_of, spray_all
from lawnmap.rates.dose import Amount
from lawnmap.units import METRIC, US, convert, parse

ONE = {
    "name": "one",
    "rate": "2 fl oz / acre",
    "yearly_maximum": "8 fl oz / acre",
    "carrier": "40 gal / acre",
    "tank": "4 gal",
}
TWO = ONE | {"name": "two"}


def plans(lawn, *labels, **more):
    return spray_all(lawn, [Spray(**label) for label in labels], **more)


def test_tank_by_tank(takeoff, zone):
    """0.3 acre at 40 gal / acre is 12 gal, in tanks of 5 gal: two full ones of 1/8 acre and one of 1/20 acre."""
    (plan,) = plans(takeoff(zone(area="0.3 acre")), ONE | {"tank": "5 gal"})
    assert [(load.first, load.last, load.count) for load in plan.tank_loads] == [(1, 2, 2), (3, 3, 1)]
    assert [convert(load.area_m2, "acre") for load in plan.tank_loads] == pytest.approx([1 / 8, 1 / 20])
    assert [convert(load.product.value, "fl oz") for load in plan.tank_loads] == pytest.approx([0.25, 0.1])
    assert sum(load.count * load.area_m2 for load in plan.tank_loads) == pytest.approx(plan.area_m2)


def test_a_second_pass_needs_twice_the_tanks_and_counts_twice(takeoff, zone):
    (plan,) = plans(takeoff(zone(area="0.3 acre")), ONE | {"passes": 2})
    assert convert(plan.spray_m3, "gal") == pytest.approx(24)
    assert sum(load.count * load.area_m2 for load in plan.tank_loads) == pytest.approx(2 * plan.area_m2)
    assert plan.used_share == pytest.approx([0.5])


def test_share_of_the_year_after_each(lawn):
    (plan,) = plans(lawn, ONE | {"applications": 3, "applied_this_year": "1 fl oz / acre"})
    assert plan.used_share == pytest.approx([3 / 8, 5 / 8, 7 / 8])


def test_nothing_to_spray_has_no_tank(lawn):
    (plan,) = plans(lawn, ONE | {"on": ["full"], "zones": ["back"]})
    assert plan.tank_loads == ()


def test_calibrated_by_what_was_used():
    """1/128 acre is 340.3125 sq ft: an ounce used on it is a gallon to the acre (LSU AgCenter, Ounces Equal Gallons)."""
    label = {key: value for key, value in ONE.items() if key != "carrier"}
    spray = Spray(**label, used="14 fl oz", used_on="340.3125 sq ft")
    assert convert(spray.carrier, "gal / acre") == pytest.approx(14, rel=1e-12)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"used": "14 fl oz"}, "the sprayer is calibrated twice"),
        ({"carrier": None, "used": "14 fl oz"}, "used: the sprayer is not calibrated"),
        ({"carrier": None, "used_on": "340 sq ft"}, "used: the sprayer is not calibrated"),
        ({"carrier": None, "flow": "0.4 gal/min", "speed": "3 mph"}, "flow: the sprayer is not calibrated"),
        (
            {"carrier": None, "flow": "0 gal/min", "speed": "3 mph", "width": "20 in"},
            r"flow: '0 gal/min' is not possible; it must be more than 0 gal/min",
        ),
    ],
)
def test_a_calibration_is_one_and_whole(changes, says):
    values = {key: value for key, value in (ONE | changes).items() if value is not None}
    with pytest.raises(ChoiceError, match=says):
        Spray.read(values, file="job.toml")


def test_two_products_share_a_tank(lawn):
    one, two = plans(lawn, ONE | {"mix_with": ["two"]}, TWO | {"rate": "6 fl oz / acre", "mix_with": ["one"]})
    assert one.mixed_with == ("two",)
    shares = [b.product.value / a.product.value for a, b in zip(one.tank_loads, two.tank_loads, strict=True)]
    assert shares == pytest.approx([3] * len(shares))


@pytest.mark.parametrize(
    ("first", "second", "says"),
    [
        ({"mix_with": ["tow"]}, {}, r'mix_with: there is no other spray "tow"; did you mean "two"'),
        ({"mix_with": ["one"]}, {}, 'there is no other spray "one"'),
        ({"mix_with": ["two"]}, {}, '"two" does not name "one" .* only where both labels say so'),
        (
            {"mix_with": ["two"]},
            {"mix_with": ["one"], "carrier": "60 gal / acre"},
            "their carriers differ; give both the same, or spray them apart",
        ),
        ({"mix_with": ["two"]}, {"mix_with": ["one"], "tank": "5 gal"}, "their tanks differ"),
        ({"mix_with": ["two"]}, {"mix_with": ["one"], "on": ["bare"]}, "their zones differ"),
        (
            {"mix_with": ["two"]},
            {"mix_with": ["one"], "applications": 2},
            "their passes or applications differ",
        ),
        ({"name": "Two"}, {}, "two sprays have this name"),
    ],
)
def test_what_cannot_share_a_tank(lawn, first, second, says):
    with pytest.raises(ChoiceError, match=says):
        plans(lawn, ONE | first, TWO | second)


STRONG = {"active_ingredient": "made up", "strength": "4 lb / gal"}


def test_one_ingredient_in_two_products_counts_together(lawn):
    """6 + 6 of at most 8 fl oz / acre, both at 4 lb / gal, is 1.5 times the maximum where both go."""
    both = STRONG | {"rate": "6 fl oz / acre"}
    with pytest.raises(
        ChoiceError, match=r'"two".*with "one" it brings made up on "back" to 1\.5 times the lowest yearly'
    ):
        plans(lawn, ONE | both | {"zones": ["back"]}, TWO | both)
    assert len(plans(lawn, ONE | both | {"zones": ["back"]}, TWO | both | {"zones": ["side"]})) == 2


def test_three_products_of_one_ingredient_are_added_up_as_well(lawn):
    """3 + 3 is under 8, 3 + 3 + 3 is over."""
    labels = [ONE | STRONG | {"name": name, "rate": "3 fl oz / acre"} for name in ("a", "b", "c")]
    assert len(plans(lawn, *labels[:2])) == 2
    with pytest.raises(ChoiceError, match=r'with "a" and "b" it brings made up on "slope" to 1\.13 times'):
        plans(lawn, *labels)


def test_the_ingredient_of_a_dry_and_a_liquid_product_is_added_up(lawn):
    """6 fl oz of 4 lb / gal is 3/16 lb of ingredient; 1/8 lb of a 50 % one is 1/16 lb: 1/4 lb, the maximum."""
    dry = {"strength": "50 %", "yearly_maximum": "0.5 lb / acre"}
    liquid = ONE | STRONG | {"rate": "6 fl oz / acre"}
    assert len(plans(lawn, liquid, TWO | STRONG | dry | {"rate": "0.125 lb / acre"})) == 2
    with pytest.raises(ChoiceError, match=r"to 1\.25 times"):
        plans(lawn, liquid, TWO | STRONG | dry | {"rate": "0.25 lb / acre"})


def test_without_a_strength_it_is_said(lawn):
    _, two = plans(lawn, ONE | {"active_ingredient": "made up"}, TWO | STRONG)
    (found,) = two.findings
    assert found.code == "ingredient-not-added-up"
    assert '"one" brings made up too' in found.text


def test_ingredient_of_a_product():
    liquid, dry = Spray(**ONE, strength="4 lb / gal"), Spray(**ONE, strength="75 %")
    gallon = Amount(parse("1 gal", "volume"), "volume")
    assert ingredient_of(liquid, gallon).value == pytest.approx(parse("4 lb", "mass"))
    assert ingredient_of(dry, gallon) is None
    assert ingredient_of(dry, Amount(2.0, "mass")).value == pytest.approx(1.5)


@pytest.mark.parametrize("forbidden", ["chewings fescue", "Fine fescues"])
def test_a_grass_that_the_label_forbids_is_refused(lawn, forbidden):
    seed = Seed(species={"tall fescue": "90 %", "chewings fescue": "10 %"})
    with pytest.raises(ChoiceError, match=r"not_on: your label keeps it off chewings fescue, which \[seed\]"):
        plans(lawn, ONE | {"not_on": [forbidden]}, seed=seed)
    assert plans(lawn, ONE | {"not_on": ["bermudagrass"]}, seed=seed)


def test_warnings_for_the_grass_that_is_sown_state_the_disagreement(lawn):
    label = ONE | {"active_ingredient": "mesotrione"}
    (plan,) = plans(lawn, label, seed=Seed(species="hard fescue"))
    assert [found.code for found in plan.findings] == ["grass-at-risk"] * 2
    assert (
        "can injure fine fescue, and hard fescue is sown (Turfgrass - Spring Seedings"
        in plan.findings[0].text
    )
    assert "others more grasses" in plan.findings[1].text
    (plan,) = plans(lawn, label, seed=Seed(species="Kentucky bluegrass"))
    assert plan.findings == ()
    assert any(line.startswith("Pre-emergence herbicides: an ordinary") for line in plan.warnings)


def test_ground_along_water_that_is_left_out_is_told(takeoff, zone):
    shore = takeoff(zone(area="1000 sq ft", unfed="300 sq ft"))
    (plan,) = plans(shore, ONE)
    assert "300 sq ft within the setback of water are not sprayed." in plan.notes
    (plan,) = plans(shore, ONE | {"near_water": True})
    assert not any("setback" in note for note in plan.notes)


@pytest.mark.parametrize(
    ("amount", "units", "shown"),
    [
        (Amount(parse("0.4 fl oz", "volume"), "volume"), US, "0.4 fl oz (11.8 mL)"),
        (Amount(parse("0.4 oz", "mass"), "mass"), US, "0.4 oz (weight) (11.3 g)"),
        (Amount(parse("4 fl oz", "volume"), "volume"), US, "4 fl oz"),
        (Amount(parse("4 mL", "volume"), "volume"), METRIC, "4 mL"),
    ],
)
def test_small_amounts_can_be_measured(amount, units, shown):
    assert amount.write(units) == shown
