"""The teacher's screen: what is prepared, what can be taken along, what learners' files show."""

import re
from base64 import b64decode
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from zipfile import ZipFile

import pytest

import kit
from kit.errors import KitError

pytestmark = pytest.mark.slow

FERRY = "data/studies/ferry-steps.toml"
LINK = re.compile(r'<a download="([^"]+)" href="data:[a-z/]+;base64,([^"]+)">')


def read_links(html):
    return {name: b64decode(held) for name, held in LINK.findall(html)}


@pytest.fixture(scope="module")
def screen():
    made = kit.teach(FERRY)
    made.students.value, made.system.value = 7, "metric"
    made.begin()
    made.finish(300)
    return made


def test_the_papers_are_on_the_screen_and_can_be_taken_along(screen):
    links, sections = screen.shown.children
    files = read_links(links.value)
    assert set(files) == {
        "class.zip", "supplies.csv", "kits.csv", "step-outs.csv", "timetable.csv", "class-page.pdf", "sheet-1.pdf",
        "key-1.pdf", "seam-card.pdf",
    }  # fmt: skip
    assert all(held.startswith(b"%PDF") for name, held in files.items() if name.endswith(".pdf"))
    with ZipFile(BytesIO(files["class.zip"])) as archive:
        assert {name: archive.read(name) for name in archive.namelist()} == {
            name: held for name, held in files.items() if name != "class.zip"
        }
    assert sections.titles == ("Supplies", "Kits", "Step-outs", "Timetable", "Exercises, sheet 1, with answers")
    assert "Bought together for 7" in sections.children[0].value
    assert "Prepared for 7 students" in screen.said.value


def test_the_system_holds_for_every_paper(screen):
    assert screen.papers.tables["Kits"]["Cut"].str.contains("cm").all()
    assert screen.papers.questions["Question"].str.contains("cm").all()


def test_no_lesson_or_a_wrong_time_is_told_in_a_sentence(screen):
    boxes = [box for box in screen.lessons.values() if box.value]
    for box in boxes:
        box.value = False
    screen.begin()
    screen.finish(60)
    assert "No lesson is chosen" in screen.said.value
    for box in boxes:
        box.value = True
    screen.start.value = "half past"
    screen.begin()
    screen.finish(60)
    assert "half past" in screen.said.value
    assert not screen.prepare.disabled


def test_learners_files_give_the_tables_and_a_sheet_on_the_commonest_slips(screen):
    part = screen.stumbles
    assert part.make.disabled
    part.upload.value = [
        {"name": path.name, "type": "application/json", "size": 1, "content": memoryview(path.read_bytes()),
         "last_modified": datetime.now(UTC)}
        for path in Path("data/class").glob("*.json")
    ]  # fmt: skip
    assert "12 learners" in part.said.value
    assert part.where.value.count("<tr") == 13
    part.make.click()
    assert all(slip in part.found.value for slip in ("allowance forgotten", "area instead of strips", "wrong triangle"))
    assert set(read_links(part.found.value)) == {"class-sheet-2.pdf", "class-key-2.pdf"}


def test_names_of_files_reach_the_page_as_text_only():
    part = kit.teach(FERRY).stumbles
    held = Path("data/class/learner-1.json").read_bytes()
    part.hand_in([("<img src=x onerror=alert(1)>.json", held), ("<b>.json", b"{")])
    assert "<img" not in part.where.value + part.slips.value + part.said.value
    assert "<b>.json" not in part.said.value


def test_a_study_that_is_not_there_is_refused():
    with pytest.raises(KitError):
        kit.teach("no-such-study.toml")
