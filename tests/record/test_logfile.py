"""The log as a file: added to whole or not at all, read however it was spoilt, never shortened."""

import datetime as dt
import errno
import os
import string
import tomllib
from concurrent.futures import ThreadPoolExecutor

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lawnmap.errors import ChoiceError, FileError, LawnmapError, OutputError, QuantityError
from lawnmap.record import LOG_FILE, Quantity, append_entry, read_log, read_quantity
from lawnmap.record.logfile import entry_text
from lawnmap.units import METRIC, US, parse

SEED = {"date": dt.date(2026, 9, 12), "material": "tall fescue", "amount": "11 lb", "zones": ["front"]}
NOTE = {"date": dt.date(2026, 9, 13), "what": "note", "note": "rain"}
GOOD = '[[entry]]\ndate = 2026-09-12\nmaterial = "lime"\namount = "40 lb"\n'


def entries(path):
    return [line.entry for line in read_log(path).lines]


def test_what_is_added_is_read(tmp_path):
    path = tmp_path / LOG_FILE
    append_entry(path, SEED)
    append_entry(path, NOTE)
    first, second = entries(path)
    assert (first.material, first.zones, first.day) == ("tall fescue", ("front",), dt.date(2026, 9, 12))
    assert first.amount == Quantity(pytest.approx(parse("11 lb", "mass")), "mass")
    assert second.note == "rain"
    assert path.read_text("utf-8").startswith("# What was really done")


def test_a_person_can_read_it_and_any_toml_reader_too(tmp_path):
    path = tmp_path / LOG_FILE
    append_entry(path, SEED)
    read = tomllib.loads(path.read_text("utf-8"))
    assert read["entry"] == [SEED]


def test_a_log_that_is_not_there_is_empty(tmp_path):
    assert read_log(tmp_path / LOG_FILE).lines == ()
    assert read_log(tmp_path / LOG_FILE).last_year is None


@given(
    note=st.text(max_size=60).filter(lambda text: text.strip()),
    photos=st.lists(st.text(string.printable, min_size=1, max_size=9), max_size=3),
    day=st.dates(dt.date(1990, 1, 1)),
)
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
def test_any_words_come_back_as_they_were(tmp_path, note, photos, day):
    path = tmp_path / "any.toml"
    path.unlink(missing_ok=True)
    try:
        note.encode()
    except UnicodeEncodeError:  # half of a surrogate pair cannot be typed
        return
    append_entry(path, NOTE | {"note": note, "photos": photos, "date": day})
    append_entry(path, SEED)
    log = read_log(path)
    assert not log.findings
    found = next(line.entry for line in log.lines if line.entry.what == "note")
    assert (found.note, list(found.photos), found.day) == (note, photos, day)


def test_nothing_of_the_file_is_ever_rewritten(tmp_path):
    path = tmp_path / LOG_FILE
    append_entry(path, SEED)
    before = path.read_bytes()
    append_entry(path, NOTE)
    assert path.read_bytes().startswith(before)


@pytest.mark.parametrize("cut", range(2, 118, 4))
def test_a_log_cut_off_anywhere_keeps_the_entries_before(tmp_path, cut):
    """The power went while the last entry was written; the next one begins on a line of its own."""
    path = tmp_path / LOG_FILE
    append_entry(path, SEED)
    whole = path.read_bytes()
    append_entry(path, SEED | {"note": "second", "area": "1000 sq ft"})
    path.write_bytes(path.read_bytes()[: min(len(whole) + cut, path.stat().st_size - 2)])
    append_entry(path, NOTE)
    log = read_log(path)
    assert [line.entry.note for line in log.lines] == ["", "rain"]
    (found,) = log.findings
    assert found.code == "log-entry-unread"
    assert "it counts for nothing until mended" in found.text
    assert f"{LOG_FILE}, line " in found.where


def test_half_a_character_is_refused(tmp_path):
    """What a terminal in another encoding hands over."""
    path = tmp_path / LOG_FILE
    with pytest.raises(ChoiceError, match=r"new entry, \[entry\], note: .* does not fit .*unicode"):
        append_entry(path, NOTE | {"note": "B\udcf6schung"})
    assert not path.exists()


def test_a_full_disk_leaves_the_log_as_it_was(tmp_path, monkeypatch):
    path = tmp_path / LOG_FILE
    append_entry(path, SEED)
    before = path.read_bytes()

    def full(_):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(
        OutputError, match=r"cannot be written \(no space left on device\); nothing was added"
    ):
        append_entry(path, NOTE)
    monkeypatch.undo()
    assert path.read_bytes() == before


def test_a_folder_that_is_not_there_is_told(tmp_path):
    with pytest.raises(OutputError, match=r"cannot be written \(no such file or directory\)"):
        append_entry(tmp_path / "none" / LOG_FILE, SEED)


def test_a_log_that_is_a_folder_is_told(tmp_path):
    (tmp_path / LOG_FILE).mkdir()
    with pytest.raises(FileError, match=r"cannot be read \(is a directory\)"):
        read_log(tmp_path / LOG_FILE)


