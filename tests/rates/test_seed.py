"""Seed: the label, blends, density and what the user may say instead."""

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lawnmap.choices import template
from lawnmap.errors import ChoiceError
from lawnmap.rates import Seed, prescribe
from lawnmap.units import METRIC, convert, parse

PER_1000 = "lb / 1000 sq ft"


def seeded(lawn, **choices):
    return prescribe(lawn, seed=Seed(**choices)).materials[0]


def rates(material):
    return {amount.zone: convert(amount.rate_kg_per_m2, PER_1000) for amount in material.by_zone}


def test_pls_bermudagrass():
    """Texas Department of Transportation, Pure live seed: 85 % × 75 % is 0.64, and 1 lb takes 1.56 lb of bulk seed.

    The page divides by the rounded 0.64; unrounded it is 1.569 lb.
    """
    live = Seed(purity="85 %", germination="75 %").live_share
    assert live == pytest.approx(0.64, abs=0.005)
    assert 1 / live == pytest.approx(1.56, abs=0.015)


@pytest.mark.parametrize(
    ("purity", "germination", "hard", "published", "tolerance"),
    [
        ("96 %", "91 %", "0 %", 87.36, 0.005),  # Rangelands Gateway, glossary, Pure Live Seed
        ("95 %", "85 %", "0 %", 81, 0.5),  # Cornell University CALS, Seeding rates (printed rounded)
        ("98 %", "92 %", "5 %", 95.06, 0.005),  # PLS vs. bulk seed, ecological consultancy page
    ],
)
def test_pls_percent(purity, germination, hard, published, tolerance):
    seed = Seed(purity=purity, germination=germination, hard_seed=hard)
    assert seed.live_share * 100 == pytest.approx(published, abs=tolerance)


LABEL = {
    "purity": ["44 %", "31 %", "9 %", "12 %"],
    "germination": ["85 %", "80 %", "85 %", "90 %"],
    "crop": "1.56 %",
    "inert": "2.11 %",
    "weed": "0.33 %",
}


def test_label_that_sums_to_100():
    """University of Minnesota Extension, Purchasing Seed, table 5.2; its live seed by arithmetic 80.65 %."""
    assert Seed(**LABEL).live_share == pytest.approx(0.8065, abs=1e-12)


@pytest.mark.parametrize("key", ["crop", "inert", "weed"])
def test_label_that_does_not_sum_is_refused(key):
    off = {key: f"{float(LABEL[key].split()[0]) + 0.2:g} %"}
    with pytest.raises(ChoiceError, match=r"\[seed\], purity: pure seed, .* come to 100\.2 %, not 100 %"):
        Seed(**LABEL | off)


def test_label_may_be_rounded():
    assert Seed(**LABEL | {"weed": "0.37 %"}).live_share


def test_the_label_raises_the_rate(lawn):
    """6 lb of tall fescue at 85 % × 75 % is 9.41 lb of bulk seed."""
    material = seeded(lawn, rate="6 lb / 1000 sq ft", purity="85 %", germination="75 %")
    assert rates(material)["slope"] == pytest.approx(6 / 0.6375)
    assert material.by_zone[0].reason == "6 lb / 1000 sq ft × 1 (bare) ÷ 0.6375 (pure live seed)"
    assert any("63.75 % pure live seed" in note for note in material.notes)


def test_as_bagged_leaves_the_rate(lawn):
    material = seeded(
        lawn, rate="6 lb / 1000 sq ft", purity="85 %", germination="75 %", rate_means="as bagged"
    )
    assert rates(material)["slope"] == pytest.approx(6)
    assert any("as bagged" in note for note in material.notes)
    assert any("6 live seeds to the square inch" in note for note in material.notes)


def test_without_a_label_the_rate_is_bulk(lawn):
    material = seeded(lawn)
    assert rates(material)["slope"] == pytest.approx(7)
    assert any(note.startswith("No seed label was given") for note in material.notes)


def test_density(lawn):
    """Bare and thin get the new-lawn rate, patchy half of it, full nothing."""
    material = seeded(lawn)
    assert rates(material) == pytest.approx({"slope": 7, "back": 7, "side": 3.5, "spot": 7})
    assert [amount.zone for amount in material.by_zone if amount.by_hand] == ["spot"]
    assert convert(material.total_kg, "lb") == pytest.approx(7 + 7 + 3.5 + 0.14)
    assert "Cornell University CALS" in str(material.by_zone[0].source)


def test_user_factors(lawn):
    material = seeded(lawn, factors={"thin": 0.75, "full": 0.1})
    assert rates(material) == pytest.approx({"slope": 7, "back": 5.25, "side": 3.5, "front": 0.7, "spot": 7})
    assert any("(your own)" in note for note in material.notes)


@pytest.mark.parametrize(("level", "rate"), [("low", 5), ("typical", 7), ("high", 10)])
def test_level(lawn, level, rate):
    amount = seeded(lawn, level=level).by_zone[0]
    assert convert(amount.rate_kg_per_m2, PER_1000) == pytest.approx(rate)
    assert convert(amount.low_kg_per_m2, PER_1000) == pytest.approx(5)
    assert convert(amount.high_kg_per_m2, PER_1000) == pytest.approx(10)


