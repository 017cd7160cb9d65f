"""The GeoJSON door, by spoiling one good file one field at a time. Rules: RFC 7946."""

import pytest

from lawnmap.errors import FileError, ShapeError
from lawnmap.survey import read


def ring(document, feature=0, number=0):
    return document["features"][feature]["geometry"]["coordinates"][number]


def codes(yard):
    return [found.code for found in yard.findings]


def test_the_good_file_needs_no_finding(good, saved):
    yard = read(saved(good))
    assert yard.name == "yard"
    assert codes(yard) == []
    assert [(zone.name, zone.density, zone.cover_percent, zone.slope_percent) for zone in yard.zones] == [
        ("Front", "thin", None, 10),
        ("Back", None, 90, 0),
    ]
    assert len(yard.zones[0].polygon.interiors) == 1
    assert (yard.obstacles[0].name, yard.obstacles[0].kind) == ("Main house", "house")
    assert (yard.water[0].name, yard.water[0].setback_m) == ("Creek", 3)
    assert (yard.landmarks[0].name, yard.landmarks[0].kind) == ("Tap", "refill")
    assert yard.plane.source == "EPSG:4326"
    assert yard.plane.unit == "degree"
    assert yard.origin.format == "GeoJSON"


def test_east_is_east_and_north_is_north(good, saved):
    """A swap of axes keeps a straight-sided area, so coordinates are looked at."""
    yard = read(saved(good))
    east_m, north_m = yard.landmarks[0].shape.coords[0]
    # 0.00045° east and 0.0001° south of the middle, with the lengths of a degree at 44.9° on WGS 84:
    # 111,135 m north and 79,000 m east (series of Snyder, USGS Professional Paper 1395, p. 25)
    assert east_m == pytest.approx(0.00045 * 79_000, rel=2e-3)
    assert north_m == pytest.approx(-0.0001 * 111_135, rel=2e-3)


def spoil_unclosed(document):
    ring(document).pop()


def spoil_winding(document):
    ring(document).reverse()


def spoil_repeated(document):
    ring(document).insert(1, ring(document)[0])


def spoil_height(document):
    for position in ring(document):
        position.append(281.5)


def spoil_null_geometry(document):
    document["features"].append({"type": "Feature", "properties": {}, "geometry": None})


def spoil_line(document):
    document["features"][1]["geometry"] = {"type": "LineString", "coordinates": ring(document, 1)}


def spoil_stray_line(document):
    document["features"].append(
        {
            "type": "Feature",
            "properties": None,
            "geometry": {"type": "LineString", "coordinates": [[0, 0], [1, 1]]},
        }
    )


def spoil_name(document):
    document["features"][1]["properties"]["name"] = "Front"


def spoil_no_name(document):
    del document["features"][1]["properties"]["name"]


def spoil_role(document):
    del document["features"][1]["properties"]["role"]


def spoil_role_word(document):
    document["features"][1]["properties"]["role"] = "greensward"


def spoil_kind(document):
    document["features"][2]["properties"]["kind"] = "gazebo"


def spoil_kind_gone(document):
    del document["features"][2]["properties"]["kind"]


def spoil_density(document):
    document["features"][0]["properties"]["density"] = "sparse"


def spoil_density_number(document):
    document["features"][0]["properties"]["density"] = 40


def spoil_cover(document):
    document["features"][1]["properties"]["cover_percent"] = 0.9


def spoil_landmark(document):
    document["features"][4]["geometry"] = document["features"][1]["geometry"]


def spoil_point(document):
    document["features"][4]["properties"]["role"] = "obstacle"


