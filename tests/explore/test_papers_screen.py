"""The screen of a block on paper: each choice plans it again, what cannot be is told, and its pages are written."""

import pdfplumber
import pytest
from blocks import enlarge, sawtooth_star

import kit
from kit.explore.papers_screen import FRONT, ONE_PAGE, TINTED
from kit.geometry.outlines import measure_box
from kit.output.pictures.page_tiles import AREA

LONG = [((5 * k, 0), (5 * k + 5, 0), (5 * k + 5, 3), (5 * k, 3)) for k in range(4)]


def read_pages(path):
    with pdfplumber.open(path) as pdf:
        return [page.extract_text() for page in pdf.pages]


def test_a_study_begins_with_the_unit_made_most_often_and_another_is_chosen():
    screen = kit.explore_papers("data/studies/gull-point.toml")
    before = screen.plan
    assert before.copies > 1
    assert "<img" in screen._picture.value
    other = next(name for name in (one[1] for one in screen.fields["unit"].options) if name not in (before.name, "top"))
    screen.fields["unit"].value = other
    assert screen.plan.name == other
    assert f"make {screen.plan.copies}" in screen._said.value


@pytest.mark.parametrize("scale", [100, 200])
def test_papers_none_larger_than_a_page_are_not_taped(scale, tmp_path):
    screen = kit.explore_papers(kit.patchwork_from_outlines(LONG), "top")
    assert len(screen.plan.sections) == 1
    screen.fields["scale"].value = scale
    screen.fields["papers"].value = ONE_PAGE
    sizes = []
    for section in screen.plan.sections:
        left, bottom, right, top = measure_box(section.outline)
        sizes.append(((right - left) * scale / 100 + 0.5, (top - bottom) * scale / 100 + 0.5))
    assert len(sizes) > 1
    room = sorted(side / 25.4 for side in AREA)
    assert scale == 200 or all(min(size) <= room[0] and max(size) <= room[1] for size in sizes)
    screen.fields["file"].value = str(tmp_path / "long.pdf")
    screen.write_pages()
    assert not any("tape" in text for text in read_pages(tmp_path / "long.pdf")) or scale == 200


def test_the_pages_are_written_as_they_are_wished(tmp_path):
    screen = kit.explore_papers("data/studies/gull-point.toml")
    texts = {}
    for form in ("paper", "freezer paper", "templates"):
        screen.fields["form"].value, screen.fields["side"].value, screen.fields["tints"].value = form, FRONT, TINTED
        screen.fields["file"].value = str(tmp_path / form)
        screen.write_pages()
        assert "Written" in screen.message.value
        texts[form] = " ".join(read_pages(tmp_path / f"{form}.pdf"))
    assert "trace" in texts["paper"]
    assert "shiny side" in texts["freezer paper"]
    assert "Piece 1: 1" in texts["templates"]


@pytest.mark.parametrize("typed", ["much", "-1 in", "3 kg"])
def test_an_ease_that_cannot_be_read_is_told_and_the_last_papers_stay(typed):
    screen = kit.explore_papers(kit.patchwork_from_outlines(enlarge(sawtooth_star(), 1)), "top")
    held = screen.plan
    screen.fields["ease"].value = typed
    assert screen.plan is held
    assert "last papers that were possible" in screen.message.value
    screen.fields["ease"].value = "1/2 in"
    assert screen.plan.ease == pytest.approx(0.5)
    assert screen.message.value == ""


def test_a_place_that_cannot_be_written_is_told(tmp_path):
    screen = kit.explore_papers("data/studies/gull-point.toml")
    screen.fields["file"].value = str(tmp_path / "none" / "papers.pdf")
    screen.write.click()
    assert "cannot be written" in screen.message.value
