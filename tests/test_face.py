"""The public face: what `kit` hands out, what loading it costs, and who may look behind it."""

import ast
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest

import kit

ROOT = Path(__file__).resolve().parents[1]
BOOKS = sorted((ROOT / "notebooks").glob("*.ipynb"))
HEAVY = {"bokeh", "ipywidgets", "jupyter_bokeh", "pandas", "numpy", "shapely", "pydantic", "pint", "typst", "IPython"}
FIXED = [
    "open_study",
    "save_study",
    "make_pattern",
    "patchwork_from_outlines",
    "cut_list",
    "cutting_plan",
    "Supply",
    "sewing_plan",
    "rehearse",
    "colour_plan",
    "Fabric",
    "preview",
    "explore",
    "tables",
    "KitError",
    "compare",
    "write_document",
]
HANDED_OUT = [
    "Study",
    "Pattern",
    "Sketch",
    "Patchwork",
    "Patch",
    "CutList",
    "Piece",
    "CuttingPlan",
    "SewingPlan",
    "Rehearsal",
    "Colouring",
    "FinishingPlan",
    "QuiltingPlan",
    "Supply",
    "Fabric",
    "Rules",
    "QuiltingWishes",
    "FinishingWishes",
    "FAMILIES",
    "prove",
]


def _run(code, *words):
    told = subprocess.run(
        [sys.executable, "-c", code, *words], capture_output=True, text=True, timeout=120, check=False, cwd=ROOT
    )
    assert told.returncode == 0, told.stderr
    return told.stdout


@pytest.mark.parametrize("name", [*FIXED, *HANDED_OUT])
def test_a_name_that_is_promised_is_there(name):
    assert name in kit.__all__
    assert getattr(kit, name) is not None


def test_every_public_name_can_be_loaded_and_is_listed():
    assert {name for name in kit.__all__ if not hasattr(kit, name)} == set()
    assert set(kit.__all__) <= set(dir(kit))
    with pytest.raises(AttributeError):
        kit.no_such_name  # noqa: B018


def test_what_the_kit_hands_out_has_its_type_among_the_public_names():
    pattern = kit.make_pattern(kit.open_study(ROOT / "data/studies/ferry-steps.toml"))
    assert isinstance(pattern, kit.Pattern)
    assert isinstance(pattern.study, kit.Study)
    plans = ["patchwork", "colouring", "cut_list", "cutting", "sewing", "rehearsal", "finishing", "quilting", "making"]
    for part in (getattr(pattern, name) for name in plans):
        assert type(part) is getattr(kit, type(part).__name__)


ASK = "from kit.__main__ import main\ntry:\n    main(['{word}'])\nexcept SystemExit:\n    pass"
COMMANDS = {"import kit": "import kit", "--help": ASK.format(word="--help"), "--version": ASK.format(word="--version")}


@pytest.mark.parametrize("code", COMMANDS.values(), ids=COMMANDS)
def test_none_of_the_large_libraries_is_loaded_before_it_is_needed(code):
    ask = f"{code}\nimport sys\nprint('LOADED', *{{name.partition('.')[0] for name in sys.modules}})"
    loaded = set(_run(ask).rpartition("LOADED")[2].split())
    assert "kit" in loaded
    assert loaded & HEAVY == set()


ORDERS = [
    "import kit; kit.explore",
    "import kit.explore.controls",
    "import kit.explore.explorer",
    "from kit.explore import gallery",
    "from kit import explore; import kit.lessons",
]


@pytest.mark.parametrize("order", ORDERS)
def test_explore_is_a_function_whichever_room_is_imported_first(order):
    ask = "import kit, sys; from kit.explore.explorer import explore; print(kit.explore is explore, callable(explore))"
    assert _run(f"{order}\n{ask}") == "True True\n"


def test_explore_opens_a_study_after_its_room_was_imported():
    code = "import kit.explore.controls, kit; print(type(kit.explore('data/studies/ferry-steps.toml')).__name__)"
    assert _run(code) == "Explorer\n"


def _list_code(path):
    cells = [cell for cell in nbformat.read(path, as_version=4).cells if cell.cell_type == "code"]
    return [node for cell in cells for node in ast.walk(ast.parse(cell.source))]


def find_inner_names(nodes):
    """Return what looks behind the face: imports from inner rooms, and names that are not public."""
    found = []
    for node in nodes:
        if isinstance(node, ast.Import):
            found += [name.name for name in node.names if name.name.startswith("kit.")]
        elif isinstance(node, ast.ImportFrom) and node.module == "kit":
            found += [name.name for name in node.names if name.name not in kit.__all__]
        elif isinstance(node, ast.ImportFrom) and (node.module or "").startswith("kit."):
            found.append(node.module)
        elif isinstance(node, ast.Attribute) and (dotted := _spell(node)):
            found += _find_hidden(dotted)
    return found


def _spell(node):
    """Return the dotted name that a node is, empty where anything but names is in it."""
    if isinstance(node, ast.Name):
        return node.id
    inside = _spell(node.value) if isinstance(node, ast.Attribute) else ""
    return f"{inside}.{node.attr}" if inside else ""


def _find_hidden(dotted):
    first, *names = dotted.split(".")
    if first != "kit":
        return []
    if names[0] not in kit.__all__:
        return [dotted]
    room = getattr(kit, names[0])
    inner = len(names) > 1 and hasattr(room, "__path__") and names[1] not in room.__all__
    return [dotted] if inner else []


@pytest.mark.parametrize("path", BOOKS, ids=lambda path: path.stem)
def test_a_notebook_takes_everything_from_the_public_face(path):
    nodes = _list_code(path)
    assert any(isinstance(node, ast.Import) and node.names[0].name == "kit" for node in nodes)
    assert find_inner_names(nodes) == []


@pytest.mark.parametrize(
    "code",
    [
        "from kit.output.pictures.svg import write_image",
        "import kit.explore.gallery",
        "from kit import model",
        "kit.planning.sewing",
        "kit.tables.StepWriter(pattern, plan)",
        "kit.lessons.contents.LESSONS",
    ],
)
def test_a_look_behind_the_face_is_found(code):
    assert find_inner_names(ast.walk(ast.parse(code)))