@pytest.mark.parametrize(
    ("spoil", "expected"),
    [
        (spoil_unclosed, ["ring-closed"]),
        (spoil_winding, []),
        (spoil_repeated, ["repeated-vertex"]),
        (spoil_height, ["height-dropped"]),
        (spoil_null_geometry, ["no-shape", "role-guessed"]),
        (spoil_line, ["closed-line"]),
        (spoil_stray_line, ["line-left-out"]),
        (spoil_name, ["name-repeated"]),
        (spoil_no_name, ["name-made"]),
        (spoil_role, ["role-guessed"]),
        (spoil_role_word, ["role-unknown", "role-guessed"]),
        (spoil_kind, ["kind-unknown"]),
        (spoil_kind_gone, ["kind-guessed"]),
        (spoil_density, ["density-read"]),
        (spoil_density_number, ["density-read"]),
        (spoil_cover, ["cover-as-fraction"]),
        (spoil_landmark, ["landmark-moved"]),
        (spoil_point, ["kind-unknown", "point-left-out"]),
    ],
)
def test_simple_faults_are_mended_and_told(good, saved, spoil, expected):
    before = [zone.polygon.area for zone in read(saved(good)).zones]
    spoil(good)
    yard = read(saved(good))
    assert sorted(codes(yard)) == sorted(expected)
    assert [zone.polygon.area for zone in yard.zones] == pytest.approx(before, rel=1e-12)


def cross(document):
    corners = ring(document, 1)
    corners[1], corners[2] = corners[2], corners[1]


def project(document):
    document["features"] = document["features"][:1]
    for part in document["features"][0]["geometry"]["coordinates"]:
        part[:] = [[500_000 + east, 5_000_000 + north] for east, north in part]


def swap(document):
    for row in document["features"]:
        row["geometry"]["coordinates"] = swapped(row["geometry"]["coordinates"])


def swapped(part):
    return part[::-1] if isinstance(part[0], float) else [swapped(inner) for inner in part]


@pytest.mark.parametrize(
    ("spoil", "error", "words"),
    [
        (cross, ShapeError, r'feature 2 "Back": the outline crosses itself at -93\.0995, 44\.9008'),
        (project, FileError, "no longitude and latitude; the numbers seem to be projected.*--crs"),
        (swap, FileError, r"latitude of 93\.1\d* is not on the earth; longitude and latitude seem to be swapped"),
        (lambda d: ring(d)[1].pop(), FileError, "feature 1: .*a corner has only one"),
        (lambda d: ring(d, 1).__setitem__(1, "here"), FileError, "feature 2: a coordinate is not a number"),
        (lambda d: ring(d, 1).__setitem__(1, [None, 1]), FileError, "feature 2: a coordinate is not a number"),
        (lambda d: ring(d).__setitem__(slice(1, None), []), ShapeError, "fewer than three corners"),
        (lambda d: d["features"][0].__setitem__("geometry", {"type": "Blob"}), FileError, "feature 1: .*no known type"),
        (lambda d: d["features"][0].__setitem__("geometry", {"type": "Polygon", "coordinates": 3}), FileError, "cannot be read"),
        (lambda d: d["features"][0].__setitem__("properties", 3), FileError, "properties are no object"),
        (lambda d: d["features"].__setitem__(0, 3), FileError, "feature 1: it is no feature"),
        (lambda d: d["features"].clear(), FileError, "the layer is empty"),
        (lambda d: d["features"].__setitem__(slice(3), []), ShapeError, "holds only open lines"),
        (lambda d: d["features"].__setitem__(slice(4), []), ShapeError, "holds only points"),
        (lambda d: d["features"].__setitem__(slice(2), []), ShapeError, "has no lawn"),
        (lambda d: d.update(type="Topology"), FileError, "TopoJSON, not GeoJSON"),
        (lambda d: d.update(crs={"type": "link"}), FileError, '"crs" member does not name a CRS'),
        (lambda d: d.update(crs={"properties": {"name": "EPSG:0"}}), FileError, '"EPSG:0" is not a CRS known here'),
        (lambda d: d.update(lawnmap={"coordinates": "local", "unit": "furlong"}), FileError, '"furlong" is not a unit of length'),
        (lambda d: d["features"][0]["properties"].update(density="thn"), FileError, 'feature 1 "Front": "thn" is not'),
        (lambda d: d["features"][0]["properties"].update(slope_percent="steep"), FileError, '"steep" is not a number'),
        (lambda d: d["features"][1]["properties"].update(cover_percent=130), FileError, "cover of 130 is not possible"),
        (lambda d: d["features"][3]["properties"].update(setback_m="wide"), FileError, "Creek"),
        (lambda d: d["features"][1].update(geometry=d["features"][3]["geometry"]), ShapeError, "an open line is given as lawn"),
    ],
)  # fmt: skip
def test_what_cannot_be_mended_is_refused_in_one_sentence(good, saved, spoil, error, words):
    spoil(good)
    path = saved(good)
    with pytest.raises(error, match=words) as told:
        read(path)
    assert str(told.value).startswith(str(path))
    assert "\n" not in str(told.value)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (b"", "it is empty"),
        (b"\xff\xfe{\x00}\x00", "byte 1 is not UTF-8"),
        (b'{"type": "Caf\xe9"}', "byte 14 is not UTF-8"),
        (b"{", "it is no JSON: .* in line 1, column 2"),
        (b"[" * 100_000, "nested too deep"),
        (b"[1]", "it is JSON, but not GeoJSON"),
        (b'{"type": "Point", "coordinates": [NaN, 1]}', "NaN stands where a number must be"),
        (b'{"type": "Polygon", "coordinates": [[[0, 0], [1e999, 0], [1, 1], [0, 0]]]}', "feature 1: a coordinate is not a number"),
        (b'{"type": "Polygon", "coordinates": [[[0, 0], [' + b"9" * 400 + b", 0], [1, 1], [0, 0]]]}", "not a number"),
        (b'{"type": "Polygon", "coordinates": [[[0, 0], [' + b"9" * 5000 + b", 0], [1, 1]]]}", "impossible number"),
    ],
)  # fmt: skip
def test_bad_text(saved, text, words):
    with pytest.raises(FileError, match=words):
        read(saved(text))


