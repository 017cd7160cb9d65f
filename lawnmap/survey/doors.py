"""Which reader opens which kind of file: the one table of doors."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Final

from lazy_loader import load

from lawnmap.errors import FileError, nearest
from lawnmap.survey import geojson, gps, layers
from lawnmap.survey.dxf.door import read_dxf
from lawnmap.survey.features import Sheet
from lawnmap.survey.landxml import read_landxml
from lawnmap.survey.plain import read_text
from lawnmap.survey.source import Source

parquet = load("lawnmap.survey.parquet", suppress_warning=True)  # takes pyarrow with it

Door = Callable[[Path, Source], Sheet]
"""Reads a file and hands over its sheet. The path exists, is a file of a bearable size and not empty."""


def open_parquet(path: Path, source: Source) -> Sheet:
    """Read a GeoParquet file; see `lawnmap.survey.parquet`."""
    sheet: Sheet = parquet.open_parquet(path, source)
    return sheet


DOORS: Final[dict[str, Door]] = {
    ".geojson": geojson.open_geojson,
    ".json": geojson.open_geojson,
    ".gpkg": layers.open_geopackage,
    ".dxf": read_dxf,
    ".gpx": gps.open_gpx,
    ".txt": read_text,
    ".csv": read_text,
    ".deed": read_text,
    ".pnt": read_text,
    ".pts": read_text,
    ".xyz": read_text,
    ".xml": read_landxml,
    ".landxml": read_landxml,
    ".parquet": open_parquet,
    ".geoparquet": open_parquet,
    ".shp": layers.open_shapefile,
    ".zip": layers.open_zip,
    ".kml": layers.open_kml,
    ".kmz": layers.open_kml,
}
"""File extension, lower case, to its door."""

PICTURES: Final = frozenset({".png", ".jpg", ".jpeg", ".tif", ".tiff", ".pdf"})
"""What shows a yard but holds no outlines; it is to be traced."""


def door_for(path: Path) -> Door:
    """Return the door of a file by its extension.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    FileError
        Where no door opens such a file.
    """
    ending = path.suffix.lower()
    if ending not in DOORS:
        if not path.exists():
            raise FileError("there is no such file or folder", mend="check the path")
        said = f'"{ending}" files cannot be read' if ending else "a file without an extension cannot be read"
        drawn = ending in PICTURES
        raise FileError(said, mend='trace it with "lawnmap draw"' if drawn else nearest(ending, DOORS))
    return DOORS[ending]
