"""Seed-to-soil contact in the job: compared only where it is asked for, and shown."""

import json

import pytest
from shapely.geometry import box

from lawnmap.contact import Contact
from lawnmap.job import Choices, General, plan_yard
from lawnmap.sheets import brief
from lawnmap.sheets.page import write_page
from lawnmap.sheets.scene import compose
from lawnmap.yard import Yard, Zone

FOOT = 0.3048
GENERAL = General(leave_out=("lanes", "fertilizer"))


@pytest.fixture
def yard():
    return Yard(
        "Lot",
        (
            Zone("spot", box(0, 0, 8 * FOOT, 12 * FOOT), density="bare"),
            Zone("back", box(20 * FOOT, 0, 80 * FOOT, 60 * FOOT), density="patchy"),
            Zone("front", box(100 * FOOT, 0, 130 * FOOT, 60 * FOOT), density="full"),
        ),
    )


def test_it_is_compared_only_if_asked_for(yard):
    plan = plan_yard(yard, Choices(general=GENERAL))
    assert plan.contact is None
    assert plan.to_dict()["contact"] is None
    assert 'id="contact"' not in write_page(plan)


def test_zones_that_are_sown_get_advice(yard):
    plan = plan_yard(yard, Choices(general=GENERAL, contact=Contact()))
    assert [one.zone for one in plan.contact.advice] == ["spot", "back"]
    read = json.loads(json.dumps(plan.to_dict(), allow_nan=False))["contact"]
    assert [one["open"] for one in read["advice"]] == ["hand cultivator", plan.contact.advice[1].open]
    text = brief(plan)
    assert "spot (bare): hand cultivator, then tread it down, then straw" in text
    assert "Seed into the soil: " in text


def test_without_seed_there_is_nothing_to_advise(yard):
    plan = plan_yard(yard, Choices(general=General(leave_out=("lanes", "seed")), contact=Contact()))
    assert plan.contact.ways == ()
    assert 'id="contact"' not in write_page(plan)
    assert "Seed into the soil" not in brief(plan)


def test_lanes_of_the_machine_that_is_advised_are_on_the_map(yard):
    contact = Contact(ways=["hand cultivator", "core aerator"])
    plan = plan_yard(yard, Choices(general=GENERAL, contact=contact))
    (layer,) = (layer for layer in compose(plan).layers if layer.id.startswith("contact"))
    assert not layer.shown
    aerator = next(way for way in plan.contact.ways if way.name == "core aerator")
    drawn = layer.marks[0].shape
    assert len(drawn.geoms) == len(aerator.lanes.lanes) + len(aerator.lanes.loops)
    assert "Lanes of the core aerator" in write_page(plan)


def test_the_page_shows_the_ways_and_the_figures(yard):
    page = write_page(plan_yard(yard, Choices(general=GENERAL, contact=Contact(wage=30))))
    for words in ("what suits each zone", "The ways compared", "96 sq ft ÷ 300 sq ft/h", "hand cultivator"):
        assert words in page
    assert "prices not given" in page  # topdressing and straw without a price
