"""Notebooks take any study: their code cells run over quilts that none of them has seen.

Left out: the notebooks that open no study (5-designs, 10, 11), 5-drawn-designs, which is about the lines of one family,
and 13-study for quilts without the keys that it sweeps.
"""

import re
from pathlib import Path

import nbformat
import pytest

import kit
from kit.study import study_from_keys, study_keys, write_study

pytestmark = pytest.mark.slow

ROOT = Path(__file__).resolve().parents[1]
BOOKS = ["1-explore", "2-sewing-order", "3-cutting", "4-colour", "5-units", "6-fit-to-a-bed", "7-finish", "8-quilting",
         "9-publish", "12-sewing-and-errors"]  # fmt: skip
OPENED = re.compile(r"""(["'])\.\./data/studies/[a-z-]+\.toml\1""")


def make_metric():
    """Return a small quilt of pinwheels in centimetres; its cloths and slots have names of their own."""
    cloths = (("mole", "Wet slate", "#37474f"), ("spray", "Spindrift", "#e8eef0"), ("rim", "Bollard", "#7a3b2e"))
    return study_from_keys({
        "title": "Breakwater",
        "measures": {"system": "metric", "seam_allowance": "0.75 cm", "usable_width": "107 cm"},
        "design": {"family": "pinwheel", "columns": 3, "rows": 4, "block_finished": "18 cm", "sail_slot": "mole",
                   "ground_slot": "spray", "border": [{"finished": "6.5 cm", "slot": "rim"}]},
        "fabric": [{"slot": slot, "name": name, "colour": colour} for slot, name, colour in cloths],
    })  # fmt: skip


def make_units():
    """Return a quilt put together of units, with a border."""
    goose = {"family": "flying geese", "geese": 2, "goose_finished": "2 in", "goose_slots": ["net"], "sky_slot": "fog"}
    post = {"patch": "square", "side_finished": "goose.top", "slot": "rope"}
    rows = {"rows": ["post goose post", "goose post goose(180)"]}
    whole = {"block": "block", "columns": 3, "rows": 3, "border": [{"finished": "3 in", "slot": "rope"}]}
    cloths = (("net", "Herring net", "#4d6a79"), ("fog", "Sea fret", "#eef0ec"), ("rope", "Tarred rope", "#5b4636"))
    return study_from_keys({
        "title": "Slip Rope",
        "design": {"family": "units"},
        "unit": {"goose": goose, "post": post, "block": rows, "whole": whole},
        "fabric": [{"slot": slot, "name": name, "colour": colour} for slot, name, colour in cloths],
    })  # fmt: skip


@pytest.fixture(scope="module", params=[make_metric, make_units], ids=["metric", "units"])
def mine(request, tmp_path_factory):
    path = tmp_path_factory.mktemp("mine") / "mine.toml"
    path.write_text(write_study(request.param()), encoding="utf-8")
    kit.make_pattern(kit.open_study(path))
    return path


@pytest.mark.parametrize("name", BOOKS)
def test_a_notebook_runs_over_a_study_that_it_has_not_seen(name, mine, monkeypatch):
    monkeypatch.chdir(ROOT / "notebooks")
    monkeypatch.setattr("bokeh.io.show", lambda _: None)
    book = nbformat.read(ROOT / f"notebooks/{name}.ipynb", as_version=4)
    sources = [cell.source for cell in book.cells if cell.cell_type == "code"]
    opened = next(number for number, source in enumerate(sources) if OPENED.search(source))
    sources[opened] = OPENED.sub(repr(str(mine)), sources[opened], count=1)
    space = {}
    for number, source in enumerate(sources, start=1):
        try:
            exec(compile(source, f"{name}, cell {number}", "exec"), space)  # noqa: S102  the project's own cells
        except Exception as error:  # noqa: BLE001  whatever stops a maker
            pytest.fail(f"{name}, cell {number}: {type(error).__name__}: {error}")
    assert study_keys(kit.open_study(mine))["title"] in {"Breakwater", "Slip Rope"}
