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
    "planning/batches/allowed_ways.py": "why a way is left out: only refusals say it",
    "planning/batches/making_plan.py": "what a refusal calls the units",
    "planning/batches/find_units.py": "names of the groups of a patchwork, which are ids",
    "planning/colouring/slots.py": "parts of a refusal",
    "planning/finishing/binding.py": "parts of a refusal",
    "planning/finishing/border_strips.py": "part of a refusal",
    "planning/finishing/finishing_plan.py": "part of a refusal",
    "planning/finishing/off_the_bolt.py": "part of a refusal",
    "planning/quilting/fillers.py": "parts of a refusal",
    "planning/quilting/quilting_ways.py": "parts of a refusal",
}
"""Files that may hold such texts, and why."""
WORDED = {
    "planning/finishing/backing.py": "why a way to make the backing does not serve",
    "planning/finishing/care.py": "lines of the care card and of the label",
    "planning/finishing/costs.py": "names of work, of what is bought and of charges",
}
"""Files whose plans are still worded where they are made: none is added, and the list is to become empty."""


def find_words(text):
    """Return the texts of two words or more, but for docstrings, annotations, literal types and what errors say."""
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
            skipped = [node.returns] if node.returns else []
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
    assert {name: words for name, words in found.items() if name not in REASONS | WORDED} == {}


def test_no_exception_stands_without_its_need():
    assert set(REASONS | WORDED) - set(find_all()) == set()


@pytest.mark.parametrize(
    "planted",
    [
        'said.append("The widest gap is too wide")',
        'said.append(f"A join lies {clear} from a corner")',
        'warnings = ("look here",)',
        'def warn(text="look here"): ...',
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
    ],
)
def test_docstrings_refusals_types_and_kinds_are_not(allowed):
    assert find_words(allowed) == set()
