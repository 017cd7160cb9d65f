"""Fertilizer: published product rates, ceilings, setbacks and the elements behind the oxides."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lawnmap.errors import ChoiceError
from lawnmap.rates import Fertilizer, Product, load_hopper, prescribe
from lawnmap.rates.fertilizer import K_IN_K2O, P_IN_P2O5
from lawnmap.units import convert

PER_1000 = "lb / 1000 sq ft"


def fed(takeoff, **choices):
    return prescribe(takeoff, fertilizer=Fertilizer(**choices)).materials[0]


def per_1000(amount):
    return convert(amount.rate_kg_per_m2, PER_1000)


def test_nebraska(takeoff, zone):
    """University of Nebraska-Lincoln Extension, Lawn Fertilizer Calculations: 28-3-6, 1 lb N, 6,000 sq ft."""
    material = fed(takeoff(zone(area="6000 sq ft")), grade="28-3-6", rate="1 lb / 1000 sq ft")
    assert per_1000(material.by_zone[0]) == pytest.approx(3.57, abs=0.005)
    assert convert(material.total_kg, "lb") == pytest.approx(
        21.42, abs=0.02
    )  # they multiply the rounded 3.57


def test_umass(takeoff, zone):
    """UMass Extension, Rotary Spreader Calibration Procedures: 20-5-10, 1 lb N, 5 lb, 2.5 lb in each of two passes."""
    plan = prescribe(takeoff(zone()), fertilizer=Fertilizer(grade="20-5-10", rate="1 lb / 1000 sq ft"))
    assert per_1000(plan.materials[0].by_zone[0]) == pytest.approx(5.0, abs=0.001)
    loads = load_hopper(plan, hopper_kg=25, passes=2)
    assert [per_1000(load) for load in loads] == pytest.approx([2.5, 2.5], abs=0.001)


def test_potash(takeoff, zone):
    """North Carolina Turfgrass, January 2023, fig. 1: 0-0-22 for 2 lb K2O takes 9.1 lb."""
    material = fed(takeoff(zone()), grade="0-0-22", nutrient="K2O", rate="2 lb / 1000 sq ft")
    assert per_1000(material.by_zone[0]) == pytest.approx(9.1, abs=0.05)


def test_starter_of_north_carolina(takeoff, zone):
    """NC Cooperative Extension, Seeding a New Lawn: 10 lb of 5-10-10 holds 1.0 lb P2O5, the table's own target."""
    material = fed(takeoff(zone()), grade="5-10-10", nutrient="P2O5")
    assert per_1000(material.by_zone[0]) == pytest.approx(10)
    assert "NC Cooperative Extension" in str(material.by_zone[0].source)


def test_new_jersey(takeoff, zone):
    """Rutgers, Calibrate your drop spreader: 0.9 lb N at most, so 0.45 lb in each of two passes."""
    limit = "0.9 lb / 1000 sq ft"
    plan = prescribe(takeoff(zone()), fertilizer=Fertilizer(grade="20-5-10", rate=limit, ceiling=limit))
    first, _ = load_hopper(plan, hopper_kg=25, passes="two directions")
    assert per_1000(first) * 0.20 == pytest.approx(0.45, abs=1e-9)


def test_above_the_users_ceiling_is_refused(takeoff, zone):
    with pytest.raises(
        ChoiceError, match=r"\[fertilizer\]: 1 lb / 1000 sq ft of N is above your ceiling of 0\.9 lb"
    ):
        fed(takeoff(zone()), grade="20-5-10", ceiling="0.9 lb / 1000 sq ft")


def test_nitrogen_counts_whatever_the_rate_is_of(takeoff, zone):
    """1 lb P2O5 of an 18-9-0 brings 2 lb N along."""
    starter = Fertilizer(grade="18-9-0", nutrient="P2O5")
    (found,) = prescribe(takeoff(zone()), fertilizer=starter).findings
    assert found.code == "nitrogen-over-ceiling"
    assert "2 lb / 1000 sq ft of N" in found.text


def test_within_the_ceiling(takeoff, zone):
    plan = prescribe(takeoff(zone()), fertilizer=Fertilizer())
    assert plan.findings == ()
    assert any("New Jersey" in note for note in plan.materials[0].notes)
    own = fed(takeoff(zone()), ceiling="1 lb / 1000 sq ft")
    assert any("against your ceiling of 1 lb" in note for note in own.notes)


