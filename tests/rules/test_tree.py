"""What stands in the tree: a short top level, no path or host of one machine, nothing left to do."""

import re
from fnmatch import fnmatch
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TOP = {"DEVELOPERS.md", "README.md", "lawnmap", "notebooks", "pyproject.toml", "sample_parcels", "tests"}
IGNORED = [line.rstrip("/") for line in (ROOT / ".gitignore").read_text("utf-8").split()]
TEXT = {".cfg", ".css", ".csv", ".geojson", ".html", ".ipynb", ".js", ".json", ".md", ".py", ".svg", ".toml", ".txt", ".xml"}  # fmt: skip
BANNED = {  # the bracketed letters keep this table from finding itself
    "a path of one machine": r"(?<![\w.])/(?:wor[k]|roo[t]|hom[e]|tm[p]|User[s])/\w",
    "a path of one machine, of the other kind": r"\b[A-Z]:\\User[s]",
    "a package registry": r"py[p]i\.org|pythonhoste[d]\.org|npmj[s]\.",
    "something left to do": r"\b(?:TOD[O]|FIXM[E]|XX[X])\b",
    "filler": r"(?i)lorem ipsu[m]",
}


def is_ignored(path):
    parts = path.relative_to(ROOT).parts
    return any(fnmatch(part, pattern) for part in parts for pattern in [*IGNORED, ".git"])


FILES = sorted(path for path in ROOT.rglob("*") if path.is_file() and not is_ignored(path))
TEXTS = [path for path in FILES if path.suffix in TEXT or path.parent.name == ".ci"]


def test_top_level_is_exactly_this():
    found = {path.relative_to(ROOT).parts[0] for path in FILES}
    assert {name for name in found if not name.startswith(".")} == TOP


def test_ci_is_started_by_one_program():
    program = ROOT / ".ci" / "run"
    assert program.read_text("utf-8").startswith("#!")
    assert program.stat().st_mode & 0o111, "not executable"


@pytest.mark.parametrize("what", BANNED)
def test_no_text_holds(what):
    found = [
        f"{path.relative_to(ROOT)}:{number}: {line.strip()[:80]}"
        for path in TEXTS
        for number, line in enumerate(path.read_text("utf-8").splitlines(), 1)
        if re.search(BANNED[what], line)
    ]
    assert not found, f"{what}:\n" + "\n".join(found)


@pytest.mark.parametrize(
    ("what", "line"),
    [
        ("a path of one machine", 'open("/' + 'work/yard.gpkg")'),
        ("a package registry", "https://py" + "pi.org/simple"),
        ("something left to do", "# TO" + "DO: later"),
    ],
)
def test_the_ban_would_find(what, line):
    assert re.search(BANNED[what], line)


@pytest.mark.parametrize(
    "path", [path for path in FILES if path.suffix == ".py"], ids=lambda p: str(p.relative_to(ROOT))
)
def test_no_module_hides_one_of_python(path):
    assert path.stem not in {"calendar", "io", "json", "types", "random", "select", "statistics", "string"}


GUIDE = (ROOT / "DEVELOPERS.md").read_text("utf-8")


@pytest.mark.parametrize(
    "named", sorted(set(re.findall(r"`(?:python )?((?:tests|lawnmap|\.ci)/(?!ROOM)[\w./]+)`", GUIDE)))
)
def test_what_the_guide_names_is_there(named):
    assert (ROOT / named).exists()
