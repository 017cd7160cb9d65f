"""The door for LandXML 1.0 to 1.2: parcels of lines and curves, north before east.

Every coordinate of LandXML is northing, easting and perhaps elevation. The attribute ``dir`` of a
line is left alone: exporters measure it from north or from east, either way round; the coordinates
say it all. Files are read without entities, without the network and within lxml's own limits.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final

import numpy as np
import shapely
from lxml import etree

from lawnmap.errors import FileError, LawnmapError, ShapeError
from lawnmap.survey.arcs import TOLERANCE_M, bulge_of, flatten
from lawnmap.survey.codes import attributes_of, guess_role
from lawnmap.survey.features import Feature, Sheet
from lawnmap.survey.ground import Scale, settle_units
from lawnmap.survey.linework import chain, nest
from lawnmap.units import UNITS
from lawnmap.yard import Finding, finding

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from numpy.typing import NDArray

    from lawnmap.survey.source import Source

_UNITS: Final = {
    "foot": "ft",
    "ussurveyfoot": "us_survey_ft",
    "meter": "m",
    "metre": "m",
    "centimeter": "cm",
    "millimeter": "mm",
    "kilometer": "km",
    "inch": "in",
    "mile": "mi",
}
_AREA_UNITS: Final = {"squarefoot": "sq_ft", "squaremeter": "m2", "acre": "acre", "hectare": "ha"}
_AGREE: Final = 1e-3  # a stated area may be rounded, but not by more than a part in a thousand
_FAR: Final = 1e9


@dataclass
class _Document:
    """What of a file is needed to place points."""

    root: Any
    scale: Scale
    gap: float
    points: dict[str, Any]
    findings: list[Finding] = field(default_factory=list)

    def point(self, element: Any) -> NDArray[np.float64]:
        """East and north of a point element, through any chain of references."""
        seen = set()
        while element.get("pntRef") is not None:
            name = element.get("pntRef")
            if name in seen or name not in self.points:
                what = "goes round in a circle" if name in seen else "names no point of the file"
                raise FileError(f'the reference to point "{name}" {what}', mend="export it again")
            seen.add(name)
            element = self.points[name]
        numbers = _numbers(element)
        if len(numbers) not in {2, 3}:
            raise FileError("a point has no northing and easting", mend="export it again")
        return np.array([numbers[1], numbers[0]]) * self.scale.factor


def read_landxml(path: Path, source: Source) -> Sheet:
    """Read the parcels of a LandXML file, and the plan features whose names tell what they are.

    Parameters
    ----------
    path : Path
        The file.
    source : Source
        CRS and unit where the file does not say.

    Raises
    ------
    LawnmapError
        Where it is no LandXML, has no parcels, or one is not closed.
    """
    root = _parse(path)
    crs = source.crs or _crs(root)
    said = _unit(root)
    scale = settle_units(said, source, crs)
    points = {str(p.get("name")): p for p in root.iter("{*}CgPoint") if p.get("name") is not None}
    document = _Document(root, scale, source.gap_m / scale.unit_m, points, list(scale.findings))
    parcels = [parcel for parcel in root.iter("{*}Parcel") if parcel.find("{*}CoordGeom") is not None]
    features = [_feature(document, parcel, number, lot=True) for number, parcel in enumerate(parcels, 1)]
    if not features:
        raise FileError("there are no parcels in it", mend="export the parcels, not only the surfaces")
    features += list(_plan_features(document))
    lots = [feature for feature in features if feature.attributes.get("role") == "lot"]
    if len(lots) > 1:
        features = [_as_own_yard(feature) if feature in lots else feature for feature in features]
    unit = None if crs else scale.unit
    return Sheet(
        features,
        "LandXML",
        crs=crs,
        unit=unit,
        findings=tuple(document.findings),
        method="surveyed, as exported to LandXML",
        combined_factor=source.scale_factor,
    )


def _parse(path: Path) -> Any:
    parser = etree.XMLParser(
        resolve_entities=False, no_network=True, load_dtd=False, dtd_validation=False, huge_tree=False
    )
    try:
        tree = etree.parse(str(path), parser)
    except (etree.XMLSyntaxError, OSError, ValueError) as fault:
        raise FileError(
            f"it is no XML ({' '.join(str(fault).split())[:100]})", mend="export it again"
        ) from None
    if tree.docinfo.doctype or tree.docinfo.internalDTD is not None:
        raise FileError("it declares a document type, which LandXML has no use for", mend="export it again")
    root = tree.getroot()
    if etree.QName(root).localname != "LandXML":
        raise FileError(f"it is {etree.QName(root).localname}, not LandXML", mend="export LandXML 1.2")
    return root


def _crs(root: Any) -> str | None:
    system = root.find("{*}CoordinateSystem")
    code = str(system.get("epsgCode") or "").strip() if system is not None else ""
    return f"EPSG:{code}" if code.isdigit() else None


def _unit(root: Any) -> str | None:
    for kind in ("Metric", "Imperial"):
        said = root.find(f"{{*}}Units/{{*}}{kind}")
        if said is not None:
            return _UNITS.get(str(said.get("linearUnit") or "").lower())
    return None


def _numbers(element: Any) -> list[float]:
    try:
        numbers = [float(word) for word in (element.text or "").split()]
    except ValueError:
        numbers = [math.nan]
    if not all(abs(number) <= _FAR for number in numbers):
        raise FileError(
            f'"{(element.text or "").strip()[:40]}" is no list of coordinates', mend="export it again"
        )
    return numbers


def _feature(document: _Document, element: Any, number: int, *, lot: bool) -> Feature:
    name = str(element.get("name") or element.get("desc") or "").strip()
    kind = "parcel" if lot else "plan feature"
    where = f'{kind} "{name}"' if name else f"{kind} {number}"
    try:
        shape = _shape(document, element)
    except LawnmapError as fault:
        raise fault.at(where) from None
    if shape is None:
        raise ShapeError(
            "it is not closed", where=where, mend="close it, or allow a wider gap with [yard] gap"
        )
    _check_area(document, element, shape, where)
    return Feature(shape, attributes_of(guess_role(name) or ("lot", ""), name), f"{kind} {number}")


def _as_own_yard(feature: Feature) -> Feature:
    """Several parcels are several properties, not one."""
    yard = feature.attributes.get("name") or feature.where
    return Feature(feature.shape, {**feature.attributes, "yard": yard}, feature.where, feature.layer)


def _plan_features(document: _Document) -> Iterator[Feature]:
    for number, element in enumerate(document.root.iter("{*}PlanFeature"), 1):
        name = str(element.get("name") or "")
        role = guess_role(name)
        if role is None or role[0] not in {"lawn", "obstacle", "lot"}:
            text = f'plan feature "{name}" has a name that tells no role and was left out'
            document.findings.append(finding("layer-left-out", text))
        elif element.find("{*}CoordGeom") is not None:
            yield _feature(document, element, number, lot=False)


def _shape(document: _Document, element: Any) -> shapely.Polygon | shapely.MultiPolygon | None:
    lines = [
        line
        for geometry in element.findall("{*}CoordGeom")
        for part in geometry
        if isinstance(part.tag, str)
        for line in _lines(document, part)
    ]
    chained = chain(lines, document.gap)
    if chained.left:
        raise ShapeError(
            f"{len(chained.left)} of its {len(lines)} lines do not meet the others",
            mend="close it, or allow a wider gap with [yard] gap",
        )
    parts = [shapely.Polygon(ring, holes) for ring, holes in nest(chained.rings)]
    if not parts:
        return None
    return parts[0] if len(parts) == 1 else shapely.MultiPolygon(parts)


def _lines(document: _Document, part: Any) -> Iterator[NDArray[np.float64]]:
    """One element of a geometry as flattened open lines."""
    kind = etree.QName(part).localname
    if kind in {"Line", "Curve", "IrregularLine"}:
        start, end = part.find("{*}Start"), part.find("{*}End")
        if start is None or end is None:
            raise FileError(f"a {kind} has no start or no end", mend="export it again")
        first, last = document.point(start), document.point(end)
        if kind == "Curve":
            yield _curve(document, part, first, last)
        elif kind == "Line":
            yield np.vstack([first, last])
        else:
            yield np.vstack([first, *_inner(document, part), last])
    elif kind == "Chain":
        yield np.vstack([document.point(_Reference(name)) for name in (part.text or "").split()])
    elif kind == "Spiral":
        raise ShapeError(
            "it has a spiral, whose area is not worked out here",
            mend="export it with the spiral as a curve or chords",
        )


class _Reference:
    """A bare point name as an element that refers to it."""

    def __init__(self, name: str) -> None:
        self.name = name

    def get(self, _: str) -> str:
        return self.name


def _inner(document: _Document, part: Any) -> NDArray[np.float64]:
    """Points of an irregular line between its ends, which the list may repeat."""
    for tag, width in (("{*}PntList2D", 2), ("{*}PntList3D", 3)):
        listed = part.find(tag)
        if listed is not None:
            numbers = _numbers(listed)
            if len(numbers) % width:
                raise FileError("a list of points is cut short", mend="export it again")
            return np.array(numbers).reshape(-1, width)[:, [1, 0]] * document.scale.factor
    return np.empty((0, 2))


def _curve(
    document: _Document, part: Any, start: NDArray[np.float64], end: NDArray[np.float64]
) -> NDArray[np.float64]:
    rot = str(part.get("rot") or "").lower()
    if rot not in {"cw", "ccw"}:
        raise FileError(f'a curve turns "{rot}", neither cw nor ccw', mend="export it again")
    middle = part.find("{*}Center")
    if middle is None:
        turn = _turn_of_radius(document, part, start, end)
    else:
        centre = document.point(middle)
        from_start, from_end = start - centre, end - centre
        radii = np.hypot(*from_start), np.hypot(*from_end)
        if abs(radii[0] - radii[1]) > 0.02 * max(radii):
            raise ShapeError(
                "the centre of a curve is not as far from its start as from its end", mend="export it again"
            )
        sweep = math.atan2(from_end[1], from_end[0]) - math.atan2(from_start[1], from_start[0])
        turn = sweep % (2 * math.pi) if rot == "ccw" else -sweep % (2 * math.pi)
    bulge = bulge_of(turn if rot == "ccw" else -turn)
    run = np.array([[*start, bulge], [*end, 0.0]])
    return flatten(run, TOLERANCE_M / document.scale.unit_m, closed=False)


def _turn_of_radius(
    document: _Document, part: Any, start: NDArray[np.float64], end: NDArray[np.float64]
) -> float:
    """The lesser arc of the radius over the chord."""
    try:
        radius = float(part.get("radius")) * document.scale.factor
    except (TypeError, ValueError):
        raise FileError("a curve has neither centre nor radius", mend="export it again") from None
    half = float(np.hypot(*(end - start))) / 2
    if not half <= radius:
        raise ShapeError("the chord of a curve is longer than its circle is wide", mend="export it again")
    return 2 * math.asin(half / radius)


def _check_area(document: _Document, element: Any, shape: Any, where: str) -> None:
    """Compare with the area that the file states, a check on units, order and curves."""
    try:
        stated = float(element.get("area"))
    except (TypeError, ValueError):
        return
    units = document.root.find("{*}Units/{*}*")
    unit = _AREA_UNITS.get(str(units.get("areaUnit") or "").lower()) if units is not None else None
    if unit is None or not stated > 0:
        return
    found = shape.area * document.scale.unit_m**2 / float(UNITS[unit].si)
    if abs(found - stated) > _AGREE * stated:
        text = (
            f"the file states an area of {stated:,.6g} and its lines enclose {found:,.6g} {UNITS[unit].name}"
        )
        document.findings.append(finding("stated-area-differs", text, where))
