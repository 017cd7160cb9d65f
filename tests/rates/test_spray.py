"""Sprays: published tank sums, the label's limits, and figures mixed up between acre and 1000 sq ft.

Every rate here is invented for arithmetic, or is that of the worked example named beside it.
"""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lawnmap.choices import template
from lawnmap.errors import ChoiceError, QuantityError
from lawnmap.rates import Spray, mix
from lawnmap.rates.dose import Amount, read_dose, read_strength
from lawnmap.units import METRIC, US, convert, parse

LABEL = {
    "name": "invented herbicide",
    "rate": "3.6 pt / acre",
    "yearly_maximum": "8 pt / acre",
    "carrier": "40 gal / acre",
    "tank": "25 gal",
}


def spray(**changes):
    return Spray(**{key: value for key, value in (LABEL | changes).items() if value is not None})


def test_oklahoma(takeoff, zone):
    """Oklahoma State University-Oklahoma City, Calibrating Application Equipment, slides 4 and 5.

    40 gal/acre is 0.92 gal and 3.6 pt/acre is 1.3 fl oz per 1000 sq ft; 25 acres take 11.25 gal.
    """
    choices = spray()
    assert convert(choices.carrier, "gal / 1000 sq ft") == pytest.approx(0.92, abs=0.005)
    assert convert(choices.rate.value, "fl oz / 1000 sq ft") == pytest.approx(1.3, abs=0.05)
    plan = mix(takeoff(zone(area="25 acre")), choices)
    assert convert(plan.product.value, "gal") == pytest.approx(11.25, abs=1e-9)


def test_mesa_county(takeoff, zone):
    """Mesa County, How to Calibrate a Handgun: at 150 gal/acre a tank of 25 gal does a sixth of an acre."""
    plan = mix(takeoff(zone(area="1 acre")), spray(carrier="150 gal / acre"))
    assert (plan.full_tanks, plan.last_tank_m3, plan.tanks) == (6, 0, 6)
    assert convert(plan.product_per_tank.value, "pt") == pytest.approx(3.6 / 6, abs=1e-6)


def test_last_part_tank(takeoff, zone):
    """0.3 acre at 40 gal/acre is 12 gal: two tanks of 5 gal and one of 2 gal."""
    plan = mix(takeoff(zone(area="0.3 acre")), spray(tank="5 gal"))
    assert plan.full_tanks == 2
    assert plan.tanks == 3
    assert convert(plan.last_tank_m3, "gal") == pytest.approx(2)
    assert convert(plan.product_per_tank.value, "pt") == pytest.approx(3.6 * 5 / 40)
    assert convert(plan.product_in_last_tank.value, "pt") == pytest.approx(3.6 * 2 / 40)


@given(acres=st.floats(0.01, 50), gpa=st.floats(10, 200), tank=st.floats(1, 300), passes=st.integers(1, 2))
def test_tanks_add_up(takeoff, zone, acres, gpa, tank, passes):
    choices = spray(carrier=f"{gpa:.6f} gal / acre", tank=f"{tank:.6f} gal", passes=passes)
    plan = mix(takeoff(zone(area=f"{acres:.6f} acre")), choices)
    product = plan.full_tanks * plan.product_per_tank.value + plan.product_in_last_tank.value
    assert plan.full_tanks * plan.tank_m3 + plan.last_tank_m3 == pytest.approx(plan.spray_m3, rel=2e-6)
    assert product == pytest.approx(plan.product.value, rel=2e-6, abs=plan.product_per_tank.value * 2e-6)
    assert convert(plan.product.value, "pt") == pytest.approx(3.6 * passes * round(acres, 6))
    assert plan.last_tank_m3 < plan.tank_m3


