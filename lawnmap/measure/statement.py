"""The area statement: one page that says what was measured, how, and how sure it is."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor, log10
from textwrap import fill
from typing import TYPE_CHECKING, Any, Final, Literal

from lawnmap.units import convert, write

if TYPE_CHECKING:
    from datetime import date

    from lawnmap.measure.model import Takeoff
    from lawnmap.units import UnitSystem

_WIDTH: Final = 78
_UNITS: Final[dict[str, tuple[str, ...]]] = {"us": ("sq ft", "acre", "m²"), "metric": ("m²", "ha", "sq ft")}

_IN_FACTS: Final = ("misclosure", "scaled-to-ground")
"""Findings that stand among the facts of the page already."""

DISCLAIMER: Final = (
    "This is a statement of measured lawn for planning materials and work. It is not a land survey, sets no "
    "boundary and does not state the area of a title. For those, a licensed land surveyor's plat and word go "
    "before it."
)


@dataclass(frozen=True)
class AreaLine:
    """One area of the statement.

    Attributes
    ----------
    name : str
        What it is the area of.
    role : str
        ``"gross"``, ``"cut-out"``, ``"net"``, ``"zone"`` or ``"density"``.
    area_m2 : float
        The area, not rounded. [m²]
    se_m2 : float or None
        Its standard error; None for a cut-out. [m²]
    """

    name: str
    role: Literal["gross", "cut-out", "net", "zone", "density"]
    area_m2: float
    se_m2: float | None = None


@dataclass(frozen=True)
class Statement:
    """An area statement.

    Attributes
    ----------
    title : str
        Name of the yard.
    made_on : str
        Day of the statement, year-month-day; empty where none is stated.
    units : str
        ``"us"`` or ``"metric"``.
    lines : tuple of AreaLine
        Gross, what each obstacle takes, net, and the zones.
    step_m2 : float
        What the error supports: no area is stated finer than this. [m²]
    facts : tuple of (str, str)
        How it was measured: label and words.
    notes : tuple of str
        What was mended, doubted or assumed.
    """

    title: str
    made_on: str
    units: str
    lines: tuple[AreaLine, ...]
    step_m2: float
    facts: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]

    def to_dict(self) -> dict[str, Any]:
        """Return the statement as JSON values: areas in m² as they came, and rounded as they are printed."""
        return {
            "statement": "area",
            "title": self.title,
            "made_on": self.made_on,
            "areas": [
                {
                    "name": line.name,
                    "role": line.role,
                    "area_m2": line.area_m2,
                    "se_m2": line.se_m2,
                    "stated": {
                        unit: rounded(line.area_m2, self.step_m2, unit) for unit in _UNITS[self.units]
                    },
                }
                for line in self.lines
            ],
            "facts": dict(self.facts),
            "notes": list(self.notes),
            "disclaimer": DISCLAIMER,
        }

    def to_text(self) -> str:
        """Return the page as plain text, at most 78 characters wide."""
        units = _UNITS[self.units]
        rows = [f"{'':34}" + "".join(f"{unit:>14}" for unit in units)]
        for line in self.lines:
            if line.role == "net":
                rows.append("-" * (34 + 14 * len(units)))
            figures = [rounded(line.area_m2, self.step_m2, unit) for unit in units]
            rows.append(f"{_clip(_label(line), 33):34}" + "".join(f"{figure:>14}" for figure in figures))
            if line.se_m2 is not None:
                errors = [f"± {rounded_error(line.se_m2, self.step_m2, unit)}" for unit in units]
                rows.append(f"{'':34}" + "".join(f"{error:>14}" for error in errors))
        blocks = [f"AREA STATEMENT\n{self.title}\n{self.made_on}", "\n".join(rows), self._facts()]
        if self.notes:
            blocks.append(
                "To note\n"
                + "\n".join(fill(f"- {note}", _WIDTH, subsequent_indent="  ") for note in self.notes)
            )
        blocks.append(fill(DISCLAIMER, _WIDTH))
        return "\n\n".join(blocks) + "\n"

    def _facts(self) -> str:
        wide = 2 + max(len(label) for label, _ in self.facts)
        return "\n".join(
            fill(
                words,
                _WIDTH,
                break_on_hyphens=False,
                initial_indent=f"{label:{wide}}",
                subsequent_indent=" " * wide,
            )
            for label, words in self.facts
        )


def statement(takeoff: Takeoff, units: UnitSystem, *, date: date | None) -> Statement:
    """Write the area statement of a measured yard.

    What it states follows the practice of plats: square feet and acres both, the error, how it was measured and
    from what. Areas are rounded to what their error supports (J. Mahun, Open Access Surveying Library, Traverse
    Area: 38,966 ± 5 sq ft is reported to the nearest 10).

    Parameters
    ----------
    takeoff : Takeoff
        A measured yard.
    units : UnitSystem
        Which units come first.
    date : date or None
        Day of the statement, if it shall state one.
    """
    taken: dict[str, float] = {}
    for cutout in takeoff.cutouts:
        taken[cutout.obstacle] = taken.get(cutout.obstacle, 0.0) + cutout.area_m2
    lines = [AreaLine("Gross, all outlines", "gross", takeoff.gross_area_m2)]
    lines += [AreaLine(name, "cut-out", area_m2) for name, area_m2 in taken.items()]
    lines.append(AreaLine("Net lawn", "net", takeoff.net_area_m2, takeoff.net_area_se_m2))
    if len(takeoff.zones) > 1:
        lines += [
            AreaLine(zone.name, "zone", zone.net_area_m2, zone.net_area_se_m2) for zone in takeoff.zones
        ]
    return Statement(
        title=takeoff.yard.name,
        made_on=date.isoformat() if date else "",
        units=units.name,
        lines=tuple(lines),
        step_m2=takeoff.net_area_se_m2,
        facts=tuple(_facts(takeoff, units)),
        notes=tuple(
            str(found)
            for found in sorted(takeoff.findings, key=lambda one: one.severity)  # doubts first
            if found.code not in _IN_FACTS
        ),
    )


def by_density(takeoff: Takeoff) -> tuple[AreaLine, ...]:
    """Return the net area of each density class, in the order in which they first come.

    Zones share corners, so the errors of a class add up to at most the sum of the errors of its zones; that sum is
    stated.

    Parameters
    ----------
    takeoff : Takeoff
        A measured yard.
    """
    found: dict[str, tuple[float, float]] = {}
    for zone in takeoff.zones:
        area_m2, se_m2 = found.get(zone.density, (0.0, 0.0))
        found[zone.density] = (area_m2 + zone.net_area_m2, se_m2 + zone.net_area_se_m2)
    return tuple(AreaLine(density, "density", *figures) for density, figures in found.items())


def _facts(takeoff: Takeoff, units: UnitSystem) -> list[tuple[str, str]]:
    plane, origin = takeoff.yard.plane, takeoff.yard.origin
    source = ", ".join(
        part
        for part in (
            origin.path or "made in Python",
            origin.format,
            f"layer{'s' * (', ' in origin.layer)} {origin.layer}" if origin.layer else "",
        )
        if part
    )
    corner = write(takeoff.vertex_sigma_m, units.width_unit, 2)
    facts = [
        ("Source", source),
        ("Corners", f"± {corner} each, east and north (one standard error): {takeoff.vertex_sigma_from}"),
        (
            "Errors",
            "one standard error, from independent errors of the measured corners; 95 % is twice as wide",
        ),
        ("Coordinates", plane.source if plane.georeferenced else "local, not georeferenced"),
        ("Unit of source", _FEET.get(plane.unit, plane.unit)),
        ("Projection", _projection(takeoff)),
        ("Grid or ground", _grid_or_ground(takeoff)),
        ("Surface", _surface(takeoff, units)),
    ]
    if origin.method and origin.method not in takeoff.vertex_sigma_from:
        facts.insert(1, ("Measured", origin.method))
    if origin.closure:
        facts.append(("Closure", origin.closure))
    return facts


_FEET: Final = {
    "ft": "international foot, 0.3048 m",
    "US survey ft": "US survey foot, 1200/3937 m",
    "m": "metre",
    "degree": "degree of longitude and latitude",
}


def _grid_or_ground(takeoff: Takeoff) -> str:
    plane, factor = takeoff.yard.plane, takeoff.yard.origin.combined_factor
    if plane.georeferenced:
        return "no combined factor applied: areas are those of the ellipsoid, not of the ground's height above it"
    if factor is None:
        return "no combined factor applied: distances are taken as they were given, be they grid or ground"
    return f"ground: grid distances were divided by the combined factor {factor:.8g}, areas by its square"


def _projection(takeoff: Takeoff) -> str:
    plane = takeoff.yard.plane
    if not plane.georeferenced:
        return "none: a plane as it was given"
    north, east = ("N", "S")[plane.latitude_deg < 0], ("E", "W")[plane.longitude_deg < 0]
    words = (
        f"Lambert azimuthal equal-area, centred on {abs(plane.latitude_deg):.6f}° {north} "
        f"{abs(plane.longitude_deg):.6f}° {east}"
    )
    if takeoff.geodesic_area_m2 is None or not takeoff.net_area_m2:
        return words
    apart = abs(takeoff.geodesic_area_m2 / takeoff.net_area_m2 - 1)
    return f"{words}; geodesics on the ellipsoid give the same net area to {max(apart, 1e-9):.0e}"


def _surface(takeoff: Takeoff, units: UnitSystem) -> str:
    surface_m2 = sum(zone.surface_area_m2 for zone in takeoff.zones)
    plan = "plan areas, as seen from above"
    if surface_m2 <= takeoff.net_area_m2 * (1 + 1e-12):
        return plan
    slope = f"{units.area(surface_m2)} along the slopes that were given"
    return f"{plan}; net lawn is {slope}, and materials are worked out on that"


def rounded(area_m2: float, step_m2: float, unit: str) -> str:
    """Write an area no finer than its error supports: to the power of ten that is not above the error.

    Parameters
    ----------
    area_m2 : float
        The area. [m²]
    step_m2 : float
        The standard error; 0 writes to a hundredth. [m²]
    unit : str
        The unit to write in.

    Examples
    --------
    >>> rounded(3620.04, 0.46, "sq ft"), rounded(3620.04, 0.46, "acre"), rounded(3620.04, 0.46, "m²")
    ('38,966', '0.8945', '3,620.0')
    """
    places = _places(step_m2, unit)
    value = round(convert(area_m2, unit), places)
    return f"{value:,.{max(places, 0)}f}"


def rounded_error(se_m2: float, step_m2: float, unit: str) -> str:
    """Write an error to one digit beyond the areas' rounding, never as nothing unless it is nothing.

    Parameters
    ----------
    se_m2 : float
        The standard error. [m²]
    step_m2 : float
        What the areas beside it are rounded by, as in `rounded`. [m²]
    unit : str
        The unit to write in.
    """
    places = min(_places(step_m2, unit) + 1, 6)
    unit_step = 10.0**-places
    value = max(round(convert(se_m2, unit) / unit_step), int(se_m2 > 0)) * unit_step
    return f"{value:,.{max(places, 0)}f}"


def _places(step_m2: float, unit: str) -> int:
    """Decimals that an error supports; a hundredth of a square foot is the finest, as plats have it."""
    finest = {"acre": 6, "ha": 6}.get(unit, 2)
    step = convert(step_m2, unit)
    return min(-floor(log10(step)), finest) if step > 0 else finest


def _label(line: AreaLine) -> str:
    return {"cut-out": f"  less {line.name}", "zone": f"  of it {line.name}"}.get(line.role, line.name)


def _clip(text: str, wide: int) -> str:
    return text if len(text) <= wide else f"{text[: wide - 1]}…"
