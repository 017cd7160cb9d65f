"""The contractor's sample as a surveyor would hand it over: a drawing, the points, and the deed of the lot."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import count, pairwise
from math import atan2, cos, degrees, hypot, pi, sin, tan

import ezdxf
from contractor import CORNER
from ezdxf import units

HEAD = "Invented for lawnmap; no such place."


@dataclass
class Outline:
    """One closed outline: corners, and for each edge that is an arc its centre and its side.

    ``arcs`` maps the number of the corner that an arc begins at to its centre and to whether it runs clockwise.
    """

    name: str
    layer: str
    corners: list
    arcs: dict = field(default_factory=dict)

    def bulges(self):
        """Tangent of a quarter of each edge's angle, positive to the left (DXF reference, LWPOLYLINE)."""
        turns = [0.0] * len(self.corners)
        for number, (centre, clockwise) in self.arcs.items():
            turns[number] = tan(self.turn(number, centre, clockwise=clockwise) / 4)
        return turns

    def turn(self, number, centre, *, clockwise):
        """Angle of an arc about its centre, negative where it runs clockwise."""
        start, end = self.corners[number], self.corners[(number + 1) % len(self.corners)]
        first = atan2(start[1] - centre[1], start[0] - centre[0])
        last = atan2(end[1] - centre[1], end[0] - centre[0])
        return -((first - last) % (2 * pi)) if clockwise else (last - first) % (2 * pi)

    def middle(self, number):
        """The point half way along an arc."""
        centre, clockwise = self.arcs[number]
        start = self.corners[number]
        turn = self.turn(number, centre, clockwise=clockwise) / 2
        east, north = start[0] - centre[0], start[1] - centre[1]
        return (
            centre[0] + east * cos(turn) - north * sin(turn),
            centre[1] + east * sin(turn) + north * cos(turn),
        )


def box(west, south, east, north):
    return [(west, south), (east, south), (east, north), (west, north)]


STREET, TURN, LANE = ((200, 300), False), ((420, 140), False), ((0, 240), True)

LOT = Outline(
    "Fernhill", "V-PROP-LINE",
    [(0, 0), (200, 0), (380, 60), (444, 108), (460, 140), (460, 190), (360, 240), (50, 240), (0, 190)],
    {1: STREET, 3: TURN, 7: LANE},
)  # fmt: skip
ZONES = [
    Outline("Septic field", "L-TURF-BARE", box(200, 155, 270, 180)),
    Outline("Stump grinding", "L-TURF-BARE", box(110, 165, 116, 171)),
    Outline("Street lawn", "L-TURF-PATCHY", [(0, 0), (200, 0), (380, 60), (300, 100), (0, 100)], {1: STREET}),
    Outline("Back lawn", "L-TURF-PATCHY", box(100, 100, 300, 190)),
    Outline(
        "East bank", "L-TURF-THIN",
        [(380, 60), (444, 108), (460, 140), (460, 190), (300, 190), (300, 100)], {1: TURN},
    ),
    Outline("Pond meadow", "L-TURF-THIN", [(0, 190), (460, 190), (360, 240), (50, 240)], {3: LANE}),
    Outline("West side", "L-TURF-FULL", box(0, 100, 100, 190)),
]  # fmt: skip
SOLIDS = [
    Outline("House", "A-BLDG-OTLN", box(140, 95, 200, 135)),
    Outline("Garage", "A-BLDG-OTLN", box(116, 101, 140, 125)),
    Outline("Drive", "C-DRIV",
            [(118, -8), (134, -8), (134, 70), (152, 70), (152, 92), (134, 92), (134, 101), (118, 101)]),
    Outline("Front walk", "L-WALK", [(152, 78), (176, 78), (176, 95), (172, 95), (172, 82), (152, 82)]),
    Outline("Terrace", "L-WALK", box(150, 135, 190, 147)),
    Outline("Pool deck", "L-WALK", box(225, 118, 273, 146)),
    Outline("Pool", "C-POOL", [(239, 124), (259, 124), (259, 140), (239, 140)],
            {1: ((259, 132), False), 3: ((239, 132), False)}),
    Outline("Front bed", "L-PLNT-BED", box(178, 88, 200, 95)),
    Outline("Shed", "A-SHED-OTLN", box(60, 150, 72, 160)),
]  # fmt: skip
TREES = [
    ("Red oak", (270, 55), 12), ("Maple", (40, 80), 6), ("Linden", (330, 55), 5), ("Beech", (400, 150), 8),
    ("Birch", (350, 160), 6), *((f"Spruce {n}", (20, 95 + 20 * n), 5) for n in (1, 2, 3, 4)),
]  # fmt: skip
OVALS = [("Island bed", "L-PLNT-BED", (70, 50), (20, 10)), ("Pond", "V-WATR", (250, 215), (40, 15))]
LABELS = {
    "Street lawn": (100, 30), "East bank": (430, 130), "West side": (50, 110), "Back lawn": (105, 185),
    "Septic field": (235, 167), "Stump grinding": (113, 168), "Pond meadow": (120, 215), "House": (170, 115),
    "Garage": (128, 115), "Drive": (126, 20), "Front walk": (160, 80), "Terrace": (170, 141), "Pool deck": (230, 120),
    "Pool": (249, 132), "Front bed": (190, 91), "Shed": (66, 155), "Island bed": (70, 50), "Pond": (250, 215),
    **{name: place for name, place, _ in TREES},
}  # fmt: skip