def test_a_file_far_too_large_is_refused_unread(tmp_path):
    path = tmp_path / LOG_FILE
    with path.open("wb") as stream:
        stream.truncate(5_000_000_000)
    with pytest.raises(FileError, match="too large to be a log"):
        read_log(path)


@pytest.mark.parametrize(
    ("spoilt", "line", "says"),
    [
        (
            '[[entry]]\ndate = 2026-09-12\nmaterial = "lime\n',
            3,
            "the entry cannot be read: a quotation mark is missing at the end",
        ),
        ("[[entry]]\ndate = 2026-09-12\nmaterial", 3, "the entry cannot be read: Expected '=' after a key"),
        ("[[entr", 1, "the entry cannot be read"),
        ("[[entry]]\ndate = 2026-02-30\n", 2, "the entry cannot be read: Invalid date"),
        ('[[entry]]\ndate = "12 Sept"\n', 1, 'date: "12 Sept" is not a date; write year, month and day'),
        ("[[entry]]\ndate = 2026-09-12T10:00:00\n", 1, "is not a date"),
        ("[[entry]]\ndate = 20260912\n", 1, "20260912 is not a date"),
        ('[[entry]]\nmaterial = "lime"\namount = "1 lb"\n', 1, 'the key "date" is missing'),
        (GOOD.replace("amount", "amuont"), 1, 'there is no key "amuont" here; did you mean "amount"'),
        (GOOD.replace('"40 lb"', "40"), 1, "amount: 40 has no unit; write a weight, a volume or bales"),
        (GOOD.replace('"40 lb"', '"40 sq ft"'), 1, "is a quantity of area, not of weight; write a weight"),
        (GOOD.replace('"40 lb"', '"0 lb"'), 1, '"0 lb" is not possible; it must be more than 0'),
        (GOOD.replace('amount = "40 lb"\n', ""), 1, 'the key "amount" is missing'),
        (GOOD + "area = 12\n", 1, "area: 12 has no unit"),
        (GOOD + 'grade = "20"\n', 1, '"20" is not a grade'),
        (GOOD + "plants = 5\n", 1, "plants: 5 has no unit"),
        ('[[entry]]\ndate = 2026-09-12\nwhat = "stand"\n', 1, "neither cover nor plants is given"),
        ('[[entry]]\ndate = 2026-09-12\nwhat = "sold"\n', 1, "'sold' is not known; use one of: bought"),
        ("[[enrty]]\ndate = 2026-09-12\n", 1, '"enrty" is no entry; begin each with [[entry]]'),
        ("[entry]\ndate = 2026-09-12\n", 1, '"entry" is no entry'),
        ("[[entry]]\n\x00\x00\x00\n", 2, "the entry cannot be read"),
    ],
)
def test_an_entry_spoilt_by_hand_is_told_with_its_line_and_the_others_count(tmp_path, spoilt, line, says):
    path = tmp_path / LOG_FILE
    path.write_text(f"{GOOD}\n{spoilt}\n{GOOD.replace('lime', 'gypsum')}", "utf-8")
    log = read_log(path)
    assert [one.entry.material for one in log.lines] == ["lime", "gypsum"]
    (found,) = log.findings
    assert says in found.text
    assert found.where == f"{LOG_FILE}, line {5 + line}"
    assert "\n" not in str(found)


@pytest.mark.parametrize("end", ['material = "li', "material =", "mat", 'note = "', "zones = ["])
def test_a_last_line_that_is_cut_off_is_told(tmp_path, end):
    path = tmp_path / LOG_FILE
    path.write_text(f"{GOOD}\n[[entry]]\ndate = 2026-09-13\n{end}", "utf-8")
    log = read_log(path)
    (found,) = log.findings
    assert len(log.lines) == 1
    assert "the entry" in found.text
    assert found.where.startswith(f"{LOG_FILE}, line ")


def test_an_entry_nested_without_end_is_told(tmp_path):
    path = tmp_path / LOG_FILE
    path.write_text(f"{GOOD}[[entry]]\na = {'[' * 9000}\n{GOOD}", "utf-8")
    log = read_log(path)
    assert len(log.lines) == 2
    assert log.findings[0].code == "log-entry-unread"


def test_words_above_the_first_entry(tmp_path):
    path = tmp_path / LOG_FILE
    path.write_text(f"# a remark\n\n{GOOD}", "utf-8")
    assert not read_log(path).findings
    path.write_text(f"date = 2026-09-12\n{GOOD}", "utf-8")
    (found,) = read_log(path).findings
    assert '"date" is no entry' in found.text


def test_other_editors_and_systems(tmp_path):
    """Carriage returns, a byte order mark, and a letter in another encoding."""
    path = tmp_path / LOG_FILE
    path.write_bytes(b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode())
    assert not read_log(path).findings
    path.write_bytes((GOOD + 'by = "Jürgen"\n').encode("latin-1"))
    log = read_log(path)
    assert [found.code for found in log.findings] == ["log-not-utf8"]
    assert log.findings[0].where == f"{LOG_FILE}, line 5"
    assert log.lines[0].entry.by == "J�rgen"


