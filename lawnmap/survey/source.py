"""Which file a yard is read from, and what the file does not say of itself."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from lawnmap.choices import Length, Section, choice

if TYPE_CHECKING:
    from collections.abc import Mapping


class Source(Section):
    """The ``[yard]`` section of a job file."""

    def changed(self, given: Mapping[str, object]) -> Source:
        """Return the choices with those that are given put in their place.

        Parameters
        ----------
        given : mapping
            By name or key; None for what stays. Of a CRS and local units the given one stands
            alone, and layers are added to those that are known.

        Raises
        ------
        ChoiceError
            Where one is not possible.
        """
        said = {key: value for key, value in given.items() if value is not None}
        known = {name: getattr(self, name) for name in self.model_fields_set}
        if "crs" in said:
            known.pop("local_units", None)
        if "local_units" in said:
            known.pop("crs", None)
        if isinstance(layers := said.get("layers"), dict):
            said["layers"] = {**self.layers, **layers}
        return Source(**{**known, **said})

    section: ClassVar[str] = "yard"

    file: str | None = choice("file", None, "The yard file, beside this job file.")
    layer: str | None = choice("layer", None, "The one layer to read; all layers without it.")
    yard: str | None = choice("yard", None, "Which yard, where the file holds several.")
    yard_column: str | None = choice(
        "yard_column",
        None,
        "Column that names the yard of each shape, where it is not called yard, parcel, lot, site or the like.",
    )
    crs: str | None = choice(
        "crs",
        None,
        "Coordinate reference system of a file that does not name its own, 'EPSG:2263' for instance, or WKT.",
    )
    local_units: str | None = choice(
        "local_units",
        None,
        "Unit of coordinates that have no place on the earth: 'm', 'ft' or 'US survey ft'.",
    )
    vertex_accuracy_m: Length | None = choice(
        "vertex_accuracy", None, "Standard error of one coordinate of one corner as it was measured.", gt=0
    )
    layers: dict[str, str] = choice(
        "layers",
        {},
        "What each layer, point code or, in a file without layers, shape stands for: { TURF = 'lawn', 'C-ROAD*' = "
        "'drive' }. "
        "Roles: lawn, house, drive, walk, bed, pool, tree, other, water, lot, landmark, skip.",
    )
    gap_m: Length = choice(
        "gap", "1 cm", "Ends of linework that are nearer than this are joined.", ge=0, le=1
    )
    scale_factor: float | None = choice(
        "scale_factor",
        None,
        "Combined factor that grid coordinates are divided by to get ground distances, 0.99987 for instance.",
        gt=0.99,
        lt=1.01,
    )
    point_order: str | None = choice(
        "point_order", None, "Columns of a point file: PNEZD, PENZD, PNE, PNEZ, NEZ, ENZ or XYZ."
    )
    balance: bool = choice(
        "balance", default=False, about="Whether to spread the misclosure of a deed by the compass rule."
    )
    closing_gap_m: Length = choice(
        "closing_gap",
        "15 ft",
        "A GPS walk whose end is nearer than this to its start is closed; a wider gap is refused.",
        ge=0,
        le=100,
    )
    jitter_m: Length = choice(
        "jitter",
        "1 ft",
        "Points of a GPS walk that lie nearer than this to the line through their neighbours are thinned out.",
        ge=0,
        le=5,
    )