def _grid(point):
    return CORNER[0] + point[0], CORNER[1] + point[1]


def _lines_and_arcs(space, outline, style):
    """Loose linework in no order, some of it backwards, as a drawing grows over the years."""
    for number, (start, end) in sorted(
        enumerate(pairwise([*outline.corners, outline.corners[0]])), key=lambda edge: edge[0] % 3
    ):
        if number not in outline.arcs:
            space.add_line(*map(_grid, (end, start) if number % 2 else (start, end)), dxfattribs=style)
            continue
        centre, clockwise = outline.arcs[number]
        sides = [degrees(atan2(point[1] - centre[1], point[0] - centre[0])) for point in (start, end)]
        first, last = reversed(sides) if clockwise else sides
        radius = hypot(start[0] - centre[0], start[1] - centre[1])
        space.add_arc(_grid(centre), radius, first, last, dxfattribs=style)


def _polyline(space, outline, style):
    corners = [(*_grid(point), bulge) for point, bulge in zip(outline.corners, outline.bulges(), strict=True)]
    space.add_lwpolyline(corners, format="xyb", close=True, dxfattribs=style)


def _hatch(space, outline, holes, style):
    hatch = space.add_hatch(dxfattribs=style)
    for flags, part in ((1, outline), *((16, hole) for hole in holes)):
        corners = [(*_grid(point), bulge) for point, bulge in zip(part.corners, part.bulges(), strict=True)]
        hatch.paths.add_polyline_path(corners, is_closed=True, flags=flags)


def save_drawing(path):
    """Write the drawing: US survey feet on the state grid, arcs as arcs, trees as blocks, names as texts."""
    ezdxf.options.write_fixed_meta_data_for_testing = (
        True  # no time and no number of its own: made again, it is the same
    )
    document = ezdxf.new("R2010", units=units.M)
    document.header["$INSUNITS"] = 21  # US survey feet (DXF reference, HEADER)
    document.header["$MEASUREMENT"] = 0
    space = document.modelspace()
    _lines_and_arcs(space, LOT, {"layer": LOT.layer})
    zones = {zone.name: zone for zone in ZONES}
    for name, zone in zones.items():
        if name == "Back lawn":
            _hatch(space, zone, [zones["Septic field"], zones["Stump grinding"]], {"layer": zone.layer})
        else:
            _polyline(space, zone, {"layer": zone.layer})
    for solid in SOLIDS:
        draw = _lines_and_arcs if solid.name == "Drive" else _polyline
        draw(space, solid, {"layer": solid.layer})
    document.blocks.new("TREE").add_circle((0, 0), 1)
    for _, place, radius in TREES:
        scale = {"xscale": radius, "yscale": radius, "zscale": radius}
        space.add_blockref("TREE", _grid(place), dxfattribs={"layer": "L-PLNT-TREE", **scale})
    for _, layer, place, (wide, high) in OVALS:
        space.add_ellipse(_grid(place), major_axis=(wide, 0), ratio=high / wide, dxfattribs={"layer": layer})
    for name, place in LABELS.items():
        space.add_text(name, height=2, dxfattribs={"layer": "ANNO-TEXT"}).set_placement(_grid(place))
    document.saveas(path)


