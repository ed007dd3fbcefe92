import json
import shutil
import subprocess
import sys

import pytest

from kit.__main__ import main

STUDIES = ["data/studies/tideline.toml", "data/studies/lamplight.toml", "data/studies/ferry-steps.toml"]


def test_check_prints_a_line_a_study_and_passes(capsys):
    assert main(["check", *STUDIES]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 3
    assert all(line.startswith("pass") for line in lines)
    assert "22\N{NO-BREAK SPACE}in" in lines[0]


def test_check_fails_when_one_study_is_wrong_and_goes_on_with_the_others(capsys, tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text('title = "x"\n[design]\nfamily = "brade"\n')
    assert main(["check", str(bad), STUDIES[0]]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("FAIL  bad.toml: ")
    assert "is `braid` meant?" in lines[0]
    assert lines[1].startswith("pass")


def test_check_fails_when_a_number_disagrees(capsys, monkeypatch):
    from dataclasses import replace

    import kit.pipeline as road

    honest = road.cut_list

    def short(patchwork, step=0.125):
        cuts = honest(patchwork, step)
        first = cuts.pieces[0]
        smaller = replace(first, rounded={name: size - 0.25 for name, size in first.rounded.items()})
        return replace(cuts, pieces=(smaller, *cuts.pieces[1:]))

    monkeypatch.setattr(road, "cut_list", short)
    assert main(["check", STUDIES[2]]) == 1
    assert "FAIL  ferry-steps.toml" in capsys.readouterr().out


def test_write_makes_tables_drawings_and_a_page(tmp_path, capsys):
    assert main(["write", STUDIES[2], "--to", str(tmp_path / "out")]) == 0
    names = sorted(path.name for path in (tmp_path / "out").iterdir())
    for name in ("ferry-steps-pieces.csv", "ferry-steps-shopping.csv", "ferry-steps.svg", "ferry-steps.html"):
        assert name in names
    assert len(capsys.readouterr().out.splitlines()) == len(names)


def test_nothing_is_written_for_a_study_that_is_wrong(tmp_path, capsys):
    assert main(["write", str(tmp_path / "none.toml"), "--to", str(tmp_path / "out")]) == 1
    assert "is not there" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


@pytest.fixture
def server(monkeypatch):
    started = []

    def run(command, **_):
        started.append(command)
        return subprocess.CompletedProcess(command, 0)

    monkeypatch.setattr("kit.__main__.subprocess.run", run)
    return started


def test_no_words_open_the_first_notebook(server):
    assert main([]) == 0
    assert any("1-explore.ipynb" in word for word in server[0])


def test_open_with_a_study_makes_a_copy_set_to_it_and_keeps_one_that_is_there(server, tmp_path):
    study = tmp_path / "mine.toml"
    shutil.copy(STUDIES[1], study)
    assert main(["open", str(study)]) == 0
    copy = tmp_path / "mine-1-explore.ipynb"
    sources = "".join("".join(cell["source"]) for cell in json.loads(copy.read_text())["cells"])
    assert "path = 'mine.toml'" in sources
    assert "tideline.toml'" not in sources
    assert f"--ServerApp.root_dir={tmp_path}" in server[0]
    copy.write_text("{}")
    assert main(["open", str(study)]) == 0
    assert copy.read_text() == "{}"


def test_open_refuses_a_study_that_is_none(server, tmp_path, capsys):
    assert main(["open", str(tmp_path / "none.toml")]) == 1
    assert "is not there" in capsys.readouterr().err
    assert not server


def test_the_module_runs_as_a_command():
    told = subprocess.run(
        [sys.executable, "-m", "kit", "check", STUDIES[0]], capture_output=True, text=True, timeout=120, check=False
    )
    assert told.returncode == 0
    assert told.stdout.startswith("pass  tideline.toml")
