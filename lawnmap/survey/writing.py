"""A yard written to a file that every door here, and every GIS, reads again."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Final

from lawnmap.errors import OutputError, nearest
from lawnmap.survey import exchange, gis
from lawnmap.survey.dxf.writer import save_dxf
from lawnmap.yard import Yard

if TYPE_CHECKING:
    from collections.abc import Iterator

Writer = Callable[[Yard, Path], None]
"""Writes a yard to a new file."""

WRITERS: Final[dict[str, Writer]] = {
    ".dxf": save_dxf,
    ".geojson": exchange.save_geojson,
    ".json": exchange.save_geojson,
    ".gpkg": gis.save_geopackage,
    ".kml": gis.save_kml,
}
"""File extension, lower case, to its writer."""


def write_yard(yard: Yard, path: str | os.PathLike[str]) -> None:
    """Write a yard, in the format that the extension names.

    Names, roles, densities, kinds, slopes and setbacks are kept by all of them. Reading back gives

    * GeoPackage: the same areas to 1e-9, for yards of 20 m and more. Georeferenced yards are in longitude and
      latitude on their own datum, others in an engineering CRS in metres.
    * GeoJSON (RFC 7946, WGS 84, twelve decimals): every coordinate to 0.1 µm, so an area of
      perimeter P to 0.1 µm times P at most. Where the datum is another one, its own difference
      from WGS 84 comes on top. Local yards are in metres, with a member ``"lawnmap"`` that says so.
    * DXF: the same areas to 1e-9, in metres on the yard's own plane.
    * KML (WGS 84, fifteen digits): every coordinate to 0.1 µm, so an area of perimeter P to 0.1 µm
      times P at most, where the datum is WGS 84; local yards are refused.

    Parameters
    ----------
    yard : Yard
        The yard.
    path : path
        The file; an older one is replaced once the new one is complete.

    Raises
    ------
    OutputError
        Where the file cannot be written, or its format cannot hold the yard.
    """
    target = Path(path)
    writer = WRITERS.get(target.suffix.lower())
    if writer is None:
        raise OutputError(
            f'"{target.suffix}" files cannot be written',
            where=str(target),
            mend=nearest(target.suffix, WRITERS),
        )
    with _replacing(target) as new:
        writer(yard, new)


@contextmanager
def _replacing(target: Path) -> Iterator[Path]:
    """Hand out a path in the target's folder; when all went well it takes the target's place."""
    try:
        with tempfile.TemporaryDirectory(dir=target.parent, prefix=".lawnmap-") as folder:
            new = Path(folder) / target.name
            yield new
            with new.open("rb") as file:
                os.fsync(file.fileno())
            new.replace(target)
    except OutputError as fault:
        raise OutputError(fault.what, where=str(target), mend=fault.mend) from None
    except OSError as fault:
        raise OutputError(
            f"it cannot be written ({fault.strerror or fault})",
            where=str(target),
            mend="choose another folder",
        ) from None
