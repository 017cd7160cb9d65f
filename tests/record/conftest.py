"""A small measured yard, its plan, and a log written line by line."""

import pytest
from shapely.geometry import box

from lawnmap.evenness import TestRun, fit_settings
from lawnmap.measure import take_off
from lawnmap.rates import Fertilizer, Seed, Spray, Straw, Topdress, prescribe, spray_all, straw, topdress
from lawnmap.record import Planned, items_of, read_log
from lawnmap.yard import Obstacle, Yard, Zone

FOOT = 0.3048

SPRAY = Spray(
    name="invented herbicide",
    rate="4 fl oz / acre",
    yearly_maximum="10 fl oz / acre",
    applications=2,
    interval="4 weeks",
    active_ingredient="made up",
    strength="4 lb / gal",
    carrier="1 gal / 1000 sq ft",
    tank="2 gal",
)


def make_yard(*, shadowed=""):
    """2,000 sq ft bare in front, 3,000 sq ft patchy behind, and a zone wholly under a house if it is named."""
    zones = (
        Zone("front", box(0, 0, 40 * FOOT, 50 * FOOT), density="bare"),
        Zone("back", box(40 * FOOT, 0, 100 * FOOT, 50 * FOOT), density="patchy"),
    )
    if not shadowed:
        return Yard("Lot", zones)
    shape = box(110 * FOOT, 0, 120 * FOOT, 10 * FOOT)
    return Yard("Lot", (*zones, Zone(shadowed, shape, density="full")), (Obstacle("house", "house", shape),))


def make_planned(*, passes="two directions", runs=(), sprays=(SPRAY,), **more):
    """Tall fescue at 7 lb / 1000 sq ft (14 lb in front, 10.5 lb behind), 20-5-10 for 1 lb of N, covers in front."""
    takeoff = take_off(make_yard(shadowed=more.get("shadowed", "")))
    seed = Seed(species=more.get("species", "tall fescue"), rate_kg_per_m2="7 lb / 1000 sq ft")
    fertilizer = Fertilizer(
        grade="20-5-10",
        rate_kg_per_m2=more.get("nitrogen", "1 lb / 1000 sq ft"),
        ceiling_kg_per_m2=more.get("ceiling"),
    )
    prescription = prescribe(takeoff, seed=seed, fertilizer=fertilizer)
    covers = (topdress(takeoff, Topdress(on=["bare"])), straw(takeoff, Straw(area_per_bale="500 sq ft")))
    return Planned(
        takeoff,
        items_of(prescription, spray_all(takeoff, sprays), covers, passes=passes),
        seed,
        fertilizer,
        sprays,
        fit_settings(runs) if runs else None,
    )


@pytest.fixture
def yard():
    return make_yard()


@pytest.fixture
def planned():
    return make_planned()


@pytest.fixture
def plan_with():
    return make_planned


@pytest.fixture
def log_of(tmp_path):
    """Read a log from its text."""

    def read(text):
        path = tmp_path / "log.toml"
        path.write_text(text, "utf-8")
        return read_log(path)

    return read


@pytest.fixture
def curve_runs():
    """Setting n lays n lb on 1,000 sq ft."""
    return tuple(TestRun(setting=n, used=f"{n} lb", area="1000 sq ft") for n in (2, 4, 8))
