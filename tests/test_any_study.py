"""Notebooks take any study: their cells run over quilts that none has seen, each as the quilt that is worked on.

Left out: the notebooks that do not open the quilt at hand (5-foundations, 10, 11, 13, 14, 15).
`tests/sweeps/study_books.py` runs them over every study, and over three that none has seen.
"""

import re
from pathlib import Path

import pandas as pd
import pytest
from any_study import BOOKS, run_book

import kit
from kit.study import study_from_keys, study_keys, write_study
from kit.study.quilt_folder import make_folder, set_working

pytestmark = pytest.mark.slow
REPR = re.compile(r"^\(|^\[|^\{|^'|^<|^[A-Z]\w+\(|\bTrue\b|\bFalse\b|\bNone\b|\bdtype\b|object at 0x")
"""How a value begins that was shown as a programme writes it."""


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
    """Return the file of a quilt that is being worked on."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SEAMPROOF_QUILTS", str(tmp_path_factory.mktemp("quilts")))
        path = make_folder() / "mine.toml"
        path.write_text(write_study(request.param()), encoding="utf-8")
        kit.make_pattern(kit.open_study(path))
        set_working(path)
        yield path


@pytest.mark.parametrize("name", BOOKS)
def test_a_notebook_runs_over_a_quilt_that_it_has_not_seen_and_shows_it_in_plain_words(name, mine):
    before = mine.read_bytes()
    shown = run_book(name)
    titles = {study_keys(value)["title"] for value in shown.studies}
    assert titles & {"Breakwater", "Slip Rope"}
    assert [text for text in shown.texts if REPR.search(text)] == []
    assert mine.read_bytes() == before


def test_a_value_shown_as_a_programme_writes_it_is_caught():
    planted = [(1, 2), [1], {"a": 1}, "text", True, None, pd.Series([1.0]), object()]
    assert [value for value in planted if not REPR.search(repr(value))] == []
    assert not REPR.search("4 geese, (2 in)")


@pytest.mark.parametrize("path", sorted(Path("notebooks").glob("*.ipynb")), ids=lambda path: path.stem)
def test_a_stored_notebook_shows_plain_words(path):
    import nbformat

    for cell in nbformat.read(path, as_version=4).cells:
        for output in cell.get("outputs", ()):
            data = output.get("data", {})
            if set(data) <= {"text/plain"} and output.output_type != "stream":
                assert not REPR.search(data.get("text/plain", "")), cell.source