def test_a_byte_order_mark_is_borne(good, saved):
    path = saved(good)
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes())
    assert read(path).name == "yard"


def test_one_feature_and_one_bare_geometry(good, saved):
    feature = good["features"][0]
    assert read(saved(feature)).zones[0].name == "Front"
    yard = read(saved(feature["geometry"]))
    assert codes(yard) == ["role-guessed", "name-made"]
    assert yard.zones[0].name == "Lawn 1"


def test_a_crs_member_of_2008_is_heeded(good, saved):
    del good["features"][1:]
    good["features"][0]["geometry"]["coordinates"] = [
        [[650000, 200000], [650100, 200000], [650100, 200200], [650000, 200200], [650000, 200000]]
    ]
    good["crs"] = {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::2263"}}
    yard = read(saved(good))
    assert yard.plane.source == "EPSG:2263"
    assert yard.plane.unit == "US survey ft"
    # 20,000 square US survey feet, on a grid true to 1e-4 there
    assert yard.zones[0].polygon.area == pytest.approx(20_000 * (1200 / 3937) ** 2, rel=3e-4)
    good["crs"]["properties"]["name"] = "urn:ogc:def:crs:OGC:1.3:CRS84"
    with pytest.raises(FileError, match="seem to be projected"):
        read(saved(good))


def test_local_coordinates_by_member_and_by_word(good, saved):
    del good["features"][1:]
    good["features"][0]["geometry"]["coordinates"] = [[[0, 0], [40, 0], [40, 30], [0, 30], [0, 0]]]
    with pytest.raises(FileError, match=r"spread over .* km"):
        read(saved(good))
    yard = read(saved(good), local_units="ft")
    assert codes(yard) == ["crs-overruled"]
    assert yard.zones[0].polygon.area == pytest.approx(1200 * 0.3048**2, rel=1e-14)
    assert not yard.plane.georeferenced
    good["lawnmap"] = {"coordinates": "local", "unit": "ft"}
    yard = read(saved(good))
    assert codes(yard) == []
    assert yard.zones[0].polygon.area == pytest.approx(1200 * 0.3048**2, rel=1e-14)