def test_setback_is_left_unfed(takeoff, zone):
    shore = zone("shore", "bare", "1000 sq ft", unfed="400 sq ft")
    strip = zone("strip", "bare", "100 sq ft", unfed="100 sq ft")
    plan = prescribe(takeoff(shore, strip), fertilizer=Fertilizer(grade="20-0-0"))
    (amount,) = plan.materials[0].by_zone
    assert convert(amount.area_m2, "sq ft") == pytest.approx(600)
    assert "400 sq ft near water left out" in amount.reason
    assert [found.code for found in plan.findings] == ["zone-unfed"]
    assert plan.findings[0].where == 'zone "strip"'
    assert any(note.startswith("500 sq ft within the setback") for note in plan.materials[0].notes)


def test_only_some_densities(lawn):
    assert [amount.zone for amount in fed(lawn, on=["bare", "thin"]).by_zone] == ["slope", "back", "spot"]


def test_phosphorus_note(takeoff, zone):
    assert any("phosphorus" in note and "Vermont" in note for note in fed(takeoff(zone())).notes)
    assert not any("phosphorus" in note for note in fed(takeoff(zone()), grade="20-0-0").notes)
    assert not any(
        "of N in one dose" in note for note in fed(takeoff(zone()), grade="0-20-0", nutrient="P2O5").notes
    )


def test_elements():
    """The factors that soil laboratories print: P = 0.4364 P2O5, K = 0.8301 K2O (*common practice*)."""
    assert pytest.approx(0.4364, abs=5e-5) == P_IN_P2O5
    assert pytest.approx(0.8301, abs=1e-4) == K_IN_K2O


def test_rate_of_an_element(takeoff, zone):
    as_p = fed(takeoff(zone()), grade="10-20-0", nutrient="P", rate="0.4364 lb / 1000 sq ft")
    as_p2o5 = fed(takeoff(zone()), grade="10-20-0", nutrient="P2O5", rate="1 lb / 1000 sq ft")
    assert as_p.total_kg == pytest.approx(as_p2o5.total_kg, rel=1e-4)


def test_no_published_rate(takeoff, zone):
    with pytest.raises(ChoiceError, match="no rate of K2O at seeding; give your own, from a soil test"):
        fed(takeoff(zone()), nutrient="K2O")


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({"grade": "18-24"}, '"18-24" is not a grade'),
        ({"grade": "60-30-20"}, "comes to 110 %"),
        ({"grade": "0-0-0"}, "comes to 0 %"),
        ({"grade": "0-0-22"}, "a 0-0-22 fertilizer holds no N"),
        ({"nutrient": "p2O5"}, "is not known"),
        ({"rate": "-1 lb / 1000 sq ft"}, "more than 0"),
        ({"on": ["bear"]}, 'did you mean "bare"'),
        ({"on": []}, "does not fit"),
    ],
)
def test_bad_choices(values, says):
    with pytest.raises(ChoiceError, match=says):
        Fertilizer.read(values, file="job.toml")


@given(n=st.integers(1, 40), rate=st.floats(0.001, 0.0048))
def test_nutrient_put_down_is_the_target(takeoff, zone, n, rate):
    lawn = takeoff(zone(area="100 m2"))
    assert fed(lawn, grade=f"{n}-0-0", rate=rate).total_kg * n / 100 == pytest.approx(rate * 100)


def test_product_where_the_user_wants_it(takeoff, zone):
    lawn = takeoff(
        zone("front", "full", "1000 sq ft", unfed="100 sq ft"), zone("back", "bare"), zone("side", "patchy")
    )
    lime = Product(name="lime", rate="40 lb / 1000 sq ft", on=["full", "bare"], zones=["front", "side"])
    (material,) = prescribe(lawn, products=[lime]).materials
    assert [amount.zone for amount in material.by_zone] == ["front"]
    assert convert(material.total_kg, "lb") == pytest.approx(36)
    assert material.by_zone[0].source.grade == "user"
    all_of_it = prescribe(lawn, products=[Product(name="lime", rate="40 lb / 1000 sq ft", near_water=True)])
    assert convert(all_of_it.materials[0].total_kg, "lb") == pytest.approx(120)


def test_product_for_an_unknown_zone(takeoff, zone):
    lime = Product(name="lime", rate="40 lb / 1000 sq ft", zones=["frnt"])
    with pytest.raises(ChoiceError, match='"lime", zones: there is no zone "frnt"; did you mean "front"'):
        prescribe(takeoff(zone()), products=[lime])


def test_product_without_a_rate():
    with pytest.raises(ChoiceError, match='the key "rate" is missing; add it'):
        Product.read({"name": "lime"}, file="job.toml")
