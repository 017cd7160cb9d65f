"""What the README shows is what happens: its commands are run and its output compared."""

import doctest
import os
import re
import shlex
import shutil
import subprocess
import sys
import tomllib
import xml.etree.ElementTree as ET
from itertools import pairwise
from pathlib import Path

import pytest

import lawnmap

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text("utf-8")
BLOCKS = re.findall(r"^```(\w+)\n(.*?)^```", README, re.MULTILINE | re.DOTALL)
PYTHON = re.compile(r"^(?:\.venv/bin/)?(?:python3?|pip|pytest)\b")


def steps(block):
    """Single commands of a block of shell lines."""
    return [step.strip() for line in block.splitlines() for step in line.split("&&") if step.strip()]


SHELL = [step for kind, block in BLOCKS if kind == "sh" for step in steps(block)]
OURS = [step for step in SHELL if not PYTHON.match(step)]
SHOWN = [
    (steps(before)[-1], after)
    for (kind, before), (then, after) in pairwise(BLOCKS)
    if (kind, then) == ("sh", "text")
]


@pytest.fixture(scope="module")
def workplace(tmp_path_factory):
    """A folder with the sample parcels and nothing else of the project."""
    folder = tmp_path_factory.mktemp("readme")
    shutil.copytree(ROOT / "sample_parcels", folder / "sample_parcels", ignore=shutil.ignore_patterns("plan"))
    return folder


@pytest.fixture(scope="module")
def run(workplace):
    """A command of the README, run once however often it is asked for."""
    done = {}

    def once(step):
        if step not in done:
            done[step] = _run(step, workplace)
        return done[step]

    return once


def _run(step, folder):
    words = shlex.split(step)
    assert words[0] in {"lawnmap", ".venv/bin/lawnmap"}, f"what is {step!r}?"
    return subprocess.run(
        [sys.executable, "-m", "lawnmap", *words[1:]],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT), "COLUMNS": "100", "NO_COLOR": "1"},
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )


def test_it_is_short():
    assert len(README.splitlines()) < 150


def test_the_whole_job_stands_on_the_first_screen():
    first = "\n".join(README.splitlines()[:34])
    assert re.search(r"python3 -m venv .*pip install .*lawnmap plan sample_parcels/", first)
    assert re.search(r"python3 -m venv .*pip install .*\[test\].*pytest", first)
    assert re.search(r"!\[[^\]]{20,}\]\(", first), "no picture with a description"


def test_what_it_installs_is_there():
    extras = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["optional-dependencies"]
    wanted = re.findall(r"pip install [^\n&]*\[(\w+)\]", README)
    assert wanted
    assert set(wanted) <= extras.keys()


@pytest.mark.parametrize("step", dict.fromkeys(OURS))
def test_command_works(step, run):
    done = run(step)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize(("step", "shown"), SHOWN, ids=[step for step, _ in SHOWN])
def test_output_is_what_is_shown(step, shown, run):
    """A line of three dots stands for any number of lines."""
    done = run(step)
    pattern = "".join(
        r"(?:.*\n)*?" if line == "..." else re.escape(line.rstrip()) + r"[ ]*\n"
        for line in shown.splitlines()
    )
    assert re.fullmatch(pattern, done.stdout), f"now it is:\n{done.stdout}"


def test_some_output_is_shown():
    assert SHOWN


def drawing(svg):
    """What an SVG shows: its elements in order, the words on them, and every number."""
    elements = list(ET.fromstring(svg).iter())
    numbers = [float(number) for number in re.findall(r"(?<![\w#])-?\d+(?:\.\d+)?", svg)]
    return [element.tag for element in elements], [element.text for element in elements], numbers


def test_picture_is_of_the_plan_above():
    source = re.search(r"lawnmap plan (sample_parcels/\w+)", README)[1]
    kept = re.search(r"!\[[^\]]+\]\(([^)]+\.svg)\)", README)[1]
    tags, words, numbers = drawing((ROOT / kept).read_text("utf-8"))
    now_tags, now_words, now_numbers = drawing(lawnmap.sheets.draw_picture(lawnmap.plan(ROOT / source)))
    assert words == now_words
    assert tags == now_tags
    assert numbers == pytest.approx(now_numbers, abs=1.0)  # a pixel


def test_python_lines_work(workplace, monkeypatch):
    lines = "\n".join(block for kind, block in BLOCKS if kind == "pycon")
    assert ">>>" in lines
    monkeypatch.chdir(workplace)
    example = doctest.DocTestParser().get_doctest(lines, {}, "README.md", "README.md", 0)
    outcome = doctest.DocTestRunner(optionflags=doctest.ELLIPSIS).run(example)
    assert outcome.failed == 0


@pytest.mark.parametrize(
    "target", [found for found in re.findall(r"\]\(([^)]+)\)", README) if "://" not in found]
)
def test_link_leads_somewhere(target):
    assert (ROOT / target.partition("#")[0]).exists()
