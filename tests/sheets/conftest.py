"""Plans made by hand: an invented yard with everything on it that a sheet must be able to show."""

import functools
import math

import numpy as np
import pypdfium2
import pytest
import shapely
from shapely.affinity import rotate
from shapely.geometry import LineString, MultiLineString, MultiPolygon, Point, Polygon, box

from lawnmap.choices import Default
from lawnmap.job import Choices, General, Plan, plan_yard
from lawnmap.lanes import LanePlan, Pass, Rig
from lawnmap.measure import CutOut, Takeoff, ZoneArea
from lawnmap.rates import Load, Material, PackCount, Prescription, Seed, Source, ZoneAmount
from lawnmap.units import METRIC, US
from lawnmap.yard import Finding, Landmark, Obstacle, Origin, Plane, Water, Yard, Zone

SITE = Plane("EPSG:6488", "EPSG:6318", -76.75, 39.2, "US survey ft")
"""Somewhere on the Maryland plane; the yard is invented."""

RATE = {"bare": 0.0390, "thin": 0.0293, "patchy": 0.0195, "full": 0.0098}
TABLE_ROW = Source("Invented table for tests", "nobody", "row 1", "user")
LABEL = Source("Label of the bag", "", "analysis panel", "label")


def yard_of(plane, rename):
    """A house lot of 50 by 62 m with a creek behind it."""
    zones = (
        Zone("Front lawn", Polygon([(0, 0), (50, 0), (50, 18), (0, 20)]), "thin"),
        Zone("Back lawn", Polygon([(0, 32), (50, 30), (49, 58), (24, 62), (1, 57)]), None, 62.0),
        Zone("West side", box(0, 20, 13, 32), "full", None, 12.0),
        Zone("East side", box(38, 18.2, 50, 30), None),
        Zone("Spot by the gate", Point(45, 34).buffer(1.6), "bare"),
    )
    obstacles = (
        Obstacle("House", "house", Polygon([(13, 19), (33, 19), (33, 22), (38, 22), (38, 31), (13, 31)])),
        Obstacle("Drive", "drive", Polygon([(33, 0), (38.5, 0), (38.5, 22), (33, 22)])),
        Obstacle("Front path", "walk", box(21, 8, 33, 9.4).union(box(21, 8, 22.4, 19))),
        Obstacle("Terrace", "walk", box(16, 31, 28, 35)),
        Obstacle("Rose bed", "bed", Polygon([(2, 2), (12, 1.5), (12, 4), (2, 4.6)])),
        Obstacle("Pool", "pool", box(31, 38, 41, 43)),
        Obstacle("Oak", "tree", Point(11, 47).buffer(3.1)),
        Obstacle("Maple", "tree", Point(8, 12).buffer(2.0)),
        Obstacle("Shed", "other", box(2, 52, 6, 56)),
    )
    water = (Water("Mill creek", LineString([(-3, 59), (12, 61), (24, 64), (38, 62), (53, 58)]), 5.0),)
    landmarks = (
        Landmark("House corner NE", Point(38, 31), "corner"),
        Landmark("Side gate", Point(44, 30), "gate"),
        Landmark("Tap", Point(13, 26), "refill"),
        Landmark("East fence", LineString([(50, 0), (50, 30)]), "wall"),
        Landmark("Aim stake", Point(25, 57), "aim"),
    )
    named = functools.partial(map, lambda thing: type(thing)(**{**vars(thing), "name": rename(thing.name)}))
    return Yard(
        rename("14 Mill Lane"), *(tuple(named(things)) for things in (zones, obstacles, water, landmarks)),
        plane, Origin("mill_lane.gpkg", "GPKG", "yard", 0.05, "total station"),
        (Finding("cover-grade", rename("62 % cover makes “Back lawn” patchy"), "mill_lane.gpkg", mended=False),),
    )  # fmt: skip


