"""The twenty-eight yards of the estimator's sample, in metres; each lot lies behind its street line, north = 0."""

from __future__ import annotations

from dataclasses import dataclass

from features import lawn, obstacle, water, write_layers
from shapely.affinity import affine_transform, translate
from shapely.geometry import LineString, MultiPolygon, Polygon
from shapes import arc, box, circle

CRS = "EPSG:5070"
CORNER = (100_000, 1_900_000)
"""Grid metres of the south-west end of the street. The grid is equal in area."""


@dataclass(frozen=True)
class Lot:
    """One yard: its name, how wide it is, what is on it, and the arithmetic of its net area [m²]."""

    yard: str
    width: float
    features: list
    arithmetic: str


def house_lot(yard, lot, house, setback, stand):
    """A rectangle with a house, a drive beside it, a bed before it and a tree behind."""
    (width, depth), (wide, deep), (front, back) = lot, house, stand
    split = setback + deep / 2
    features = [
        lawn("Front", box(0, 0, width, split), density=front),
        lawn("Back", box(0, split, width, depth), density=back),
        obstacle("House", "house", box(2, setback, 2 + wide, setback + deep)),
        obstacle("Drive", "drive", box(width - 4, 0, width - 1, setback + 6)),
        obstacle("Front bed", "bed", box(2, setback - 1.5, 2 + wide, setback)),
        obstacle("Tree", "tree", circle((width / 2, depth - 5), 1.5)),
    ]
    sums = f"{width} × {depth} − {wide} × {deep} − 3 × {setback + 6} − {wide} × 1.5 − 36 × sin 5° × 1.5²"
    return Lot(yard, width, features, sums)


def house_lots():
    rows = [
        ("1 Larch Lane", (20, 38), (12, 10), 7, ("patchy", "thin")),
        ("2 Larch Lane", (20, 38), (12, 9), 8, ("full", "patchy")),
        ("3 Larch Lane", (22, 40), (14, 10), 7, ("thin", "thin")),
        ("4 Larch Lane", (24, 36), (16, 11), 6, ("patchy", "patchy")),
        ("5 Larch Lane", (18, 42), (10, 12), 7, ("bare", "bare")),
        ("6 Larch Lane", (26, 40), (17, 10), 9, ("full", "full")),
        ("7 Larch Lane", (20, 34), (12, 8), 6, ("thin", "bare")),
        ("8 Larch Lane", (21, 39), (13, 10), 8, ("patchy", "full")),
        ("2 Mill Court", (30, 55), (18, 12), 12, ("patchy", "thin")),
        ("4 Mill Court", (32, 60), (20, 12), 14, ("thin", "patchy")),
        ("6 Mill Court", (28, 48), (16, 11), 10, ("bare", "patchy")),
        ("8 Mill Court", (35, 62), (22, 14), 15, ("full", "thin")),
    ]
    return [house_lot(*row) for row in rows]


def angled_lots():
    """Outlines that are no rectangle: slanted, three-cornered, pie, flag, L."""
    slanted = Polygon([(0, 0), (24, 0), (30, 40), (0, 32)])
    wedge = Polygon([(0, 0), (36, 0), (0, 48)])
    pie = Polygon([*arc((25, -16), 50, 60, 60, 24), *arc((25, -16), 20, 120, -60, 24)])
    flag = Polygon([(0, 0), (6, 0), (6, 30), (36, 30), (36, 62), (0, 62)])
    corner = Polygon([(0, 0), (25, 0), *arc((25, 9), 9, -90, 90, 18)[1:], (34, 44), (0, 44)])
    ell = Polygon([(0, 0), (40, 0), (40, 18), (16, 18), (16, 45), (0, 45)])
    return [
        Lot("9 Larch Lane", 30, [
            lawn("Lawn", slanted, density="thin", slope_percent=12),
            obstacle("House", "house", box(4, 8, 18, 18)),
        ], "(24 × 40 + 30 × 32) ÷ 2 − 14 × 10"),
        Lot("11 Larch Lane", 36, [
            lawn("Lawn", wedge, density="patchy"),
            obstacle("Well house", "other", box(4, 4, 7, 7)),
        ], "36 × 48 ÷ 2 − 3 × 3"),
        Lot("10 Larch Lane", 50, [
            lawn("Lawn", pie, density="patchy"),
            obstacle("House", "house", box(19, 10, 31, 19)),
        ], "12 × (50² − 20²) × sin 2.5° − 12 × 9"),
        Lot("12 Larch Lane", 36, [
            lawn("Lawn", flag, density="thin"),
            obstacle("Drive", "drive", box(1, 0, 4, 38)),
            obstacle("House", "house", box(10, 40, 26, 51)),
        ], "6 × 30 + 36 × 32 − 3 × 38 − 16 × 11"),
        Lot("14 Larch Lane", 34, [
            lawn("Lawn", corner, density="full"),
            obstacle("House", "house", box(6, 12, 20, 23)),
            obstacle("Hedge bed", "bed", box(0, 42.5, 34, 44)),
        ], "34 × 44 − 9² + 9 × sin 5° × 9² − 14 × 11 − 34 × 1.5"),
        Lot("13 Larch Lane", 40, [
            lawn("Lawn", ell, density="bare"),
            obstacle("House", "house", box(2, 20, 12, 34)),
        ], "40 × 18 + 16 × 27 − 10 × 14"),
    ]  # fmt: skip


