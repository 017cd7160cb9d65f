"""Which file a yard is read from, and what the file does not say of itself."""

from __future__ import annotations

from typing import ClassVar

from lawnmap.choices import Length, Section, choice


class Source(Section):
    """The ``[yard]`` section of a job file."""

    section: ClassVar[str] = "yard"

    file: str | None = choice("file", None, "The yard file, beside this job file.")
    layer: str | None = choice("layer", None, "The one layer to read; all layers without it.")
    yard: str | None = choice("yard", None, "Which yard, where the file holds several.")
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
