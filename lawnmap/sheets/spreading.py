"""How evenly the spreader's lanes come out: a layer of the map, and a panel under it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lawnmap.sheets.blocks import put_table, put_words
from lawnmap.sheets.elements import Element, put
from lawnmap.sheets.figures import Table
from lawnmap.sheets.marks import Image, Layer, Look
from lawnmap.sheets.palette import OBSTACLE_WORDS

if TYPE_CHECKING:
    from lawnmap.job import Advice, Evenness, ModeScore, Plan
    from lawnmap.units import UnitSystem

_SMALL_SHARE: Final = 0.0005  # a kind of ground that gets less is not worth a row
_KINDS: Final = {**OBSTACLE_WORDS, "bed": "beds", "tree": "trees", "other": "other ground"}


def deposit_layer(plan: Plan) -> tuple[Layer, ...]:
    """Return what lands where as a picture for the map, off at first.

    Parameters
    ----------
    plan : Plan
        A finished plan.
    """
    if plan.evenness is None or plan.evenness.layer is None:
        return ()
    landed = plan.evenness.layer
    west, north = landed.corners_m[0].tolist()
    east, south = landed.corners_m[2].tolist()
    keys = tuple(
        (Look(stroke="#59544f", width_px=0.6, fill=colour), words) for words, colour in landed.legend()
    )
    image = Image(landed.png(), (west, south, east, north))
    return (Layer("deposit", "What lands where", (), shown=False, keys=keys, image=image),)


def evenness_panel(main: Element, plan: Plan) -> None:
    """Put how evenly it lands: zone by zone, off the lawn, by throw, by mode, and what could be changed.

    Parameters
    ----------
    main : Element
        Where to put it.
    plan : Plan
        A finished plan.
    """
    found = plan.evenness
    if found is None:
        return
    panel = put(main, "div", css="spread tables")
    put(panel, "p", f"Added up pass by pass, {found.rests_on}; lawnmap calibrate finds yours.", "lead")
    put_table(panel, _zones(found, plan))
    if found.throw:
        drawn = put(panel, "div", css="figures")
        for figure in found.throw.figures(plan.units):
            drawn.append(figure)
        put_words(panel, "The throw", found.throw.lines(plan.units), "throw")
        put_table(panel, _modes(found.throw.modes))
    put_table(panel, _off_lawn(found, plan.units))
    if found.advice:
        put_table(panel, _advice(found.advice, plan.units))


def _zones(found: Evenness, plan: Plan) -> Table:
    units = plan.units
    marks = {zone.name: f"z{i}" for i, zone in enumerate(plan.takeoff.zones)}
    gates = {one.zone: one.says() for one in found.settings}
    rows = [
        (
            zone.name,
            units.rate(zone.target_kg_per_m2),
            units.rate(zone.mean_kg_per_m2),
            f"{zone.interior_cv:.0%}",
            f"{zone.cv:.0%}",
            f"{zone.under_share:.0%}",
            f"{zone.over_share:.0%}",
            *((gates.get(zone.name, ""),) if gates else ()),
        )
        for zone in found.zones
    ]
    each = found.settings[0].passes if found.settings else 1
    heads = ("Zone", "Target", "Lands on average", "CV between lanes", "CV with edges", "Short", "Over")
    words = (
        "CV is the standard deviation over the mean, of all the ground and not of a sample. Short is ground that gets "
        "less than 75 % of its target, over is ground that gets more than 125 %."
    )
    return Table(
        f"By zone: {found.material}",
        (*heads, "Gate, for each pass" if each > 1 else "Gate") if gates else heads,
        tuple(rows),
        notes=(words,),
        marks=tuple(marks[zone.name] for zone in found.zones),
    )


def _off_lawn(found: Evenness, units: UnitSystem) -> Table:
    shares = sorted(found.off_lawn_kg.items(), key=lambda item: -item[1])
    rows = [
        (_KINDS.get(kind, kind), units.mass(mass_kg), f"{mass_kg / found.hopper_kg:.1%}")
        for kind, mass_kg in shares
        if mass_kg > _SMALL_SHARE * found.hopper_kg
    ]
    notes = ["Sweep what lands on hard ground back on to the lawn; keep it out of drains and water."] * bool(
        rows
    )
    if found.water_strip_kg > 0:
        notes.append(f"{units.mass(found.water_strip_kg)} lands on lawn within the setback of water.")
    total = ("All of it", units.mass(sum(found.off_lawn_kg.values())), f"{found.off_lawn_share:.1%}")
    return Table("Lands off the lawn", ("Where", "How much", "Share"), tuple(rows), total, tuple(notes))


def _modes(modes: tuple[ModeScore, ...]) -> Table:
    rows = tuple(
        (
            f"{mode.mode[0].upper()}{mode.mode[1:]}",
            f"{mode.cv:.0%}",
            f"{mode.lowest:.0%} to {mode.highest:.0%}",
            f"{mode.steered_cv:.0%}",
            f"{mode.walking:g} ×",
        )
        for mode in modes
    )
    heads = ("Ways to split the rate", "CV between lanes", "Least to most", "CV with your wander", "Walking")
    notes = tuple(f"{mode.mode[0].upper()}{mode.mode[1:]}: {mode.says}" for mode in modes)
    return Table("Three ways to walk, for this throw", heads, rows, notes=notes)


def _advice(rows: tuple[Advice, ...], units: UnitSystem) -> Table:
    lines = tuple(
        (
            "As planned now" if row.now else f"{row.change[0].upper()}{row.change[1:]}",
            f"{row.cv:.0%}",
            f"{row.outside_share:.0%}",
            f"{row.off_lawn_share:.1%}",
            units.length(row.path_length_m),
        )
        for row in rows
    )
    heads = ("Change", "CV with edges", "Short or over", "Off the lawn", "To walk")
    notes = (
        "Best first. A change that would throw more off the lawn than the plan does stands last, whatever it evens out.",
    )
    return Table("What could be changed, one thing at a time", heads, lines, notes=notes)
