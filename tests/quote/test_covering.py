"""Topdressing, straw and sprays on 1000 m², priced by hand."""

from dataclasses import replace
from decimal import Decimal

import pytest

from lawnmap.errors import ChoiceError
from lawnmap.quote import price
from lawnmap.rates import Spray, Straw, Topdress, spray_all, straw, topdress
from lawnmap.units import METRIC


@pytest.fixture
def covered(made):
    """Return work with 5 mm of compost, 5 m³, and so many sprays and bales as asked for."""

    def work(*, bag=None, bales=False, sprays=()):
        bare = made.work()
        keys = {"depth": "5 mm", "allowance": "0 %"} | ({"bag": bag} if bag else {})
        covers = [topdress(bare.takeoff, Topdress.read(keys, file="job.toml"), units=METRIC)]
        if bales:
            keys = {"area_per_bale": "80 m2", "allowance": "0 %"}
            covers = [straw(bare.takeoff, Straw.read(keys, file="job.toml"), units=METRIC)]
        labels = tuple(Spray.read(one, file="job.toml") for one in sprays)
        plans = spray_all(bare.takeoff, labels, units=METRIC)
        return replace(bare, covers=() if sprays else tuple(covers), sprays=plans)

    return work


LABEL = {
    "name": "wetting agent",
    "rate": "20 mL / 100 m2",
    "yearly_maximum": "100 mL / 100 m2",
    "carrier": "4 L / 100 m2",
    "tank": "20 L",
    "applications": 3,
}


@pytest.mark.parametrize(
    ("how", "material", "quantity", "total"),
    [
        ({}, {"price": "40 / m3"}, Decimal("5.00"), "200.00"),  # 1000 m² × 5 mm
        ({"bag": "40 L"}, {"each": "4.20"}, Decimal(125), "525.00"),  # 5000 L in bags of 40 L
        ({"bales": True}, {"each": "8.50"}, Decimal(13), "110.50"),  # 1000 ÷ 80 = 12.5, so 13
    ],
)
def test_what_is_laid_over_the_seed(how, material, quantity, total, covered, made):
    work = covered(**how)
    prices = made.book(material=[{"name": work.covers[0].name, **material}])
    quote = price(work, prices)
    assert quote.lines[0].quantity == quantity
    assert quote.total == Decimal(total)


def test_the_work_of_laying_goes_by_area(covered, made):
    prices = made.book(
        material=[{"name": "compost", "price": "40 / m3"}], laying="30 / 100 m2", labour="48 / h"
    )
    quote = price(covered(), prices)
    # 5 m³ at 40 and ten times 100 m² at 30
    assert [(line.kind, line.price) for line in quote.lines] == [
        ("material", Decimal("200.00")),
        ("labour", Decimal("300.00")),
    ]
    assert not [one for one in quote.findings if one.code == "laying-not-priced"]


def test_sprays_count_every_application(covered, made):
    prices = made.book(material=[{"name": "wetting agent", "price": "30 / L"}], spraying="2.50 / 100 m2")
    quote = price(covered(sprays=[LABEL]), prices)
    # 20 mL on each of ten times 100 m², three times: 600 mL at 30 a litre; thirty times 100 m² at 2.50
    assert [(line.name, line.price) for line in quote.lines] == [
        ("Wetting agent", Decimal("18.00")),
        ("Spraying wetting agent", Decimal("75.00")),
    ]


def test_work_that_has_no_price_is_found(covered, made):
    compost = {"name": "compost", "price": "40 / m3"}
    quote = price(covered(), made.book(material=[compost], labour="48 / h"))
    assert "laying-not-priced" in [one.code for one in quote.findings]
    priced = {"name": "wetting agent", "price": "30 / L"}
    quote = price(covered(sprays=[LABEL]), made.book(material=[priced], labour="48 / h"))
    found = next(one for one in quote.findings if one.code == "spraying-not-priced")
    assert found.text == "the work of what is sprayed (wetting agent) has no price, so the quote holds none"


@pytest.mark.parametrize(
    ("how", "material", "says"),
    [
        (
            {},
            [],
            r'compost has no price by volume; add price = "38\.00 / m³" under \[\[material\]\], name = "compost"',
        ),
        ({"bales": True}, [], r'has no price; add each = "8\.50" under \[\[material\]\]'),
        ({"sprays": [LABEL]}, [], r'wetting agent has no price by volume; add price = "60\.00 / gal"'),
        (
            {"sprays": [LABEL]},
            [{"name": "wetting agent", "price": "9 / kg"}],
            r"wetting agent has no price by volume",
        ),
    ],
)
def test_nothing_is_left_out_for_want_of_a_price(how, material, says, covered, made):
    with pytest.raises(ChoiceError, match=says):
        price(covered(**how), made.book(material=material))
