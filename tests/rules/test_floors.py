"""Every room imports only from the rooms its row in DEVELOPERS.md allows."""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
ROW = re.compile(r"^\| `(\w+)` \|([\w, ]*)\|", re.MULTILINE)
FLOORS = {
    room: set(re.findall(r"\w+", may))
    for room, may in ROW.findall((ROOT / "DEVELOPERS.md").read_text("utf-8"))
}
TOP = {"__init__.py", "__main__.py"}
MODULES = sorted(
    path
    for path in (ROOT / "lawnmap").rglob("*.py")
    if not (path.parent.name == "lawnmap" and path.name in TOP)
)


def rooms_imported(path):
    """Rooms named by any import in the file, however deep in the code it stands."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}:{node.lineno} relative import; name the room in full"
            names = [f"{node.module}.{alias.name}" for alias in node.names]
        else:
            continue
        yield from (name.split(".")[1] for name in names if name.startswith("lawnmap."))


def room_of(path):
    return path.relative_to(ROOT / "lawnmap").parts[0].removesuffix(".py")


def test_the_table_is_found():
    assert {
        "errors",
        "units",
        "yard",
        "survey",
        "measure",
        "rates",
        "lanes",
        "job",
        "sheets",
        "cli",
    } <= FLOORS.keys()


def test_floors_only_rise():
    seen = set()
    for room, may in FLOORS.items():
        assert may <= seen, f"{room} is allowed {sorted(may - seen)}, which stand on a higher floor"
        seen.add(room)


def test_every_room_has_a_row():
    assert {room_of(path) for path in MODULES} <= FLOORS.keys()


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_room_keeps_to_its_floor(path):
    room = room_of(path)
    extra = set(rooms_imported(path)) - FLOORS[room] - {room}
    assert not extra, f"{room} imports {sorted(extra)}; its row allows {sorted(FLOORS[room])}"
