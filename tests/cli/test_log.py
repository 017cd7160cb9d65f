"""``lawnmap log``: what is typed is kept, and what follows from it is said."""

import json
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from lawnmap.cli.app import app
from lawnmap.errors import LawnmapError

ROOT = Path(__file__).parents[2]
run = CliRunner().invoke


@pytest.fixture
def home(tmp_path):
    """The homeowner's sample, with room for a log."""
    for name in ("yard.geojson", "job.toml", "catch.csv"):
        shutil.copy(ROOT / "sample_parcels" / "homeowner" / name, tmp_path / name)
    return tmp_path


def add(home, *words, date="2026-09-12"):
    done = run(app, ["log", str(home), "add", *words, "--date", date])
    if isinstance(done.exception, LawnmapError):
        raise done.exception
    assert done.exit_code == 0, done.output
    return done


def test_add_and_show(home):
    add(home, "tall fescue", "--amount", "25 lb", "--bought")
    words = (
        "--amount",
        "4 lb",
        "--zone",
        "Back yard",
        "--setting",
        "5",
        "--passes",
        "1",
        "--weather",
        "calm",
    )
    done = add(home, "tall fescue", *words)
    assert f"Added to {home / 'log.toml'}" in done.stderr
    assert "4 lb used of 25 lb bought, 21 lb left" in done.stdout
    assert "Back yard: 4 lb where 5.24 lb was planned (76%)" in done.stdout
    # by the sample's test runs, 2.05 lb / 1000 sq ft at 5 and 4.8 at 8: 2.05 × 5.24 / 4 is laid at 5.7
    assert "set the gate to 5.7 for the rest" in done.stdout
    shown = run(app, ["log", str(home)])
    assert shown.stdout == done.stdout


def test_a_stand_and_a_note(home):
    add(home, "--zone", "Back yard", "--cover", "60 %", "--photo", "a.jpg", "--photo", "b.jpg")
    done = add(home, "--note", "first mowing")
    assert "Back yard, 2026-09-12: 60 % cover" in done.stdout
    text = (home / "log.toml").read_text("utf-8")
    assert 'what = "stand"' in text
    assert 'photos = ["a.jpg", "b.jpg"]' in text
    assert 'what = "note"' in text


def test_as_json(home):
    done = add(home, "18-24-12 fertilizer", "--amount", "29 lb", "--json")
    read = json.loads(done.stdout)
    assert read["materials"][0]["by_zone"][0]["ratio"] == pytest.approx(1, abs=0.01)
    assert {dose["name"] for dose in read["doses"]} == {"N", "P2O5", "K2O"}


def test_today_if_no_date_is_given(home):
    assert run(app, ["log", str(home), "add", "--note", "x"]).exit_code == 0
    assert "date = 2" in (home / "log.toml").read_text("utf-8")


def test_a_yard_file_on_its_own(home):
    (home / "job.toml").unlink()
    add(home / "yard.geojson", "--note", "x")
    assert (home / "log.toml").exists()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["tall fescue"], 'the key "amount" is missing; add it'),
        (["tall fescue", "--amount", "11"], 'amount: "11" has no unit'),
        (["tall fescue", "--amount", "11 lb", "--zone", "Bak yard"], 'did you mean "Back yard"'),
        (["tall fescue", "--amount", "11 lb", "--area", "0 sq ft"], "'0 sq ft' is not possible"),
        ([], 'the key "note" is missing'),
        (["--cover", "170 %"], "it must be at most"),
    ],
)
def test_what_makes_no_sense_is_one_sentence_and_nothing_is_written(home, words, says):
    with pytest.raises(LawnmapError, match=says) as caught:
        add(home, *words)
    assert "\n" not in str(caught.value)
    assert not (home / "log.toml").exists()


def test_a_day_that_there_is_not(home):
    with pytest.raises(LawnmapError, match='"2026-02-30" is not a date; write year, month and day'):
        add(home, "--note", "x", date="2026-02-30")


def test_what_cannot_be_read_is_told_on_standard_error(home):
    add(home, "tall fescue", "--amount", "11 lb")
    with (home / "log.toml").open("a", encoding="utf-8") as stream:
        stream.write("\n[[entry]]\ndate = 2026-09-")
    done = run(app, ["log", str(home)])
    assert done.exit_code == 0
    assert "1 entry in the log" in done.stdout
    assert "log.toml, line 11: the entry" in done.stderr
