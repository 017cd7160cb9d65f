"""A quote with options: the job's sections with the option's in their place, on the same ground."""

from decimal import Decimal

import pytest

import lawnmap
from lawnmap.errors import ChoiceError, InputError

YARD = """{"type": "FeatureCollection", "features": [{"type": "Feature",
"properties": {"role": "lawn", "name": "front", "density": "bare"},
"geometry": {"type": "Polygon", "coordinates": [[[-93.001, 45], [-93, 45], [-93, 45.0003], [-93.001, 45.0003], [-93.001, 45]]]}}]}"""
JOB = """
leave_out = ["fertilizer"]
[yard]
file = "yard.geojson"
[seed]
species = "tall fescue"
packs = ["50 lb"]
[[product]]
name = "lime"
rate = "10 lb / 1000 sq ft"
packs = [{ size = "50 lb", price = "8.00" }]
"""
PRICES = """
[prices]
labour = "40.00 / h"
by_hand = "0.10 / sq ft"
[[prices.material]]
name = "tall fescue"
packs = [{ size = "50 lb", price = "100.00" }]
[[prices.material]]
name = "Kentucky bluegrass"
packs = [{ size = "50 lb", price = "250.00" }]
[client]
name = "Somebody (invented)"
"""


@pytest.fixture
def job(tmp_path):
    def write(more=PRICES):
        (tmp_path / "yard.geojson").write_text(YARD, "utf-8")
        (tmp_path / "job.toml").write_text(JOB + more, "utf-8")
        return tmp_path

    return write


def materials(quote):
    return [(line.name, line.quantity) for line in quote.lines if line.kind == "material"]


def test_without_prices_there_is_no_quote_and_nothing_else_changes(job):
    plain = lawnmap.plan(job(""))
    assert plain.quote is None
    assert plain.to_dict()["quote"] is None
    priced = lawnmap.plan(job())
    left_out = ("quote", "defaults")
    told, also = (
        {key: value for key, value in one.to_dict().items() if key not in left_out} for one in (plain, priced)
    )
    assert told == also


def test_options_stand_side_by_side(job):
    options = """
[[option]]
name = "No lime"
product = []
[[option]]
name = "Bluegrass"
seed = { species = "Kentucky bluegrass" }
"""
    quote = lawnmap.plan(job(PRICES + options)).quote
    assert [offer.name for offer in quote.offers] == ["As planned", "No lime", "Bluegrass"]
    assert quote.client.name == "Somebody (invented)"
    planned, no_lime, bluegrass = quote.offers
    lime = [line for line in planned.lines if line.material == "lime"]
    # without lime the offer is less by its bags and by the time that it takes, and by nothing else
    assert planned.total - no_lime.total == sum((line.price for line in lime), Decimal(0))
    assert {line.kind for line in lime} == {"material", "labour"}
    assert materials(planned)[1:] == materials(bluegrass)[1:]
    assert materials(bluegrass)[0][0] == "Kentucky bluegrass, 50 lb"
    # what the option does not say stays as the job has it: packs of 50 lb
    assert "50 lb" in materials(bluegrass)[0][0]


def test_an_option_is_what_a_job_of_its_own_would_be(job, tmp_path):
    option = '[[option]]\nname = "wide"\nrig = { swath = "12 ft", speed = "5 mph" }\n'
    beside = lawnmap.plan(job(PRICES + option)).quote.options[0]
    alone = lawnmap.plan(job(PRICES + '[rig]\nswath = "12 ft"\nspeed = "5 mph"\n')).quote
    assert beside.lines == alone.lines
    assert beside.total == alone.total


@pytest.mark.parametrize(
    ("option", "says"),
    [
        (
            "[[option]]\nproduct = []",
            r'job\.toml, \[\[option\]\]: an option has no name; add name = "better"',
        ),
        (
            '[[option]]\nname = "b"\nsede = {}',
            r'\[\[option\]\] "b": an option has no key "sede"; did you mean "seed"\?',
        ),
        (
            '[[option]]\nname = "b"\nyard = { file = "x" }',
            r'\[\[option\]\] "b": an option has no key "yard"; ',
        ),
        (
            '[[option]]\nname = "b"\nseed = { species = "bambo" }',
            r'\[\[option\]\] "b", .*job\.toml, \[seed\]',
        ),
        ('[option]\nname = "b"', r'"option" may stand several times; write it as \[\[option\]\]'),
    ],
)
def test_an_option_that_is_wrong_is_named(option, says, job):
    with pytest.raises(InputError, match=says):
        lawnmap.plan(job(PRICES + option))


def test_an_option_without_a_price_is_named(job):
    option = '[[option]]\nname = "b"\nseed = { species = "perennial ryegrass" }'
    with pytest.raises(ChoiceError, match=r'\[\[option\]\] "b", \[prices\]: perennial ryegrass has no price'):
        lawnmap.plan(job(PRICES + option))


def test_a_new_job_file_shows_the_sections_of_a_quote():
    text = lawnmap.job.job_template({"file": "yard.geojson"})
    for head in ("# [prices]", "# [client]", "# [contractor]"):
        assert head in text


def test_an_option_brings_its_own_cautions_and_findings(job):
    option = """
[[option]]
name = "with a spray"
[[option.spray]]
name = "wetting agent"
rate = "20 mL / 100 m2"
yearly_maximum = "100 mL / 100 m2"
carrier = "4 L / 100 m2"
tank = "20 L"
[[option.prices.material]]
name = "wetting agent"
price = "90 / gal"
[[option.prices.material]]
name = "tall fescue"
packs = [{ size = "50 lb", price = "100.00" }]
"""
    plan = lawnmap.plan(job(PRICES + option))
    with_spray = plan.quote.options[0]
    assert "Wetting agent" in [line.name for line in with_spray.lines]
    assert any("spray" in words.lower() for words in with_spray.cautions)
    assert not set(with_spray.cautions) & set(plan.cautions)
    told = [one for one in plan.findings if one.code == "spraying-not-priced"]
    assert [one.where for one in told] == ['option "with a spray", [prices]']
