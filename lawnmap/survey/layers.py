"""The doors that GDAL opens, through pyogrio: GeoPackage, shapefile, KML and KMZ."""

from __future__ import annotations

import logging
import sqlite3
import warnings
import zipfile
from contextlib import closing, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, TypeAlias

import numpy as np
import shapely
from lazy_loader import load

from lawnmap.errors import FileError, LawnmapError, nearest
from lawnmap.survey.features import Feature, Sheet
from lawnmap.yard import Finding, finding

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from lawnmap.survey.source import Source

pyogrio = load("pyogrio")  # takes geopandas with it

LARGEST_UNPACKED: Final = 2 * 2**30
"""What the members of a zip file may come to. [byte]"""

ARC_STEP_DEG: Final = 0.1
"""Arcs are drawn as chords of this angle; a circle loses 5e-7 of its area. [°]"""

Rows: TypeAlias = "Mapping[str, NDArray[np.int64]]"
"""Layer to the numbers of the features that are wanted."""

_BATCH: Final = 50_000

_NOISE: Final = {
    "Non closed ring detected": ("ring-closed", "an outline is closed from its last corner to its first"),
    "Measured (M) geometry": ("measure-dropped", "the measures along the line are left out"),
}


def open_geopackage(path: Path, source: Source, rows: Rows | None = None) -> Sheet:
    """Read the layers of a GeoPackage, or the one that the source names.

    A yard of it is read and put on its plane in some five times the memory of the file, and in 1.5 times what
    GeoPandas needs to read and project it (``tests/benchmarks/bench_reading.py``).

    Parameters
    ----------
    path : Path
        The file.
    source : Source
        Its layer is read, all layers without one.
    rows : mapping of str to array of int, optional
        Numbers of the features to read, by layer; all without it. [count]

    Raises
    ------
    FileError
        Where the file is no GeoPackage, or is damaged.
    """
    with path.open("rb") as file:
        if file.read(15) != b"SQLite format 3":
            raise FileError("it is no GeoPackage", mend="export it again")
    return _read({str(path): ""}, "GeoPackage", source, _arcs(path), rows)


def _arcs(path: Path) -> list[Finding]:
    """Tell whether the file declares arcs (OGC 12-128, annex G); GDAL turns them into chords unasked."""
    try:
        with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as inside:
            kinds = inside.execute("SELECT geometry_type_name FROM gpkg_geometry_columns").fetchall()
    except (sqlite3.Error, UnicodeDecodeError):
        return []  # the reader will say what is wrong with it
    if any(
        str(kind).upper().startswith(("CURVEPOLYGON", "MULTISURFACE", "COMPOUNDCURVE")) for (kind,) in kinds
    ):
        return [finding("arcs-as-chords", f"arcs are drawn as chords of {ARC_STEP_DEG}°")]
    return []


def open_shapefile(path: Path, source: Source, rows: Rows | None = None) -> Sheet:
    """Read a shapefile; arguments and faults as for `open_geopackage`."""
    beside = {other.suffix.lower() for other in path.parent.glob(f"{path.stem}.*")}
    if ".shx" not in beside:
        raise FileError("the .shx file that belongs to it is missing", mend="copy all files of the shapefile")
    found = []
    if ".dbf" not in beside:
        text = "the .dbf file that belongs to it is missing, so nothing has a name"
        found.append(finding("no-table", text, path.name))
    return _read({str(path): ""}, "ESRI Shapefile", source, found, rows)


def open_zip(path: Path, source: Source) -> Sheet:
    """Read every shapefile in a zip file; arguments and faults as for `open_geopackage`."""
    members = [name for name in _members(path) if name.lower().endswith(".shp") and "__MACOSX" not in name]
    if not members:
        raise FileError("there is no shapefile in it", mend="unpack it and give the file inside")
    inside = {f"/vsizip/{{{path.absolute()}}}/{name}": Path(name).stem for name in members}
    return _read(inside, "ESRI Shapefile", source)


def open_kml(path: Path, source: Source) -> Sheet:
    """Read a KML or KMZ file, folders as layers; arguments and faults as for `open_geopackage`."""
    if path.suffix.lower() == ".kmz":
        if not any(name.lower().endswith(".kml") for name in _members(path)):
            raise FileError("there is no KML in it", mend="export it again")
    else:
        refuse_entities(path)
    return _read({str(path): ""}, "KML", source)


