"""Kinds are literal types: what the planners make is among them, and the type checker holds the rest."""

import subprocess
import sys
from pathlib import Path
from typing import get_args, get_type_hints

import pytest

import kit
from kit.model.cutting import Piece, PieceKind
from kit.model.finishing_figures import Charge, Purchase, ThreadPlan, TimeLine
from kit.model.finishing_parts import Backing, Batting, BindingJoin, BindingPlan, BorderPlan
from kit.model.making import Cloths, Made, UnitWays, Way
from kit.model.palette import Swatch
from kit.model.rules import Wish

STUDIES = Path(__file__).parents[2] / "data" / "studies"
SETTINGS = f"--config-file={Path(__file__).parents[2] / 'pyproject.toml'}"
"""The project's own: then the checker reads what it knows of the kit already."""
KINDS = [
    (Piece, "kind"), (Piece, "hand"), (BorderPlan, "corner"), (BorderPlan, "way"), (BorderPlan, "join"),
    (Backing, "way"), (Batting, "way"), (BindingJoin, "side"), (BindingPlan, "grain"), (BindingPlan, "fold"),
    (BindingPlan, "join"), (ThreadPlan, "method"), (Purchase, "unit"), (Way, "name"), (Cloths, "name"), (Made, "way"),
    (UnitWays, "chosen"), (Swatch, "value"), (Wish, "name"), (Purchase, "what"), (Purchase, "pack"), (TimeLine, "work"),
    (TimeLine, "unit"), (Charge, "what"), (Charge, "unit"),
]  # fmt: skip


@pytest.mark.parametrize(("plan", "field"), KINDS)
def test_a_kind_names_each_word_that_it_may_be(plan, field):
    hint = get_type_hints(plan)[field]
    words = [word for part in (hint, *get_args(hint)) for word in get_args(part) if isinstance(word, str)]
    assert len(words) >= 2


def test_every_piece_of_the_studies_is_of_a_kind_that_is_named():
    tops = [kit.open_study(path).make_patchwork() for path in sorted(STUDIES.glob("*.toml"))]
    found = {piece.kind for top in tops for piece in kit.cut_list(top).pieces}
    assert found <= set(get_args(PieceKind))
    assert len(found) >= 5


def test_the_type_checker_refuses_a_kind_that_is_not_there(tmp_path):
    planted = tmp_path / "planted.py"
    planted.write_text(
        "from kit.model.cutting import Piece\n"
        "def slip(piece: Piece) -> bool:\n"
        '    return piece.kind == "half-square tringle"\n'
        "def right(piece: Piece) -> bool:\n"
        '    return piece.kind == "half-square triangle"\n',
        encoding="utf-8",
    )
    told = subprocess.run(
        [sys.executable, "-m", "mypy", SETTINGS, str(planted)], capture_output=True, text=True, check=False
    )
    assert [line.split(":")[1] for line in told.stdout.splitlines() if "[comparison-overlap]" in line] == ["3"]
