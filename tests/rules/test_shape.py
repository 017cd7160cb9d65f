"""The shape of the code: short modules and functions, a sentence at every head, units in every docstring."""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
MODULES = sorted((ROOT / "lawnmap").rglob("*.py"))
UNIT = re.compile(r"\[[^\]]+\]\s*$")


def tree_of(path):
    return ast.parse(path.read_text("utf-8"))


def functions(path):
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def public(tree):
    """Public functions of a module and public methods of its public classes, with the class."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
            yield node, None
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            yield node, None
            for inner in node.body:
                if isinstance(inner, ast.FunctionDef) and not inner.name.startswith("_"):
                    yield inner, node


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_module_is_short_and_says_its_job(path):
    text = path.read_text("utf-8")
    assert len(text.splitlines()) <= 400, "over 400 lines: is it two modules?"
    head = ast.get_docstring(ast.parse(text))
    assert head, "no sentence at the head"
    assert head.splitlines()[0].endswith("."), "the head is a sentence"


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_functions_are_short(path):
    for node in functions(path):
        body = node.body[1:] if ast.get_docstring(node) and len(node.body) > 1 else node.body
        lines = body[-1].end_lineno - body[0].lineno + 1
        assert lines <= 60, f"{path.name}:{node.lineno} {node.name} has {lines} lines"


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_public_names_are_documented(path):
    if path.name.startswith("_") and path.name != "__init__.py":
        return
    for node, owner in public(tree_of(path)):
        name = f"{owner.name}.{node.name}" if owner else node.name
        assert ast.get_docstring(node), f"{path.name}:{node.lineno} {name} has no docstring"


def is_number(annotation):
    return annotation is not None and ast.unparse(annotation) in {
        "float",
        "int",
        "float | None",
        "NDArray[np.float64]",
    }


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_numbers_in_docstrings_have_units(path):
    """A numeric parameter's entry ends in its unit in brackets; ``[count]`` and ``[1]`` are units too."""
    for node, _ in public(tree_of(path)):
        if not isinstance(node, ast.FunctionDef):
            continue
        text = ast.get_docstring(node) or ""
        for argument in [*node.args.args, *node.args.kwonlyargs]:
            if not is_number(argument.annotation):
                continue
            assert "[" in text, f"{path.name}:{node.lineno} {node.name}: no unit for {argument.arg}"
            entry = re.search(rf"^{argument.arg} :[^\n]*\n((?:[ \t]+[^\n]*\n?)+)", text + "\n", re.MULTILINE)
            if entry:
                assert UNIT.search(entry.group(1).rstrip()), (
                    f"{path.name} {node.name}: {argument.arg} has no unit"
                )


def test_the_unit_rule_would_fail():
    assert not UNIT.search("Width between lanes.")
    assert UNIT.search("Width between lanes. [m]")
