"""The yard as a drawing: points, lines and fills with their colours, in metres, for every renderer alike."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final

import numpy as np
import shapely
from shapely.geometry import MultiLineString, MultiPolygon, Point, Polygon

from lawnmap.sheets.contacting import contact_layers
from lawnmap.sheets.marks import Label, LaneNumbers, Layer, Look, Mark, Scene
from lawnmap.sheets.palette import DENSITY, HAND, INK, OBSTACLE, OBSTACLE_WORDS, PASS, WATER, WHITE
from lawnmap.sheets.spreading import deposit_layer
from lawnmap.sheets.walk_scene import refill_layers, stake_layers

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from lawnmap.job import Plan

DASHES: Final = ("", "7 4", "2 4", "9 3 2 3")
_CHORDS: Final = 15
_WORD: Final = 4.0  # how much wider a name of two lines is than tall
_SLIVER_M2: Final = 0.05  # ground too small to draw or to throw a handful at


@lru_cache(maxsize=1)  # the sheets of one folder ask for it one after the other
def compose(plan: Plan) -> Scene:
    """Resolve a plan into layers, labels and bounds.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    """
    layers = tuple(layer for draw in _LAYERS for layer in draw(plan) if layer.marks or layer.image)
    shapes = [mark.shape for layer in layers if layer.id != "landmarks" for mark in layer.marks]
    west, south, east, north = shapely.total_bounds(shapes).tolist() if shapes else (0.0, 0.0, 1.0, 1.0)
    return Scene(
        layers,
        (*_zone_labels(plan), *_landmark_labels(plan), *_obstacle_labels(plan)),
        _lane_numbers(plan),
        (west, south, east, north),
        plan.yard.plane.georeferenced,
    )


def _zones(plan: Plan) -> tuple[Layer, ...]:
    looks = {
        density: Look(stroke=INK, width_px=1.2, fill=colour, opacity=0.6 if plan.imagery else 1.0)
        for density, colour in DENSITY.items()
    }
    zones = plan.takeoff.zones
    marks = [
        Mark(f"z{i}", zone.ground, looks[zone.density]) for i, zone in enumerate(zones) if zone.ground.area
    ]
    seen = {zone.density for zone in zones}
    return (
        Layer(
            "zones",
            "Lawn by density",
            tuple(marks),
            keys=tuple((look, density) for density, look in looks.items() if density in seen),
        ),
    )


def _unfed(plan: Plan) -> tuple[Layer, ...]:
    look = Look(stroke=WATER, width_px=1.0, fill="hatch", dash="4 3")
    marks = [Mark(f"u{i}", zone.unfed, look) for i, zone in enumerate(plan.takeoff.zones) if zone.unfed.area]
    return (Layer("setback", "Setback from water", tuple(marks), keys=((look, "seed, but no fertilizer"),)),)


def _obstacles(plan: Plan) -> tuple[Layer, ...]:
    looks = {kind: Look(stroke="#59544f", width_px=0.8, fill=colour) for kind, colour in OBSTACLE.items()}
    obstacles = plan.yard.obstacles
    seen = {obstacle.kind for obstacle in obstacles}
    return (
        Layer(
            "obstacles",
            "Not lawn",
            tuple(Mark(f"o{i}", thing.polygon, looks[thing.kind]) for i, thing in enumerate(obstacles)),
            keys=tuple((look, OBSTACLE_WORDS[kind]) for kind, look in looks.items() if kind in seen),
        ),
    )


def _water(plan: Plan) -> tuple[Layer, ...]:
    line = Look(stroke=WATER, width_px=3.0)
    pond = Look(stroke=WATER, width_px=1.5, fill=OBSTACLE["pool"])
    marks = [
        Mark(f"w{i}", water.shape, pond if isinstance(water.shape, Polygon | MultiPolygon) else line)
        for i, water in enumerate(plan.yard.water)
    ]
    return (Layer("water", "Open water", tuple(marks), keys=((line, "keep away"),)),)


def _loops(plan: Plan) -> tuple[Layer, ...]:
    look = Look(stroke=PASS[0], width_px=1.3, dash="1 3")
    marks = [
        Mark(f"p{i}", MultiLineString(single.loops), look)
        for i, single in enumerate(plan.lanes.passes)
        if single.loops
    ]
    return (Layer("loops", "Headland loops", tuple(marks), keys=((look, "walked before the lanes"),)),)


def _passes(plan: Plan) -> tuple[Layer, ...]:
    """One layer for each pass number, over all zones."""
    layers = []
    for number in sorted({single.number for single in plan.lanes.passes}):
        colour, dash = PASS[(number - 1) % len(PASS)], DASHES[(number - 1) % len(DASHES)]
        line = Look(stroke=colour, width_px=1.1, dash=dash)
        head = Look(stroke="", fill=colour)
        marks: list[Mark] = []
        for i, single in enumerate(plan.lanes.passes):
            if single.number == number and len(single.lanes):
                marks.append(Mark(f"p{i}", MultiLineString(list(single.lanes)), line))
                marks.append(Mark(f"p{i}", _arrowheads(single.lanes, single.swath_m), head))
        title = f"Lanes, pass {number}" if plan.lanes.passes[0].count > 1 or number > 1 else "Lanes"
        layers.append(
            Layer(f"pass{number}", title, tuple(marks), number == 1, ((line, "arrows show the way"),))
        )
    return tuple(layers)


def _arrowheads(lanes: NDArray[np.float64], swath_m: float) -> MultiPolygon:
    """A slim triangle on each lane, a little beyond its middle, so that neighbours do not touch."""
    run = lanes[:, 1] - lanes[:, 0]
    length_m = np.hypot(run[:, 0], run[:, 1])
    keep = length_m > swath_m
    ahead = run[keep] / length_m[keep, None]
    aside = np.column_stack([-ahead[:, 1], ahead[:, 0]])
    size_m = np.minimum(0.32 * swath_m, 0.25 * length_m[keep])[:, None]
    tip = lanes[keep, 0] + 0.55 * run[keep] + ahead * size_m
    foot = tip - 1.8 * ahead * size_m
    corners = np.stack([tip, foot + 0.5 * aside * size_m, foot - 0.5 * aside * size_m, tip], axis=1)
    return MultiPolygon([Polygon(triangle) for triangle in corners])


def _hand(plan: Plan) -> tuple[Layer, ...]:
    """Ground that no lane of the first pass reaches, and spots that are seeded by hand."""
    look = Look(stroke=HAND, width_px=0.7, fill=HAND, opacity=0.45)
    spots = [
        Mark(f"z{i}", zone.ground, Look(stroke=HAND, width_px=2.4))
        for i, zone in enumerate(plan.takeoff.zones)
        if zone.by_hand and zone.ground.area
    ]
    corners = [
        Mark(f"h{i}", _without_slivers(single.by_hand), look)
        for i, single in enumerate(plan.lanes.passes)
        if single.number == 1 and _without_slivers(single.by_hand).area
    ]
    return (Layer("hand", "By hand", (*corners, *spots), keys=((look, "spots, and corners off the lanes"),)),)


def _without_slivers(shape: Polygon | MultiPolygon) -> MultiPolygon:
    parts = shapely.get_parts(shape)
    return MultiPolygon([part for part in parts if part.area > _SLIVER_M2])


def _landmarks(plan: Plan) -> tuple[Layer, ...]:
    dot = Look(stroke=INK, width_px=2.0, fill=WHITE, radius_px=5.0)
    wall = Look(stroke=INK, width_px=3.0)
    marks = [
        Mark(f"m{i}", thing.shape, dot if thing.shape.geom_type == "Point" else wall)
        for i, thing in enumerate(plan.yard.landmarks)
    ]
    return (Layer("landmarks", "Landmarks", tuple(marks), keys=((dot, "gates, refill points, corners"),)),)


def _zone_labels(plan: Plan) -> tuple[Label, ...]:
    zones = plan.takeoff.zones
    labels = []
    for i in sorted(range(len(zones)), key=lambda i: -zones[i].net_area_m2):
        zone = zones[i]
        if zone.ground.area:
            lines = (zone.name, f"{zone.density} · {plan.units.area(zone.net_area_m2)}")
            labels.append(Label(f"z{i}", "zone", "zones", lines, str(i + 1), *_place(zone.ground)))
    return tuple(labels)


def _obstacle_labels(plan: Plan) -> tuple[Label, ...]:
    return tuple(
        Label(f"o{i}", "obstacle", "obstacles", (thing.name,), "", *_place(thing.polygon))
        for i, thing in enumerate(plan.yard.obstacles)
    )


def _landmark_labels(plan: Plan) -> tuple[Label, ...]:
    return tuple(
        Label(f"m{i}", "landmark", "landmarks", (thing.name,), "", middle.x, middle.y, 0.0)
        for i, thing in enumerate(plan.yard.landmarks)
        for middle in [
            thing.shape if isinstance(thing.shape, Point) else thing.shape.interpolate(0.5, normalized=True)
        ]
    )


def _place(ground: Any) -> tuple[float, float, float]:
    """Where a word is best written, and how wide it may be: the middle of a wide chord, far from the edge."""
    west, south, east, north = ground.bounds
    heights_m = np.linspace(south, north, 2 * _CHORDS + 1)[1::2]
    level = [shapely.LineString([(west, height_m), (east, height_m)]) for height_m in heights_m]
    chords = shapely.get_parts(shapely.intersection(level, ground))
    ends = shapely.bounds(chords[shapely.length(chords) > 0])
    if not len(ends):  # a sliver between two chords
        middle = ground.representative_point()
        return middle.x, middle.y, 0.0
    middles = (ends[:, :2] + ends[:, 2:]) / 2
    widths_m = ends[:, 2] - ends[:, 0]
    clear_m = shapely.distance(shapely.points(middles), ground.boundary)
    room_m = np.minimum(widths_m, _WORD * 2 * clear_m)
    best = int(np.argmax(room_m + 0.01 * clear_m))  # of equal places the one further from the edge
    return float(middles[best, 0]), float(middles[best, 1]), float(widths_m[best])


def _lane_numbers(plan: Plan) -> tuple[LaneNumbers, ...]:
    return tuple(
        LaneNumbers(f"pass{single.number}", single.swath_m, single.lanes[:, 0])
        for single in plan.lanes.passes
        if len(single.lanes)
    )


_LAYERS: Final[tuple[Callable[[Plan], tuple[Layer, ...]], ...]] = (
    _zones,
    _unfed,
    _obstacles,
    _water,
    deposit_layer,
    _loops,
    _passes,
    contact_layers,
    _hand,
    refill_layers,
    stake_layers,
    _landmarks,
)
"""What is drawn, from the lowest to the highest."""
