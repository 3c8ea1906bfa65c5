"""The notebooks run from top to bottom, and are kept without outputs."""

from pathlib import Path
from typing import Any

import nbformat
import pytest
from nbclient import NotebookClient

NOTEBOOKS = sorted((Path(__file__).resolve().parent.parent / "notebooks").glob("*.ipynb"))


def read(path: Path) -> Any:
    return nbformat.read(path, as_version=4)  # type: ignore[no-untyped-call]


def test_there_is_a_notebook() -> None:
    assert NOTEBOOKS


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_a_notebook_is_kept_without_outputs(path: Path) -> None:
    cells = [cell for cell in read(path).cells if cell.cell_type == "code"]
    assert all(not cell.outputs and cell.execution_count is None for cell in cells)
    assert any("assert " in cell.source for cell in cells)


# The kernel's own event loop warns on some systems; what the cells warn of is not hidden by this.
@pytest.mark.filterwarnings("default")
@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_a_notebook_runs(path: Path) -> None:
    NotebookClient(
        read(path), timeout=120, resources={"metadata": {"path": str(path.parent.parent)}}
    ).execute()
