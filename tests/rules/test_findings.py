"""The catalogue of findings is complete: every code that is raised is explained, every explained one is raised."""

import ast
import re
from pathlib import Path

import pytest

from lawnmap.yard import FINDINGS

ROOT = Path(__file__).parents[2]
CODE = re.compile(r"[a-z]+(-[a-z0-9]+)+|[a-z]+")


def raised():
    """Codes written as the first argument of ``finding(…)``, with the place of each."""
    for path in sorted((ROOT / "lawnmap").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if not (
                isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "finding"
            ):
                continue
            for part in ast.walk(node.args[0]):  # one code, or a choice between two
                if isinstance(part, ast.Constant) and isinstance(part.value, str):
                    yield part.value, f"{path.relative_to(ROOT)}:{node.lineno}"


def strings():
    """Every string of the source but those of the catalogue itself."""
    for path in (ROOT / "lawnmap").rglob("*.py"):
        if path.parent.name == "yard" and path.name.startswith("findings"):
            continue
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                yield node.value


def test_every_code_that_is_raised_is_explained():
    unknown = [f"{place}: {code}" for code, place in raised() if code not in FINDINGS]
    assert not unknown


def test_every_explained_code_is_raised():
    assert not FINDINGS.keys() - set(strings()), "a code that nothing raises"


@pytest.mark.parametrize("code", FINDINGS)
def test_a_code_is_explained_in_sentences(code):
    kind = FINDINGS[code]
    assert CODE.fullmatch(code)
    for text in (kind.meaning, kind.mend):
        assert text[0].isupper()
        assert text.endswith((".", "?"))
    assert kind.severity in {"note", "doubt"}


@pytest.mark.parametrize("code", FINDINGS)
def test_a_code_has_an_example_of_its_own(code):
    example = FINDINGS[code].example
    assert len(example) > 20, "say in a few words what a file looks like that brings it up"
    assert example.endswith((".", "?"))
    assert sum(kind.example == example for kind in FINDINGS.values()) == 1
