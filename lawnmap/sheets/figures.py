"""Every figure of a plan in words and in the user's units: cards for the map, rows for the tables."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from lawnmap.sheets.loading import together, told_loads
from lawnmap.sheets.palette import OBSTACLE_WORDS
from lawnmap.units import duration, figure

if TYPE_CHECKING:
    from lawnmap.job import Plan

_FROM: Final = {"stated": "as stated", "cover": "from percent cover", "default": "assumed"}
_COMPASS: Final = ("east", "north-east", "north", "north-west", "west", "south-west", "south", "south-east")

_LOAD_APART: Final = "Weigh each load and empty the hopper between zones, so that each gets its own rate."
_LOAD_TOGETHER: Final = (
    "Weigh each load. Zones that are worked together share it: change the setting where the walk says so, and empty "
    "the hopper before any other zone."
)


@dataclass(frozen=True)
class Card:
    """What the map tells about one thing: a title, a line under it, rows of figures, small print."""

    title: str
    under: str
    rows: tuple[tuple[str, str], ...] = ()
    small: tuple[str, ...] = ()

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping of JSON values."""
        return {
            "title": self.title,
            "under": self.under,
            "rows": [list(row) for row in self.rows],
            "small": list(self.small),
        }


@dataclass(frozen=True)
class Table:
    """A table of text: the first cell of a row heads it, ``marks`` are what the rows show on the map."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    total: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()


def tiles(plan: Plan) -> tuple[tuple[str, str, str], ...]:
    """Return the few figures that matter most: what, how much, and a line under it."""
    area, units = plan.takeoff, plan.units
    found = [
        (
            "Lawn to treat",
            units.area(area.net_area_m2),
            f"{units.area_error(area.net_area_se_m2)} · {units.land(area.net_area_m2)}",
        )
    ]
    for material in plan.prescription.materials:
        packs = _packs(plan, material.name)
        found.append(
            (_title(material.name), units.mass(material.total_kg), f"buy {packs}" if packs else material.kind)
        )
    if plan.lanes.passes:
        count = sum(single.lane_count for single in plan.lanes.passes)
        outings = plan.lanes.outings
        time_s = sum(outing.labour.total_s for outing in outings) if outings else plan.lanes.time_s
        walked_m = sum(outing.path_length_m for outing in outings) if outings else plan.lanes.path_length_m
        found.append(
            ("Time on the lanes", duration(time_s), f"{count} lanes · {units.length(walked_m)} in all")
        )
    return tuple(found)


def cards(plan: Plan) -> dict[str, Card]:
    """Return what the map tells about each thing, by the identifier of its mark."""
    yard = plan.yard
    taken: dict[str, float] = {}
    for cutout in plan.takeoff.cutouts:
        taken[cutout.obstacle] = taken.get(cutout.obstacle, 0.0) + cutout.area_m2
    found = {f"z{i}": _zone_card(plan, i) for i in range(len(plan.takeoff.zones))}
    for i, zone in enumerate(plan.takeoff.zones):
        rows = (("Strip in this zone", plan.units.area(zone.unfed_area_m2)),)
        found[f"u{i}"] = Card("Setback from water", zone.name, rows, ("Seed, but no fertilizer.",))
    for i, thing in enumerate(yard.obstacles):
        rows = (("Taken from the lawn", plan.units.area(taken.get(thing.name, 0.0))),)
        found[f"o{i}"] = Card(thing.name, OBSTACLE_WORDS[thing.kind], rows)
    for i, water in enumerate(yard.water):
        wide = (("Setback", plan.units.length(water.setback_m)),) if water.setback_m else ()
        found[f"w{i}"] = Card(water.name, "open water", wide, ("Keep fertilizer and sprays away from it.",))
    for i, mark in enumerate(yard.landmarks):
        kind = "fixed point" if mark.kind == "other" else mark.kind
        found[f"m{i}"] = Card(mark.name, f"landmark: {kind}")
    for i, single in enumerate(plan.lanes.passes):
        found[f"p{i}"] = _pass_card(plan, i)
        rows = (("Off the lanes", plan.units.area(single.by_hand.area)),)
        found[f"h{i}"] = Card(
            "Spread by hand", single.zone, rows, ("Corners and necks that no lane reaches.",)
        )
    return found


def _zone_card(plan: Plan, index: int) -> Card:
    zone, units = plan.takeoff.zones[index], plan.units
    stand = f"{zone.density}, {_FROM.get(zone.density_from, zone.density_from)}"
    if zone.cover_percent is not None:
        stand = f"{zone.density}, {figure(zone.cover_percent)} % cover"
    rows = [
        ("Net area", f"{units.area(zone.net_area_m2)} {units.area_error(zone.net_area_se_m2)}"),
        ("Outline", units.area(zone.gross_area_m2)),
    ]
    if zone.slope_percent:
        rows.append(
            ("Along the slope", f"{units.area(zone.surface_area_m2)} at {figure(zone.slope_percent)} %")
        )
    if zone.unfed_area_m2:
        rows.append(("Not fertilized", units.area(zone.unfed_area_m2)))
    small = []
    loads = [load[1:] for load in _loads(plan) if load[0] == zone.name]
    for material in plan.prescription.materials:
        for amount in material.by_zone:
            if amount.zone == zone.name:
                hand = ", by hand" if amount.by_hand else ""
                rows.append(
                    (
                        _title(material.name),
                        f"{units.mass(amount.amount_kg)} at {units.rate(amount.rate_kg_per_m2)}{hand}",
                    )
                )
                small.append(f"{_title(material.name)}: {amount.reason}. Source: {amount.source}.")
                rows += [
                    (passes.capitalize(), f"{fill}, set for {rate}")
                    for name, passes, rate, fill in loads
                    if name == _title(material.name)
                ]
    return Card(zone.name, stand, tuple(rows), tuple(small))


def _pass_card(plan: Plan, index: int) -> Card:
    single, units = plan.lanes.passes[index], plan.units
    rows = [
        ("Lanes", _lanes(plan, index)),
        ("Direction", direction(single.direction_deg, north_up=plan.yard.plane.georeferenced)),
        ("Path", units.length(single.path_length_m)),
        ("Time", duration(single.time_s)),
    ]
    if single.loops:
        rows.insert(0, ("Headland loops", str(len(single.loops))))
    rows += [
        (_title(load.material), f"{units.mass(load.amount_kg)} at {units.rate(load.rate_kg_per_m2)}")
        for load in plan.loads
        if load.zone in single.zones and load.pass_number == single.number
    ]
    return Card(f"Pass {single.number} of {single.count}", single.zone, tuple(rows))


def _lanes(plan: Plan, index: int) -> str:
    single = plan.lanes.passes[index]
    return (
        f"{single.lane_count}, {plan.units.width(single.swath_m)} apart"
        if single.lane_count
        else "loops only"
    )


def direction(angle_deg: float, *, north_up: bool) -> str:
    """Say which way lanes run.

    Parameters
    ----------
    angle_deg : float
        Counter-clockwise from east. [°]
    north_up : bool
        Whether the sheet knows where north is.

    Examples
    --------
    >>> direction(45, north_up=True), direction(90, north_up=False)
    ('north-east to south-west, 45°', '90° from the right-hand edge of the sheet')
    """
    if not north_up:
        return f"{angle_deg % 180:.0f}° from the right-hand edge of the sheet"
    eighth = round((angle_deg % 180) / 45) % 4
    return f"{_COMPASS[eighth]} to {_COMPASS[eighth + 4]}, {angle_deg % 180:.0f}°"


def tables(plan: Plan) -> tuple[Table, ...]:
    """Return the tables under the map, those without a row left out."""
    found = (
        _zone_table(plan),
        _purchase_table(plan),
        load_table(plan),
        _pass_table(plan),
        _cutout_table(plan),
    )
    return tuple(table for table in found if table.rows)


def _zone_table(plan: Plan) -> Table:
    units, materials = plan.units, plan.prescription.materials
    rows = []
    for i, zone in enumerate(plan.takeoff.zones, 1):
        cells = [
            f"{i}. {zone.name}",
            zone.density,
            f"{units.area(zone.net_area_m2)} {units.area_error(zone.net_area_se_m2)}",
        ]
        for material in materials:
            given = [amount for amount in material.by_zone if amount.zone == zone.name]
            cells.append(
                "; ".join(f"{units.mass(one.amount_kg)} at {units.rate(one.rate_kg_per_m2)}" for one in given)
                or "none"
            )
        rows.append(tuple(cells))
    area = plan.takeoff
    total = ("All zones", "", f"{units.area(area.net_area_m2)} {units.area_error(area.net_area_se_m2)}")
    return Table(
        "Zones",
        ("Zone", "Stand", "Net area", *(_title(material.name) for material in materials)),
        tuple(rows),
        (*total, *(units.mass(material.total_kg) for material in materials)),
        (
            "Net area is grass seen from above, obstacles taken out; ± is one standard error.",
            "Amounts follow the ground along its slope.",
        ),
        tuple(f"z{i}" for i in range(len(rows))),
    )


def _purchase_table(plan: Plan) -> Table:
    units = plan.units
    return Table(
        "What to buy",
        ("Material", "Needed", "Allowance", "Packs to buy", "Left over"),
        tuple(
            (
                _title(material.name),
                units.mass(material.total_kg),
                f"{figure(100 * material.allowance)} %",
                _packs(plan, material.name) or "no pack sizes given",
                units.mass(material.left_over_kg) if material.packs else "",
            )
            for material in plan.prescription.materials
        ),
        notes=tuple(
            f"{_title(material.name)}: {note}"
            for material in plan.prescription.materials
            for note in material.notes
        ),
    )


def _title(name: str) -> str:
    """Begin a name with a capital: ``tall fescue`` to ``Tall fescue``."""
    return name[:1].upper() + name[1:]


def _packs(plan: Plan, name: str) -> str:
    """Write a purchase: ``2 × 50 lb + 1 × 10 lb``, and what is in stock."""
    material = next(one for one in plan.prescription.materials if one.name == name)
    packs = " + ".join(
        f"{pack.count} × {plan.units.mass(pack.size_kg)}" for pack in material.packs if pack.count
    )
    if not material.in_stock_kg:
        return packs
    stock = f"{plan.units.mass(material.in_stock_kg)} in stock"
    return f"{packs}, with {stock}" if packs else stock


def load_table(plan: Plan) -> Table:
    """Return what goes into the hopper: zone, material, passes, rate to set for, fills.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    """
    return Table(
        "Loading the hopper",
        ("Zone", "Material", "When", "Set the spreader for", "Put in"),
        _loads(plan),
        notes=(_LOAD_TOGETHER if together(plan) else _LOAD_APART,),
    )


def _loads(plan: Plan) -> tuple[tuple[str, str, str, str, str], ...]:
    """Return zone, material, passes, rate and fill; passes that are alike share a row."""
    alike: dict[tuple[str, str, str, str], list[tuple[int, int]]] = {}
    for load, rate, fill in told_loads(plan):
        key = (load.zone, load.material, rate, fill)
        alike.setdefault(key, []).append((load.pass_number, load.pass_count))
    rows = []
    for (zone, material, rate, fill), passes in alike.items():
        count = passes[0][1]
        numbers = " and ".join(str(number) for number, _ in passes)
        each = f"each of {count} passes" if 1 < count == len(passes) else f"pass {numbers} of {count}"
        rows.append((zone, _title(material), each, rate, fill))
    return tuple(rows)


def _pass_table(plan: Plan) -> Table:
    units, north_up = plan.units, plan.yard.plane.georeferenced
    return Table(
        "Lanes",
        ("Zone", "Pass", "Lanes", "Direction", "Path", "Time"),
        tuple(
            (
                single.zone,
                f"{single.number} of {single.count}",
                _lanes(plan, i),
                direction(single.direction_deg, north_up=north_up),
                units.length(single.path_length_m),
                duration(single.time_s),
            )
            for i, single in enumerate(plan.lanes.passes)
        ),
        ("All passes", "", "", "", units.length(plan.lanes.path_length_m), duration(plan.lanes.time_s)),
        ("Path and time of walking it once, with the refills of the first product.",),
    )


def _cutout_table(plan: Plan) -> Table:
    return Table(
        "Taken out of the lawn",
        ("What", "Kind", "From", "Area"),
        tuple(
            (cutout.obstacle, OBSTACLE_WORDS[cutout.kind], cutout.zone, plan.units.area(cutout.area_m2))
            for cutout in plan.takeoff.cutouts
        ),
    )


def sources(plan: Plan) -> tuple[str, ...]:
    """Return where each rate comes from, each source once."""
    said = (
        f"{_title(material.name)}: {amount.source}"
        for material in plan.prescription.materials
        for amount in material.by_zone
    )
    covers = (f"{_title(cover.name)}: {cover.source}" for cover in plan.covers)
    return tuple(dict.fromkeys((*said, *covers)))


def method(plan: Plan) -> str:
    """Say how the areas came about."""
    origin, plane, units = plan.yard.origin, plan.yard.plane, plan.units
    parts = [f"Measured from {origin.path or 'a yard made in Python'}"]
    if origin.method:
        parts[0] += f", {origin.method}"
    parts.append(
        f"one corner is good to ± {units.length(plan.takeoff.vertex_sigma_m)} ({plan.takeoff.vertex_sigma_from})"
    )
    if plane.georeferenced:
        parts.append(f"read as {plane.source} and measured on an equal-area plane centred on the site")
        if plan.takeoff.geodesic_area_m2 is not None:
            parts.append(
                f"by geodesics on the ellipsoid the net area is {units.area(plan.takeoff.geodesic_area_m2)}"
            )
    else:
        parts.append("local coordinates without a place on the earth")
    return "; ".join(parts) + ". This is not a land survey."