def refuse_entities(path: Path) -> None:
    """Refuse an XML file with a document type: none is needed, and entities can swell to any size.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    FileError
        Where the file declares a document type or an entity.
    """
    with path.open("rb") as file:
        head = file.read(2**16).replace(b"\0", b"")
    if b"<!DOCTYPE" in head or b"<!ENTITY" in head:
        raise FileError("it declares XML entities, which such a file has no use for", mend="export it again")


def _members(path: Path) -> list[str]:
    try:
        with zipfile.ZipFile(path) as packed:
            entries = packed.infolist()
    except (zipfile.BadZipFile, NotImplementedError, ValueError, OSError):
        raise FileError("it is no zip file, or a damaged one", mend="save it again") from None
    if any(entry.flag_bits & 1 for entry in entries):
        raise FileError("it is locked with a password", mend="unpack it first")
    if sum(entry.file_size for entry in entries) > LARGEST_UNPACKED:
        raise FileError(f"unpacked it would be larger than {LARGEST_UNPACKED // 2**30} GB", mend="split it")
    return [entry.filename for entry in entries]


@contextmanager
def quiet(found: list[Finding]) -> Iterator[None]:
    """Turn GDAL's faults into ours, and its warnings and log into findings.

    Parameters
    ----------
    found : list of Finding
        Takes the warnings.

    Raises
    ------
    FileError
        For any fault of the reader inside the ``with`` block.
    """
    heard: list[str] = []
    handler = logging.Handler()
    handler.emit = lambda record: heard.append(record.getMessage())  # type: ignore[method-assign]  # a handler is its emit
    log = logging.getLogger("pyogrio")
    log.addHandler(handler)
    log.propagate, before = False, log.propagate
    step = pyogrio.get_gdal_config_option("OGR_ARC_STEPSIZE")
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": ARC_STEP_DEG})
    try:
        with warnings.catch_warnings(record=True) as warned:
            warnings.simplefilter("always")
            yield
        heard += [str(warning.message) for warning in warned]
    except LawnmapError:
        raise
    except Exception as fault:  # noqa: BLE001  on damaged files the binding fails in ways of all kinds
        why = str(fault).split("failed: ")[-1].split("\n")[0].split(";")[0].strip(" .")
        raise FileError(f"it cannot be read ({why})", mend="export it again") from None
    finally:
        log.removeHandler(handler)
        log.propagate = before
        pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": step})
    for text in dict.fromkeys(heard):
        code, plain = next(
            (entry for start, entry in _NOISE.items() if start in text), ("reader-warning", text)
        )
        found.append(finding(code, plain))


def _read(
    datasets: dict[str, str],
    form: str,
    source: Source,
    found: list[Finding] | None = None,
    rows: Rows | None = None,
) -> Sheet:
    """Read layers of one or more datasets, given as path and the name of the layer, if it has one."""
    found = [] if found is None else found
    with quiet(found):
        layers = [
            (dataset, str(name), label or str(name))
            for dataset, label in datasets.items()
            for name, kind in pyogrio.list_layers(dataset)
            if kind is not None
        ]
        layers = _chosen(layers, source.layer)
        read = [
            (label, *pyogrio.raw.read(dataset, layer=name, return_fids=True, fids=_of(label, rows)))
            for dataset, name, label in layers
            if rows is None or len(rows.get(label, ()))
        ]
    read = [entry for entry in read if len(entry[2])]
    if not read:
        raise FileError("the layer is empty", mend="draw the lawn, or choose another file")
    crs = _one_crs([(label, meta["crs"]) for label, meta, *_ in read])
    several = len(read) > 1 if rows is None else len(rows) > 1
    features = [
        feature
        for label, meta, fids, shapes, columns in read
        for feature in _features(label if several else "", meta, fids, shapes, columns)
    ]
    return Sheet(features, form, ", ".join(entry[0] for entry in read), crs, None, tuple(found))


def _of(label: str, rows: Rows | None) -> NDArray[np.int64] | None:
    return None if rows is None else rows[label]


