"""Text files told apart by what they say, through the one door that all files come by."""

from pathlib import Path

import pytest

from lawnmap.errors import LawnmapError
from lawnmap.survey import Source, read

DATA = Path(__file__).parent / "data"
CALLS = "N 0-00-00 E 100 ft\nN 90-00-00 E 100 ft\nS 0-00-00 E 100 ft\nN 90-00-00 W 100 ft\n"


def saved(folder, name, content):
    (folder / name).write_bytes(content if isinstance(content, bytes) else content.encode())
    return folder / name


# Published area of Lot 17, 124,740 sq ft to the nearest 10: Jerry Mahun, Open Access Surveying
# Library (jerrymahun.com), COGO Intersections and Curves, problem 2.
@pytest.mark.parametrize("name", ["lot_17_pnezd.txt", "lot_17.deed", "lot_17.xml", "lot_17.dxf"])
def test_one_lot_by_four_doors(name):
    yard = read(DATA / name, source=Source(local_units="ft", point_order="PNEZD"))
    assert yard.zones[0].polygon.area / 0.3048**2 == pytest.approx(124_740, abs=5)
    assert yard.plane.unit == "ft"
    assert not yard.plane.georeferenced


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_character_sets(tmp_path, encoding):
    calls = CALLS.replace("N 0-00-00 E", "N 0°00'00\" E") + "# Grundstück\n"
    path = saved(tmp_path, "deed.txt", calls.encode(encoding))
    assert read(path).zones[0].polygon.area == pytest.approx(1e4 * 0.3048**2)


@pytest.mark.parametrize(
    ("name", "content", "kind"),
    [
        ("a.txt", CALLS, "deed"),
        ("a.deed", "thence N 0-00-00 E 9 m; thence East 9 m; thence South 9 m; thence West 9 m", "deed"),
        ("a.csv", "P,N,E,Z,D\n1,0,0,0,LAWN B\n2,0,9,0,LAWN\n3,9,9,0,LAWN C\n", "points"),
        ("a.csv", '"tape sheet",,\nunit,m,\nlawn,A,circle,9\n', "tape sheet"),
        ("a.txt", "# my yard\n\nTape Sheet\nunit, m\nlawn, A, circle, 9\n", "tape sheet"),
    ],
)
def test_kinds_of_text(tmp_path, name, content, kind):
    source = Source(local_units="m") if kind == "points" else None
    assert read(saved(tmp_path, name, content), source=source).origin.format == kind


@pytest.mark.parametrize("content", [b"\x00\x01\x02" * 50, b"\xff" * 99, b"hello", b"\n\n#\n", b"1\n2\n3\n"])
def test_what_is_none_of_them(tmp_path, content):
    with pytest.raises(LawnmapError, match=r"a\.txt: |a\.txt, "):
        read(saved(tmp_path, "a.txt", content))


def test_points_without_a_unit_are_asked_about(tmp_path):
    path = saved(tmp_path, "a.csv", "P,N,E,Z,D\n1,0,0,0,LAWN B\n2,0,9,0,LAWN\n3,9,9,0,LAWN C\n")
    with pytest.raises(LawnmapError, match="--local-units"):
        read(path)
