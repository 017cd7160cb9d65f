"""The GeoParquet door, against files that GeoPandas and pyarrow write (OGC 24-013, *GeoParquet*)."""

import json

import geopandas
import pyarrow as pa
import pytest
from pyarrow import parquet
from shapely.geometry import box

from lawnmap.errors import FileError
from lawnmap.survey import read


def table(crs="EPSG:5070"):
    cells = {"name": ["front", None], "density": ["thin", "bare"], "tags": [["a"], []]}
    return geopandas.GeoDataFrame(cells, geometry=[box(0, 0, 30, 20), box(40, 0, 60, 20)], crs=crs)


def test_it_is_read_as_the_same_table_in_a_geopackage(tmp_path):
    table().to_parquet(tmp_path / "lot.parquet")
    table().drop(columns="tags").to_file(tmp_path / "lot.gpkg")
    one, other = read(tmp_path / "lot.parquet"), read(tmp_path / "lot.gpkg")
    assert [(zone.name, zone.density) for zone in one.zones] == [("front", "thin"), ("Lawn 1", "bare")]
    assert [zone.polygon for zone in one.zones] == [zone.polygon for zone in other.zones]


def test_without_a_crs_it_is_longitude_and_latitude(tmp_path):
    path = tmp_path / "lot.parquet"
    degrees = table().to_crs("OGC:CRS84")
    degrees.to_parquet(path)
    held = parquet.read_table(path)
    geo = json.loads(held.schema.metadata[b"geo"])
    del geo["columns"]["geometry"]["crs"]
    parquet.write_table(held.replace_schema_metadata({"geo": json.dumps(geo)}), path)
    assert sum(zone.polygon.area for zone in read(path).zones) == pytest.approx(1000, rel=1e-6)


def test_a_crs_of_null_is_asked_for(tmp_path):
    table(crs=None).to_parquet(tmp_path / "lot.parquet")
    with pytest.raises(FileError, match="does not say where its coordinates lie"):
        read(tmp_path / "lot.parquet")


def test_what_is_no_parquet(tmp_path):
    (tmp_path / "lot.parquet").write_text("yard,area\n")
    with pytest.raises(FileError, match=r"lot\.parquet: it is no Parquet file"):
        read(tmp_path / "lot.parquet")


def test_parquet_without_shapes(tmp_path):
    parquet.write_table(pa.table({"yard": ["a"]}), tmp_path / "lot.parquet")
    with pytest.raises(FileError, match="does not say where its shapes are"):
        read(tmp_path / "lot.parquet")


def test_another_encoding(tmp_path):
    table().to_parquet(tmp_path / "lot.parquet", geometry_encoding="geoarrow", schema_version="1.1.0")
    with pytest.raises(FileError, match="its shapes are written as polygon; export it with the encoding WKB"):
        read(tmp_path / "lot.parquet")


def test_empty_table(tmp_path):
    table().iloc[:0].to_parquet(tmp_path / "lot.parquet")
    with pytest.raises(FileError, match="the layer is empty"):
        read(tmp_path / "lot.parquet")
