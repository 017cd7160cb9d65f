"""The door for deeds: calls walked around, their misclosure told, each curve with its own arc."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
from shapely.geometry import Polygon

from lawnmap.errors import LawnmapError, ShapeError
from lawnmap.survey.arcs import TOLERANCE_M, area_of, bulge_of, flatten
from lawnmap.survey.codes import attributes_of, guess_role, part_density, role_of
from lawnmap.survey.deed.calls import Call, Tract, read_calls
from lawnmap.survey.deed.curves import Bend, work_out
from lawnmap.survey.features import Feature, Sheet
from lawnmap.survey.ground import same_unit, settle_units, size_m, unit_key
from lawnmap.survey.traverse import Traverse
from lawnmap.units import UNITS, figure
from lawnmap.yard import Finding, finding

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from lawnmap.survey.source import Source

_WORST: Final = 50.0
"""A deed that closes worse than 1:50 has a call missing or wrong. *from memory* [1]"""
_GOOD: Final = 5000.0
"""Least precision of a boundary survey that ordinances ask for: 1:5,000 (Union County, Illinois; Columbia, Missouri,
within a subdivision); others ask for 1:10,000. [1]"""
_TANGENT_DEG: Final = 0.1
"""A curve may leave the course before it by this much and still count as tangent. [°]"""


def read_deed(text: str, source: Source) -> Sheet:
    """Read the calls of a deed.

    A curve without a chord bearing is tangent to the course before it. The last course is drawn to
    the beginning, unless the source asks to balance the traverse by the compass rule.

    Parameters
    ----------
    text : str
        The calls, see `lawnmap.survey.deed.calls.read_calls`.
    source : Source
        Unit of distances that name none, and what a foot is.

    Raises
    ------
    LawnmapError
        At the first call that cannot be read, and where the calls do not close.
    """
    asked = unit_key(source.local_units, "[yard], local_units") if source.local_units else None
    foot = "us_survey_ft" if asked and same_unit(asked, "us_survey_ft") else "ft"
    tracts = read_calls(text, foot, asked)
    unit = asked or _unit_of(tracts, foot)
    scale = settle_units(unit, source, source.crs)
    found = [*scale.findings, *_vara_findings(tracts)]
    features, closures = [], []
    for number, tract in enumerate(tracts, 1):
        walked = _Walk(tract, unit, balance=source.balance)
        found += walked.findings
        closures.append(walked.closure if len(tracts) == 1 else f"{tract.name or number}: {walked.closure}")
        run = walked.run * np.array([scale.factor, scale.factor, 1.0])
        shape = Polygon(flatten(run, TOLERANCE_M / scale.unit_m, closed=True))
        features.append(Feature(shape, _attributes(tract), f"tract {number}"))
    loose = [tract for tract in tracts if tract.start is None]
    if len(tracts) > 1 and loose:
        raise ShapeError(
            "several tracts, and not each says where it begins", where=f"line {loose[0].line}",
            mend='begin each with its coordinates, "Beginning at N 1000.00, E 500.00"',
        )  # fmt: skip
    return Sheet(
        features,
        "deed",
        crs=source.crs,
        unit=None if source.crs else unit,
        findings=tuple(found),
        method="by the calls of a deed",
        closure="; ".join(closures),
        combined_factor=source.scale_factor,
    )


def _attributes(tract: Tract) -> dict[str, object]:
    what, density = part_density(tract.role)
    role = role_of(what, f"line {tract.line}") if what else guess_role(tract.name) or ("lot", "")
    said = attributes_of(role, tract.name)
    return said | {"density": density} if density else said


def _unit_of(tracts: list[Tract], foot: str) -> str:
    """Feet and all that is made of feet are drawn in the deed's foot; the first distance decides."""
    said = next((call.unit for tract in tracts for call in (*tract.tie, *tract.calls) if call.unit), foot)
    return said if said in {"m", "us_survey_ft"} else foot


def _vara_findings(tracts: list[Tract]) -> list[Finding]:
    for tract in tracts:
        for call in (*tract.tie, *tract.calls):
            if call.unit == "vara":
                text = "a vara is read as that of Texas, 33 1/3 inches; other lands had others"
                return [finding("vara-assumed", text, f"line {call.line}")]
    return []


