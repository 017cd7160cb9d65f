"""Lane planning measured: path, cover, lanes and time, beside a naive plan, judged by shapely alone.

Run ``python tests/benchmarks/bench_lanes.py``. Cover is the union of all swaths on a snap grid, cut with the
lawn; the planner's own count is not used. Times are processor time of one thread.
"""

import os

os.environ.setdefault("OMP_NUM_THREADS", "1")

import argparse
from time import process_time

import numpy as np
import shapely
from yards import ACRE_SQFT, house_lot, lawns300, round_beds

from lawnmap.lanes import Rig, Spread, lay, lay_for_products, put_down
from lawnmap.lanes.coverage import swaths
from lawnmap.lanes.direction import altitude_sum
from lawnmap.lanes.headland import headland
from lawnmap.lanes.strips import edges_of, project
from lawnmap.measure import Ground, take_off
from lawnmap.yard import Landmark, Obstacle, Yard, Zone

FOOT = 0.3048
TURN_FT = 12.0  # what a turn is worth in walking
PROTOTYPE = {  # an earlier prototype of our own on the same lawns: path, cover, lanes, ways, ms
    "naive": (1.1796, 0.9757, 10263, 0.164, 1.1),
    0.0: (1.1494, 0.9710, 9492, 0.133, 7.5),
    0.5: (1.1931, 0.9900, 9399, 0.129, 7.4),
    1.0: (1.2240, 0.9972, 9415, 0.125, 7.0),
}


def rig_of(swath, lane_end, passes="one direction"):
    return Rig(swath_m=swath, passes=passes, lane_end=lane_end, turn_s=TURN_FT, speed_m_per_s=1)


def planned(lawn, swath, lane_end):
    """Plan; lanes, rounds, path and ways between."""
    made = lay(lawn, rig_of(swath, lane_end)).passes[0]
    ways = sum(leg.length_m for leg in made.legs if leg.kind == "way")
    return made.lanes, made.loops, made.path_length_m, ways


def naive(lawn, swath):
    """One round, lanes along the longest edge cut off at the edge, always on to the nearest lane."""
    edge = headland(lawn, swath, 1)
    edges = edges_of(edge.core)
    loops_ft = sum(loop.length for loop in edge.loops) + swath * len(edge.loops)
    outer = edges_of(shapely.Polygon(lawn.exterior))
    step = outer[:, 1] - outer[:, 0]
    longest = step[np.argmax(np.hypot(step[:, 0], step[:, 1]))]
    angle = float(np.arctan2(longest[1], longest[0]) % np.pi)
    low = (edges[:, :, 1] * np.cos(angle) - edges[:, :, 0] * np.sin(angle)).min(initial=1e9)
    lanes = project(edges, np.array([[angle, low]]), swath, 0.0, thin=False).lanes(angle)
    if not len(lanes):
        return lanes, edge.loops, loops_ft, 0.0
    left, place, ordered, ways = list(range(len(lanes))), lanes[0, 0], [], 0.0
    while left:
        far = np.hypot(*(lanes[left] - place).reshape(-1, 2).T)
        best, end = divmod(int(np.argmin(far)), 2)
        lane = lanes[left.pop(best)]
        lane = lane[::-1] if end else lane
        shut = shapely.LineString([place, lane[0]])
        way = shut.length
        for ring in shapely.get_rings(lawn):  # round what is in the way, by the shorter side of its ring
            if shut.crosses(ring):
                way += max(0.0, _round(ring, shut))
        ways, place = ways + way, lane[1]
        ordered.append(lane)
    lanes = np.array(ordered)
    return lanes, edge.loops, loops_ft + np.hypot(*(lanes[:, 1] - lanes[:, 0]).T).sum() + ways, ways


def _round(ring, shut):
    places = shapely.get_coordinates(shapely.intersection(ring, shut))
    if len(places) < 2:
        return 0.0
    along = shapely.line_locate_point(ring, shapely.points(places))
    near, far = along.min(), along.max()
    straight = float(np.hypot(*(places.max(axis=0) - places.min(axis=0))))
    return min(far - near, ring.length - far + near) - straight


