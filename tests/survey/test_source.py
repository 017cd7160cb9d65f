"""What the user says of a file is used whatever its kind: roles of layers, the combined factor, changes."""

import numpy as np
import pyogrio
import pytest
import shapely
from shapely import box

from lawnmap.errors import ChoiceError, FileError
from lawnmap.survey import Source, read
from lawnmap.survey.gis import LOCAL_CRS

DEED = """[lawn] Lot
thence N 90-00-00 E 100.00 m
thence N 00-00-00 E 80.00 m
thence N 90-00-00 W 100.00 m
thence S 00-00-00 E 80.00 m
"""


@pytest.fixture
def layered(tmp_path):
    """A GeoPackage in local metres whose two layers say nothing of what they are."""
    path = tmp_path / "lot.gpkg"
    for name, shape in {"one": box(0, 0, 40, 30), "two": box(10, 10, 20, 15)}.items():
        pyogrio.raw.write(
            path,
            geometry=shapely.to_wkb(np.array([shape], dtype=object)),
            field_data=[np.array([name], dtype=object)],
            fields=np.array(["label"], dtype=object),
            geometry_type="Polygon",
            crs=LOCAL_CRS,
            layer=name,
        )
    return path


def test_layers_of_a_geopackage_take_the_roles_that_the_user_gives(layered):
    yard = read(layered, source=Source(layers={"one": "lawn", "TW*": "pool"}))
    assert [zone.polygon.area for zone in yard.zones] == [1200]
    assert [obstacle.kind for obstacle in yard.obstacles] == ["pool"]
    assert "role-guessed" not in {found.code for found in yard.findings}
    assert not read(layered, source=Source(layers={"one": "lawn", "two": "skip"})).obstacles


def test_a_layer_that_is_not_there_is_told(layered):
    with pytest.raises(FileError, match=r'there is no layer or shape "three" in it; .*'):
        read(layered, source=Source(layers={"three": "lawn"}))
    with pytest.raises(ChoiceError, match='"lawm" is not a role'):
        read(layered, source=Source(layers={"one": "lawm"}))


def test_shapes_without_layers_are_named(tmp_path):
    path = tmp_path / "lot.deed"
    path.write_text(DEED.replace("[lawn]", "[]"), "utf-8")
    yard = read(path, source=Source(layers={"lot": "lawn"}))
    assert "lot-as-lawn" not in {found.code for found in yard.findings}


def test_the_combined_factor_counts_once_in_every_kind_of_file(layered, tmp_path):
    """Grid distance over the combined factor is ground distance (NOAA NGS, State Plane Coordinate System)."""
    path = tmp_path / "lot.deed"
    path.write_text(DEED, "utf-8")
    for file, plain_m2 in ((layered, 1200), (path, 8000)):
        yard = read(
            file, source=Source(scale_factor=0.9999, layers={"one": "lawn"} if file is layered else {})
        )
        assert yard.zones[0].polygon.area == pytest.approx(plain_m2 / 0.9999**2, rel=1e-12)
        assert yard.origin.combined_factor == 0.9999
        assert [found.code for found in yard.findings].count("scaled-to-ground") == 1


def test_the_combined_factor_is_refused_where_the_ground_has_a_place(saved, good):
    with pytest.raises(ChoiceError, match="a scale factor is for coordinates without a CRS"):
        read(saved(good), source=Source(scale_factor=0.9999))


def test_of_a_crs_and_local_units_the_one_that_is_given_stands():
    known = Source(local_units="ft", layers={"A": "lawn"})
    assert known.changed({"crs": "EPSG:2272"}).local_units is None
    assert known.changed({"local_units": "m", "crs": None}).local_units == "m"
    assert known.changed({"layers": {"B": "bed"}}).layers == {"A": "lawn", "B": "bed"}
    assert known.changed({}) == known
    with pytest.raises(ChoiceError, match=r"\[yard\], gap"):
        known.changed({"gap": "wide"})