class _Walk:
    """One tract walked around: vertices with bulges in the unit of the deed."""

    def __init__(self, tract: Tract, unit: str, *, balance: bool) -> None:
        self.tract, self.unit_m, self.closure = tract, size_m(unit), ""
        self.unit = UNITS[unit].name
        self.findings: list[Finding] = []
        self.heading: float | None = None
        tie, _ = self._steps(tract.tie)
        traverse, bulges = self._steps(tract.calls)
        start = np.array(tract.start or (0.0, 0.0))
        if tract.tie:
            start = tie.vertices((float(start[0]), float(start[1])))[-1]
        self._tell(traverse, balance=balance)
        if balance:
            traverse = traverse.balanced()
        corners = traverse.vertices((float(start[0]), float(start[1])))[:-1]
        self.run: NDArray[np.float64] = np.column_stack([corners, bulges])
        self._check_dmd(traverse.closed())

    def _steps(self, calls: list[Call]) -> tuple[Traverse, NDArray[np.float64]]:
        azimuths, chords, lengths, bulges = [], [], [], []
        for call in calls:
            if call.curve is None:
                assert call.azimuth_deg is not None  # a call is straight or a curve
                azimuth, length, chord, bulge = call.azimuth_deg, call.length_m, call.length_m, 0.0
                self.heading = azimuth
            else:
                bend, azimuth = self._bend(call)
                length, chord, bulge = bend.arc, bend.chord, bulge_of(np.radians(bend.delta_deg))
                self.heading = azimuth - bend.delta_deg / 2
            azimuths.append(azimuth)
            chords.append(chord / self.unit_m)
            lengths.append(length / self.unit_m)
            bulges.append(bulge)
        angle, far = np.radians(azimuths), np.array(chords)
        return Traverse(far * np.cos(angle), far * np.sin(angle), np.array(lengths)), np.array(bulges)

    def _bend(self, call: Call) -> tuple[Bend, float]:
        """Work out a curve and the azimuth of its chord: a curve to the left lowers the azimuth."""
        curve, where = call.curve, f"line {call.line}"
        assert curve is not None  # the caller has looked
        try:
            bend = work_out(curve)
        except LawnmapError as fault:
            raise fault.at(where) from None
        self.findings += [finding("curve-disagrees", doubt, where) for doubt in bend.doubts]
        tangent = None if self.heading is None else self.heading - bend.delta_deg / 2
        if curve.chord_azimuth_deg is None:
            if tangent is None:
                raise ShapeError(
                    "a curve without a chord bearing needs a course before it",
                    where=where,
                    mend="add the bearing",
                )
            if "non-tangent" in call.text.lower() or "nontangent" in call.text.lower():
                raise ShapeError(
                    "a non-tangent curve needs the bearing of its chord", where=where, mend="add the bearing"
                )
            return bend, tangent
        if tangent is not None and "non" not in call.text.lower() and "tangent" in call.text.lower():
            off = (curve.chord_azimuth_deg - tangent + 180) % 360 - 180
            if abs(off) > _TANGENT_DEG:
                text = f"the curve is called tangent, but its chord bearing is {off:+.3f}° off; the bearing was followed"
                self.findings.append(finding("curve-disagrees", text, where))
        return bend, curve.chord_azimuth_deg

    def _tell(self, traverse: Traverse, *, balance: bool) -> None:
        name = f'tract "{self.tract.name}"' if self.tract.name else f"line {self.tract.line}"
        if len(self.tract.calls) < 2:
            raise ShapeError("one call encloses no ground", where=name, mend="give all of them")
        north, east = traverse.misclosure
        unit = self.unit
        if traverse.precision < _WORST:
            raise ShapeError(
                f"the calls miss closing by {figure(traverse.closure)} {unit} in {figure(traverse.perimeter, 5)} {unit}",
                where=name,
                mend="look for a call that is missing, doubled or turned round",
            )
        ratio = "it closes" if traverse.precision > 1e9 else f"1:{float(f'{traverse.precision:.2g}'):,.0f}"
        done = "spread by the compass rule" if balance else "taken up by the last course"
        self.closure = (
            f"{north:+.3f} north, {east:+.3f} east, {traverse.closure:.3f} {unit} in "
            f"{traverse.perimeter:,.2f} {unit}: {ratio}; {done}"
        )
        code = "misclosure" if traverse.precision >= _GOOD else "misclosure-wide"
        self.findings.append(finding(code, f"misclosure {self.closure}", name))

    def _check_dmd(self, traverse: Traverse) -> None:
        """Tell the area by double meridian distances, which needs no coordinates, beside that by coordinates."""
        by_dmd = abs(traverse.double_area()) / 2
        segments = area_of(self.run) - area_of(self.run * np.array([1.0, 1.0, 0.0]))
        sign = np.sign(traverse.double_area()) or 1.0
        name = f'tract "{self.tract.name}"' if self.tract.name else f"line {self.tract.line}"
        shown = [figure(area, 8) for area in (by_dmd + sign * segments, abs(area_of(self.run)))]
        text = f"area {shown[0]} square {self.unit} by double meridian distances, {shown[1]} by coordinates"
        self.findings.append(finding("area-twice", text, name))
