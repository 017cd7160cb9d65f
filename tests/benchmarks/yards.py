"""Yards made for the benchmarks: random lawns with round beds, and house lots with straight-edged obstacles."""

import csv
from pathlib import Path

import numpy as np
import shapely
from shapely.affinity import rotate, scale, translate
from shapely.geometry import LineString, Point, Polygon, box

DATA = Path(__file__).parent / "data"
ACRE_SQFT = 43560.0


def lawns300():
    """The 300 lawns with their swaths. [ft]"""
    with (DATA / "lawns300.csv").open(encoding="utf-8") as file:
        return [(shapely.from_wkt(row["wkt_ft"]), float(row["swath_ft"])) for row in csv.DictReader(file)]


def round_beds(seed, area, count):
    """A star-shaped lawn of some area with round beds that stand apart. [ft]"""
    random = np.random.default_rng(seed)
    corners = random.integers(8, 20)
    angle = np.sort(random.uniform(0, 2 * np.pi, corners))
    radius = random.uniform(0.7, 1.2, corners)
    outline = Polygon(np.c_[1.3 * radius * np.cos(angle), radius * np.sin(angle)]).buffer(0)
    size = (area / outline.area) ** 0.5
    outline = max(shapely.get_parts(scale(outline, size, size, origin=(0, 0))), key=lambda part: part.area)
    beds = []
    while len(beds) < count:
        bed = Point(*random.uniform(outline.bounds[:2], outline.bounds[2:])).buffer(
            random.uniform(2, 9), quad_segs=8
        )
        if outline.contains(bed.buffer(5)) and all(bed.distance(other) > 5 for other in beds):
            beds.append(bed)
    return outline.difference(shapely.union_all(beds))


def house_lot(seed):
    """A lot with a house, an L-shaped drive, kidney beds, round trees and a narrow strip beside the house. [ft]"""
    random = np.random.default_rng(seed)
    wide, deep = random.uniform(70, 130), random.uniform(110, 190)
    lot = box(0, 0, wide, deep)
    house_wide, house_deep = random.uniform(0.4, 0.6) * wide, random.uniform(30, 45)
    side = random.uniform(7, 12)
    front = random.uniform(28, 45)
    house = box(side, front, side + house_wide, front + house_deep)
    wing = box(side, front, side + house_wide * 0.45, front + house_deep + random.uniform(8, 20))
    drive_left = side + house_wide - 4
    drive = box(drive_left, 0, drive_left + 11, front + 12).union(
        box(drive_left, front - 10, drive_left + 24, front + 12)
    )
    cut = [house, wing, drive.difference(house)]
    for _ in range(random.integers(1, 4)):
        spine = np.array([[0, 0], [6, 4], [13, 4], [18, 0]]) * random.uniform(0.6, 1.1)
        bed = rotate(LineString(spine).buffer(random.uniform(2, 3.5), quad_segs=4), random.uniform(0, 360))
        cut.append(translate(bed, random.uniform(15, wide - 30), random.uniform(front + 60, deep - 15)))
    cut += [
        Point(random.uniform(8, wide - 8), random.uniform(8, deep - 8)).buffer(2, quad_segs=4)
        for _ in range(random.integers(1, 5))
    ]
    lawn = lot.difference(shapely.union_all(cut))
    return rotate(max(shapely.get_parts(lawn), key=lambda part: part.area), random.uniform(0, 180))