def test_zones_and_water(lawn, takeoff, zone):
    assert [part.zone for part in mix(lawn, spray(on=["bare", "thin"], zones=["back", "side"])).by_zone] == [
        "back"
    ]
    shore = takeoff(zone(area="1000 sq ft", unfed="300 sq ft"))
    assert convert(mix(shore, spray()).area_m2, "sq ft") == pytest.approx(700)
    assert convert(mix(shore, spray(near_water=True)).area_m2, "sq ft") == pytest.approx(1000)


@pytest.mark.parametrize(
    ("strength", "amount", "unit"),
    [("4 lb / gal", 0.5 / 4, "gal"), ("50 %", 1.0, "lb")],
)
def test_active_ingredient(takeoff, zone, strength, amount, unit):
    """Half a pound of active ingredient is an eighth of a gallon at 4 lb/gal, and a pound at 50 %."""
    choices = spray(
        rate="0.5 lb / acre", yearly_maximum="1 lb / acre", rate_of="active ingredient", strength=strength
    )
    plan = mix(takeoff(zone(area="1 acre")), choices)
    assert convert(plan.product.value, unit) == pytest.approx(amount)
    assert "active ingredient" in plan.notes[0]


def test_running_total(lawn):
    """Split applications and what was put down before count toward the year."""
    plan = mix(
        lawn, spray(rate="2 pt / acre", applications=3, applied_this_year="1 pt / acre", interval="4 weeks")
    )
    totals = [convert(total.value, "pt / acre") for total in plan.running_total]
    assert totals == pytest.approx([3, 5, 7])
    assert "87.5 %" in plan.notes[1]
    assert plan.notes[2] == "At least 28 days between applications."
    assert any("No interval" in note for note in mix(lawn, spray(applications=2)).notes)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        (
            {"applications": 3},
            r"3 application\(s\) .* bring the year to 1\.35 times the yearly maximum; the label is",
        ),
        ({"applied_this_year": "5 pt / acre"}, "bring the year to 1.08 times"),
        ({"passes": 3}, r"is 1\.35 times what the label allows \(yearly_maximum\); the label is the law"),
        (
            {"most_per_application": "3 pt / acre"},
            r"1\.2 times what the label allows \(most_per_application\)",
        ),
        (
            {"rate": "3.6 pt / 1000 sq ft"},
            r"19\.6 times .* per acre and the other per 1000 sq ft \(43.56 times\)\?",
        ),
    ],
)
def test_over_the_label_is_refused(changes, says):
    with pytest.raises(ChoiceError, match=says):
        spray(**changes)


def test_exactly_the_maximum_is_allowed(lawn):
    assert mix(lawn, spray(rate="2 pt / acre", applications=4)).running_total[-1].value == pytest.approx(
        read_dose("1 gal / acre").value
    )


def codes(lawn, **changes):
    return [found.code for found in mix(lawn, spray(**changes)).findings]


def test_findings(lawn):
    assert codes(lawn) == []
    assert codes(lawn, rate="0.08 pt / acre") == ["rate-mixed-up"]
    assert codes(lawn, carrier="40 gal / 1000 sq ft") == ["unusual-carrier"]
    assert codes(lawn, carrier="1 gal / acre") == ["unusual-carrier", "strong-mix"]
    assert codes(lawn, on=["full"], zones=["back"]) == ["nothing-to-spray"]


def test_carrier_from_nozzles():
    choices = spray(carrier=None, flow="3.75 gal / min", speed="5 mph", width="222 in")
    assert convert(choices.carrier, "gal / acre") == pytest.approx(20, abs=0.1)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"rate": 3.6}, r"job.toml, \[spray\], rate: 3.6 has no unit; write it as on the label"),
        ({"rate": "3 in"}, "is a length, not an amount per area"),
        ({"rate": "3 pt"}, "is a quantity of volume"),
        ({"rate": "0 pt / acre"}, "is not possible; it must be more than 0"),
        ({"yearly_maximum": None}, 'the key "yearly_maximum" is missing'),
        ({"yearly_maximum": "8 oz / acre"}, "the rate is a volume per area and this is a weight"),
        ({"carrier": None}, "the sprayer is not calibrated; give either carrier"),
        ({"flow": "1 gal/min", "speed": "3 mph", "width": "20 in"}, "is calibrated twice"),
        ({"rate_of": "active ingredient"}, "an active ingredient is weighed"),
        ({"tank": "0 gal"}, "more than 0"),
        ({"tnak": "3 gal"}, 'did you mean "tank"'),
    ],
)
def test_bad_choices(changes, says):
    values = {key: value for key, value in (LABEL | changes).items() if value is not None}
    with pytest.raises(ChoiceError, match=says):
        Spray.read(values, file="job.toml")


