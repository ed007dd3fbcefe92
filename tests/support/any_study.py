"""Runs the cells of a notebook as a kernel does, and keeps what each shows as plain text."""

import ast
import io
from contextlib import redirect_stdout
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import ipywidgets as widgets
import nbformat
import pandas as pd
import pytest

from kit.study import Study

ROOT = Path(__file__).resolve().parents[2]
BOOKS = ["0-begin", "1-explore", "2-sewing-order", "3-cutting", "4-colour", "5-designs", "5-drawn-designs", "5-units",
         "6-fit-to-a-bed", "7-finish", "8-quilting", "9-publish", "12-sewing-and-errors"]  # fmt: skip


@dataclass
class ShownBook:
    """The texts that the cells showed without a form of their own, and the studies that they opened."""

    texts: list[str] = field(default_factory=list)
    studies: list[Study] = field(default_factory=list)


def run_book(name: str) -> ShownBook:
    """Run every code cell of a notebook in its folder; fail with the number of the cell that cannot be run."""
    shown, space = ShownBook(), {}
    cells = nbformat.read(ROOT / f"notebooks/{name}.ipynb", as_version=4).cells
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(ROOT / "notebooks")
        patch.setattr("bokeh.io.show", lambda _: None)
        for number, cell in enumerate(cells, start=1):
            if cell.cell_type != "code":
                continue
            try:
                value = _run(cell.source, f"{name}, cell {number}", space)
            except Exception as error:  # noqa: BLE001  whatever stops a maker
                pytest.fail(f"{name}, cell {number}: {type(error).__name__}: {error}")
            if value is not None and not _has_form(value):
                shown.texts.append(repr(value))
            shown.studies += [held for held in space.values() if isinstance(held, Study)]
            shown.studies += [held.study for held in space.values() if isinstance(getattr(held, "study", None), Study)]
    return shown


def _run(source: str, place: str, space: dict[str, Any]) -> Any:
    """Run a cell, and return what its last line gives, as a notebook shows it."""
    tree = ast.parse(source)
    last = tree.body.pop() if tree.body and isinstance(tree.body[-1], ast.Expr) else None
    with redirect_stdout(io.StringIO()):
        exec(compile(tree, place, "exec"), space)  # noqa: S102  the project's own cells
        return eval(compile(ast.Expression(last.value), place, "eval"), space) if last else None  # noqa: S307  as above


def _has_form(value: Any) -> bool:
    """Return True if a notebook shows a value as a table, a picture or a screen and not as text."""
    forms = ("_repr_html_", "_repr_png_", "_repr_mimebundle_", "_ipython_display_")
    return isinstance(value, widgets.Widget | pd.DataFrame) or any(hasattr(value, form) for form in forms)