def _shots(outline, code):
    """The corners of an outline with their line commands, and a point on each arc."""
    last = len(outline.corners) - 1
    for number, corner in enumerate(outline.corners):
        words = [code, "B"] if number == 0 else [code]
        words += ["PT"] if (number - 1) in outline.arcs else []
        words += ["PC"] if number in outline.arcs else []
        closing = number == last and number not in outline.arcs
        yield corner, " ".join([*words, "C"] if closing else words)
        if number in outline.arcs:
            yield outline.middle(number), " ".join([code, "OC", *(["C"] if number == last else [])])


def _round(place, half_axes, code, chords):
    """A round thing: a closed curve through points on it."""
    for number in range(chords):
        angle = 2 * pi * number / chords
        point = (place[0] + half_axes[0] * cos(angle), place[1] + half_axes[1] * sin(angle))
        yield point, f"{code} B PC" if number == 0 else f"{code} C" if number == chords - 1 else code


def save_points(path):
    """Write the point file: number, northing, easting, elevation, description, to a thousandth of a foot."""
    shots = [((-20, 20), "CP"), ((230, -30), "CP")]
    for outline in (LOT, *ZONES, *SOLIDS):
        code = {"V-PROP-LINE": "PL", "A-BLDG-OTLN": "BLDG", "A-SHED-OTLN": "SHED"}.get(
            outline.layer, outline.layer.removeprefix("L-").removeprefix("C-").removeprefix("PLNT-")
        )
        shots += _shots(outline, code)
    for _, place, radius in TREES:
        shots += _round(place, (radius, radius), "TREE", 4)
    for _, layer, place, axes in OVALS:
        shots += _round(place, axes, layer.rpartition("-")[2], 24)
    shots.append(((-20, 20), "CHK"))
    rows = ["POINT,NORTHING,EASTING,ELEVATION,DESCRIPTION"]
    for number, (point, words) in zip(count(101), shots, strict=False):
        east, north = _grid(point)
        rows.append(f"{number},{north:.3f},{east:.3f},{312 + 0.02 * point[1]:.2f},{words}")
    path.write_text("\n".join(rows) + "\n", "utf-8")


def _bearing(east, north):
    """Quadrant bearing to the second of arc."""
    seconds = round(degrees(atan2(abs(east), abs(north))) * 3600)
    angle = f"{seconds // 3600:02d}°{seconds // 60 % 60:02d}'{seconds % 60:02d}\""
    return f"{'N' if north >= 0 else 'S'} {angle} {'E' if east >= 0 else 'W'}"


def save_deed(path):
    """Write the calls of the lot: bearings to a second, distances to a hundredth of a foot."""
    east, north = _grid(LOT.corners[0])
    calls = [
        f"# {HEAD}",
        "[lot] Fernhill",
        f"Beginning at an iron pin, N {north:,.2f}, E {east:,.2f};",
    ]
    for number, (start, end) in enumerate(pairwise([*LOT.corners, LOT.corners[0]])):
        step = end[0] - start[0], end[1] - start[1]
        if number not in LOT.arcs:
            calls.append(f"thence {_bearing(*step)} a distance of {hypot(*step):.2f} feet;")
            continue
        centre, clockwise = LOT.arcs[number]
        turn = abs(LOT.turn(number, centre, clockwise=clockwise))
        radius = hypot(start[0] - centre[0], start[1] - centre[1])
        seconds = round(degrees(turn) * 3600)
        calls.append(
            f"thence along a curve to the {'right' if clockwise else 'left'}, having a radius of {radius:.2f} feet, "
            f"a central angle of {seconds // 3600:02d}°{seconds // 60 % 60:02d}'{seconds % 60:02d}\", "
            f"an arc length of {radius * turn:.2f} feet,\nand a chord that bears {_bearing(*step)} "
            f"a distance of {hypot(*step):.2f} feet;"
        )
    calls[-1] = calls[-1].removesuffix(";") + " to the point of beginning."
    path.write_text("\n".join(calls) + "\n", "utf-8")


def make(folder):
    """Write all three."""
    folder.mkdir(parents=True, exist_ok=True)
    save_drawing(folder / "fernhill.dxf")
    save_points(folder / "fernhill_points.csv")
    save_deed(folder / "fernhill_deed.txt")