def test_the_high_rate_names_the_row_that_says_so(lawn):
    assert seeded(lawn, level="high").by_zone[0].source.title.startswith(("Planting times", "Maintenance"))


def test_blend(lawn):
    material = seeded(lawn, species={"Tall fescue": "90 %", "KBG": "10 %"})
    assert material.name == "90 % tall fescue + 10 % Kentucky bluegrass"
    assert rates(material)["slope"] == pytest.approx(0.9 * 7 + 0.1 * 2.5)
    source = material.by_zone[0].source
    assert "weighted" in source.locator
    assert source.grade == "extension"


def test_own_rate(lawn):
    amount = seeded(lawn, rate="8 lb / 1000 sq ft").by_zone[0]
    assert amount.source.grade == "user"
    assert amount.low_kg_per_m2 == amount.rate_kg_per_m2 == amount.high_kg_per_m2


def test_seeds_per_area(lawn):
    """7 lb of 225,000 seeds on 144,000 square inches; UMass Extension, Seeding Rate Considerations: 7 to 14 plants."""
    (note,) = [note for note in seeded(lawn).notes if "square inch" in note]
    assert note.startswith(
        f"On bare ground that is about {7 * 225_000 / 144_000:.0f} seeds to the square inch"
    )
    assert "7 to 14 plants (Seeding Rate Considerations, UMass Extension" in note


def test_no_seed_count_no_note(lawn):
    assert not any("square inch" in note for note in seeded(lawn, species="bahiagrass").notes)


def codes(lawn, **choices):
    return [found.code for found in prescribe(lawn, seed=Seed(**choices)).findings]


def test_findings(lawn, takeoff, zone):
    assert codes(lawn) == []
    assert codes(lawn, species="zoysia") == ["provisional-rate"]
    assert codes(lawn, species="white clover", rate="0.25 lb / 1000 sq ft") == ["species-not-in-table"]
    assert codes(takeoff(zone(density="full"))) == ["nothing-to-seed"]


@pytest.mark.parametrize("species", ["tall fescue", {"tall fescue": "80 %", "Kentucky bluegrass": "20 %"}])
def test_a_rate_per_acre_is_asked_about(lawn, species):
    """300 lb per acre typed as if per 1000 square feet is 43.56 times too much."""
    assert codes(lawn, species=species, rate="300 lb / acre") == []
    assert codes(lawn, species=species, rate="300 lb / 1000 sq ft") == ["unusual-rate"]


@given(purity=st.floats(0.5, 1), germination=st.floats(0.5, 1), patchy=st.floats(0.1, 1))
def test_live_seed_put_down_is_the_rate(takeoff, zone, purity, germination, patchy):
    """Whatever the label, the live seed on the ground is the published rate times the factor."""
    lawn = takeoff(zone(density="patchy"))
    material = seeded(lawn, purity=[purity], germination=[germination], factors={"patchy": patchy})
    assert convert(material.total_kg, "lb") * purity * germination == pytest.approx(7 * patchy)


@pytest.mark.parametrize(
    ("values", "says"),
    [
        (
            {"species": "tall fescu"},
            r'job.toml, \[seed\], species: "tall fescu" is not .*mean "tall fescue", or give',
        ),
        ({"species": {"tall fescue": "90 %", "KBG": "20 %"}}, "the parts of the blend come to 110 %"),
        ({"species": {"tall fescue": "100 %", "KBG": "0 %"}}, "each a share above 0"),
        ({"species": {"bluegrass": "50 %", "KBG": "50 %"}}, "names one species twice"),
        ({"species": {"tall fescue": 90}}, "90 has no unit"),
        ({"rate": "0 lb / 1000 sq ft"}, "is not possible; it must be more than 0"),
        ({"rate": "-7 lb / 1000 sq ft"}, "is not possible; it must be more than 0"),
        ({"rate": 7}, "7 has no unit"),
        ({"rate": "7 ft"}, "is a quantity of length, not of weight per area"),
        ({"rates": "7 lb"}, 'there is no key "rates" here; did you mean "rate"'),
        ({"level": "typicl"}, 'did you mean "typical"'),
        ({"purity": "97 %"}, "1 figures for purity and 0 for germination"),
        ({"purity": "97 %", "germination": "120 %"}, "not between 0 and 100 %"),
        ({"purity": ["60 %", "50 %"], "germination": ["90 %", "90 %"]}, "pure seed comes to 110 %"),
        ({"purity": "97 %", "germination": "97 %", "hard_seed": "5 %"}, "more than 100 %"),
        ({"factors": {"patchy": -1}}, "it must be at least 0"),
        ({"factors": {"pachy": 1}}, 'did you mean "patchy"'),
    ],
)
def test_bad_choices(values, says):
    with pytest.raises(ChoiceError, match=says):
        Seed.read(values, file="job.toml")


def test_metric_reasons(lawn):
    amount = prescribe(lawn, seed=Seed(rate="35 g / m2"), units=METRIC).materials[0].by_zone[0]
    assert amount.reason == "35 g / m² × 1 (bare)"
    assert amount.rate_kg_per_m2 == pytest.approx(parse("35 g / m2", "mass_per_area"))


def test_template_reads_back():
    values = tomllib.loads(template(Seed))["seed"]
    assert Seed.read(values, file="job.toml") == Seed()