def _chosen(layers: list[tuple[str, str, str]], wanted: str | None) -> list[tuple[str, str, str]]:
    if wanted is None:
        return layers
    chosen = [layer for layer in layers if layer[2] == wanted]
    if not chosen:
        raise FileError(
            f'there is no layer "{wanted}" in it', mend=nearest(wanted, [layer[2] for layer in layers])
        )
    return chosen


def _one_crs(named: list[tuple[str, str | None]]) -> str | None:
    if len({crs for _, crs in named}) > 1:
        told = ", ".join(f"{label} in {(crs or 'none')[:40]}" for label, crs in named)
        raise FileError(f"its layers lie in different CRS: {told}", mend="choose one with --layer")
    return named[0][1]


def _features(
    label: str, meta: dict[str, Any], fids: Any, shapes: Any, columns: list[Any]
) -> Iterator[Feature]:
    names = [str(name).lower() for name in meta["fields"]]
    place = f"layer {label}, feature" if label else "feature"
    values = [column.tolist() for column in columns] or [[]] * 0
    rows = zip(*values, strict=True) if values else ((),) * len(fids)
    with np.errstate(invalid="ignore"):  # what is not a number is refused later, with its place
        drawn = shapely.from_wkb(shapes, on_invalid="fix")
    for fid, shape, row in zip(fids.tolist(), drawn, rows, strict=True):
        yield Feature(shape, dict(zip(names, row, strict=True)), f"{place} {fid}", label)


def layers_of(path: Path, source: Source) -> dict[str, tuple[str, ...]]:
    """Return the layers that hold anything, each with the names of its columns.

    Parameters
    ----------
    path : Path
        A GeoPackage or a shapefile.
    source : Source
        The layer that it names, all layers without one.

    Raises
    ------
    FileError
        Where the file cannot be read, is empty, or its layers lie in different CRS.
    """
    with quiet([]):
        names = [
            (str(path), str(name), str(name)) for name, kind in pyogrio.list_layers(path) if kind is not None
        ]
        known = {
            name: pyogrio.read_info(path, layer=name, force_feature_count=True)
            for _, name, _ in _chosen(names, source.layer)
        }
    held = {name: said for name, said in known.items() if said["features"]}
    if not held:
        raise FileError("the layer is empty", mend="draw the lawn, or choose another file")
    _one_crs([(name, said["crs"]) for name, said in held.items()])
    return {name: tuple(str(column) for column in said["fields"]) for name, said in held.items()}


def crs_of(path: Path, layer: str) -> str | None:
    """Return the CRS of a layer as the file has it."""
    with quiet([]):
        crs: str | None = pyogrio.read_info(path, layer=layer)["crs"]
    return crs


def cells_of(
    path: Path, layer: str, fields: Sequence[str]
) -> Iterator[tuple[NDArray[np.int64], list[list[Any]]]]:
    """Read some columns of a layer in batches, without the shapes.

    Parameters
    ----------
    path : Path
        A GeoPackage or a shapefile.
    layer : str
        The layer.
    fields : sequence of str
        Names of the columns.

    Yields
    ------
    tuple of (array of int, list of list)
        Numbers of the features and the cells of each column.
    """
    first = 0
    while True:
        with quiet([]):
            meta, fids, _, columns = pyogrio.raw.read(
                path, layer=layer, columns=list(fields), read_geometry=False, return_fids=True,
                skip_features=first, max_features=_BATCH,
            )  # fmt: skip
        cells = dict(zip(meta["fields"], (column.tolist() for column in columns), strict=True))
        yield fids, [cells[name] for name in fields]
        first += len(fids)
        if len(fids) < _BATCH:
            return


def bounds_of(path: Path, layer: str) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """Return the numbers of the features of a layer and the boxes of their shapes.

    Parameters
    ----------
    path : Path
        A GeoPackage or a shapefile.
    layer : str
        The layer.

    Returns
    -------
    tuple of (array of int, array, shape (n, 4) = [west, south, east, north])
        In the order of the file. [unit of the file]
    """
    with quiet([]):
        fids, boxes = pyogrio.read_bounds(path, layer=layer)
    return fids, boxes.T
