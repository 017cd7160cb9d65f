"""A file of many yards read some at a time gives the yards that reading it whole gives."""

from pathlib import Path

import geopandas
import numpy as np
import pytest
from shapely.geometry import Point, box

from lawnmap.errors import FileError, LawnmapError
from lawnmap.survey import Source, contents, read, read_all, read_each, read_part
from lawnmap.survey.owners import NO_NAME
from lawnmap.yard import Yard

ROOT = Path(__file__).parents[2]
TOWN = ROOT / "sample_parcels" / "portfolio" / "yards.gpkg"


def in_parts(path, source, size):
    listed = contents(path, source)
    found = {}
    for first in range(0, len(listed.names), size):
        found |= read_part(path, source, listed.part(first, first + size))
    return found


def same(one, other):
    return all(
        getattr(one, field) == getattr(other, field)
        for field in ("name", "zones", "obstacles", "water", "landmarks", "plane", "findings")
    )


@pytest.fixture(scope="module")
def whole():
    return {yard.name: yard for yard in read_all(TOWN)}


@pytest.mark.parametrize("size", [1, 5, 28])
def test_parts_of_any_size_give_the_same_yards(whole, size):
    found = in_parts(TOWN, Source(), size)
    assert list(found) == list(whole)
    assert all(same(found[name], yard) for name, yard in whole.items())


def as_one_layer(folder, ending):
    """The sample town as one table with a column for the role."""
    layers = {"lawns": "lawn", "obstacles": "obstacle", "water": "water"}
    frames = [geopandas.read_file(TOWN, layer=layer).assign(role=role) for layer, role in layers.items()]
    together = geopandas.pd.concat(frames, ignore_index=True)
    path = folder / f"town{ending}"
    if ending == ".parquet":
        together.to_parquet(path, row_group_size=20)
    else:
        together.to_file(path)
    return path


@pytest.mark.parametrize("ending", [".parquet", ".gpkg"])
@pytest.mark.parametrize("size", [3, 28])
def test_one_table_in_either_format(tmp_path, whole, ending, size):
    found = in_parts(as_one_layer(tmp_path, ending), Source(), size)
    assert list(found) == list(whole)
    for name, yard in whole.items():
        assert [zone.polygon for zone in found[name].zones] == [zone.polygon for zone in yard.zones]
        assert found[name].plane == yard.plane


def frame(rows, crs="EPSG:5070"):
    columns = ("yard", "role", "cover_percent", "job", "geometry")
    return geopandas.GeoDataFrame([dict(zip(columns, row, strict=True)) for row in rows], crs=crs)


LOTS = [
    ("a", "lawn", 0.4, "one.toml", box(0, 0, 30, 20)),
    ("b", "lawn", 60.0, "", box(100, 0, 130, 20)),
    (None, "obstacle", np.nan, "", Point(110, 10).buffer(3)),
    (None, "obstacle", np.nan, "", Point(900, 10).buffer(3)),
    ("c", "obstacle", np.nan, "", Point(5, 5).buffer(1)),
]


@pytest.fixture
def lots(tmp_path):
    frame(LOTS).to_file(tmp_path / "lots.gpkg")
    return tmp_path / "lots.gpkg"


def test_obstacles_that_name_no_yard_go_where_they_stand(lots):
    found = in_parts(lots, Source(), 1)
    assert not found["a"].obstacles
    assert len(found["b"].obstacles) == 1


def test_what_is_near_to_no_yard_is_counted(lots):
    assert contents(lots, Source()).lost == 1


def test_yard_without_lawn_is_told_and_not_dropped(lots):
    assert 'yard "c" has no lawn' in str(in_parts(lots, Source(), 1)["c"])


def test_lawns_without_a_name_are_a_yard_of_their_own(tmp_path):
    rows = [*LOTS, (None, "lawn", 50.0, "", box(200, 0, 230, 20))]
    frame(rows).to_file(tmp_path / "lots.gpkg")
    found = in_parts(tmp_path / "lots.gpkg", Source(), 2)
    assert [len(found[name].zones) for name in ("a", "b", NO_NAME)] == [1, 1, 1]


def test_cover_is_judged_by_the_whole_file(lots):
    """Alone the 0.4 of yard a might be a share; beside the 60 of yard b it is a percentage."""
    assert in_parts(lots, Source(), 1)["a"].zones[0].cover_percent == 0.4


def test_extra_column_is_handed_on(lots):
    assert contents(lots, Source(), column="job").said[:2] == ("one.toml", "")


def test_a_column_that_is_not_there(lots):
    with pytest.raises(FileError, match='there is no column "jobb" in it; did you mean "job"'):
        contents(lots, Source(), column="jobb")


def test_column_that_the_user_names(tmp_path):
    frame(LOTS[:2]).rename(columns={"yard": "uid"}).to_file(tmp_path / "lots.gpkg")
    named = Source(yard_column="UID")
    assert list(in_parts(tmp_path / "lots.gpkg", named, 1)) == ["a", "b"]
    assert [yard.name for yard in read_all(tmp_path / "lots.gpkg", source=named)] == ["a", "b"]
    with pytest.raises(FileError, match='there is no column "id" in it'):
        read_all(tmp_path / "lots.gpkg", source=Source(yard_column="id"))


def test_a_broken_yard_does_not_stop_the_others(tmp_path):
    crossed = box(200, 0, 230, 20).boundary.coords[:]
    crossed = [crossed[0], crossed[2], crossed[1], crossed[3], crossed[0]]
    rows = [*LOTS[:2], ("crossed", "lawn", 50.0, "", geopandas.points_from_xy([0], [0])[0])]
    table = frame(rows)
    table.loc[2, "geometry"] = type(table.geometry[0])(crossed)
    table.to_file(tmp_path / "lots.gpkg")
    for found in (in_parts(tmp_path / "lots.gpkg", Source(), 3), read_each(tmp_path / "lots.gpkg", Source())):
        assert isinstance(found["crossed"], LawnmapError)
        assert isinstance(found["a"], Yard)
        assert isinstance(found["b"], Yard)
        assert "lots.gpkg" in str(found["crossed"])


def test_a_file_of_one_yard_is_read_as_ever():
    path = ROOT / "sample_parcels" / "homeowner" / "yard.geojson"
    (yard,) = in_parts(path, Source(), 1).values()
    assert same(yard, read(path))


def test_one_yard_of_many_can_be_named():
    assert list(in_parts(TOWN, Source(yard="School"), 5)) == ["School"]
    with pytest.raises(FileError, match='there is no yard "Skool" in it'):
        contents(TOWN, Source(yard="Skool"))