def test_days_in_any_order_and_leap_days(tmp_path):
    path = tmp_path / LOG_FILE
    for day in (dt.date(2028, 2, 29), dt.date(2026, 9, 12), dt.date(2027, 3, 1)):
        append_entry(path, SEED | {"date": day})
    log = read_log(path)
    assert [entry.day.year for entry in entries(path)] == [2026, 2027, 2028]
    assert log.last_year == 2028
    with pytest.raises(ChoiceError, match='"2027-02-29" is not a date'):
        append_entry(path, SEED | {"date": "2027-02-29"})


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({"amount": "11"}, 'new entry, .*amount: "11" has no unit'),
        ({"area": 12.0}, r"area: 12\.0 has no unit"),
        ({"colour": "green"}, 'there is no key "colour" here'),
        ({"material": ""}, 'the key "material" is missing; add it'),
    ],
)
def test_what_could_not_be_read_again_is_not_written(tmp_path, values, says):
    path = tmp_path / LOG_FILE
    with pytest.raises(LawnmapError, match=says):
        append_entry(path, SEED | values)
    assert not path.exists()


@given(data=st.binary(max_size=300))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=150, deadline=None)
def test_any_bytes_are_read_without_a_fault(tmp_path, data):
    path = tmp_path / "bytes.toml"
    path.write_bytes(GOOD.encode() + b"\n" + data)
    log = read_log(path)
    assert log.lines or log.findings


@given(place=st.integers(0, 400), byte=st.integers(0, 255), drop=st.booleans())
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=150, deadline=None)
def test_one_wrong_byte_costs_no_more_than_the_entry_it_is_in(tmp_path, place, byte, drop):
    """An entry, and one more where its heading is spoilt, may be told; all others count."""
    path = tmp_path / "edited.toml"
    whole = "\n".join(GOOD.replace("lime", f"lime {n}") for n in range(6)).encode()
    place = min(place, len(whole) - 1)
    path.write_bytes(whole[:place] + (b"" if drop else bytes([byte])) + whole[place + 1 :])
    log = read_log(path)
    assert len(log.lines) >= 4
    assert len(log.lines) == 6 or log.findings


def test_two_people_at_once(tmp_path):
    path = tmp_path / LOG_FILE
    append_entry(path, SEED)

    def write(who):
        for number in range(25):
            append_entry(path, NOTE | {"by": who, "note": f"{who} {number}"})

    with ThreadPoolExecutor() as crew:
        list(crew.map(write, ("one", "two", "three")))
    log = read_log(path)
    assert not log.findings
    assert {line.entry.note for line in log.lines[1:]} == {
        f"{who} {number}" for who in ("one", "two", "three") for number in range(25)
    }


def test_empty_values_are_left_out():
    text = entry_text({"date": dt.date(2026, 9, 12), "note": "", "zones": [], "passes": None, "setting": 5.0})
    assert text == "[[entry]]\ndate = 2026-09-12\nsetting = 5.0\n"


@pytest.mark.parametrize(
    ("text", "kind", "units", "shown", "key"),
    [
        ("11 lb", "seed", US, "11 lb", {"used_kg": 4.98951607}),
        ("3 fl oz", "spray", US, "3 fl oz", {"used_l": 0.0887205887}),
        ("8 oz", "spray", US, "8 oz (weight)", {"used_kg": 0.22679618}),
        ("1.5 cu yd", "topdressing", US, "1.5 cu yd", {"used_l": 1146.8323}),
        ("4 bales", "straw", METRIC, "4 bales", {"used_bales": 4.0}),
        ("1 bale", "straw", US, "1 bales", {"used_bales": 1.0}),
    ],
)
def test_quantities(text, kind, units, shown, key):
    quantity = read_quantity(text)
    assert quantity.write(units, kind) == shown
    assert quantity.to_dict("used") == pytest.approx(key)


def test_a_quantity_of_another_kind():
    with pytest.raises(QuantityError, match='write a weight, a volume or bales: "11 lb"'):
        read_quantity("4 acres")


@pytest.mark.parametrize(
    ("quantity", "kind", "units", "shown"),
    [
        (Quantity(parse("7 lb / 1000 sq ft", "mass_per_area"), "mass"), "seed", US, "7 lb / 1000 sq ft"),
        (Quantity(parse("1/4 in", "length"), "volume"), "topdressing", US, "0.25 in deep"),
        (Quantity(0.01, "bales"), "straw", METRIC, "1 bales / 100 m²"),
        (
            Quantity(parse("2 fl oz / 1000 sq ft", "depth"), "volume"),
            "spray",
            US,
            "2 fl oz / 1000 sq ft",
        ),
    ],
)
def test_rates_are_written(quantity, kind, units, shown):
    assert quantity.write_rate(units, kind) == shown
