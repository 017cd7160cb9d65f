"""The calendar file, read by a second library, and by the rules of RFC 5545 itself."""

import re
import subprocess
import sys
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from uuid import UUID

import pytest
import vobject
from hypothesis import example, given, settings
from hypothesis import strategies as st

from lawnmap.schedule import Dates, Station, irrigate, season
from lawnmap.sheets import brief, write
from lawnmap.sheets.diary import diary

ROOT = Path(__file__).parents[2]
SAMPLE = ROOT / "sample_parcels" / "portfolio"
BLEND = {"tall fescue": 0.9, "Kentucky bluegrass": 0.1}
DATES = Dates(seeding=date(2026, 9, 8), first_frost=date(2026, 11, 5))


def with_season(plan, dates=DATES):
    stations = [
        Station(name=f"station {i}", zones=(zone.name,), precipitation_m_per_s="0.4 in/h", uniformity="70 %")
        for i, zone in enumerate(plan.takeoff.zones)
        if zone.net_area_m2
    ]
    made = season(plan.takeoff, plan.prescription, dates, species=BLEND)
    return replace(plan, season=made, watering=irrigate(plan.takeoff, stations, None, made))


@pytest.fixture
def dated(plan):
    return with_season(plan)


def events(text):
    return vobject.readOne(text.decode("utf-8")).vevent_list


def by_uid(text):
    return {event.uid.value: event for event in events(text)}


def test_another_library_reads_every_step_and_phase(dated):
    found = events(diary(dated))
    titles = [event.summary.value.removeprefix(f"{dated.name}: ") for event in found]
    assert titles[: len(dated.season.steps)] == [step.name for step in dated.season.steps]
    assert len(found) == len(dated.season.steps) + len(dated.watering.phases)


def test_every_entry_is_valid(dated):
    """vobject checks what RFC 5545, 3.6.1, requires and allows once of a VEVENT."""
    book = vobject.readOne(diary(dated).decode("utf-8"))
    assert book.validate(raiseException=True)
    assert book.version.value == "2.0"
    assert book.prodid.value


def test_entries_are_of_whole_days_and_end_on_the_day_after(dated):
    """RFC 5545, 3.6.1: DTEND of a DATE is not part of the event."""
    found = events(diary(dated))
    for event, step in zip(found, dated.season.steps, strict=False):
        assert event.dtstart.value == step.day
        assert type(event.dtstart.value) is date
        assert event.dtend.value - event.dtstart.value == timedelta(days=1)
    for event, phase in zip(found[len(dated.season.steps) :], dated.watering.phases, strict=True):
        assert (event.dtstart.value, event.dtend.value - timedelta(days=1)) == (phase.first, phase.last)


def test_lines_are_folded_and_end_as_they_must(dated):
    """RFC 5545, 3.1: lines end in CRLF and hold 75 octets at most."""
    text = diary(dated)
    assert text.endswith(b"END:VCALENDAR\r\n")
    assert b"\n" not in text.replace(b"\r\n", b"")
    assert max(map(len, text.split(b"\r\n"))) <= 75


def test_the_same_plan_gives_the_same_bytes(dated):
    assert diary(dated) == diary(with_season(dated))


def test_a_moved_day_renews_its_entry_instead_of_adding_one(plan, dated):
    later = with_season(plan, Dates(seeding=date(2026, 9, 12), first_frost=date(2026, 11, 5), revision=1))
    old, new = by_uid(diary(dated)), by_uid(diary(later))
    assert old.keys() == new.keys()
    assert len(old) == len(events(diary(dated)))
    for uid, event in new.items():
        assert event.sequence.value == "1"
        assert old[uid].sequence.value == "0"
        assert event.dtstamp.value > old[uid].dtstamp.value
        assert UUID(uid).version == 5


def test_another_job_and_another_season_have_entries_of_their_own(plan, dated):
    others = [
        diary(replace(dated, name="Another lot")),
        diary(with_season(plan, Dates(seeding=date(2027, 9, 8)))),
        diary(with_season(plan, Dates(seeding=date(2026, 9, 8), season="second try"))),
    ]
    seen = [by_uid(diary(dated)).keys(), *(by_uid(text).keys() for text in others)]
    assert all(not a & b for i, a in enumerate(seen) for b in seen[i + 1 :])


def test_any_name_comes_through_as_text(dated):
    """Words of the user cannot begin a property of their own, whatever they hold."""
    entries = len(dated.season.steps) + len(dated.watering.phases)

    @settings(max_examples=60, deadline=None)
    @given(name=st.text(min_size=1, max_size=120))
    @example(name="\x0c0")
    @example(name="x\r\nEND:VEVENT\r\n")
    @example(name="Ärger, 1; 2\\3: \U0001f33e" * 4)
    def check(name):
        found = events(diary(replace(dated, name=name)))
        assert len(found) == entries
        shown = " ".join(name.split())
        if shown and re.fullmatch(r"[\w ,;:\\-]+", shown):
            assert found[0].summary.value.startswith(shown)

    check()


def test_the_folder_holds_it_and_the_page_links_to_it(dated, tmp_path):
    write(dated, tmp_path / "out")
    assert (tmp_path / "out" / "season.ics").read_bytes() == diary(dated)
    page = (tmp_path / "out" / "map.html").read_text("utf-8")
    assert 'href="season.ics"' in page
    for words in (
        "The season, day by day",
        "Water, phase by phase",
        "Stations, in the order in which they run",
    ):
        assert words in page


def test_a_plan_without_dates_has_none_of_it(plan, tmp_path):
    write(plan, tmp_path / "out")
    assert not (tmp_path / "out" / "season.ics").exists()
    page = (tmp_path / "out" / "map.html").read_text("utf-8")
    assert "day by day" not in page
    assert "Water, phase" not in page
    assert "Calendar" not in brief(plan)


def test_the_brief_names_the_days_and_the_water(dated):
    text = brief(dated)
    assert "Calendar: sow Tue 8 Sep 2026, first mowing" in text
    assert "Water until all seed is up: 2 rounds of" in text


def test_the_calendar_library_is_loaded_only_for_a_calendar(tmp_path):
    """A plan without dates is not slowed down by it."""
    code = (
        "import sys, lawnmap; "
        f"lawnmap.write(lawnmap.plan({str(SAMPLE)!r}), {str(tmp_path / 'out')!r}); "
        "print('icalendar.cal' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60, cwd=ROOT
    )
    assert done.stdout.strip() == "False"
