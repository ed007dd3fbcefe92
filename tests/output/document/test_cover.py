"""The cover and the last page: what the maker says there, kept in the study file and printed as text."""

from dataclasses import replace

import pytest
from printed import pattern_of, read_cover, read_study_text, read_text

from kit.errors import StudyError
from kit.model.cover import CoverWords
from kit.output.document.cover_parts import list_skills
from kit.output.document.document import set_document
from kit.study import read_study
from kit.study.write_file import write_study

pytestmark = pytest.mark.slow

SAID = {
    "designer": "the tide mill sewing room",
    "words": "Four boats, one tide, and all day to sew them.",
    "contact": "the net loft, third door",
    "rights": "Sew it and sell what you sewed; do not copy the pages.",
    "errata": "the notice board at the ferry",
}
TABLE = "[cover]\n" + "".join(f'{key} = "{text}"\n' for key, text in SAID.items())


def test_what_the_maker_says_is_kept_and_left_out_where_nothing_is_said():
    plain = read_study_text("ferry-steps")
    study = read_study(f"{plain}\n{TABLE}")
    assert study.cover == CoverWords(**SAID)
    assert read_study(write_study(study)) == study
    assert "[cover]" not in write_study(read_study(plain))
    assert study.fingerprint != read_study(plain).fingerprint


def test_it_stands_on_the_cover_and_on_the_last_page():
    pattern = pattern_of("ferry-steps")
    said = replace(pattern, study=replace(pattern.study, cover=CoverWords(**SAID)))
    pages = read_text(set_document(said))
    cover, rest = (" ".join(text.split()) for text in (read_cover(pages), "\n".join(pages[1:])))
    assert f"Designed by {SAID['designer']}" in cover
    assert SAID["words"] in cover
    about = rest[rest.index("About this pattern") :]
    for key, head in (("designer", "Design"), ("contact", "Contact"), ("rights", "Rights"), ("errata", "Corrections")):
        assert f"{head}: {SAID[key]}" in about
    bare = "\n".join(read_text(set_document(pattern)))
    assert not any(f"{head}: " in bare for head in ("Designed by", "Contact", "Rights", "Corrections"))


def test_the_contents_name_every_part_with_its_page():
    pages = read_text(set_document(pattern_of("tideline")))
    listed = [line for line in pages[0].split("\n") if ". . ." in line]
    for part in ("What you need", "Cutting", "Sewing", "The top", "Finishing", "Proof sheet"):
        number = next(n for n, page in enumerate(pages, start=1) if n > 1 and f"\n{part}\n" in f"\n{page}\n")
        assert any(f"{part} ." in line and str(number) in line.split() for line in listed), part


def test_the_skills_are_those_that_the_plan_takes():
    assert list_skills(pattern_of("millwheel"))[-1] == "partial seams"
    assert "strip sets" in list_skills(pattern_of("saltmarsh"))
    assert list_skills(pattern_of("slipway"))[-1] == "set-in seams"
    assert "trimming to size" in list_skills(pattern_of("tideline"))


@pytest.mark.parametrize(("line", "what"), [
    ("designer = 3", "designer"), ('designers = "x"', "designer"), (f'words = "{"x" * 401}"', "words"),
    ('contact = ""', "contact"),
])  # fmt: skip
def test_a_wrong_key_is_refused_by_its_name(line, what):
    with pytest.raises(StudyError, match=what):
        read_study(f"{read_study_text('ferry-steps')}\n[cover]\n{line}\n")
