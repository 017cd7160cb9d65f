"""A lawn of exactly 1000 m², a made-up product and a made-up price book, so that every amount can be worked by hand."""

from dataclasses import replace
from itertools import pairwise
from types import SimpleNamespace

import numpy as np
import pytest
from shapely.geometry import LineString, MultiPolygon, box

from lawnmap.lanes import Labour, LanePlan, Leg, Outing, Pass, Rig
from lawnmap.lanes.refills import Refill
from lawnmap.measure import take_off
from lawnmap.quote import Prices, Work
from lawnmap.rates import Material, PackCount, Prescription, Source, ZoneAmount
from lawnmap.units import METRIC
from lawnmap.yard import Yard, Zone

SOURCE = Source("made up for a test", "", "", "user")


def product(name="lime", packs=(), allowance=0.0):
    """20 g/m² over 1000 m²: 20 kg."""
    amount = ZoneAmount("front", 1000.0, 0.02, 0.02, 0.02, 20.0, "", SOURCE)
    return Material(name, "product", 20.0, (amount,), allowance, packs)


def one_pass(number=1):
    """Ten lanes of 100 m, 2 m apart, and nine ways of 2 m between them, at 1 m/s and 6 s a turn."""
    points = [(2.0 * i, 100.0 * ((i + step) % 2)) for i in range(10) for step in (0, 1)]
    legs = []
    for i, (start, end) in enumerate(pairwise(points)):
        legs.append(Leg("way" if i % 2 else "lane", np.array([start, end]), i // 2 + 1))
    lanes = np.array([leg.points for leg in legs if leg.kind == "lane"])
    return Pass(
        "front", number, 1, 90.0, 2.0, lanes, (), LineString(points), 1000.0, 1018.0, 1018.0 + 9 * 6,
        MultiPolygon([box(0, 0, 2, 10)]), tuple(legs),
    )  # fmt: skip


def outing(name):
    """The pass, walked with two fills of two minutes."""
    walked = replace(one_pass(), refills=(refill(1), refill(2)))
    return Outing(name, (walked,), Labour(1000.0, 18.0, 9 * 6.0, 2 * 120.0, 2000.0), Rig())


def refill(number):
    here = np.empty((0, 2))
    return Refill(number, -1, 0.0, 500.0, 0.5, here, here, 0.0)


def work_of(*materials, lanes=True):
    yard = Yard("lot", (Zone("front", box(0, 0, 20, 50), "bare"),))
    outings = tuple(outing(material.name) for material in materials)
    laid = LanePlan((one_pass(),), outings=outings) if lanes else LanePlan(())
    return Work(take_off(yard), Prescription(materials), laid, METRIC)


def book(**more):
    """Prices from keys as a person writes them."""
    return Prices.read(more, file="job.toml")


@pytest.fixture(scope="session")
def made():
    """Work, products and prices to make, and two bags of 10 kg."""
    return SimpleNamespace(work=work_of, product=product, book=book, bags=(PackCount(10.0, 2),))
