"""The formatter, the linter and the type checker find nothing."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize(
    "command", [["ruff", "format", "--check", "."], ["ruff", "check", "."], ["mypy"]], ids=" ".join
)
def test_tool_is_content(command):
    done = subprocess.run(
        [sys.executable, "-m", *command], cwd=ROOT, capture_output=True, text=True, check=False, timeout=600
    )
    assert done.returncode == 0, done.stdout + done.stderr


def test_every_waived_rule_gives_its_reason():
    """``noqa`` and ``type: ignore`` name a rule and say why, on the line."""
    silent = []
    for path in [*(ROOT / "lawnmap").rglob("*.py"), *(ROOT / "tests").rglob("*.py")]:
        for number, line in enumerate(path.read_text("utf-8").splitlines(), 1):
            for mark in ("# no" + "qa", "# type: " + "ignore"):
                if mark in line:
                    rule, *words = line.split(mark, 1)[1].split()
                    if (
                        not any(sign.isupper() or sign == "[" for sign in rule + " ".join(words))
                        or len(words) < 3
                    ):
                        silent.append(f"{path.relative_to(ROOT)}:{number}: {line.strip()}")
    assert not silent, "\n".join(silent)
