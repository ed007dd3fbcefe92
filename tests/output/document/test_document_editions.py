"""Large print, the supply list of a class, and the booklet."""

import re
from io import BytesIO

import pdfplumber
import pytest
from printed import pattern_of, read_text
from pypdf import PdfReader

from kit.errors import KitError
from kit.output.document.booklet import order_pages, write_booklet
from kit.output.document.document import choose_layout, set_document
from kit.output.document.page_pictures import draw_page
from kit.output.document.supply_list import write_supply_list
from kit.output.pictures.finishing_picture import draw_backing, draw_binding
from kit.output.pictures.set_picture import draw_strip_sets
from kit.pipeline import make_pattern
from kit.publish import redraft
from kit.study import editions, open_study

pytestmark = pytest.mark.slow


def test_large_print_is_sans_serif_of_at_least_22_points_but_for_list_marks_and_what_stands_in_pictures():
    plan, rooms = pattern_of("ferry-steps").finishing, choose_layout("Letter", "large print").rooms
    sets = draw_strip_sets(pattern_of("ferry-steps"), rooms).values()
    drawings = (draw_backing(plan, rooms=rooms), draw_binding(plan, rooms), *sets)
    notes = " ".join(note.text for drawing in drawings for note in drawing.notes)
    drawn = set(notes.replace("\N{NO-BREAK SPACE}", " ").split())
    with pdfplumber.open(BytesIO(set_document(pattern_of("ferry-steps"), edition="large print"))) as pdf:
        for page in pdf.pages:
            body = [char for char in page.chars if char["bottom"] < page.height - 72 and char["text"] != "◆"]
            assert all("DejaVuSans" in char["fontname"] for char in body)
            small = page.filter(lambda thing: thing.get("size", 22) < 21.9 and thing.get("text") != "◆")
            words = [word["text"] for word in small.extract_words() if word["bottom"] < page.height - 72]
            assert [word for word in words if word not in drawn and not re.fullmatch(r"[0-9]+|[A-Z]", word)] == []


@pytest.mark.parametrize("name", ["ferry-steps", "gull-point", "millwheel"])
def test_words_in_the_pictures_of_large_print_are_of_at_least_14_points_but_where_a_patch_is_narrower(name):
    """There they are of 10 points, and few: letters on the map, and numbers of steps where parts are small.

    At the 22 points of the text they would hide what they name; all of them stand in the text besides.
    """
    with pdfplumber.open(BytesIO(set_document(pattern_of(name), edition="large print"))) as pdf:
        signs = [char for page in pdf.pages for char in page.chars if char["text"].strip() and char["text"] != "◆"]
        drawn = [char["size"] for char in signs if char["size"] < 21.9]
    assert len(drawn) > 50
    assert min(drawn) > 0.7 * 14 - 0.01
    small = [size for size in drawn if size < 13.95]
    assert len(small) < 0.12 * len(drawn)  # most are letters on the map; since a row is one picture, others are fewer
    assert not small or name != "ferry-steps"


def find_overlaps(page):
    """Return pairs of words that are printed over one another."""
    words = sorted(page.extract_words(), key=lambda word: word["top"])
    return [
        (one["text"], other["text"])
        for i, one in enumerate(words)
        for other in words[i + 1 : i + 60]
        if min(one["x1"], other["x1"]) - max(one["x0"], other["x0"]) > 1
        and min(one["bottom"], other["bottom"]) - max(one["top"], other["top"]) > 0.5 * (one["bottom"] - one["top"])
    ]


@pytest.mark.parametrize("edition", ["standard", "large print"])
def test_no_words_are_printed_over_one_another(edition):
    with pdfplumber.open(BytesIO(set_document(pattern_of("gull-point"), edition=edition))) as pdf:
        for page in pdf.pages:
            assert find_overlaps(page) == []


def test_large_print_says_in_words_what_the_tables_hold():
    pattern = pattern_of("ferry-steps")
    text = " ".join(" ".join(read_text(set_document(pattern, edition="large print"))).split())
    for fabric in pattern.study.fabrics:
        assert f", {fabric.name}: {fabric.slot}," in text
    for piece in pattern.making.pieces:
        assert f"Piece {piece.id}, {piece.name}: Count: {piece.count}. Finished: " in text


@pytest.mark.parametrize("paper", ["Letter", "A4"])
@pytest.mark.parametrize("name", ["ferry-steps", "tideline"])
def test_a_supply_list_is_one_page_that_names_every_fabric(name, paper, tmp_path):
    path = write_supply_list(pattern_of(name), tmp_path / "list.pdf", paper)
    (text,) = read_text(path.read_bytes())
    for fabric in pattern_of(name).study.fabrics:
        assert fabric.name in text


def test_a_booklet_holds_every_page_once_in_sheets_of_four(tmp_path):
    data = write_booklet(pattern_of("ferry-steps"), tmp_path / "booklet.pdf").read_bytes()
    reader = PdfReader(BytesIO(data))
    assert len(reader.pages) % 2 == 0
    assert [round(float(side)) for side in reader.pages[0].mediabox[2:]] == [792, 612]
    found = re.findall(r"page (\d+) of (\d+)", " ".join(read_text(data)))
    (count,) = {int(whole) for _, whole in found}
    assert sorted(int(number) for number, _ in found) == list(range(1, count + 1))
    assert 2 * len(reader.pages) - count in range(4)


@pytest.mark.parametrize("count", [1, 4, 5, 12, 15])
def test_a_stitched_booklet_reads_in_order(count):
    sides = order_pages(count)
    sheets = [(sides[2 * i], sides[2 * i + 1]) for i in range(len(sides) // 2)]
    leaves = [(front[1], back[0]) for front, back in sheets] + [(back[1], front[0]) for front, back in reversed(sheets)]
    assert [page for leaf in leaves for page in leaf] == list(range(-(-count // 4) * 4))


def test_a_paper_that_there_is_not_is_refused(tmp_path):
    for write in (write_booklet, write_supply_list):
        with pytest.raises(KitError, match="Choose one of these"):
            write(pattern_of("ferry-steps"), tmp_path / "x.pdf", "A5")
    assert not list(tmp_path.iterdir())


def test_a_page_is_found_by_its_words_and_drawn():
    picture = draw_page(pattern_of("ferry-steps"), "Cutting", dots=30)
    assert picture.startswith(b"\x89PNG")


def test_words_that_no_page_holds_are_refused():
    with pytest.raises(KitError, match="No page has the words"):
        draw_page(pattern_of("ferry-steps"), "sandwich")


@pytest.mark.parametrize("edition", ["large print"])
def test_the_cover_of_four_sizes_is_one_page_and_a_caution_names_the_size_that_it_is_for(edition):
    found = [redraft(make_pattern(one), "inch") for one in editions(open_study("data/studies/harbour-wheel.toml"))]
    with pdfplumber.open(BytesIO(set_document(found, edition=edition))) as pdf:
        cover, second = pdf.pages[:2]
        assert "sizes in one pattern" in cover.extract_text()
        assert second.extract_text().startswith("What you need")
        text = " ".join(" ".join(page.extract_text() for page in pdf.pages).replace("\N{NO-BREAK SPACE}", " ").split())
        assert "metric: Strips stay as wide as they are" in text
        drawn = [rect["bottom"] - rect["top"] for rect in cover.rects + cover.curves]
        assert max(drawn) > 36  # half an inch: the picture is not squeezed away
