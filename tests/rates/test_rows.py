"""The tables: no figure without a source, and what several sources say together."""

import pytest

from lawnmap.errors import ChoiceError, FileError
from lawnmap.rates import GRADES, Factors, table_rows
from lawnmap.rates.rows import COLUMNS, combine, read_table, select, tables
from lawnmap.rates.species import ALIASES, known_name, seeding_rate, seeds_per_kg, species_names
from lawnmap.units import UNITS, convert
from lawnmap.yard import DENSITIES

PER_1000 = "lb / 1000 sq ft"


def every_row():
    return [
        pytest.param(row, id=f"{row.table}-{row.item}-{row.use}")
        for rows in tables().values()
        for row in rows
    ]


@pytest.mark.parametrize("row", every_row())
def test_every_row_has_a_source_and_a_grade(row):
    assert row.source.title
    assert row.source.publisher
    assert row.source.locator
    assert row.source.grade in GRADES
    assert row.source.grade != "user"
    assert not row.source.address or row.source.address.startswith(("http://", "https://"))


@pytest.mark.parametrize("row", every_row())
def test_every_row_says_something(row):
    assert (row.low is None) == (row.high is None)
    assert row.text or (row.low is not None and row.low <= row.high)


def test_figures_have_units():
    for row in (row for rows in tables().values() for row in rows if row.low is not None):
        assert (
            row.unit in {"1", "count", "day of the year", "°F", "bale / 1000 sq ft"}
            or row.unit.split(" / ")[0].split("/")[0].replace(" ", "_") in UNITS
        ), row


@pytest.mark.parametrize("lost", ["item", "title", "publisher", "locator", "grade"])
def test_a_row_without_a_source_is_refused(tmp_path, lost):
    cells = dict.fromkeys(COLUMNS, "x") | {"low": "1", "high": "1", "grade": "extension", lost: ""}
    path = tmp_path / "spoilt.csv"
    path.write_text(f"{','.join(COLUMNS)}\n,,ft,ft,,,,,,,\n{','.join(cells.values())}\n")
    with pytest.raises(FileError, match=f"spoilt.csv, line 3: the row has no .*{lost}; give every figure"):
        read_table(path)


def test_another_head_is_refused(tmp_path):
    path = tmp_path / "other.csv"
    path.write_text("species,rate\n,lb\ntall fescue,7\n")
    with pytest.raises(FileError, match=r"other\.csv: the head is not"):
        read_table(path)


@pytest.mark.parametrize(
    ("name", "low", "typical", "high"),
    [
        # ranges over the pages of seven institutions: UC IPM, Cornell CALS, Maine BPC, K-State and Nebraska columns,
        # Noble Research Institute, City of Colton
        ("tall fescue", 5, 7, 10),
        ("Kentucky bluegrass", 1, 2.5, 4),
        ("perennial ryegrass", 4, 6, 9),
        ("fine fescue", 3, 4, 5),  # Maine BPC alone
        ("annual ryegrass", 7, 8, 9),  # UC IPM alone
        ("centipedegrass", 0.5, 0.5, 0.5),  # the row to 6 lb is kept, but not used
    ],
)
def test_seeding_rates(name, low, typical, high):
    rate = seeding_rate(name)
    shown = [convert(value, PER_1000) for value in (rate.low, rate.typical, rate.high)]
    assert shown == pytest.approx([low, typical, high], rel=1e-12)


def test_typical_keeps_a_first_hand_row():
    assert seeding_rate("tall fescue").nearest.source.publisher == "Cornell University CALS"


def test_half_rate_agrees_with_published_overseeding_rates():
    """Kansas columns give 3 to 6 lb for overseeding tall fescue: half the typical rate lies inside."""
    said = combine(select("seeding_rates", "tall fescue", "overseed"), "mass_per_area")
    assert said.low <= 0.5 * seeding_rate("tall fescue").typical <= said.high


def test_factors_default_to_the_table():
    for density in DENSITIES:
        for row in select("density_factors", density):
            assert Factors().of(density) == row.low == row.high


def test_seeds_per_weight():
    """Cornell CALS, Seeding rates: 250,000 perennial ryegrass seeds to the pound."""
    assert convert(seeds_per_kg("perennial ryegrass").typical, "seeds/lb") == pytest.approx(250_000)
    assert seeds_per_kg("chewings fescue") == seeds_per_kg("fine fescue")
    assert seeds_per_kg("bahiagrass") is None


def test_names():
    assert set(ALIASES.values()) <= set(species_names())
    assert {known_name(alias) for alias in ALIASES} == set(ALIASES.values())
    assert known_name(" Kentucky-Bluegrass ") == "Kentucky bluegrass"
    assert known_name("fescoo") is None


def test_frame_of_all_tables():
    frame = table_rows()
    assert len(frame) == sum(map(len, tables().values()))
    assert not frame[["table", "item", "title", "publisher", "locator", "grade"]].isin([""]).any(axis=None)
    only = table_rows("setbacks")
    assert set(only["table"]) == {"setbacks"}
    assert only.loc[only["item"] == "Vermont", "low"].item() == 25


def test_unknown_table():
    with pytest.raises(ChoiceError, match='no table "setback"; did you mean "setbacks"'):
        table_rows("setback")
