"""The commands that hand a study on, tell the version and write the reference: by the function and as processes."""

import re
import subprocess
import sys
from html.parser import HTMLParser
from importlib.metadata import version
from pathlib import Path

import pytest

import kit
from kit.__main__ import main
from kit.reference import STAGES, write_reference

pytestmark = pytest.mark.slow

STUDY = "data/studies/ferry-steps.toml"
COMMAND = [sys.executable, "-m", "kit"]


def _tell(*words):
    return subprocess.run([*COMMAND, *map(str, words)], capture_output=True, text=True, timeout=300, check=False)


def test_a_study_packed_and_unpacked_by_command_is_the_same_study(tmp_path, capsys):
    packed, folder = tmp_path / "ferry.zip", tmp_path / "opened"
    assert main(["pack", STUDY, str(packed)]) == 0
    assert main(["unpack", str(packed), str(folder)]) == 0
    printed = [Path(line) for line in capsys.readouterr().out.splitlines()]
    assert printed == [packed, folder / "ferry-steps.toml"]
    assert kit.open_study(printed[1]) == kit.open_study(STUDY)


def test_pack_and_unpack_are_commands_of_the_shell(tmp_path):
    packed = tmp_path / "ferry.zip"
    assert _tell("pack", STUDY, packed).stdout.strip() == str(packed)
    told = _tell("unpack", packed, tmp_path / "opened")
    assert told.returncode == 0
    assert Path(told.stdout.strip()).name == "ferry-steps.toml"


def test_bad_input_is_refused_in_a_sentence_without_a_traceback(tmp_path, capsys):
    torn, full = tmp_path / "torn.zip", tmp_path / "full"
    torn.write_bytes(b"PK\x03\x04 torn")
    full.mkdir()
    (full / "mine.txt").write_text("mine")
    for words in (
        ["pack", str(tmp_path / "none.toml"), str(tmp_path / "out.zip")],
        ["pack", STUDY, str(tmp_path / "no" / "such" / "folder" / "out.zip")],
        ["unpack", str(torn), str(tmp_path / "opened")],
        ["unpack", str(tmp_path / "none.zip"), str(tmp_path / "opened")],
        ["unpack", str(torn), str(full)],
        ["reference", "--to", str(full / "mine.txt")],
    ):
        assert main(words) == 1
        told = capsys.readouterr()
        assert told.out == ""
        assert re.fullmatch(r"\S[^\n]+\. Needed: [^\n]+\.\n", told.err), told.err
    assert sorted(path.name for path in tmp_path.iterdir()) == ["full", "torn.zip"]
    assert [path.name for path in full.iterdir()] == ["mine.txt"]


def test_a_refusal_of_the_shell_command_shows_no_traceback(tmp_path):
    told = _tell("unpack", tmp_path / "none.zip", tmp_path / "opened")
    assert told.returncode == 1
    assert "none.zip" in told.stderr
    assert "Traceback" not in told.stderr


def test_the_version_is_that_of_the_installed_package():
    told = _tell("--version")
    assert told.stdout == f"kit {version('seamproof')}\n"
    assert kit.__version__ == version("seamproof")


class _Reader(HTMLParser):
    def __init__(self):
        super().__init__()
        self.names, self.outside = set(), []

    def handle_starttag(self, tag, attrs):
        found = dict(attrs)
        self.names.add(found.get("id"))
        if tag in {"script", "link", "img"}:
            self.outside += [found[key] for key in ("src", "href") if found.get(key, "").startswith(("http", "//"))]


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    found = {}
    for path in write_reference(tmp_path_factory.mktemp("reference")):
        found[path.name] = _Reader()
        found[path.name].feed(path.read_text(encoding="utf-8"))
    return found


def test_every_public_name_belongs_to_exactly_one_stage():
    names = [name for _, _, listed in STAGES for name in listed]
    assert sorted(names) == sorted(set(kit.__all__) - {"__version__"})


def test_every_public_name_stands_on_the_page_of_its_stage_or_has_its_own(pages):
    for stage, _, names in STAGES:
        missing = [name for name in names if f"{name}.html" not in pages and name not in pages[f"{stage}.html"].names]
        assert missing == []
    for room in ("tables", "pictures", "checks", "lessons"):
        assert set(getattr(kit, room).__all__) - pages[f"{room}.html"].names <= {
            "colour_views", "finishing_tables", "quilting_picture", "quilting_tables",
        }  # fmt: skip


def test_the_reference_asks_for_nothing_from_outside(pages):
    assert [link for page in pages.values() for link in page.outside] == []


def test_reference_writes_its_index_where_it_is_told(tmp_path, capsys):
    assert main(["reference", "--to", str(tmp_path / "pages")]) == 0
    assert Path(capsys.readouterr().out.strip()) == tmp_path / "pages" / "index.html"


def test_without_pdoc_the_reference_says_what_to_install(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr("kit.reference.find_spec", lambda _: None)
    assert main(["reference", "--to", str(tmp_path)]) == 1
    assert "pdoc" in capsys.readouterr().err