def judge(lawn, swath, plan):
    """Path and ways over area / swath, cover, overlap, lanes."""
    lanes, loops, path, ways = plan
    ground = swaths(lanes, loops, swath)
    inside = shapely.area(shapely.intersection(ground, lawn)).sum()
    covered = shapely.union_all(ground, grid_size=1e-5).intersection(lawn).area
    least = lawn.area / swath
    return path / least, covered / lawn.area, (inside - covered) / lawn.area, len(lanes), ways / least


def table(name, lawns):
    """Compare the planner with the naive plan on some lawns."""
    print(f"\n{name}: {len(lawns)} lawns, one round, turns worth {TURN_FT:g} ft")
    print(
        f"{'plan':<16}{'path':>8}{'cover':>8}{'overlap':>9}{'per cov.':>9}{'lanes':>8}{'ways':>8}{'ms':>7}{'p95':>7}"
    )
    ways_to_plan = {"naive": naive, **{f: lambda a, b, f=f: planned(a, b, f) for f in (0.0, 0.5, 1.0)}}
    for key, way in ways_to_plan.items():
        rows, times = [], []
        for lawn, swath in lawns:
            began = process_time()
            plan = way(lawn, swath)
            times.append(1e3 * (process_time() - began))
            rows.append(judge(lawn, swath, plan))
        path, cover, overlap, lanes, ways = np.array(rows).T
        label = key if key == "naive" else f"lane_end {key:g}"
        print(
            f"{label:<16}{path.mean():>8.4f}{cover.mean():>8.4f}{overlap.mean():>9.4f}{(path / cover).mean():>9.4f}"
            f"{lanes.sum():>8.0f}{ways.mean():>8.4f}{np.mean(times):>7.1f}{np.percentile(times, 95):>7.1f}"
        )
        if name.startswith("300"):
            path_, cover_, lanes_, ways_, ms_ = PROTOTYPE[key]
            print(
                f"{'  (prototype)':<16}{path_:>8.4f}{cover_:>8.4f}{'':>18}{lanes_:>8}{ways_:>8.4f}{ms_:>7.1f}"
            )
            if key != "naive":
                best = np.mean([reckoned(lawn, swath, key) for lawn, swath in lawns])
                print(f"{'  (reckoned)':<16}{best:>8.4f}  by closed form, no way round anything")
            if key == 0.5:
                print(f"  lanes / (least sum of altitudes / swath), median: {lane_ratio(lawns, lanes):.3f}")


def lane_ratio(lawns, lanes):
    """Median of lanes over the least sum of altitudes, as a number of swaths."""
    angles = np.radians(np.arange(0, 180, 1.0))
    least = [altitude_sum(edges_of(lawn), angles).min() / swath for lawn, swath in lawns]
    return float(np.median(lanes / np.array(least)))


def reckoned(lawn, swath, lane_end):
    """What the closed forms expect of the best direction, over area / swath, without a single detour.

    The round; the ground within over the swath; the run-on at slanted ends, lane_end times the altitude sum
    along the lanes; between neighbouring lanes the edge that joins their ends, of both ends one (half the edges);
    one swath to get to each round. No plan of straight lanes with one round does much better, as every term is
    the mean over all places of the grid.
    """
    edge = headland(lawn, swath, 1)
    least, rounds = lawn.area / swath, sum(loop.length for loop in edge.loops)
    if edge.core.is_empty:
        return rounds / least
    angles = np.radians(np.arange(0, 180, 0.5))
    edges = edges_of(edge.core)
    step = edges[:, 1] - edges[:, 0]
    rise = np.abs(np.outer(np.cos(angles), step[:, 1]) - np.outer(np.sin(angles), step[:, 0]))
    ways = 0.5 * np.where(rise > swath / 2, np.hypot(*step.T), rise).sum(axis=1) - swath
    along = altitude_sum(edges, angles + np.pi / 2)
    turns = TURN_FT / swath * altitude_sum(edges, angles)
    skipped = (1 - lane_end) ** 2 / 2 * along
    best = np.argmin(lane_end * along + skipped + ways + turns)
    walk = (
        rounds + edge.core.area / swath + lane_end * along[best] + ways[best] + swath * (len(edge.loops) - 1)
    )
    return walk / least


