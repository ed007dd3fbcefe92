"""One word, one thing: no name in the kit stands for two things, and no file is so long or so vague that it must."""

import ast
from collections import defaultdict
from pathlib import Path

import pytest

KIT = Path("kit")
VAGUE = {"utils", "util", "core", "base", "helpers", "helper", "common", "manager", "misc"}
LONGEST = 350
TWICE: dict[str, str] = dict.fromkeys(
    ["backing", "batting", "binding", "borders", "thread"],
    "the table of a pattern, and the quick sum on a quilt without one: rooms whose names are nouns, and one thing",
)
"""Public functions that two modules may both define, each with its reason."""


def list_files(root):
    return sorted(path for path in root.rglob("*.py") if path.name != "__init__.py")


def read_modules(root):
    for path in sorted(root.rglob("*.py")):
        yield path.relative_to(root).as_posix(), ast.parse(path.read_text(encoding="utf-8")).body


def keep_twice(found):
    return {name: places for name, places in found.items() if len(places) > 1}


def find_classes_twice(root):
    """Return the classes that are defined more than once, and those whose name a type alias bears elsewhere."""
    classes, aliases = defaultdict(list), defaultdict(list)
    for place, body in read_modules(root):
        for node in body:
            if isinstance(node, ast.ClassDef):
                classes[node.name].append(place)
            elif isinstance(node, ast.Assign | ast.AnnAssign) and isinstance(node.value, ast.Subscript | ast.BinOp):
                target = node.targets[0] if isinstance(node, ast.Assign) else node.target
                if isinstance(target, ast.Name) and not target.id.isupper():
                    aliases[target.id].append(place)
    return keep_twice({name: [*places, *aliases[name]] for name, places in classes.items()})


def find_functions_twice(root):
    found = defaultdict(list)
    for place, body in read_modules(root):
        for node in body:
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and not node.name.startswith("_"):
                found[node.name].append(place)
    return keep_twice(found)


def find_files_twice(root):
    found = defaultdict(list)
    for path in list_files(root):
        found[path.name].append(path.relative_to(root).as_posix())
    return keep_twice(found)


def find_vague(root):
    parts = (path.relative_to(root) for path in [*root.rglob("*.py"), *root.rglob("*/")])
    return sorted({path.as_posix() for path in parts if VAGUE & set(path.stem.lower().split("_"))})


def find_long(root):
    lengths = {path: len(path.read_text(encoding="utf-8").splitlines()) for path in root.rglob("*.py")}
    return {path.relative_to(root).as_posix(): n for path, n in lengths.items() if n > LONGEST}


def test_no_class_of_the_kit_has_the_name_of_another():
    assert find_classes_twice(KIT) == {}


def test_no_file_of_the_kit_has_the_name_of_another():
    assert find_files_twice(KIT) == {}


def test_no_public_function_of_the_kit_has_the_name_of_another_unless_there_is_a_reason():
    found = find_functions_twice(KIT)
    assert {name: places for name, places in found.items() if name not in TWICE} == {}
    assert set(TWICE) <= set(found), "a reason is kept for a name that no longer occurs twice"


def test_nothing_in_the_kit_is_named_after_no_purpose():
    assert find_vague(KIT) == []


def test_no_module_of_the_kit_is_longer_than_can_be_read_at_a_sitting():
    assert find_long(KIT) == {}


@pytest.fixture
def house(tmp_path):
    """A small house in which each rule is broken once, beside names that only look as if they broke one."""
    files = {
        "model/__init__.py": "class Alone: ...\n",
        "model/pieces.py": "class Piece:\n    def cut(self): ...\n\n\ndef measure(): ...\n\n\ndef _lay(): ...\n",
        "planning/__init__.py": "",
        "planning/pieces.py": "Piece = tuple[float, float]\n\n\ndef measure(): ...\n\n\ndef _lay(): ...\n",
        "planning/rows.py": "class Row: ...\n\n\ndef cut(): ...\n",
        "output/rows_on_paper.py": "class Row: ...\n",
        "output/row_helpers.py": "x = 1\n" * (LONGEST + 1),
        "output/score.py": "x = 1\n" * LONGEST,
        "common/words.py": "",
    }
    for name, text in files.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(text)
    return tmp_path


def test_a_class_that_is_defined_twice_or_named_like_an_alias_is_found(house):
    assert find_classes_twice(house) == {
        "Piece": ["model/pieces.py", "planning/pieces.py"],
        "Row": ["output/rows_on_paper.py", "planning/rows.py"],
    }


def test_a_public_function_that_is_defined_twice_is_found_and_a_private_one_or_a_method_is_not(house):
    assert find_functions_twice(house) == {"measure": ["model/pieces.py", "planning/pieces.py"]}


def test_a_file_name_that_occurs_twice_is_found(house):
    assert find_files_twice(house) == {"pieces.py": ["model/pieces.py", "planning/pieces.py"]}


def test_a_vague_name_of_a_file_or_folder_is_found(house):
    assert find_vague(house) == ["common", "output/row_helpers.py"]


def test_a_module_one_line_too_long_is_found(house):
    assert find_long(house) == {"output/row_helpers.py": LONGEST + 1}