def take_off(yard):
    """Plain shapely differences: enough for a sheet, which never calculates."""
    out = shapely.union_all([obstacle.polygon for obstacle in yard.obstacles])
    strip = shapely.union_all([water.shape.buffer(water.setback_m) for water in yard.water])
    zones, cutouts, taken = [], [], Polygon()
    for zone in sorted(yard.zones, key=lambda zone: zone.polygon.area):
        shape = zone.polygon.difference(taken)
        taken = taken.union(shape)
        ground = shape.difference(out)
        density = zone.density or ("patchy" if zone.cover_percent else "full")
        steep = math.hypot(1, zone.slope_percent / 100)
        zones.append(
            ZoneArea(
                zone.name,
                density,
                "stated" if zone.density else "cover" if zone.cover_percent else "default",
                zone.cover_percent,
                zone.slope_percent,
                zone.polygon.area,
                ground.area,
                0.05 * ground.length**0.5,
                ground.area * steep,
                ground.intersection(strip).area * steep,
                zone.polygon.area < 10,
                ground,
                ground.intersection(strip),
            )
        )
        cutouts += [
            CutOut(o.name, o.kind, zone.name, o.polygon.intersection(shape).area)
            for o in yard.obstacles
            if o.polygon.intersection(shape).area > 0.01
        ]
    order = [zone.name for zone in yard.zones]
    zones.sort(key=lambda zone: order.index(zone.name))
    net = sum(zone.net_area_m2 for zone in zones)
    gross = shapely.union_all([zone.polygon for zone in yard.zones]).area
    found = (
        *yard.findings,
        Finding("density-default", "no density is given, “full” is taken", order[3], mended=False),
    )
    return Takeoff(
        yard, tuple(zones), tuple(cutouts), gross, net, 1.9, net if yard.plane.georeferenced else None,
        0.05, "stated by the file", found,
    )  # fmt: skip


def prescribe(takeoff, rename):
    seed, feed = [], []
    for zone in takeoff.zones:
        rate, fed = RATE[zone.density], zone.surface_area_m2 - zone.unfed_area_m2
        seed.append(
            ZoneAmount(zone.name, zone.surface_area_m2, rate, rate * 0.75, rate * 1.25, rate * zone.surface_area_m2,
                       f"8 lb / 1000 sq ft × {RATE[zone.density] / 0.039:.2f} ({zone.density})", TABLE_ROW, zone.by_hand)
        )  # fmt: skip
        feed.append(
            ZoneAmount(zone.name, fed, 0.0204, 0.0204, 0.0204, 0.0204 * fed, "0.98 g N / m² ÷ 18 %", LABEL, zone.by_hand)
        )  # fmt: skip

    def material(name, kind, by_zone, packs, notes):
        total = sum(amount.amount_kg for amount in by_zone)
        bought = sum(pack.size_kg * pack.count for pack in packs)
        return Material(rename(name), kind, total, tuple(by_zone), 0.05, packs, bought - total, notes)

    return Prescription((
        material("Tall fescue blend", "seed", seed, (PackCount(22.6796, 2, "94.00"), PackCount(9.0718, 1, "41.50")), ("About 12 seeds per square inch on bare ground",)),
        material("18-24-12 starter", "fertilizer", feed, (PackCount(22.6796, 2),), ("Nitrogen stays under the ceiling of 1 lb / 1000 sq ft",)),
    ), (Finding("phosphorus", rename("Check whether your state restricts phosphorus"), "18-24-12 starter", mended=False),))  # fmt: skip


def strips(ground, swath_m, direction_deg):
    """Parallel lanes, boustrophedon, by clipping; no obstacle is walked round."""
    turned = rotate(ground.buffer(-swath_m), -direction_deg, origin=(25, 30))
    if turned.is_empty:
        return np.empty((0, 2, 2))
    west, south, east, north = turned.bounds
    lanes = []
    for step, height in enumerate(np.arange(south + swath_m / 2, north, swath_m)):
        cut = turned.intersection(LineString([(west - 1, height), (east + 1, height)]))
        parts = getattr(cut, "geoms", [cut])
        for part in parts:
            if part.length > swath_m:
                line = np.asarray(rotate(part, direction_deg, origin=(25, 30)).coords)
                lanes.append(line[::-1] if step % 2 else line)
    return np.array(lanes).reshape(-1, 2, 2)


