"""The large yard of the contractor's sample, in feet from its south-west corner."""

from __future__ import annotations

from features import landmark, lawn, obstacle, water, write_layers
from shapely.affinity import translate
from shapely.geometry import Point, Polygon
from shapes import box, circle, ellipse, round_corner, stadium

CRS = "EPSG:2272"
CORNER = (1_870_200, 218_650)
"""Grid feet of the south-west corner: the yard lies on the zone's southern standard parallel."""

STREET = round_corner((200, 300), (200, 0), (380, 60), 24)
TURN = round_corner((420, 140), (444, 108), (460, 140), 24)
POND = ellipse((250, 215), 40, 15)
LANE = round_corner((0, 240), (50, 240), (0, 190), 24, clockwise=True)


def lawns():
    septic = box(200, 155, 270, 180)
    stump = box(110, 165, 116, 171)
    back = box(100, 100, 300, 190)
    return [
        lawn("Street lawn", Polygon([(0, 0), *STREET, (300, 100), (0, 100)]), density="patchy"),
        lawn(
            "East bank",
            Polygon([(380, 60), *TURN, (460, 190), (300, 190), (300, 100)]),
            density="thin",
            slope_percent=20,
        ),
        lawn("West side", box(0, 100, 100, 190), density="full"),
        lawn(
            "Back lawn",
            Polygon(back.exterior, [septic.exterior.coords[::-1], stump.exterior.coords[::-1]]),
            cover_percent=65,
        ),
        lawn("Septic field", septic, density="bare"),
        lawn("Stump grinding", stump, density="bare"),
        lawn(
            "Pond meadow",
            Polygon([(0, 190), (460, 190), (360, 240), *LANE[:-1]], [POND.exterior.coords[::-1]]),
            density="thin",
        ),
    ]


def obstacles():
    drive = [(118, -8), (134, -8), (134, 70), (152, 70), (152, 92), (134, 92), (134, 101), (118, 101)]
    walk = [(152, 78), (176, 78), (176, 95), (172, 95), (172, 82), (152, 82)]
    spruces = [obstacle(f"Spruce {n}", "tree", circle((20, 95 + 20 * n), 5)) for n in (1, 2, 3, 4)]
    return [
        obstacle("House", "house", box(140, 95, 200, 135)),
        obstacle("Garage", "house", box(116, 101, 140, 125)),
        obstacle("Drive", "drive", Polygon(drive)),
        obstacle("Front walk", "walk", Polygon(walk)),
        obstacle("Terrace", "walk", box(150, 135, 190, 147)),
        obstacle("Pool deck", "walk", box(225, 118, 273, 146)),
        obstacle("Pool", "pool", stadium((249, 132), 20, 8)),
        obstacle("Front bed", "bed", box(178, 88, 200, 95)),
        obstacle("Island bed", "bed", ellipse((70, 50), 20, 10)),
        obstacle("Red oak", "tree", circle((270, 55), 12)),
        obstacle("Maple", "tree", circle((40, 80), 6)),
        obstacle("Linden", "tree", circle((330, 55), 5)),
        obstacle("Beech", "tree", circle((400, 150), 8)),
        obstacle("Birch", "tree", circle((350, 160), 6)),
        obstacle("Shed", "other", box(60, 150, 72, 160)),
        *spruces,
    ]


def landmarks():
    return [
        landmark("SW corner", "corner", Point(140, 95)),
        landmark("SE corner", "corner", Point(200, 95)),
        landmark("NE corner", "corner", Point(200, 135)),
        landmark("Trailer", "refill", Point(126, 60)),
        landmark("Flagpole", "aim", Point(200, 12)),
    ]


def layers():
    """Layer by layer, in grid feet."""
    local = {
        "lawns": lawns(),
        "obstacles": obstacles(),
        "water": [water("Pond", POND)],
        "landmarks": landmarks(),
    }
    return {
        layer: [
            {**said, "yard": "Fernhill", "geometry": translate(said["geometry"], *CORNER)}
            for said in features
        ]
        for layer, features in local.items()
    }


def make(folder):
    write_layers(folder / "yard.gpkg", layers(), CRS)
