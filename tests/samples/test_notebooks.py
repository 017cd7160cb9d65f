"""Every notebook runs from top to bottom, and is kept without its output."""

from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient

FOLDER = Path(__file__).parents[2] / "notebooks"
NOTEBOOKS = sorted(FOLDER.glob("*.ipynb"))


def test_there_are_notebooks():
    assert NOTEBOOKS


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.name)
def test_notebook_is_kept_without_output(path):
    notebook = nbformat.read(path, as_version=4)
    nbformat.validate(notebook)
    for cell in notebook.cells:
        if cell.cell_type == "code":
            assert not cell.outputs
            assert cell.execution_count is None


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.name)
@pytest.mark.filterwarnings("ignore")  # of the notebook's machinery, not ours
def test_notebook_runs(path, tmp_path, monkeypatch):
    monkeypatch.setenv("PYTHONPATH", str(FOLDER.parent))
    monkeypatch.setenv("IPYTHONDIR", str(tmp_path))
    notebook = nbformat.read(path, as_version=4)
    NotebookClient(
        notebook, timeout=120, kernel_name="python3", resources={"metadata": {"path": str(FOLDER)}}
    ).execute()
    assert any(cell.get("outputs") for cell in notebook.cells if cell.cell_type == "code")
