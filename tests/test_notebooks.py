"""The stored notebooks: fresh outputs, nothing defined in them, and a changed figure is caught."""

import re
import shutil
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest

ROOT = Path(__file__).resolve().parents[1]
BOOKS = sorted((ROOT / "notebooks").glob("*.ipynb"))


@pytest.mark.parametrize("path", BOOKS, ids=lambda path: path.stem)
def test_a_notebook_calls_and_explains_and_defines_nothing(path):
    cells = [cell for cell in nbformat.read(path, as_version=4).cells if cell.cell_type == "code"]
    assert cells
    lines = [line for cell in cells for line in cell.source.splitlines() if line.strip()]
    assert len(lines) <= 70
    assert not [line for line in lines if re.match(r"\s*(def|class|for|while|async)\b", line)]
    assert all(len(cell.source.splitlines()) <= 9 for cell in cells)


@pytest.mark.parametrize("path", BOOKS, ids=lambda path: path.stem)
def test_a_stored_notebook_has_run_through_and_shows_a_picture_without_running(path):
    book = nbformat.read(path, as_version=4)
    outputs = [out for cell in book.cells if cell.cell_type == "code" for out in cell.outputs]
    assert all(cell.execution_count for cell in book.cells if cell.cell_type == "code")
    assert not [out for out in outputs if out.output_type == "error" or out.get("name") == "stderr"]
    pictures = re.findall(r'<img alt="([^"]+)" src="data:image/svg\+xml;base64,', str(outputs))
    assert pictures
    assert path.stat().st_size < 3_000_000


def _compare(folder):
    command = [sys.executable, "-m", "pytest", "-q", "--rootdir", str(folder), "notebooks/1-explore.ipynb"]
    return subprocess.run(command, cwd=folder, capture_output=True, text=True, timeout=300, check=False)


@pytest.fixture
def project(tmp_path):
    for part in ("kit", "notebooks", "data", "tests"):
        unwanted = shutil.ignore_patterns("__pycache__", ".ipynb_checkpoints")
        shutil.copytree(ROOT / part, tmp_path / part, ignore=unwanted)
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    return tmp_path


def test_one_changed_figure_in_a_saved_table_fails_the_comparison(project):
    assert _compare(project).returncode == 0
    path = project / "notebooks/1-explore.ipynb"
    book = nbformat.read(path, as_version=4)
    changed = 0
    for cell in book.cells:
        for out in cell.get("outputs", []):
            text = out.get("data", {}).get("text/html", "")
            if "Finished" in text and ">48</td>" in text:
                out["data"]["text/html"] = text.replace(">48</td>", ">49</td>", 1)
                changed += 1
    assert changed == 1
    nbformat.write(book, path)
    told = _compare(project)
    assert told.returncode == 1
    assert "49" in told.stdout
