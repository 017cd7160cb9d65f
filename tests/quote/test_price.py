"""Offers worked by hand, and what must hold for every offer."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lawnmap.errors import ChoiceError, QuantityError
from lawnmap.quote import price
from lawnmap.rates import PackCount

D = Decimal

LIME = [{"name": "lime", "packs": [{"size": "10 kg", "price": "7.35"}]}]


def by_name(quote):
    return {line.name: line for line in quote.lines}


def test_a_job_worked_by_hand(made):
    """Every step in figures.

    Material   2 bags at 7.35                                    =  14.70, with 30 % markup 19.11
    Labour     lanes 1000 m at 1 m/s                     1000 s
               ways  18 m at 1 m/s                         18 s
               9 turns of 6 s                              54 s
               2 fills of 2 min                           240 s
               1312 s = 0.3644 h, printed 0.36 h at 48.00         =  17.28
    Setting up 15 min = 0.25 h at 48.00                           =  12.00
    Machine    0.36 h at 10.00                                    =   3.60
    By hand    20 m² at 0.50                                      =  10.00
    Travel     12 km at 0.60                                      =   7.20
    Subtotal   19.11 + 17.28 + 12.00 + 3.60 + 10.00 + 7.20        =  69.19
    Tax        7 % on material: 19.11 × 0.07 = 1.3377             =   1.34
    Total                                                         =  70.53
    """
    prices = made.book(
        currency="EUR", markup="30 %", marked_up=["material"], material=LIME, labour="48.00 / h", set_up="15 min",
        machine="10.00 / h", by_hand="0.50 / m2", travel="0.60 / km", travel_distance="12 km",
        tax=[{"name": "tax", "rate": "7 %", "on": ["material"]}],
    )  # fmt: skip
    quote = price(made.work(made.product(packs=made.bags)), prices)
    lines = by_name(quote)
    assert [(line.quantity, line.cost, line.price) for line in lines.values()] == [
        (D(2), D("14.70"), D("19.11")),
        (D("0.36"), D("17.28"), D("17.28")),
        (D("0.25"), D("12.00"), D("12.00")),
        (D("20.00"), D("10.00"), D("10.00")),
        (D("0.36"), D("3.60"), D("3.60")),
        (D("12.00"), D("7.20"), D("7.20")),
    ]
    assert quote.subtotal == D("69.19")
    assert quote.taxes[0].base == D("19.11")
    assert quote.tax == D("1.34")
    assert quote.total == D("70.53")
    assert quote.cost == D("14.70") + D("17.28") + D("12.00") + D("10.00") + D("3.60") + D("7.20")
    basis = lines["Spreading lime"].basis
    assert basis == "1,018 m in 1 pass: lanes 17 min, ways under a minute, 9 turns 1 min, 2 fills 4 min"
    assert lines["Lime, 10 kg"].basis == "1,000 m² × 20 g / m² = 20 kg"


@pytest.mark.parametrize(
    ("gain", "price_of_100"),
    [
        ({"markup": "25 %"}, "125.00"),  # 100 × 1.25
        ({"margin": "25 %"}, "133.33"),  # 100 ÷ 0.75
        ({"margin": "20 %"}, "125.00"),  # 100 ÷ 0.80: a margin of 20 % is a markup of 25 %
        ({}, "100.00"),
    ],
)
def test_margin_is_of_the_price_and_markup_of_the_cost(gain, price_of_100, made):
    quote = price(made.work(), made.book(extra=[{"name": "permit", "price": "100"}], **gain))
    assert quote.total == D(price_of_100)


GAINS = st.one_of(
    st.none(),
    st.tuples(st.just("markup"), st.integers(0, 300)),
    st.tuples(st.just("margin"), st.integers(0, 95)),
)
EXTRAS = st.lists(
    st.tuples(st.integers(0, 10**7), st.sampled_from(["other", "labour", "disposal", "machine"])), max_size=6
)


@settings(max_examples=80, deadline=None)
@given(
    extras=EXTRAS,
    gain=GAINS,
    least=st.one_of(st.none(), st.integers(0, 10**6)),
    taxes=st.lists(st.integers(0, 100), max_size=3),
    rule=st.sampled_from(["half up", "half even"]),
)
def test_what_is_printed_adds_up(made, extras, gain, least, taxes, rule):
    prices = made.book(
        extra=[
            {"name": f"e{i}", "kind": kind, "price": str(D(cents) / 100)}
            for i, (cents, kind) in enumerate(extras)
        ],
        tax=[
            {"name": f"t{i}", "rate": f"{rate} %", "on": ["other", "minimum"]} for i, rate in enumerate(taxes)
        ],
        rounding=rule,
        **({gain[0]: f"{gain[1]} %"} if gain else {}),
        **({"minimum_charge": str(D(least) / 100)} if least is not None else {}),
    )
    quote = price(made.work(), prices)
    assert quote.subtotal == sum((line.price for line in quote.lines), D(0))
    assert quote.total == quote.subtotal + sum((tax.amount for tax in quote.taxes), D(0))
    assert quote.total == D(quote.to_dict()["total"])
    assert quote.subtotal >= D(least or 0) / 100
    for line in quote.lines:
        assert line.price == line.price.quantize(D("0.01"))
        if line.kind == "minimum":
            assert line.price > 0
            continue
        assert line.cost == (line.quantity * line.unit_price).quantize(D("0.01"))
        if gain and gain[0] == "markup":
            assert abs(line.price - line.cost * (1 + D(gain[1]) / 100)) <= D("0.005")
        elif gain:  # the gain is that share of the price
            assert abs((line.price - line.cost) - line.price * D(gain[1]) / 100) <= D("0.005")
    for tax in quote.taxes:
        taxed = sum((line.price for line in quote.lines if line.kind in {"other", "minimum"}), D(0))
        assert tax.base == taxed
        assert abs(tax.amount - tax.base * tax.rate) <= D("0.005")


def test_a_small_job_is_lifted_to_the_minimum(made):
    prices = made.book(
        extra=[{"name": "visit", "price": "40"}],
        minimum_charge="150",
        tax=[{"name": "tax", "rate": "10 %", "on": ["other"]}],
    )
    quote = price(made.work(), prices)
    assert [(line.kind, line.price) for line in quote.lines] == [
        ("other", D("40.00")),
        ("minimum", D("110.00")),
    ]
    assert quote.subtotal == D(150)
    assert quote.tax == D("4.00")  # the minimum is taxed only where its kind is
    assert "EUR" not in quote.lines[1].basis
    assert "USD 150.00" in quote.lines[1].basis


def test_labour_of_a_crew_and_of_two_products(made):
    prices = made.book(
        labour="48.00 / h", crew=2,
        material=[*LIME, {"name": "gypsum", "packs": [{"size": "10 kg", "price": "9"}]}],
    )  # fmt: skip
    quote = price(made.work(made.product(packs=made.bags), made.product("gypsum", made.bags)), prices)
    lines = by_name(quote)
    # 2 × 1312 s = 0.7289 h; each product is walked by itself
    assert lines["Spreading lime"].quantity == lines["Spreading gypsum"].quantity == D("0.73")
    assert lines["Spreading lime"].basis.endswith("; 2 people")


def test_a_flat_price_only_where_it_is_asked_for(made):
    quote = price(
        made.work(made.product(packs=made.bags)), made.book(material=LIME, labour="48 / h", labour_flat="60")
    )
    labour = [line for line in quote.lines if line.kind == "labour"]
    assert [(line.price, line.basis) for line in labour] == [
        (D("60.00"), "flat price, as asked for in the price book")
    ]


def test_an_hour_without_lanes_is_refused(made):
    with pytest.raises(
        ChoiceError, match=r"\[prices\], labour: an hour of labour has a price, but there are no lanes"
    ):
        price(
            made.work(made.product(packs=made.bags), lanes=False), made.book(material=LIME, labour="48 / h")
        )


def test_what_is_not_priced_is_found(made):
    quote = price(made.work(made.product(packs=made.bags)), made.book(material=LIME))
    assert [one.code for one in quote.findings] == ["labour-not-priced"]
    quote = price(made.work(made.product(packs=made.bags)), made.book(material=LIME, labour="48 / h"))
    assert [one.code for one in quote.findings] == ["hand-work-not-priced"]
    assert quote.findings[0].text.startswith("20 m² are worked by hand")


@pytest.mark.parametrize(
    ("material", "keys", "quantity", "total"),
    [
        # 20 kg and 5 % on top are 21 kg: three bags of 10 kg at 7.35
        ([{"name": "LIME", "packs": [{"size": "10 kg", "price": "7.35"}]}], {}, D(3), D("22.05")),
        # 21 kg at 0.80
        ([{"name": "lime", "price": "0.80 / kg"}], {}, D("21.00"), D("16.80")),
        # the amount used, 20 kg
        ([{"name": "lime", "price": "0.80 / kg"}], {"charge": "amount"}, D("20.00"), D("16.00")),
        ([{"name": "lime", "price": "0.40 / lb"}], {"charge": "amount"}, D("44.09"), D("17.64")),
    ],
)
def test_materials_by_pack_or_by_weight(material, keys, quantity, total, made):
    quote = price(made.work(made.product(allowance=0.05)), made.book(material=material, **keys))
    assert quote.lines[0].quantity == quantity
    assert quote.total == total


def test_a_price_of_the_job_goes_before_that_of_the_book(made):
    packs = (PackCount(10.0, 2, "6.00"),)
    assert price(made.work(made.product(packs=packs)), made.book(material=LIME)).total == D("12.00")


def test_packs_of_a_size_that_has_no_price_go_by_weight(made):
    packs = (PackCount(20.0, 1),)
    material = [{**LIME[0], "price": "0.70 / kg"}]
    assert price(made.work(made.product(packs=packs)), made.book(material=material)).total == D("14.00")


@pytest.mark.parametrize(
    ("packs", "material", "keys", "says"),
    [
        (
            (),
            [],
            {},
            r'lime has no price; add packs = .* under \[\[material\]\], name = "lime", in the price book',
        ),
        (
            (PackCount(25.0, 1),),
            LIME,
            {},
            r'lime has no price for a pack of 25 kg; add packs = \[\{ size = "25 kg"',
        ),
        ((), LIME, {"charge": "amount"}, r'lime has no price by weight; add price = "2\.40 / kg" under'),
    ],
)
def test_a_material_without_a_price_is_never_left_out(packs, material, keys, says, made):
    with pytest.raises(ChoiceError, match=says):
        price(made.work(made.product(packs=packs)), made.book(material=material, **keys))


@pytest.mark.parametrize(
    ("extra", "quantity", "total"),
    [
        ({"price": "35.00"}, D(1), D("35.00")),
        ({"price": "0.05 / m2"}, D("1000.00"), D("50.00")),  # net lawn
        ({"price": "40 / m3", "quantity": "2.5 m3"}, D("2.50"), D("100.00")),
        ({"price": "30 / h", "quantity": "90 min", "kind": "labour"}, D("1.50"), D("45.00")),
    ],
)
def test_anything_else_that_is_charged(extra, quantity, total, made):
    quote = price(made.work(), made.book(extra=[{"name": "thing", **extra}]))
    assert (quote.lines[0].quantity, quote.total) == (quantity, total)


@pytest.mark.parametrize(
    ("extra", "error", "says"),
    [
        (
            {"price": "35", "quantity": "2 m3"},
            ChoiceError,
            r'extra "thing": has a quantity but a price for the lot',
        ),
        (
            {"price": "35 / m3"},
            ChoiceError,
            r'extra "thing": has a price per m3 but no quantity; add quantity',
        ),
        ({"price": "35 / m3", "quantity": "2 kg"}, QuantityError, r'extra "thing", quantity: '),
    ],
)
def test_anything_else_that_cannot_be_counted(extra, error, says, made):
    with pytest.raises(error, match=says):
        price(made.work(), made.book(extra=[{"name": "thing", **extra}]))


def test_a_table_holds_every_line_and_tax_of_every_offer(made):
    prices = made.book(extra=[{"name": "visit", "price": "40"}], tax=[{"name": "tax", "rate": "10 %"}])
    quote = price(made.work(), prices)
    frame = quote.to_frame()
    assert frame["price"].sum() == quote.total == D("44.00")
    assert list(frame["kind"]) == ["other", "tax"]
    assert set(frame["currency"]) == {"USD"}


def test_amounts_leave_as_text(made):
    quote = price(made.work(), made.book(extra=[{"name": "visit", "price": "40.10"}], currency="CAD"))
    told = quote.to_dict()
    assert (told["total"], told["currency"]) == ("40.10", "CAD")
    assert told["lines"][0]["unit_price"] == "40.10"


def test_an_exempt_material_is_not_taxed(made):
    tax = [{"name": "tax", "rate": "10 %", "on": ["material", "other"], "exempt": ["LIME", "Permit"]}]
    gypsum = {"name": "gypsum", "packs": [{"size": "10 kg", "price": "9"}]}
    extra = [{"name": "permit", "price": "50"}, {"name": "map", "price": "30"}]
    prices = made.book(material=[*LIME, gypsum], extra=extra, tax=tax)
    quote = price(made.work(made.product(packs=made.bags), made.product("gypsum", made.bags)), prices)
    # gypsum 18.00 and the map 30.00 are taxed; lime 14.70 and the permit 50.00 are not
    assert quote.taxes[0].base == D("48.00")
    assert quote.tax == D("4.80")
    assert quote.total == D("14.70") + D("18.00") + D("50.00") + D("30.00") + D("4.80")
