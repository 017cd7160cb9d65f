"""What every door hands over: shapes as the file has them, their attributes, and what the file says of itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from shapely.geometry.base import BaseGeometry

    from lawnmap.yard import Finding


@dataclass(frozen=True, slots=True)
class Feature:
    """One shape of a file, not yet judged.

    Attributes
    ----------
    shape : shapely geometry or None
        In the coordinates of the file, east (or longitude) before north (or latitude) whatever the
        order of the file or of its CRS. Rings may cross and heights may be there: `build` sees to it.
    attributes : mapping
        What the file says about the shape, keys in lower case, values as they were read.
    where : str
        The place in the file: ``"feature 3"``, ``"line 12"``, ``"layer TURF, polyline 2F"``.
    layer : str
        Layer the shape was on; its words may hint at the role.
    """

    shape: BaseGeometry | None
    attributes: Mapping[str, object]
    where: str
    layer: str = ""


@dataclass(frozen=True, slots=True)
class Sheet:
    """Everything that one file says.

    Attributes
    ----------
    features : sequence of Feature
        In the order of the file.
    format : str
        ``"GeoJSON"``, ``"DXF"`` and so on.
    layer : str
        Layer or layers read.
    crs : str or None
        CRS of the coordinates, anything that ``pyproj.CRS.from_user_input`` takes; None where the
        file has none.
    unit : str or None
        Unit of the coordinates of a file without a CRS, a key of `lawnmap.units.UNITS`; None where
        the file does not say.
    findings : tuple of Finding
        What the door mended or doubted.
    vertex_sigma_m : float or None
        Standard error of one coordinate of one vertex, where the file tells it. [m]
    method : str
        How the vertices were measured, where the file tells it.
    closure : str
        Misclosure and precision of a traverse, in words; empty for what is none.
    combined_factor : float or None
        What the door has divided grid coordinates by; None where it has not. [1]
    sigma_settled : bool
        Whether the user's word on the vertices is in ``vertex_sigma_m`` already.
    roles_given : bool
        Whether the door has seen to the roles that the user gives to layers.
    covers_are_shares : bool or None
        Whether percent covers are written as shares from 0 to 1; None where these features have to tell.
    """

    features: Sequence[Feature]
    format: str
    layer: str = ""
    crs: str | None = None
    unit: str | None = None
    findings: tuple[Finding, ...] = ()
    vertex_sigma_m: float | None = None
    method: str = ""
    closure: str = ""
    combined_factor: float | None = None
    sigma_settled: bool = False
    roles_given: bool = False
    covers_are_shares: bool | None = None
