"""The doors that GDAL opens: one yard in many formats gives one answer, and damaged files one sentence."""

import os
import sqlite3
import struct
import warnings
import zipfile
from contextlib import closing
from pathlib import Path

import numpy as np
import pyogrio
import pytest
import shapely
from pyproj import Transformer

from lawnmap.errors import FileError, ShapeError
from lawnmap.survey import layers, read, write_yard
from lawnmap.survey.gis import LOCAL_CRS

FIXTURES = Path(pyogrio.__file__).parent / "tests" / "fixtures"  # open data in the pyogrio wheel (MIT)


def save(path, shapes, crs, columns=None, **options):
    columns = columns or {}
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", "'crs' was not provided")  # for once that is meant
        pyogrio.raw.write(
            path,
            geometry=shapely.to_wkb(np.array(shapes, dtype=object)),
            field_data=[np.array(values, dtype=object) for values in columns.values()],
            fields=np.array(list(columns), dtype=object),
            geometry_type=options.pop("geometry_type", "Polygon"),
            crs=crs,
            **options,
        )
    return path


def lawn(document):
    return [shapely.Polygon(rings[0], rings[1:]) for rings in
            (row["geometry"]["coordinates"] for row in document["features"][:2])]  # fmt: skip


@pytest.fixture
def flat(good):
    """The two lawns of the good file in UTM zone 15 on WGS 84."""
    onto = Transformer.from_crs("EPSG:4326", "EPSG:32615", always_xy=True).transform
    return [shapely.transform(shape, onto, interleaved=False) for shape in lawn(good)]


COLUMNS = {"ROLE": ["lawn", "lawn"], "Name": ["Front", "Back"], "COVER_PERC": ["40", "90"]}


@pytest.mark.parametrize("name", ["yard.gpkg", "yard.shp", "yard.zip", "yard.kml", "yard.kmz"])
def test_many_formats_one_answer(good, saved, flat, tmp_path, name):
    truth = [zone.polygon.area for zone in read(saved(good)).zones]
    path = tmp_path / name
    if name.endswith(("kml", "kmz")):
        save(path, lawn(good), "EPSG:4326", COLUMNS, driver="LIBKML", layer="yard")
    elif name.endswith("zip"):
        save(tmp_path / "yard.shp", flat, "EPSG:32615", COLUMNS)
        with zipfile.ZipFile(path, "w") as packed:
            for part in tmp_path.glob("yard.*"):
                if part != path:
                    packed.write(part, f"inner folder/{part.name}")
    else:
        save(path, flat, "EPSG:32615", COLUMNS)
    yard = read(path)
    assert [zone.name for zone in yard.zones] == ["Front", "Back"]
    assert [zone.cover_percent for zone in yard.zones] == [40, 90]
    # not closer, since an edge straight on the UTM grid is not quite straight on the other planes
    assert [zone.polygon.area for zone in yard.zones] == pytest.approx(truth, rel=2e-8)
    assert not yard.findings


def test_a_shapefile_without_prj_asks(flat, tmp_path):
    path = save(tmp_path / "yard.shp", flat, None, COLUMNS)
    with pytest.raises(FileError, match=r"does not say where its coordinates lie; .*--crs .*--local-units"):
        read(path)
    told = read(path, crs="EPSG:32615")
    local = read(path, local_units="m")
    assert told.plane.source == "EPSG:32615"
    assert not local.plane.georeferenced
    # UTM is 0.08 % small in area at its central meridian (scale 0.9996), EPSG:32615 has it at 93° W
    assert local.zones[0].polygon.area / told.zones[0].polygon.area == pytest.approx(0.9996**2, rel=2e-6)


def test_words_of_the_user_go_before_the_file_and_are_told(flat, tmp_path):
    path = save(tmp_path / "yard.gpkg", flat, "EPSG:32615", COLUMNS)
    assert [found.code for found in read(path, crs="EPSG:32616").findings] == ["crs-overruled"]
    assert [found.code for found in read(path, local_units="m").findings] == ["crs-overruled"]
    assert not read(path, crs="EPSG:32615").findings
    with pytest.raises(FileError, match='"EPSG:twelve" is not a CRS known here'):
        read(path, crs="EPSG:twelve")
    with pytest.raises(FileError, match=r"seem to be projected"):
        read(path, crs="EPSG:4326")
    with pytest.raises(FileError, match="no plane coordinates"):
        read(path, crs="EPSG:4978")


