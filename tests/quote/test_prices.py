"""Price books read from TOML and CSV, and every way in which they can be wrong."""

from decimal import Decimal

import pytest

from lawnmap.errors import ChoiceError, FileError, InputError
from lawnmap.quote import Client, Prices

TOML = """
currency = "CAD"
margin = "20 %"
labour = "52.00 / h"
machine = "9.00 / h"
travel = "0.70 / km"
by_hand = "2.50 / m2"
minimum_charge = "120.00"

[[material]]
name = "tall fescue"
packs = [{ size = "50 lb", price = "96.00" }, { size = "25 lb", price = "51.50" }]

[[material]]
name = "lime"
price = "0.30 / lb"

[[extra]]
name = "Green waste"
kind = "disposal"
price = "35.00"

[[tax]]
name = "GST"
rate = "5 %"

[contractor]
name = "Somebody (invented)"
"""
CSV = """item,name,per,price
# an invented book
currency,,,CAD
margin,,,20 %
labour,,h,52.00
machine,,h,9.00
travel,,km,0.70
by_hand,,m2,2.50
minimum_charge,,,120.00
material,tall fescue,50 lb,96.00
material,tall fescue,25 lb,51.50
material,lime,lb,0.30
disposal,Green waste,,35.00
tax,GST,,5 %
"""


@pytest.fixture
def read(tmp_path):
    def read(text, name="prices.toml", **keys):
        (tmp_path / name).write_text(text, "utf-8")
        return Prices.read({"book": name, **keys}, file=str(tmp_path / "job.toml"))

    return read


def test_the_same_book_in_two_formats(read):
    toml, table = read(TOML), read(CSV, "prices.csv")
    assert toml.contractor.name == "Somebody (invented)"
    left_out = {"book", "contractor"}
    assert toml.model_dump(exclude=left_out) == table.model_dump(exclude=left_out)
    assert [str(pack.price) for pack in toml.materials[0].packs] == ["96.00", "51.50"]
    assert toml.extras[0].price == Decimal("35.00")


def test_a_book_with_a_byte_order_mark_and_loose_cells(read):
    spaced = "\ufeff" + CSV.replace(",", " , ").replace("\n", "\r\n")
    assert read(spaced, "prices.csv").labour.amount == Decimal("52.00")


def test_the_job_goes_before_the_book(read):
    prices = read(
        TOML,
        labour="60 / h",
        material=[{"name": "lime", "price": "0.25 / lb"}],
        extra=[{"name": "Permit", "price": "10"}],
    )
    assert prices.labour.amount == 60
    assert [(one.name, one.price and one.price.amount) for one in prices.materials] == [
        ("lime", Decimal("0.25")),
        ("tall fescue", None),
        ("lime", Decimal("0.30")),
    ]
    assert [extra.name for extra in prices.extras] == ["Permit", "Green waste"]
    assert prices.margin == 0.2


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        (
            {"labour": "-48 / h"},
            r"job\.toml, \[prices\], labour: the price -48 is below nothing; give a price of 0 or",
        ),
        ({"minimum_charge": -1}, r"minimum_charge: the price -1 is below nothing"),
        ({"labour": "48"}, r'labour: the price 48 says no unit; write what it is for, "48\.00 / h"'),
        ({"labour": 48}, r"labour: the price 48 says no unit"),
        ({"travel": "1 / h"}, r'travel: a price per "h" is of the wrong kind'),
        (
            {"tax": [{"name": "tax", "rate": "101 %"}]},
            r"tax\.0\.rate: '101 %' is not possible; it must be at most 100 %",
        ),
        (
            {"tax": [{"name": "tax", "rate": "-1 %"}]},
            r"tax\.0\.rate: '-1 %' is not possible; it must be at least 0 %",
        ),
        ({"tax": [{"name": "tax", "rate": 5}]}, r"tax\.0\.rate: 5 has no unit"),
        (
            {"tax": [{"name": "t", "rate": "5 %", "on": ["labor"]}]},
            r"'labor' is not known; did you mean \"labour\"\?",
        ),
        ({"margin": "100 %"}, r"margin: '100 %' is not possible; it must be less than 100 %"),
        (
            {"markup": "10 %", "margin": "10 %"},
            r"\[prices\]: markup and margin are both given; give markup, a share",
        ),
        ({"currency": "dollars"}, r"currency: 'dollars' does not fit"),
        ({"rounding": "up"}, r"rounding: 'up' is not known; "),
        ({"crew": 0}, r"crew: 0 is not possible; it must be at least 1"),
        ({"labor": "48 / h"}, r'there is no key "labor" here; did you mean "labour"\?'),
        (
            {"material": [{"name": "lime"}]},
            r"material\.0: lime has no price; give packs with a price, a price by weight",
        ),
        ({"material": [{"name": "lime", "packs": [{"size": "50 lb", "price": -2}]}]}, r"-2 is not possible"),
        ({"extra": [{"name": "x", "price": "-5"}]}, r"the price -5 is below nothing"),
        ({"book": 5}, r"\[prices\], book: 5 is no name of a file"),
    ],
)
def test_what_cannot_be_is_refused_at_its_key(keys, says):
    with pytest.raises(InputError, match=says):
        Prices.read(keys, file="job.toml")


@pytest.mark.parametrize(
    ("text", "name", "says"),
    [
        ("labour = 48 / h", "prices.toml", r"prices\.toml: is not valid TOML: .*; mend that line"),
        ('labor = "48 / h"', "prices.toml", r'prices\.toml, \[prices\], labor: there is no key "labor" here'),
        (
            "item,name,price\n",
            "prices.csv",
            r'prices\.csv: has no column "per"; head the columns item, name, per, price',
        ),
        ("", "prices.csv", r'prices\.csv: has no column "item"'),
        (CSV + "labor,,h,3\n", "prices.csv", r'line 15: there is no item "labor"; did you mean "labour"\?'),
        (CSV + "labour,,h,3\n", "prices.csv", r'line 15: "labour" stands there twice; leave one of them'),
        (
            CSV + "material,gypsum,50 lb,\n",
            "prices.csv",
            r'line 15: "material" has no price; fill in the column price',
        ),
        (
            CSV + "material,gypsum,50 lb,-4\n",
            "prices.csv",
            r"prices\.csv, \[prices\], material\.2\.packs.*-4.*is not possible",
        ),
    ],
)
def test_a_book_that_is_wrong_is_named(text, name, says, read):
    with pytest.raises(InputError, match=says):
        read(text, name)


def test_a_book_that_is_not_there(tmp_path):
    with pytest.raises(FileError, match=r"no\.toml: there is no such price book; put it beside the job file"):
        Prices.read({"book": "no.toml"}, file=str(tmp_path / "job.toml"))


def test_a_book_that_is_no_text(tmp_path):
    (tmp_path / "p.csv").write_bytes(b"\xff\xfe\x00\x01")
    with pytest.raises(FileError, match=r"p\.csv: is not UTF-8 text; save it as UTF-8"):
        Prices.read({"book": "p.csv"}, file=str(tmp_path / "job.toml"))


def test_a_book_that_is_a_folder(tmp_path):
    (tmp_path / "p.toml").mkdir()
    with pytest.raises(FileError, match=r"p\.toml: cannot be read \(is a directory\); check its rights"):
        Prices.read({"book": "p.toml"}, file=str(tmp_path / "job.toml"))


def test_a_client_without_a_name():
    with pytest.raises(ChoiceError, match=r'\[client\]: the key "name" is missing; add it'):
        Client.read({"phone": "555-0100"}, file="job.toml")