def public_lots():
    """Ground that is nobody's garden: a roundabout, a verge, a cloister, two lawns of one school."""
    cloister = Polygon(box(0, 0, 30, 30).exterior, [box(9, 9, 21, 21).exterior.coords[::-1]])
    halves = MultiPolygon([box(0, 0, 22, 40), box(30, 0, 52, 40)])
    return [
        Lot("Roundabout", 28, [
            lawn("Island", circle((14, 14), 14), density="thin"),
            obstacle("Plane tree", "tree", circle((14, 14), 2)),
        ], "36 × sin 5° × (14² − 2²)"),
        Lot("North verge", 90, [
            lawn("Verge", box(0, 0, 90, 3), density="patchy"),
            *[obstacle(f"Street tree {n}", "tree", circle((15 * n, 1.5), 0.6)) for n in range(1, 6)],
        ], "90 × 3 − 5 × 36 × sin 5° × 0.6²"),
        Lot("Cloister", 30, [lawn("Garth", cloister, density="full")], "30² − 12²"),
        Lot("School", 52, [
            lawn("Two lawns", halves, density="thin"),
            obstacle("Sand pit", "other", box(4, 4, 10, 9)),
        ], "2 × 22 × 40 − 6 × 5"),
    ]  # fmt: skip


def odd_lots():
    """What real layers have as well: overlaps, percentages, blanks, water, nested obstacles, no house."""
    return [
        Lot("15 Larch Lane", 24, [
            lawn("Front", box(0, 0, 24, 14), density="patchy"),
            lawn("Back", box(0, 12, 24, 40), density="thin"),
            obstacle("House", "house", box(4, 8, 16, 18)),
        ], "24 × 40 − 12 × 10"),
        Lot("16 Larch Lane", 22, [
            lawn("Front", box(0, 0, 22, 12), cover_percent=72),
            lawn("Back", box(0, 12, 22, 38), cover_percent=35),
            obstacle("House", "house", box(3, 7, 15, 17)),
        ], "22 × 38 − 12 × 10"),
        Lot("17 Larch Lane", 20, [
            lawn("Lawn", box(0, 0, 20, 36)),
            obstacle("House", "house", box(3, 8, 15, 18)),
        ], "20 × 36 − 12 × 10"),
        Lot("18 Larch Lane", 30, [
            lawn("Lawn", box(0, 0, 30, 50), density="thin", slope_percent=8),
            obstacle("House", "house", box(5, 9, 19, 20)),
            water("Creek", LineString([(0, 50), (30, 50)])),
        ], "30 × 50 − 14 × 11"),
        Lot("19 Larch Lane", 32, [
            lawn("Lawn", box(0, 0, 32, 48), density="patchy"),
            obstacle("House", "house", box(6, 10, 22, 21)),
            obstacle("Terrace", "walk", box(8, 26, 24, 38)),
            obstacle("Pool", "pool", box(11, 29, 21, 34)),
        ], "32 × 48 − 16 × 11 − 16 × 12"),
        Lot("20 Larch Lane", 25, [lawn("Building plot", box(0, 0, 25, 40), density="bare")], "25 × 40"),
    ]  # fmt: skip


def lots():
    """Every lot, in the order of the file."""
    return [*house_lots(), *angled_lots(), *public_lots(), *odd_lots()]


def _placed():
    """Set the lots along both sides of three streets, and turn the whole town by a 3-4-5 triangle."""
    all_lots = lots()
    rows = [all_lots[start : start + 7] for start in range(0, len(all_lots), 7)]
    for number, row in enumerate(rows):
        east = 0.0
        for lot in row:
            place = (east, number * 80.0)
            for said in lot.features:
                shape = affine_transform(translate(said["geometry"], *place), [0.8, -0.6, 0.6, 0.8, *CORNER])
                yield {**said, "yard": lot.yard, "geometry": shape}
            east += lot.width + 4


def layers():
    """Layer by layer, in grid metres."""
    features = list(_placed())
    roles = {"lawns": "lawn", "obstacles": "obstacle", "water": "water"}
    return {layer: [said for said in features if said["role"] == role] for layer, role in roles.items()}


def make(folder):
    write_layers(folder / "yards.gpkg", layers(), CRS)
