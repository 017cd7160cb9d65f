"""The season and the water in words, and the sheet on the page, on a phone and on paper."""

from dataclasses import replace
from datetime import date

import pypdfium2
import pytest

from lawnmap.rates import Spray
from lawnmap.schedule import Dates, Hold, Station, Water, irrigate, season
from lawnmap.sheets import write
from lawnmap.sheets.timetable import brief_lines, phase_table, season_table, station_table

BLEND = {"tall fescue": 0.9, "Kentucky bluegrass": 0.1}
SPRAY = Spray(
    name="siduron",
    rate="5 fl oz / acre",
    yearly_maximum="20 fl oz / acre",
    carrier_m="40 gal / acre",
    tank_m3="4 gal",
    wait_s="0 days",
    interval_s="28 days",
    applications=2,
)


def dated(plan, water=None, **values):
    dates = Dates(**{"seeding": date(2026, 9, 8), "hemisphere": "northern"} | values)
    zones = [zone.name for zone in plan.takeoff.zones]
    stations = [
        Station(name="heads", zones=(zones[0],), flow_m3_per_s="8 gal/min"),
        Station(name="rotors", zones=tuple(zones[1:]), flow_m3_per_s="20 gal/min", uniformity="60 %"),
    ]
    made = season(plan.takeoff, plan.prescription, dates, species=BLEND, sprays=[SPRAY])
    return replace(plan, season=made, watering=irrigate(plan.takeoff, stations, water, made))


def test_a_row_says_what_when_what_for_and_where_from(plan):
    table = season_table(dated(plan))
    rows = {row[1]: row for row in table.rows}
    assert rows["Sow"][0].replace("\u00a0", " ") == "Tue 8 Sep 2026 (your day)"
    assert "14 days after Soil test" in rows["Sow"][3]
    assert rows["Spray siduron 2 of 2"][3] == "28 days after Spray siduron 1 of 2"
    assert rows["Light traffic may begin"][3] == "63 days after Sow"
    told = {int(text[1:].partition("]")[0]) for text in table.notes if text.startswith("[")}
    ends = [tuple(map(int, part.strip("[]").split("–"))) for row in table.rows for part in row[4].split()]
    assert (
        {number for end in ends for number in range(end[0], end[-1] + 1)}
        == told
        == set(range(1, len(told) + 1))
    )


def test_a_held_day_says_what_moved_it(plan):
    hold = Hold(first=date(2026, 9, 8), last=date(2026, 9, 9), why="rain")
    rows = {row[1]: row for row in season_table(dated(plan, holds=(hold,))).rows}
    assert rows["Sow"][0].endswith("Sep\u00a02026 (moved: rain)")


def test_metric_sheets_hold_no_inches_of_ours(local_plan):
    made = dated(local_plan)
    cells = [cell for table in (phase_table(made), station_table(made)) for row in table.rows for cell in row]
    assert any(cell.endswith(" mm") for cell in cells)
    assert any(cell.endswith(" mm/h") for cell in cells)
    assert not any(cell.endswith((" in", " in/h", " gal")) for cell in cells)


def test_a_station_without_a_test_says_so(plan):
    rows = station_table(dated(plan)).rows
    assert rows[0][0] == "1. heads"
    assert rows[0][3:5] == ("not tested", "× 1")
    assert rows[1][3] == "60 %"


def test_what_does_not_fit_is_not_told_as_if_it_did(plan):
    made = dated(plan, Water(hours=(("6:00", "6:01"),)))
    assert all(row[3].startswith("none fits") for row in phase_table(made).rows)


def test_a_station_without_seed_has_no_minutes_and_no_place_in_the_rounds(plan):
    made = dated(plan)
    zones = [zone.name for zone in plan.takeoff.zones]
    stations = [
        Station(name="front", zones=(zones[0],), flow_m3_per_s="8 gal/min"),
        Station(name="back", zones=(zones[1],), flow_m3_per_s="8 gal/min"),
    ]
    made = replace(made, watering=irrigate(plan.takeoff, stations, None, made.season, {zones[1]}))
    assert station_table(made).rows[0][5:] == ("no seed here",) * 3
    assert station_table(made).rows[1][5].endswith(" min")
    none = replace(made, watering=irrigate(plan.takeoff, stations, None, made.season, {"nowhere"}))
    assert phase_table(none) is None
    assert len(brief_lines(none)) == 1


def test_limits_and_prices_are_said(plan):
    made = dated(plan, Water(price_per_m3="2 / m3", days=("Monday", "Thursday")))
    assert "on 2 days a week" in brief_lines(made)[1]
    assert "a week, less what rain gives" in brief_lines(made)[1]
    assert phase_table(made).rows[0][3] == "2 a day, Monday and Thursday"
    cost = float(phase_table(made).rows[0][7])
    assert cost == pytest.approx(2 * made.watering.phases[0].volume_m3_per_week, abs=0.01)


def test_nothing_to_say_without_a_calendar(plan):
    assert season_table(plan) is phase_table(plan) is station_table(plan) is None
    assert brief_lines(plan) == []


@pytest.mark.browser
def test_the_season_fits_a_phone_and_prints_on_one_page_with_boxes_to_tick(plan, browser, tmp_path):
    made = dated(plan, first_frost=date(2026, 11, 5))
    path = write(made, tmp_path / "out")
    page = browser.new_page(viewport={"width": 390, "height": 844})
    page.goto(path.as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    box = "getComputedStyle(document.querySelector('.season tbody th'), '::before')"
    assert page.evaluate(f"{box}.content") == "none"
    page.emulate_media(media="print")
    assert page.evaluate(f"{box}.borderTopStyle") == "solid"
    page.pdf(path=tmp_path / "sheet.pdf", format="Letter")
    page.close()
    texts = [sheet.get_textpage().get_text_range() for sheet in pypdfium2.PdfDocument(tmp_path / "sheet.pdf")]
    first = next(i for i, text in enumerate(texts) if "day by day" in text)
    last = season_table(made).notes[-1][:30]
    assert last in " ".join(texts[first].split())
    assert "Next spring" in texts[first]
    assert "Water, phase by phase" not in texts[first]
