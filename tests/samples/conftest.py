"""The sums that stand in each sample's ORIGIN.md, worked out."""

import ast
import math
import operator
import re
from fractions import Fraction
from pathlib import Path

import pytest

collect_ignore = ["making"]  # programs, started by the tests, not tests themselves

SAMPLES = Path(__file__).parents[2] / "sample_parcels"
ROW = re.compile(r"^\| (?P<name>[^|]+) \| (?P<sum>[^|]*\d[^|]*) \|$", re.MULTILINE)
SQUARE_UNITS = {
    "contractor": float(Fraction(1200, 3937) ** 2),  # US survey foot, Federal Register 85 FR 62698
    "contractor/survey": float(Fraction(1200, 3937) ** 2),
    "homeowner": 0.3048**2,  # international foot, National Bureau of Standards, 24 FR 5348 (1959)
    "homeowner/tape": 0.3048**2,
    "portfolio": 1.0,
}
WORKS = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
}


def _work_out(text):
    """The value of a sum as people write it: ``30 × 20 − 36 × sin 5° × 4²``."""
    plain = text.replace("×", "*").replace("÷", "/").replace("−", "-").replace("²", "**2")
    plain = plain.replace("π", repr(math.pi))
    plain = re.sub(r"sin ([\d.]+)°", lambda found: repr(math.sin(math.radians(float(found[1])))), plain)
    return _value(ast.parse(plain, mode="eval").body)


def _value(node):
    if isinstance(node, ast.Constant):
        return node.value
    assert isinstance(node, ast.BinOp), f"not a sum: {ast.unparse(node)}"
    return WORKS[type(node.op)](_value(node.left), _value(node.right))


@pytest.fixture(scope="session")
def expected_m2():
    """Sample to (zone or yard to net area): from the arithmetic in ORIGIN.md alone."""
    return {
        sample: {
            row["name"].strip(): _work_out(row["sum"]) * square
            for row in ROW.finditer((SAMPLES / sample / "ORIGIN.md").read_text("utf-8"))
        }
        for sample, square in SQUARE_UNITS.items()
    }


@pytest.fixture(scope="session")
def samples():
    return SAMPLES


@pytest.fixture(scope="session")
def work_out():
    return _work_out