def test_strength_is_needed():
    with pytest.raises(
        ChoiceError, match='strength of the product is missing; copy it from the label, "4 lb / gal"'
    ):
        spray(rate="0.5 lb / acre", yearly_maximum="1 lb / acre", rate_of="active ingredient")


def test_unknown_zone(lawn):
    with pytest.raises(ChoiceError, match='there is no zone "bak"; did you mean "back"'):
        mix(lawn, spray(zones=["bak"]))


def test_no_rate_is_built_in():
    """A pesticide's rate, maximum, carrier and tank come from the user or not at all."""
    for name in ("rate", "yearly_maximum", "most_per_application", "carrier_m", "tank_m3"):
        assert Spray.model_fields[name].get_default() is None or Spray.model_fields[name].is_required()
    assert "# rate =" in template(Spray)


def test_warnings_name_their_sources_and_disagree(lawn):
    said = mix(lawn, spray(active_ingredient="Mesotrione")).warnings
    assert any("Iowa State" in line for line in said)
    assert any("Delaware" in line for line in said)
    assert said[-1] == "These services do not agree in all; your label decides."


def test_rinsing_and_cautions(lawn):
    plan = mix(lawn, spray())
    assert any("three times" in step and "Environmental Protection Agency" in step for step in plan.rinsing)
    assert plan.cautions[0].startswith("The label is the law")


@pytest.mark.parametrize(
    "changes", [{}, {"rate": "1 oz / 1000 sq ft", "yearly_maximum": "2 oz / 1000 sq ft"}]
)
def test_results_are_json(lawn, changes):
    read = json.loads(json.dumps(mix(lawn, spray(**changes), units=METRIC).to_dict()))
    unit = "kg" if changes else "l"
    assert read[f"total_{unit}"] == pytest.approx(sum(zone[f"product_{unit}"] for zone in read["by_zone"]))
    assert read["spray_l"] == pytest.approx(sum(zone["spray_l"] for zone in read["by_zone"]))


@pytest.mark.parametrize(
    ("text", "units", "shown"),
    [
        ("3.6 pt / acre", US, "1.32 fl oz / 1000 sq ft"),
        ("300 mL / ha", METRIC, "3 mL / 100 m²"),
        ("3 fl oz / acre", US, "3 fl oz / acre"),
        ("30 mL / ha", METRIC, "30 mL / ha"),
        ("2 lb / 1000 sq ft", US, "2 lb / 1000 sq ft"),
        ("2 oz / 1000 sq ft", US, "2 oz (weight) / 1000 sq ft"),
    ],
)
def test_doses_are_written(text, units, shown):
    assert read_dose(text).write_rate(units) == shown


def test_amounts_are_written():
    assert Amount(parse("2.5 gal", "volume"), "volume").write(US) == "2.5 gal"
    assert Amount(0.02, "mass").write(METRIC) == "20 g"
    assert Amount(0.02, "mass").to_dict() == {"value": 0.02, "measure": "mass"}


def test_from_python():
    """A dose that was read stays as it is."""
    assert spray(rate=read_dose("2 pt / acre")).rate == read_dose("2 pt / acre")


def test_strength_of_another_kind():
    with pytest.raises(QuantityError, match="is a quantity of length"):
        read_strength("4 ft")
