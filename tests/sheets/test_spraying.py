"""The panels of sprays and covers: what the tables say, and that a user's words stay words."""

from dataclasses import replace

import pytest

from lawnmap.rates import Spray, Straw, Topdress, spray_all, straw, topdress
from lawnmap.sheets.covering import cover_line, cover_table
from lawnmap.sheets.figures import cards as cards_of
from lawnmap.sheets.page import write_page
from lawnmap.sheets.spraying import spray_line, spray_tables
from lawnmap.sheets.zonework import with_work
from lawnmap.units import METRIC, US

LABEL = {
    "name": "invented <b>herbicide</b>",
    "rate": "10 fl oz / acre",
    "yearly_maximum": "40 fl oz / acre",
    "carrier": "1 gal / 1000 sq ft",
    "tank": "4 gal",
}


def with_sprays(plan, *labels):
    return replace(plan, sprays=spray_all(plan.takeoff, [Spray(**label) for label in labels]))


def table(plan, title):
    return next(one for one in spray_tables(plan) if title in one.title)


def test_tables_of_one_spray(plan):
    sprayed = with_sprays(plan, LABEL | {"applications": 2, "rules": ["no surfactant at seeding."]})
    (spray,) = sprayed.sprays
    zones, tanks, year = spray_tables(sprayed)
    assert len(zones.rows) == len(zones.marks) == len(spray.by_zone)
    assert "Your label: no surfactant at seeding." in zones.notes
    assert tanks.rows[0][:2] == (f"1 to {spray.full_tanks}, each", "4 gal")
    assert tanks.rows[-1][0] == f"{spray.tanks}, part full"
    assert [row[2] for row in year.rows] == ["25 %", "50 %"]


def test_products_of_one_tank_stand_in_one_table(plan):
    """Two tables of the same tanks would be filled twice."""
    dye = LABEL | {"name": "dye", "rate": "20 fl oz / acre", "mix_with": [LABEL["name"]]}
    mixed = with_sprays(plan, LABEL | {"mix_with": ["dye"]}, dye)
    titles = [one.title for one in spray_tables(mixed)]
    assert sum("Tank by tank" in title for title in titles) == 1
    tanks = table(mixed, "Tank by tank")
    assert tanks.heads[2:4] == (f"Product: {LABEL['name']}", "Product: dye")
    assert any("only because both labels say" in note for note in tanks.notes)
    assert any("goes into the same tanks" in note for note in table(mixed, "Spraying: dye").notes)


def test_nothing_to_spray_is_said(plan):
    idle = with_sprays(plan, LABEL | {"zones": ["Front lawn"], "on": ["full"]})
    assert spray_line(idle.sprays[0], US).endswith("nothing to spray")
    assert [one.title for one in spray_tables(idle)] == [f"Over the year: {LABEL['name']}"]


def test_the_page_shows_panels_rinsing_and_no_markup_of_the_user(plan):
    covers = (topdress(plan.takeoff, Topdress(bag="2 cu ft")), straw(plan.takeoff, Straw()))
    page = write_page(replace(with_sprays(plan, LABEL), covers=covers))
    assert 'id="spraying"' in page
    assert 'id="covering"' in page
    assert "Rinsing, before and after" in page
    assert "drain 30 s" in page
    assert "<b>herbicide" not in page
    bare = write_page(plan)
    assert 'id="spraying"' not in bare
    assert 'id="covering"' not in bare


@pytest.mark.parametrize(
    ("units", "shown"), [(US, "cu yd"), (METRIC, " L)")], ids=["cubic yards", "cubic metres and litres"]
)
def test_topdressing_is_written_in_bulk(plan, units, shown):
    cover = topdress(plan.takeoff, Topdress(bag="2 cu ft", load="1 cu yd", weight="35 lb/cu ft"), units=units)
    found = cover_table(replace(plan, units=units), cover)
    assert shown in found.total[2]
    assert any("bags or bales" in note and "load" in note and "to carry" in note for note in found.notes)
    assert cover_line(cover, units).startswith("Compost: ")


def test_one_bale_is_one_bale(plan):
    cover = straw(plan.takeoff, Straw(area_per_bale="5 acre"))
    assert cover_line(cover, US).endswith("buy 1 bale")


def test_the_card_of_a_zone_tells_what_else_it_gets(plan):
    covered = replace(with_sprays(plan, LABEL), covers=(straw(plan.takeoff, Straw(on=["thin"])),))
    cards = with_work(cards_of(covered), covered)
    front = dict(cards["z0"].rows)
    assert front["Straw"].endswith(" bales")
    assert front[f"Spray: {LABEL['name']}"].endswith(" gal")
    assert with_work(cards_of(plan), plan) == cards_of(plan)