@pytest.mark.parametrize(
    ("code", "unit"),
    # axis units of the EPSG registry: international foot, US survey foot, metre, degree, grad
    [("EPSG:2256", "ft"), ("EPSG:2263", "US survey ft"), ("EPSG:32118", "m"), ("EPSG:4269", "degree"),
     ("EPSG:4258", "degree"), ("EPSG:4807", "degree")],
)  # fmt: skip
def test_any_crs_gives_the_true_area(tmp_path, code, unit):
    """A square of the site's own equal-area plane, taken to a CRS and back."""
    centre = {"EPSG:2256": (-109, 46), "EPSG:4807": (0.1, 46), "EPSG:4258": (10, 50)}.get(code, (-74, 40.7))
    plane = Transformer.from_crs(
        f"+proj=laea +lon_0={centre[0]} +lat_0={centre[1]} +ellps=WGS84", code, always_xy=True
    )
    corners = np.array([[0, 0], [300, 0], [300, 300], [0, 300]], dtype=float)
    dense = np.concatenate(
        [np.linspace(a, b, 50, endpoint=False) for a, b in zip(corners, np.roll(corners, -1, 0), strict=True)]
    )
    ring = np.column_stack(plane.transform(dense[:, 0], dense[:, 1]))
    yard = read(save(tmp_path / "yard.gpkg", [shapely.Polygon(ring)], code, {"role": ["lawn"]}))
    assert yard.plane.unit == unit
    assert yard.plane.source == code
    assert yard.zones[0].polygon.area == pytest.approx(90_000, rel=2e-4 if code == "EPSG:4807" else 1e-6)


def test_local_coordinates_in_a_geopackage(tmp_path):
    square = [shapely.box(0, 0, 30, 40)]
    assert read(save(tmp_path / "a.gpkg", square, LOCAL_CRS)).zones[0].polygon.area == 1200
    feet = LOCAL_CRS.replace('"metre",1', '"US survey foot",0.304800609601219')
    yard = read(save(tmp_path / "b.gpkg", square, feet))
    assert yard.plane.unit == "US survey ft"
    assert yard.zones[0].polygon.area == pytest.approx(1200 * (1200 / 3937) ** 2, rel=1e-9)
    with pytest.raises(FileError, match=r"local coordinates but does not name their unit|does not say where"):
        read(save(tmp_path / "c.gpkg", square, None))


def test_layers_are_read_together_and_tell_roles(tmp_path):
    path = tmp_path / "yard.gpkg"
    save(path, [shapely.box(0, 0, 40, 30)], LOCAL_CRS, layer="turf areas")
    save(path, [shapely.box(10, 10, 20, 20)], LOCAL_CRS, layer="Houses")
    save(path, [shapely.LineString([(0, 5), (40, 5)])], LOCAL_CRS, layer="lanes", geometry_type="LineString")
    yard = read(path)
    assert [len(yard.zones), len(yard.obstacles), len(yard.landmarks)] == [1, 1, 0]
    assert yard.obstacles[0].kind == "house"
    assert {found.code for found in yard.findings} == {"role-guessed", "name-made", "line-left-out"}
    assert not read(path, layer="turf areas").obstacles
    with pytest.raises(FileError, match=r'no layer "house" in it; did you mean "Houses"'):
        read(path, layer="house")
    save(path, [shapely.box(0, 0, 1, 1)], "EPSG:4326", layer="trees")
    with pytest.raises(FileError, match="layers lie in different CRS"):
        read(path)


def test_curves_measures_and_lines_of_packaged_files():
    """Fixtures of the pyogrio wheel, each far larger than a yard, so the reading stops at its width."""
    for name in ("curvepolygon.gpkg", "multisurface.gpkg"):
        with pytest.raises(FileError, match=r"spread over [\d,]+ km"):
            read(FIXTURES / name)
        yard = read(FIXTURES / name, local_units="m")
        assert not yard.zones[0].polygon.has_z
        assert yard.zones[0].polygon.is_valid
        assert "arcs-as-chords" in {found.code for found in yard.findings}
    for name in ("curve.gpkg", "line_zm.gpkg"):
        with pytest.raises(ShapeError, match="holds only open lines"):
            read(FIXTURES / name)


def test_arcs_keep_their_area(tmp_path):
    """A circle of radius 15 as two arcs of a CURVEPOLYGON, against pi r squared."""
    arc = struct.pack("<BII10d", 1, 8, 5, 15, 0, 0, 15, -15, 0, 0, -15, 15, 0)  # ISO 13249-3 WKB
    path = tmp_path / "yard.gpkg"
    circle = np.array([struct.pack("<BII", 1, 10, 1) + arc], dtype=object)
    none = np.array([], dtype=object)
    pyogrio.raw.write(path, circle, [], none, geometry_type="Unknown", crs=LOCAL_CRS)
    with closing(sqlite3.connect(path)) as inside, inside:
        inside.execute("UPDATE gpkg_geometry_columns SET geometry_type_name = 'CURVEPOLYGON'")
    yard = read(path)
    assert yard.zones[0].polygon.area == pytest.approx(np.pi * 15**2, rel=1e-6)
    assert "arcs-as-chords" in {found.code for found in yard.findings}
    assert pyogrio.get_gdal_config_option("OGR_ARC_STEPSIZE") is None


