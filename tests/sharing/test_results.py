"""A stored result says what changed: the study, a version, a figure, a line of a table; and no more than that."""

import ast
import json
from pathlib import Path

import pytest
from small_sweeps import SMALL

import kit
from kit.__main__ import main
from kit.pipeline import make_pattern
from kit.sharing.results import compare_result, find_result, list_tables, make_result, open_result, write_result
from kit.sharing.versions import LIBRARIES, find_fingerprint, list_versions
from kit.study import save_study, study_from_keys, study_keys

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def pattern():
    return make_pattern(SMALL)


@pytest.fixture
def stored(pattern, tmp_path):
    return kit.store_result(pattern, tmp_path / "landing-stage.result.json")


def change(study=SMALL, **design):
    keys = study_keys(study)
    keys["design"] |= design
    return study_from_keys(keys)


def test_the_same_pattern_changes_nothing_and_gives_the_same_bytes(stored):
    assert compare_result(open_result(stored), make_pattern(SMALL)) == ()
    assert stored.read_text(encoding="utf-8") == write_result(make_result(make_pattern(SMALL)))


def test_it_holds_no_place_and_no_name_of_a_machine(stored):
    import getpass
    import platform

    text = stored.read_text(encoding="utf-8")
    for word in (str(ROOT), str(Path.home()), platform.node(), platform.platform()):
        assert word not in text
    assert f'"{getpass.getuser()}"' not in text


def test_a_changed_key_is_named_with_both_values_and_so_are_figures_and_tables(stored):
    changes = compare_result(open_result(stored), make_pattern(change(columns=5)))
    told = [f"{one.kind}: {one.sentence}" for one in changes]
    assert "study: design.columns was 2, is 5" in told
    assert "figure: pieces was 4, is 10" in told
    assert any(line.startswith("table: table `pieces`, row 1: was ") for line in told)
    assert {one.kind for one in changes} == {"study", "figure", "table"}


def test_a_title_changes_the_study_and_no_figure(stored):
    keys = study_keys(SMALL) | {"edition": "2"}
    changes = compare_result(open_result(stored), make_pattern(study_from_keys(keys)))
    assert [tuple(one) for one in changes] == [("study", "edition was `1`, is `2`")]


def test_a_key_that_stood_at_its_default_is_told_so(stored):
    changes = compare_result(open_result(stored), make_pattern(change(turns=["0 180"])))
    assert any(one.sentence.startswith("design.turns.1 was at its default, is `0 180`") for one in changes)


def test_another_version_is_named_and_fails_nothing(stored, pattern):
    held = json.loads(stored.read_text(encoding="utf-8"))
    held["versions"]["numpy"] = "0.0.1"
    held["versions"]["source"] = "0" * 64
    stored.write_text(write_result(held), encoding="utf-8")
    changes = compare_result(open_result(stored), pattern)
    assert {one.kind for one in changes} == {"version"}
    assert changes[0].sentence == f"numpy was `0.0.1`, is `{list_versions()['numpy']}`"
    assert changes[1].sentence == "the source of the kit has changed"


def test_a_changed_figure_is_told_with_both_values(stored, pattern):
    held = json.loads(stored.read_text(encoding="utf-8"))
    held["figures"]["finished width (in)"] += 0.125
    stored.write_text(write_result(held), encoding="utf-8")
    (told,) = compare_result(open_result(stored), pattern)
    assert told.kind == "figure"
    assert told.sentence == f"finished width (in) was {held['figures']['finished width (in)']}, is 8.0"


def test_a_changed_line_of_a_table_is_refused_by_its_name(stored):
    held = json.loads(stored.read_text(encoding="utf-8"))
    held["tables"]["shopping"]["lines"][1] += " "
    stored.write_text(write_result(held), encoding="utf-8")
    with pytest.raises(kit.KitError, match="the table `shopping` was changed after it was stored"):
        open_result(stored)


@pytest.mark.parametrize(
    "text",
    ["", "{}", "[]", "null", '{"form": 2}', '{"form": 1}', "{", "[" * 100_000, '{"form": 1, "tables": {"x": 3}}', "\0"],
)
def test_a_file_that_is_not_a_result_is_refused(text, tmp_path):
    path = tmp_path / "x.result.json"
    path.write_text(text)
    with pytest.raises(kit.KitError, match="is not a stored result"):
        open_result(path)


def test_words_of_a_stranger_do_not_reach_a_terminal_as_orders(stored, pattern):
    held = json.loads(stored.read_text(encoding="utf-8"))
    held["figures"]["warnings"] = "\x1b[2J\x1b]0;gone\x07" + "x" * 500
    stored.write_text(write_result(held), encoding="utf-8")
    (told,) = compare_result(open_result(stored), pattern)
    assert told.sentence.isprintable()
    assert len(told.sentence) < 300


def test_the_command_stores_compares_and_says_what_changed(tmp_path, capsys):
    path = tmp_path / "landing-stage.toml"
    save_study(SMALL, path)
    assert main(["check", "--store", str(path)]) == 0
    assert find_result(path).is_file()
    capsys.readouterr()
    assert main(["check", str(path)]) == 0
    assert "pass  landing-stage.result.json: the same figures and tables" in capsys.readouterr().out
    save_study(change(columns=3), path)
    assert main(["check", str(path)]) == 1
    told = capsys.readouterr().out
    assert "FAIL  landing-stage.result.json: not the same figures and tables" in told
    assert "study: design.columns was 2, is 3" in told
    find_result(path).write_text("{}")
    assert main(["check", str(path)]) == 1
    assert "is not a stored result" in capsys.readouterr().out


def test_the_fingerprint_follows_the_study_and_every_version():
    versions = list_versions()
    plain = find_fingerprint(SMALL.fingerprint, versions)
    assert find_fingerprint(change(columns=3).fingerprint, versions) != plain
    for name in versions:
        assert find_fingerprint(SMALL.fingerprint, {**versions, name: "another"}) != plain
    assert find_fingerprint(SMALL.fingerprint, dict(reversed(versions.items()))) == plain


def test_every_library_that_a_figure_passes_through_is_among_the_versions():
    homes = {"PIL": "pillow", "tomli_w": "tomli-w"}
    shown = {"bokeh", "typst", "pypdf", "lazy_loader"}
    own = {"kit", *__import__("sys").stdlib_module_names}
    found = set()
    for part in (
        "geometry",
        "model",
        "designs",
        "planning",
        "solvers",
        "checks",
        "rehearsal",
        "study",
        "output",
        "sharing",
        "sweeping",
    ):
        for path in (ROOT / "kit" / part).rglob("*.py"):
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Import):
                    found |= {name.name.split(".")[0] for name in node.names}
                elif isinstance(node, ast.ImportFrom) and not node.level:
                    found.add(str(node.module).split(".")[0])
    assert {homes.get(name, name) for name in found - own - shown} <= {*LIBRARIES}


def test_every_table_is_compared(pattern):
    assert set(list_tables(pattern)) == set(make_result(pattern)["tables"])
    assert {"pieces", "shopping", "cutting", "steps"} <= set(list_tables(pattern))
