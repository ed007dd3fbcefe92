"""Planners and solvers put values into plans: no sentence stands in them, outside docstrings and refusals."""

import ast
from pathlib import Path

import pytest

import kit

KIT = Path(kit.__file__).parent
REFUSALS = ("Error", "refuse")
MEASURES = frozenset(["long leg", "short leg", "long side", "short side"])
"""Names of the measures of a piece: keys of `.cut`, which are public."""
REASONS = {
    "planning/batches/find_units.py": "names of the groups of a patchwork, which are ids",
}
"""Files that may hold such texts, and why."""


def find_words(text):
    """Return the texts of two words or more, but for docstrings, annotations, literal types and what errors say.

    What errors say is what they are called with, and all of a function that returns one.
    """
    tree, passed = ast.parse(text), set()
    for node in ast.walk(tree):
        skipped = []
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            skipped = [node.value]
        elif isinstance(node, ast.Call):
            name = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
            skipped = [node] if name.lower().endswith(tuple(end.lower() for end in REFUSALS)) else []
        elif isinstance(node, ast.AnnAssign | ast.arg):
            skipped = [node.annotation] if node.annotation else []
        elif isinstance(node, ast.FunctionDef):
            refusal = node.returns is not None and ast.unparse(node.returns).endswith("Error")
            skipped = node.body if refusal else [node.returns] if node.returns else []
        elif isinstance(node, ast.Subscript) and isinstance(node.value, ast.Name) and node.value.id == "Literal":
            skipped = [node]
        passed.update(id(part) for one in skipped for part in ast.walk(one))
    return {
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and len(node.value.split()) >= 2
        if id(node) not in passed
    }


def list_literals():
    """Return every word of the literal types of the kit."""
    found = set()
    for path in KIT.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Subscript) and isinstance(node.value, ast.Name) and node.value.id == "Literal":
                found |= {part.value for part in ast.walk(node.slice) if isinstance(part, ast.Constant)}
    return found


def find_all():
    """Return the texts of each file of the planners and solvers that has some."""
    literals = list_literals() | MEASURES
    texts = {
        path.relative_to(KIT).as_posix(): find_words(path.read_text(encoding="utf-8")) - literals
        for room in ("planning", "solvers")
        for path in sorted((KIT / room).rglob("*.py"))
    }
    return {name: found for name, found in texts.items() if found}


def test_no_planner_and_no_solver_words_what_it_plans():
    found = find_all()
    assert {name: words for name, words in found.items() if name not in REASONS} == {}


def test_no_exception_stands_without_its_need():
    assert set(REASONS) - set(find_all()) == set()


@pytest.mark.parametrize(
    "planted",
    [
        'said.append("The widest gap is too wide")',
        'said.append(f"A join lies {clear} from a corner")',
        'warnings = ("look here",)',
        'def warn(text="look here"): ...',
        'def refuse(text) -> str:\n    return f"{text} is too wide"',
    ],
)
def test_a_sentence_that_is_put_into_a_planner_is_found(planted):
    path = KIT / "planning" / "finishing" / "finishing_plan.py"
    before = path.read_text(encoding="utf-8")
    assert len(find_words(f"{before}\n{planted}\n")) > len(find_words(before))


@pytest.mark.parametrize(
    "allowed",
    [
        '"""What this file is about."""',
        'raise KitError("the quilt is too wide", needed="a narrower one", do="make it narrower")',
        'Way: TypeAlias = Literal["least cloth", "on hand"]',
        "def find(part: 'Part | None') -> 'Part | None': ...",
        'notice("gap-over-limit", gap=8.1)',
        'def _refuse() -> NoPlanError:\n    do = "write it smaller"\n    return NoPlanError("too large", do=do)',
    ],
)
def test_docstrings_refusals_types_and_kinds_are_not(allowed):
    assert find_words(allowed) == set()
