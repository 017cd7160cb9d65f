"""Columns and the words in them."""

import pytest

from lawnmap.errors import FileError
from lawnmap.survey.attributes import (
    MEANINGS,
    columns,
    is_empty,
    meant,
    read_density,
    read_length,
    read_percent,
    read_slope,
    told_by,
)


@pytest.mark.parametrize("meaning", MEANINGS)
def test_every_spelling_is_read_also_cut_to_ten_characters(meaning):
    for spelling in MEANINGS[meaning]:
        assert meaning in columns((spelling,))
        assert meaning in columns((spelling.upper().replace("_", " "),))
    ours = MEANINGS[meaning][0]
    assert columns((ours[:10],)) in ({meaning: ours[:10]}, {"vertex_accuracy_m": "vertex_acc"})


def test_the_first_spelling_wins_whatever_the_order_of_the_columns():
    assert columns(("label", "name"))["name"] == "name"
    assert columns(("name", "label"))["name"] == "name"


def test_empty_cells_mean_nothing():
    assert meant({"name": " ", "density": None, "cover": float("nan"), "slope": 0}) == {"slope_percent": 0}
    assert not is_empty(0)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("lawn", ("lawn", "")),
        ("Front Yard", ("lawn", "")),
        ("Driveways", ("obstacle", "drive")),
        ("house-lawn", ("lawn", "")),
        ("tree bed", ("obstacle", "bed")),
        ("Patio", ("obstacle", "walk")),
        ("Pond", ("water", "")),
        ("hydrant", ("landmark", "refill")),
        ("Tract 4", None),
    ],
)
def test_words_tell_roles(text, told):
    assert told_by(text) == told


def test_density_by_class_by_synonym_and_by_percent():
    assert read_density("Thin") == ("thin", None, False)
    assert read_density("sparse") == ("thin", None, True)
    assert read_density("35 %") == (None, 35.0, True)
    with pytest.raises(FileError, match='"thn" is not a density class; did you mean "thin"'):
        read_density("thn")


@pytest.mark.parametrize(("value", "percent"), [(60, 60), ("60 %", 60), ("7.5", 7.5), (0, 0), (100, 100)])
def test_percent(value, percent):
    assert read_percent(value) == percent


@pytest.mark.parametrize("value", [-1, 100.1, "many", float("inf"), True])
def test_impossible_percent(value):
    with pytest.raises(FileError, match=r"not possible|not a number"):
        read_percent(value)


def test_slope_in_percent_and_degrees():
    assert read_slope("10 %") == 10
    assert read_slope(45, degrees=True) == pytest.approx(100)
    with pytest.raises(FileError, match=r"slope of 150 \(56°\) is not possible"):
        read_slope(150)
    with pytest.raises(FileError, match="slope of -1 is not possible"):
        read_slope(-1)


def test_lengths_need_a_unit_from_column_or_cell():
    assert read_length(10, "ft") == pytest.approx(3.048)
    assert read_length("10", "ft") == pytest.approx(3.048)
    assert read_length("10 ft") == pytest.approx(3.048)
    with pytest.raises(FileError, match="has no unit"):
        read_length(10)
    with pytest.raises(FileError, match="is not possible"):
        read_length("-3", "m")
