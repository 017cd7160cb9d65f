"""Several yards in one file, lots, and where the coordinates lie."""

import pytest
import shapely

from lawnmap.errors import FileError, ShapeError
from lawnmap.survey import Feature, Sheet, Source, read, read_all
from lawnmap.survey.build import build_yard


def feature(shape, **properties):
    return {"type": "Feature", "properties": properties, "geometry": shapely.geometry.mapping(shape)}


def collection(*features, **members):
    return {"type": "FeatureCollection", **members, "features": list(features)}


LOCAL = {"lawnmap": {"coordinates": "local", "unit": "m"}}


@pytest.fixture
def street(saved):
    """Three yards of 40 m by 30 m in a row; the first house names its yard, the second does not."""
    return saved(
        collection(
            feature(shapely.box(0, 0, 40, 30), parcel=1, name="A", role="lawn"),
            feature(shapely.box(40, 0, 80, 30), parcel=2, name="B", role="lawn"),
            feature(shapely.box(130, 0, 170, 30), parcel=3.0, name="C", role="lawn"),
            feature(shapely.box(10, 10, 20, 20), parcel="1", role="obstacle", kind="house", name="H1"),
            feature(shapely.box(50, 10, 60, 20), role="obstacle", kind="house", name="H2"),
            feature(shapely.box(78, 0, 132, 2), role="obstacle", kind="drive", name="shared drive"),
            feature(shapely.box(500, 0, 510, 2), role="obstacle", kind="drive", name="far drive"),
            feature(shapely.LineString([(0, 45), (80, 45)]), role="water", name="creek", setback="10 ft"),
            feature(shapely.box(0, 0, 1, 1), parcel=9, role="obstacle", kind="bed", name="lost bed"),
            **LOCAL,
        )
    )


def test_shapes_go_to_the_yard_they_name_or_touch(street):
    yards = read_all(street)
    assert [yard.name for yard in yards] == ["1", "2", "3"]
    assert [[o.name for o in yard.obstacles] for yard in yards] == [
        ["H1"],
        ["H2", "shared drive"],
        ["shared drive"],
    ]
    assert [[w.name for w in yard.water] for yard in yards] == [["creek"], ["creek"], []]
    assert yards[0].water[0].setback_m == pytest.approx(3.048)
    (lost,) = [found for found in yards[2].findings if found.code == "no-yard"]
    assert "far drive" in lost.text
    assert "lost bed" in lost.text


def test_one_of_several_is_asked_for(street):
    with pytest.raises(FileError, match="it holds 3 yards: 1, 2, 3; say which one with --yard"):
        read(street)
    assert read(street, yard="2").zones[0].name == "B"
    assert [yard.name for yard in read_all(street, yard="3")] == ["3"]
    with pytest.raises(FileError, match='there is no yard "4" in it'):
        read(street, yard="4")


def test_a_lawn_without_a_yard_among_others(saved):
    path = saved(
        collection(
            feature(shapely.box(0, 0, 40, 30), yard="x", role="lawn"),
            feature(shapely.box(50, 0, 80, 30), yard="y", role="lawn"),
            feature(shapely.box(90, 0, 99, 30), role="lawn"),
            **LOCAL,
        )
    )
    yards = read_all(path)
    assert [yard.name for yard in yards] == ["x", "y", "no name"]
    assert "yard-missing" in {found.code for found in yards[2].findings}


def test_only_the_faulty_yard_is_refused(saved):
    bow = shapely.Polygon([(50, 0), (80, 0), (50, 30), (80, 30)])
    path = saved(
        collection(
            feature(shapely.box(0, 0, 40, 30), yard="x", role="lawn"),
            feature(bow, yard="y", role="lawn"),
            **LOCAL,
        )
    )
    assert read(path, yard="x").zones[0].polygon.area == 1200
    with pytest.raises(ShapeError, match="feature 2: the outline crosses itself at 65, 15"):
        read(path, yard="y")
    with pytest.raises(ShapeError, match='yard "y", feature 2'):
        read_all(path)


def test_a_lot_is_lawn_only_where_no_lawn_is_drawn(saved):
    lot, lawn = (
        feature(shapely.box(0, 0, 40, 30), role="lot"),
        feature(shapely.box(0, 0, 40, 10), role="lawn"),
    )
    only = read(saved(collection(lot, **LOCAL)))
    assert only.zones[0].polygon.area == 1200
    assert "lot-as-lawn" in {found.code for found in only.findings}
    both = read(saved(collection(lot, lawn, **LOCAL)))
    assert [zone.polygon.area for zone in both.zones] == [400]
    assert "lot-set-aside" in {found.code for found in both.findings}


def test_yards_near_each_other_share_a_plane_and_areas_stay_true(saved):
    """LAEA keeps areas wherever its centre is: alone or together, a yard has one area."""
    spots = [(-93.1 + 0.02 * east, 44.9 + 0.02 * north) for east in range(4) for north in range(4)]
    spots += [(10.0, 50.0)]
    path = saved(
        collection(
            *(
                feature(shapely.box(east, north, east + 0.001, north + 0.0005), yard=f"{n}", role="lawn")
                for n, (east, north) in enumerate(spots)
            )
        )
    )
    yards = read_all(path)
    assert len({yard.plane for yard in yards}) < len(spots)
    for number in (0, 7, 16):
        alone = read(path, yard=str(number))
        assert yards[number].zones[0].polygon.area == pytest.approx(alone.zones[0].polygon.area, rel=1e-9)


def test_the_antarctic_has_no_lawns_and_the_far_north_few(saved):
    swapped = feature(shapely.box(40.7, -74.001, 40.701, -74), role="lawn")
    with pytest.raises(FileError, match="is in the Antarctic; longitude and latitude seem to be swapped"):
        read(saved(collection(swapped)))
    north = read(saved(collection(feature(shapely.box(25, 71, 25.001, 71.0005), role="lawn"))))
    assert [found.code for found in north.findings if found.code == "perhaps-swapped"]


def test_a_yard_of_millimetres_is_refused(saved):
    path = saved(collection(feature(shapely.box(0, 0, 0.001, 0.001), role="lawn"), **LOCAL))
    with pytest.raises(FileError, match="the whole yard is 1 mm wide"):
        read(path)


def test_both_words_of_the_user_at_once(street):
    with pytest.raises(FileError, match="both a CRS and local units are given"):
        read(street, crs="EPSG:2263", local_units="ft")


def test_words_of_a_call_go_before_the_job_file(street):
    job = Source(crs="EPSG:2263", yard="1")
    assert not read(street, source=job, local_units="m").plane.georeferenced
    assert read(street, source=job, local_units="m", yard="2").name == "2"


def test_accuracy_of_vertices_by_column_by_door_and_by_the_user(tmp_path):
    where = tmp_path / "walk.gpx"
    made = Sheet(
        [Feature(shapely.box(0, 0, 9, 9), {"role": "lawn"}, "track 1")], "GPX", unit="m", vertex_sigma_m=3
    )
    assert build_yard(made, Source(), where).origin.vertex_sigma_m == 3
    assert build_yard(made, Source(vertex_accuracy_m=0.1), where).origin.vertex_sigma_m == 0.1
    named = Feature(shapely.box(0, 0, 9, 9), {"role": "lawn", "accuracy": "2 ft"}, "track 1")
    assert build_yard(
        Sheet([named], "GPX", unit="m"), Source(), where
    ).origin.vertex_sigma_m == pytest.approx(0.6096)
