import hashlib
import json
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from zipfile import ZipFile

import pytest

from kit.__main__ import main
from kit.errors import CheckError

pytestmark = pytest.mark.slow

STUDIES = ["data/studies/tideline.toml", "data/studies/lamplight.toml", "data/studies/ferry-steps.toml"]


def test_check_prints_one_line_for_each_study_and_edition_and_passes(capsys):
    assert main(["check", *STUDIES]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert all(line.startswith("pass") for line in lines)
    assert [line[6:].partition(":")[0] for line in lines] == [
        "tideline.toml",
        "lamplight.toml",
        *(f"lamplight.toml, edition {name}" for name in ("wall", "throw", "queen")),
        "ferry-steps.toml",
    ]
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


def test_check_fails_when_one_edition_does_names_it_and_goes_on_with_progress(capsys, monkeypatch):
    import kit.pipeline as road

    honest, told = road.make_pattern, []

    def refuse(study, *wishes):
        if study.edition.endswith("throw"):
            raise CheckError("two strips overlap", needed="strips side by side", do="report this study")
        return honest(study, *wishes)

    monkeypatch.setattr(road, "make_pattern", refuse)
    monkeypatch.setattr("kit.__main__._show_progress", lambda *heard: told.append(heard))
    assert main(["check", STUDIES[1]]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert [line[:4] for line in lines] == ["pass", "pass", "FAIL", "pass"]
    assert lines[2].startswith("FAIL  lamplight.toml, edition throw: Two strips overlap")
    assert told == [
        ("lamplight.toml", 0, 4),
        *((f"lamplight.toml, edition {name}", done, 4) for done, name in enumerate(("wall", "throw", "queen"), 1)),
    ]


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    place = tmp_path_factory.mktemp("written") / "out"
    assert main(["write", STUDIES[2], "--to", str(place)]) == 0
    return place


def test_write_makes_the_pattern_tables_pictures_and_an_archive_of_all(written):
    names = sorted(path.name for path in written.iterdir())
    for name in ("pieces.csv", "shopping.csv", "steps.csv", "instructions.json", "pattern.pdf", "supplies.pdf"):
        assert f"ferry-steps-{name}" in names
    assert {"ferry-steps.svg", "ferry-steps.html", "ferry-steps.zip"} <= set(names)
    assert len(list((written / "ferry-steps-steps").glob("*.svg"))) == 14  # three come ready
    with ZipFile(written / "ferry-steps.zip") as archive:
        inside = set(archive.namelist())
    outside = {str(path.relative_to(written)) for path in written.rglob("*.*")}
    assert inside == outside - {"ferry-steps.zip"} | {"manifest.sha256"}


def test_the_manifest_names_every_file_with_its_hash(written):
    with ZipFile(written / "ferry-steps.zip") as archive:
        lines = archive.read("manifest.sha256").decode().splitlines()
        assert len(lines) == len(archive.namelist()) - 1
        for line in lines:
            print_, name = line.split("  ")
            assert hashlib.sha256(archive.read(name)).hexdigest() == print_
            assert (written / name).read_bytes() == archive.read(name)


def test_written_twice_the_bytes_are_the_same_and_each_name_is_printed(written, tmp_path, capsys):
    assert main(["write", STUDIES[2], "--to", str(tmp_path)]) == 0
    printed = capsys.readouterr().out.splitlines()
    assert {Path(line.split(" (")[0]).name for line in printed} == {path.name for path in tmp_path.iterdir()}
    assert (tmp_path / "ferry-steps.zip").read_bytes() == (written / "ferry-steps.zip").read_bytes()


def test_write_redrafts_a_study_in_the_other_system(tmp_path):
    assert main(["write", STUDIES[2], "--to", str(tmp_path), "--system", "metric"]) == 0
    table = (tmp_path / "ferry-steps-pieces.csv").read_text(encoding="utf-8")
    assert " cm" in table
    assert "2-1/2 in" not in table


def test_check_prints_every_line_of_the_proof_sheet_on_request(capsys):
    assert main(["check", "--proof", STUDIES[2]]) == 0
    lines = capsys.readouterr().out.splitlines()
    # with what comes out of batches, and with the words that were cut by
    assert "19 of 19 proofs hold" in lines[0]
    assert sum(line.startswith("      pass  ") for line in lines) == 19


def test_check_fails_when_a_proof_fails_and_says_which(capsys, monkeypatch):
    from kit.output.proof import proof

    honest = proof.prove

    def doubt(pattern):
        first, *rest = pattern.sewing.units
        (name, count), *parts = first.parts
        wrong = replace(first, parts=((name, count + 1), *parts))
        return honest(replace(pattern, sewing=replace(pattern.sewing, units=(wrong, *rest))))

    monkeypatch.setattr(proof, "prove", doubt)
    assert main(["check", STUDIES[2]]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("FAIL  ferry-steps.toml")
    failed = [line.strip() for line in lines[1:] if line.startswith("      FAIL  ")]
    assert any(line.startswith("FAIL  Units add up to blocks and to the top") for line in failed)
    assert any(line.startswith("FAIL  Totals are pieces per unit times units") for line in failed)


def test_nothing_is_written_for_a_study_that_is_wrong(tmp_path, capsys):
    assert main(["write", str(tmp_path / "none.toml"), "--to", str(tmp_path / "out")]) == 1
    assert "does not exist" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


@pytest.fixture
def server(monkeypatch):
    started = []

    def run(command, **_):
        started.append(command)
        return subprocess.CompletedProcess(command, 0)

    monkeypatch.setattr("kit.__main__.subprocess.run", run)
    return started


def test_no_words_open_the_front_door(server):
    assert main([]) == 0
    assert any("0-begin.ipynb" in word for word in server[0])


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


def test_open_refuses_what_is_not_a_study(server, tmp_path, capsys):
    assert main(["open", str(tmp_path / "none.toml")]) == 1
    assert "does not exist" in capsys.readouterr().err
    assert not server


def test_the_module_runs_as_a_command():
    told = subprocess.run(
        [sys.executable, "-m", "kit", "check", STUDIES[0]], capture_output=True, text=True, timeout=120, check=False
    )
    assert told.returncode == 0
    assert told.stdout.startswith("pass  tideline.toml")