def test_kml_of_a_drawing_program(saved):
    """Folders tell roles, untyped data tells density, an outline may be open and have heights."""
    text = """<?xml version="1.0" encoding="UTF-8"?><kml xmlns="http://www.opengis.net/kml/2.2"><Document>
    <Folder><name>Lawn</name><Placemark><name>Front</name>
    <ExtendedData><Data name="density"><value>thin</value></Data></ExtendedData>
    <Polygon><outerBoundaryIs><LinearRing><coordinates>-74,40.7,3 -73.999,40.7,3 -73.999,40.701,3 -74,40.701,3
    </coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark></Folder>
    <Folder><name>Buildings</name><Placemark><name>Nr 4</name><MultiGeometry><Point><coordinates>-74,40.7
    </coordinates></Point><Polygon><outerBoundaryIs><LinearRing><coordinates>-73.9998,40.7001 -73.9997,40.7001
    -73.9997,40.7002 -73.9998,40.7001</coordinates></LinearRing></outerBoundaryIs></Polygon></MultiGeometry>
    </Placemark></Folder></Document></kml>"""
    yard = read(saved(text, "yard.kml"))
    assert (yard.zones[0].name, yard.zones[0].density) == ("Front", "thin")
    assert (yard.obstacles[0].name, yard.obstacles[0].kind) == ("Nr 4", "house")
    assert {found.code for found in yard.findings} == {
        "ring-closed", "height-dropped", "parts-left-out", "role-guessed",
    }  # fmt: skip


def test_entities_in_kml_are_refused(saved):
    bomb = '<!DOCTYPE l [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]><kml>&b;</kml>'
    for text in (bomb, bomb.encode("utf-16")):
        with pytest.raises(FileError, match="declares XML entities"):
            read(saved(text, "yard.kml"))


def test_a_zip_that_swells_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(layers, "LARGEST_UNPACKED", 2**24)
    path = tmp_path / "yard.kmz"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("doc.kml", b" " * (2**24 + 1))
    assert path.stat().st_size < 2**15
    with pytest.raises(FileError, match="unpacked it would be larger than"):
        read(path)


@pytest.mark.parametrize(
    ("content", "name", "words"),
    [
        (b"hello", "yard.gpkg", "it is no GeoPackage"),
        (b"SQLite format 3\0" + b"x" * 2000, "yard.gpkg", "it cannot be read"),
        (b"hello", "yard.zip", "no zip file"),
        (b"hello", "yard.kmz", "no zip file"),
        (b"hello", "yard.kml", "it cannot be read"),
        (b"<kml><Document>", "yard.kml", "it cannot be read"),
        (b"hello", "yard.shp", r"\.shx file that belongs to it is missing"),
        (b"hello", "yard.pdf", r'"\.pdf" files cannot be read; trace it with "lawnmap draw"'),
        (b"hello", "yard", "without an extension"),
    ],
)
def test_damaged_files(saved, content, name, words):
    path = saved(content, name)
    with pytest.raises(FileError, match=words) as told:
        read(path)
    assert "\n" not in str(told.value)


@pytest.mark.parametrize("name", ["nowhere", "nowhere.docx"])
def test_a_path_that_leads_nowhere_is_said_to(tmp_path, name):
    with pytest.raises(FileError, match="there is no such file or folder; check the path"):
        read(tmp_path / name)


def test_cut_files(flat, tmp_path):
    whole = save(tmp_path / "whole.gpkg", flat, "EPSG:32615", COLUMNS).read_bytes()
    for part in (0.3, 0.6, 0.9):
        path = tmp_path / f"cut{part}.gpkg"
        path.write_bytes(whole[: int(part * len(whole))])
        with pytest.raises(FileError, match="it cannot be read"):
            read(path)


def test_not_a_file(tmp_path, saved):
    with pytest.raises(FileError, match="there is no such file"):
        read(tmp_path / "missing.gpkg")
    (tmp_path / "folder.gpkg").mkdir()
    with pytest.raises(FileError, match="it is a folder"):
        read(tmp_path / "folder.gpkg")
    with pytest.raises(FileError, match="it is empty"):
        read(saved(b"", "yard.gpkg"))
    huge = tmp_path / "huge.gpkg"
    huge.touch()
    os.truncate(huge, 5 * 2**30)  # sparse: it takes no room on the disk
    with pytest.raises(FileError, match="larger than 2 GB"):
        read(huge)
    huge.rename(tmp_path / "huge.geojson")
    os.truncate(tmp_path / "huge.geojson", 2**30)
    with pytest.raises(FileError, match="larger than 512 MB"):
        read(tmp_path / "huge.geojson")


def test_an_empty_layer(tmp_path):
    with pytest.raises(FileError, match="the layer is empty"):
        read(save(tmp_path / "yard.gpkg", [], "EPSG:32615"))


def test_a_shapefile_without_its_table(flat, tmp_path):
    path = save(tmp_path / "yard.shp", flat, "EPSG:32615", COLUMNS)
    (tmp_path / "yard.dbf").unlink()
    assert "no-table" in {found.code for found in read(path).findings}


def test_nothing_is_printed(good, saved, tmp_path, capfd):
    write_yard(read(saved(good)), tmp_path / "out.gpkg")
    read(tmp_path / "out.gpkg")
    with pytest.raises(FileError):
        read(saved(b"SQLite format 3\0" + b"x" * 2000, "bad.gpkg"))
    assert capfd.readouterr() == ("", "")
