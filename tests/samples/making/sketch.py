"""Draw the homeowner's sketch: the lot as one would draw it on squared paper, with what the tape said."""

from __future__ import annotations

import random
import subprocess

from hand import Hand
from homeowner import CORNER_BED, HALF_BED, HOUSE, LOT, POOL, WALK
from shapes import box, circle

SCALE, WIDE, HIGH = 8.0, 940, 1300
INKS = {"pencil": "#3b3b40", "blue": "#2456a6", "ink": "#1c2230", "green": "#3f7d4e", "red": "#a63a2a"}


def _sheet(point):
    return 190 + SCALE * point[0], 1170 - SCALE * point[1]


def _ring(polygon):
    return list(polygon.exterior.coords)


def _outlines(hand):
    hand.outline([*LOT, LOT[0]], width=2.6)
    hand.outline([*HOUSE, HOUSE[0]], width=2.4)
    hand.outline(_ring(box(44, 0, 56, 38)))
    hand.outline([*WALK, WALK[0]])
    for shape in (box(20, 68, 40, 80), box(4, 114, 12, 124)):
        hand.outline(_ring(shape))
    hand.outline(_ring(POOL), "blue", 2.0)
    for shape in (CORNER_BED, HALF_BED, box(14, 34, 28, 38), circle((63, 20), 3), circle((50, 110), 4)):
        hand.outline(_ring(shape), "green")
    for shape in (box(0, 50, 14, 80), box(52, 83, 64, 91)):
        hand.line(_ring(shape), "red", 1.5)
    for start, end in (((0, 50), (14, 50)), ((56, 50), (70, 50))):
        hand.line([start, end], "red", 1.5)
    hand.line([(60, 50), (66, 50)], "ink", 3.0)


def _dimensions(hand):
    hand.measure((0, -4), (70, -4), "70'", -1)
    hand.measure((-4, 0), (-4, 130), "130'", 1.6)
    hand.measure((74, 0), (74, 118), "118'", -1.6)
    hand.measure((14, 41), (56, 41), "42'")
    hand.measure((17, 38), (17, 68), "30'", -1.2)
    hand.measure((40, 78.2), (56, 78.2), "16'", -1)
    hand.measure((54.6, 68), (54.6, 80), "12'", 1.4)
    hand.measure((0, 46), (14, 46), "14'")
    hand.measure((3, 0), (3, 38), "38'", -1.5)
    hand.measure((44, 10), (56, 10), "12'")
    hand.measure((20, 71), (40, 71), "20'")
    hand.measure((38, 68), (38, 80), "12'", 1.2)
    hand.measure((20, 100), (36, 100), "16'")
    hand.measure((0, 92), (20, 92), "20'", -1)
    hand.measure((28, 80), (28, 98), "18'", -1.3)
    hand.measure((0, 50), (0.01, 80), "30'", -1.3)
    hand.measure((52, 87), (64, 87), "12'", -1)
    hand.measure((67, 83), (67, 91), "8'", -1)
    for text, place in (
        ("R 6'", (15, 108.5)), ("R 6'", (41.5, 108.5)), ("R 4'", (32.6, 92)), ("R 7'", (59.5, 101)), ("R 10'", (13, 8)),
        ("R 3'", (63, 25)), ("R 4'", (57.5, 111)), ("8' X 10'", (19, 119)), ("4' X 14'", (21, 31.6)),
    ):  # fmt: skip
        hand.write(text, place, 1.6, "blue")


def _names(hand):
    for text, place, size in (
        ("HOUSE", (34, 54), 2.8), ("DRIVE", (50, 22), 1.9), ("WALK 4'", (36, 22.6), 1.6), ("PATIO", (29, 75.6), 1.9),
        ("POOL", (28, 104), 1.9), ("SHED", (8, 127.2), 1.6), ("MAPLE", (50, 104), 1.6), ("BED", (66, 108), 1.6),
        ("BED", (6, 12.6), 1.6), ("APPLE", (63, 15), 1.5), ("GATE", (63, 53), 1.6), ("STREET", (35, -9.5), 2.4),
    ):  # fmt: skip
        hand.write(text, place, size)
    for text, place, size in (
        ("FRONT - PATCHY", (20, 17.5), 1.9), ("SHADE", (7, 62), 1.6), ("THIN", (7, 58.6), 1.6), ("BACK 60 % GRASS", (29, 114), 1.9),
        ("OLD SWING", (57.4, 93), 1.3), ("BARE", (58, 89.2), 1.3),
    ):  # fmt: skip
        hand.write(text, place, size, "red")
    hand.write("OUR YARD", (35, 140), 3.6)
    hand.write("ALL FEET, TAPED, N IS UP", (35, 135.6), 1.7, "blue")


def strokes():
    """Every line of the sketch, the same each time."""
    hand = Hand(_sheet, random.Random(5))
    _outlines(hand)
    _dimensions(hand)
    _names(hand)
    return hand.lines


def _paper():
    squares = "".join(f"M{across} 0V{HIGH}" for across in range(30, WIDE, 16))
    squares += "".join(f"M0 {down}H{WIDE}" for down in range(2, HIGH, 16))
    return (
        f'<rect width="{WIDE}" height="{HIGH}" fill="#fbfaf4"/>\n'
        f'<path d="{squares}" stroke="#cfdbe6" stroke-width="0.7" fill="none"/>\n'
    )


def make(folder):
    """Write the sketch as SVG."""
    rows = []
    for points, ink, width in strokes():
        path = " ".join(f"{across:.1f},{down:.1f}" for across, down in points)
        rows.append(f'<polyline points="{path}" stroke="{INKS[ink]}" stroke-width="{width:.1f}"/>')
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE} {HIGH}" width="{WIDE}" height="{HIGH}">\n'
        "<title>A sketch of a house lot, drawn by hand, with the lengths that a tape gave</title>\n"
    )
    lines = "\n".join(rows)
    body = f'<g fill="none" stroke-linecap="round" stroke-linejoin="round" opacity="0.88">\n{lines}\n</g>\n'
    (folder / "sketch.svg").write_text(f"{head}{_paper()}{body}</svg>\n", "utf-8")


def photograph(folder, chromium="chromium"):
    """Turn the SVG into a PNG of the same size with a browser."""
    subprocess.run(
        [
            chromium, "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--no-first-run",
            f"--window-size={WIDE},{HIGH}", f"--screenshot={folder / 'sketch.png'}", (folder / "sketch.svg").resolve().as_uri(),
        ],
        check=True,
        capture_output=True,
        timeout=120,
    )  # fmt: skip