def timed(name, work, yards):
    times = []
    for yard in yards:
        began = process_time()
        work(yard)
        times.append(1e3 * (process_time() - began))
    print(f"{name:<62}{np.mean(times):>9.1f} ms mean{np.percentile(times, 95):>9.1f} p95")
    return float(np.mean(times))


def measured_yard(lawn):
    """A yard in metres: the first bed is a house to tape from, with a post and a refill point at the edge."""
    ground = shapely.transform(lawn, lambda points: points * FOOT)
    beds = [shapely.Polygon(ring) for ring in ground.interiors]
    edge = [shapely.Point(point) for point in ground.exterior.coords]
    yard = Yard(
        "half an acre",
        (Zone("lawn", shapely.Polygon(ground.exterior), density="bare"),),
        tuple(Obstacle(f"bed {i}", "bed" if i else "house", bed) for i, bed in enumerate(beds)),
        (),
        (Landmark("trailer", edge[0], "refill"), Landmark("post", edge[len(edge) // 2], "corner")),
    )
    return take_off(yard, Ground())


def full_plan(takeoff):
    """Lay both passes, set stakes out, split two products into hopper loads."""
    rig = Rig(swath_m=4 * FOOT, passes="two directions")
    area = takeoff.net_area_m2
    spreads = [
        Spread(name, {"lawn": rate}, {"lawn": rate * area})
        for name, rate in (("seed", 0.034), ("feed", 0.024))
    ]
    return put_down(lay_for_products(takeoff, rig, spreads), takeoff, rig, spreads)


def pins():
    """300 by 300 ft with a hundred rows of a hundred pins."""
    side = np.arange(100) * 3.0 + 1.5
    pin = [shapely.box(east, north, east + 0.33, north + 0.33) for east in side for north in side]
    return shapely.box(0, 0, 300, 300).difference(shapely.union_all(pin))


def capped():
    return rig_of(6, 0.0).model_copy(update={"headland_loops": 0, "time_cap_s": 5.0})


def speed(count):
    """Time for half an acre, for 40 acres, and how it grows."""
    print("\nTime, 4 ft swath")
    half = [round_beds(seed, ACRE_SQFT / 2, 10) for seed in range(count)]
    lay(half[0], rig_of(4, 0.5))
    timed("half an acre, 10 obstacles, naive plan", lambda yard: naive(yard, 4), half)
    timed("half an acre, 10 obstacles, one pass", lambda yard: lay(yard, rig_of(4, 0.5)), half)
    timed("same, two directions", lambda yard: lay(yard, rig_of(4, 0.5, "two directions")), half)
    whole = [measured_yard(yard) for yard in half[: count // 3]]
    full_plan(whole[0])
    timed("half an acre: two directions, refills, stakes", full_plan, whole)
    timed("10,000 obstacles of four inches, cap 5 s", lambda yard: lay(yard, capped()), [pins()])
    print("Growth with area over swath")
    for acres in (0.5, 1, 2, 5, 10, 20, 40):
        yard = round_beds(1, acres * ACRE_SQFT, int(5 * acres))
        took = timed(
            f"{acres:g} acres, {int(5 * acres)} obstacles", lambda yard: lay(yard, rig_of(4, 0.5)), [yard]
        )
        print(f"{'':<50}{took / (acres * ACRE_SQFT / 4 / 1000):>9.2f} ms per 1,000 ft of lane")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--few", action="store_true", help="every tenth lawn only")
    few = parser.parse_args().few
    step = 10 if few else 1
    table("300 random lawns", lawns300()[::step])
    table("60 house lots, 4 ft swath", [(house_lot(seed), 4.0) for seed in range(0, 60, step)])
    speed(6 if few else 60)
