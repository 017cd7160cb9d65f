"""The public names are data under test, and naming them costs nothing until they are used."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

import lawnmap

ROOT = Path(__file__).parents[2]
FUNCTIONS = ["plan", "read", "take_off", "write"]
TABLE = (ROOT / "DEVELOPERS.md").read_text("utf-8")
ROOMS = [  # every room that is built, by the table of floors; the command line is no library
    room
    for room in re.findall(r"^\| `(\w+)` \|", TABLE, re.MULTILINE)
    if room != "cli" and list((ROOT / "lawnmap").glob(f"{room}*"))
]
SLOW = ["folium", "geopandas", "numpy", "pandas", "pydantic", "pyogrio", "pyproj", "rich", "shapely", "typer"]


def test_public_list():
    assert sorted(lawnmap.__all__) == sorted(["__version__", *FUNCTIONS, *ROOMS])
    assert {*FUNCTIONS, *ROOMS} <= set(dir(lawnmap))


@pytest.mark.parametrize("name", FUNCTIONS)
def test_function_is_there_and_documented(name):
    function = getattr(lawnmap, name)
    assert callable(function)
    assert function.__doc__


@pytest.mark.parametrize("name", ROOMS)
def test_room_is_there_and_lists_its_names(name):
    room = getattr(lawnmap, name)
    missing = [public for public in getattr(room, "__all__", ()) if not hasattr(room, public)]
    assert not missing


def modules_after(code):
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport sys\nprint(*sys.modules)"],
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    return set(done.stdout.split())


def test_import_is_lazy():
    loaded = modules_after("import lawnmap")
    assert "lawnmap" in loaded
    assert not loaded & set(SLOW)


def test_the_laziness_test_can_fail():
    assert "numpy" in modules_after("import lawnmap\nlawnmap.yard.Plane")