def lay(takeoff, swath_m=1.8288):
    passes = []
    for zone in takeoff.zones:
        if zone.by_hand:
            continue
        for number, direction in ((1, 4.0), (2, 94.0)):
            lanes = strips(zone.ground, swath_m, direction)
            inner = zone.ground.buffer(-swath_m / 2)
            polygons = [part for part in getattr(inner, "geoms", [inner]) if not part.is_empty]
            loops = tuple(
                LineString(ring.coords) for part in polygons for ring in (part.exterior, *part.interiors)
            )
            walk = LineString(np.concatenate([np.asarray(loop.coords) for loop in loops] + list(lanes)))
            work = sum(loop.length for loop in loops) + float(np.hypot(*(lanes[:, 1] - lanes[:, 0]).T).sum())
            left = zone.ground.difference(inner.buffer(swath_m / 2))
            hand = MultiPolygon(
                [p for p in getattr(left, "geoms", [left]) if isinstance(p, Polygon) and p.area > 0.05]
            )
            passes.append(
                Pass(zone.name, number, 2, direction, swath_m, lanes, loops if number == 1 else (), walk, work,
                     walk.length, walk.length / 1.34 + 4 * len(lanes), hand)
            )  # fmt: skip
    return LanePlan(
        tuple(passes),
        (Finding("hand-corner", "2 corners are left to be spread by hand", "Back lawn", mended=False),),
    )


def loads_of(prescription):
    return tuple(
        Load(material.name, amount.zone, number, 2, amount.amount_kg / 2, amount.rate_kg_per_m2 / 2, fills,
             amount.amount_kg / 2 / fills)
        for material in prescription.materials
        for amount in material.by_zone
        if not amount.by_hand
        for number, fills in ((1, 1 + int(amount.amount_kg / 2 > 9)), (2, 1 + int(amount.amount_kg / 2 > 9)))
    )  # fmt: skip


def make_plan(*, georeferenced=True, units=US, rename=str, imagery=None, setback=True):
    """Build the plan; `rename` is called on every name and note that a user could have written."""
    takeoff = take_off(yard_of(SITE if georeferenced else Plane("local"), rename))
    prescription = prescribe(takeoff, rename)
    return Plan(
        rename("Spring renovation, 14 Mill Lane"), units, takeoff, prescription, loads_of(prescription), lay(takeoff),
        (
            Default("seed", "purity", "95 %", "Share of the seed that is the named kind"),
            Default("rig", "swath", "6 ft", "Distance between lanes"),
            Default("fertilizer", "grade", rename("18-24-12"), "What the label states"),
        ),
        (
            "The label on the product is the law: read it, and follow it where it and this plan differ.",
            "Keep fertilizer off paving and out of the water; sweep up what lands there.",
            "The west side slopes: walk across the slope, never down it with a loaded spreader.",
        ),
        (rename("Gate code from the client. Dog in the yard until noon."),),
        imagery,
    )  # fmt: skip


@functools.cache
def cached_plan(*, georeferenced=True, metric=False):
    return make_plan(georeferenced=georeferenced, units=METRIC if metric else US)


@functools.cache
def walked(*, georeferenced=True, rename=str):
    """The same yard planned by the rooms themselves: with a walk, refills and stakes."""
    yard = yard_of(SITE if georeferenced else Plane("local"), rename)
    rig = Rig(swath_m="6 ft", hopper_kg="6 lb")
    general = General(units="us" if georeferenced else "metric")
    return plan_yard(yard, Choices(general=general, rig=rig, seed=Seed(species="tall fescue")))


@pytest.fixture
def walked_plan():
    return walked()


@pytest.fixture
def walk_of():
    return walked


@pytest.fixture
def plan():
    return cached_plan()


@pytest.fixture
def local_plan():
    return cached_plan(georeferenced=False, metric=True)


@pytest.fixture
def build_plan():
    return make_plan


def line_strings(shape):
    return list(shape.geoms) if isinstance(shape, MultiLineString) else [shape]


def pdf_texts(path):
    document = pypdfium2.PdfDocument(path)
    try:
        return [page.get_textpage().get_text_range() for page in document]
    finally:
        document.close()


@pytest.fixture
def read_pdf():
    """Text of every page, read back by another library than the one that wrote it."""
    return pdf_texts


@pytest.fixture
def page_size():
    def size(path):
        document = pypdfium2.PdfDocument(path)
        try:
            return document[0].get_size()
        finally:
            document.close()

    return size
