"""What is left of the stash once a pattern is cut, and what it offers for finishing; written only on request."""

import zipfile
from math import ceil

import pytest

from kit.__main__ import main
from kit.errors import KitError
from kit.output.tables import stash_fits
from kit.output.words.stash_words import say_offer
from kit.pipeline import make_pattern, make_sketch
from kit.sharing import pack_study, unpack_study
from kit.stash import match_stash, offer_stash, put_back
from kit.study import open_stash, open_study, read_stash, read_study

BOXES = """title = "Fish boxes"
[stash]
file = "shelf.toml"
[design]
family = "grid blocks"
columns = 9
rows = 10
cell_finished = "2 in"
pattern = ["box"]
[[fabric]]
slot = "box"
name = "Kelp"
"""
KELP = '[[cloth]]\nname = "Kelp"\ncolour = "#4c6b4f"\n'
SHELF = "# the shelf\n" + KELP + 'form = "strips"\nwidth = "2 1/2 in"\ncount = 9  # rolled\n'


@pytest.fixture
def boxes(tmp_path):
    (tmp_path / "shelf.toml").write_text(SHELF, encoding="utf-8")
    (tmp_path / "boxes.toml").write_text(BOXES, encoding="utf-8")
    return tmp_path / "boxes.toml"


def put_on_shelf(boxes, text):
    boxes.with_name("shelf.toml").write_text(text, encoding="utf-8")
    return open_stash(boxes.with_name("shelf.toml")), make_sketch(open_study(boxes))


def test_strips_that_are_cut_are_gone_and_a_long_end_is_kept(boxes):
    # By hand: 90 squares of 2 1/2 in, 16 a strip: six of nine strips; the sixth gives ten, 25 in, and leaves 15 in
    left = put_back(make_sketch(open_study(boxes)), open_stash(boxes.with_name("shelf.toml")))
    assert [(one.name, one.form, one.width, one.length, one.count) for one in left.cloths] == [
        ("Kelp", "strips", 2.5, None, 3),
        ("Kelp, 2 1/2 in × 15 in", "remnant", 2.5, 15.0, 1),
    ]
    assert left.cut == ("Fish boxes, 1",)


def test_yardage_is_shorter_by_its_strips_and_the_squared_end(boxes):
    # Six strips of 2 1/2 in and an inch for squaring up, of 36 in: 20 in are left, and the end of 15 in
    stash, sketch = put_on_shelf(boxes, KELP + 'form = "yardage"\nwidth = "40 in"\nlength = "36 in"\n')
    left = put_back(sketch, stash)
    assert [(one.form, one.length) for one in left.cloths] == [("yardage", 20.0), ("remnant", 15.0)]


def test_washed_yardage_is_shorter_by_what_was_cut_before_it_shrank(boxes):
    # 16 in after washing are 20 in of cloth that lost a fifth; on 32 in twelve fit: 90 take eight strips, 20 in + 1
    shelf = KELP + 'form = "yardage"\nwidth = "40 in"\nlength = "36 in"\nshrinkage = 0.2\n'
    stash, sketch = put_on_shelf(boxes, shelf)
    left = put_back(sketch, stash)
    assert left.cloths[0].length == 36 - ceil(8 * 21 / 0.8) / 8


def test_cloth_that_is_bought_comes_in():
    bought = (
        BOXES.replace('[stash]\nfile = "shelf.toml"\n', "") + 'colour = "#4c6b4f"\nform = "yardage"\nwidth = "40 in"\n'
    )
    left = put_back(make_sketch(read_study(bought)), read_stash('system = "inch"'))
    # 16 in and the margin of an inch: 17 in are sold as 18, half a yard; 2 in are left
    assert next((one.name, one.form, one.length) for one in left.cloths) == ("Kelp", "yardage", 2.0)


def test_a_pattern_is_not_taken_off_twice_nor_when_it_is_short(boxes):
    stash, sketch = open_stash(boxes.with_name("shelf.toml")), make_sketch(open_study(boxes))
    with pytest.raises(KitError, match="taken off the stash already"):
        put_back(sketch, put_back(sketch, stash))
    stash, sketch = put_on_shelf(boxes, SHELF.replace("count = 9", "count = 5"))
    with pytest.raises(KitError, match="10 pieces short"):
        put_back(sketch, stash)


def test_nothing_is_written_unless_it_is_asked_for(boxes, capsys):
    shelf = boxes.with_name("shelf.toml")
    assert main(["stash", str(shelf), str(boxes)]) == 0
    assert "all 90 pieces" in capsys.readouterr().out
    assert main(["stash", str(shelf), str(boxes), "--cloths"]) == 0
    assert main(["stash", str(shelf), str(boxes), "--offer"]) == 0
    assert "Binding: " in capsys.readouterr().out
    assert shelf.read_text(encoding="utf-8") == SHELF
    assert main(["stash", str(shelf), str(boxes), "--take-off"]) == 0
    after = shelf.read_text(encoding="utf-8")
    assert "count = 3  # rolled" in after
    assert "# the shelf" in after
    assert main(["stash", str(shelf), str(boxes), "--take-off"]) == 1
    assert shelf.read_text(encoding="utf-8") == after


def test_a_study_saved_in_cloths_of_the_stash_is_a_study(boxes, capsys):
    made = boxes.with_name("mine.toml")
    assert main(["stash", str(boxes.with_name("shelf.toml")), str(boxes), "--save", str(made)]) == 0
    assert main(["check", str(made)]) == 0
    assert "pass" in capsys.readouterr().out


def test_several_studies_are_not_taken_off_at_once(boxes, capsys):
    assert main(["stash", str(boxes.with_name("shelf.toml")), str(boxes), str(boxes), "--take-off"]) == 1
    assert "one size of one study" in capsys.readouterr().err


def test_binding_and_backing_are_offered_from_what_is_left(boxes):
    # The top is 18 x 20 in: round it 76 in, and more for corners and closing. Strips of 40 in are counted here one by
    # one; the backing, with its overhang, is wider than the sheet of 20 in.
    more = '[[cloth]]\nname = "Sheet"\ncolour = "#eeeeee"\nform = "remnant"\nwidth = "20 in"\nlength = "60 in"\n'
    boxes.with_name("shelf.toml").write_text(SHELF + more, encoding="utf-8")
    pattern = make_pattern(open_study(boxes))
    left = put_back(pattern, open_stash(boxes.with_name("shelf.toml")))
    offer = offer_stash(pattern, left)
    need = pattern.finishing.binding.needed
    cost, cut = pattern.finishing.binding.join_cost, pattern.finishing.binding.cut
    given = {one.cloth: (one.strips, one.gives) for one in offer.binding}
    strips = next(n for n in range(1, 9) if n * 40 - (n - 1) * cost >= need)
    assert cut <= 2.5
    assert given["Kelp"] == (strips, strips * 40 - (strips - 1) * cost)
    assert set(offer.pieces) == {"Sheet"}
    wide, high = pattern.finishing.backing.needed
    assert sum(panel.cut[0] * panel.cut[1] for panel in offer.backing) >= wide * high
    lines = " ".join(say_offer(offer, pattern))
    assert "of Sheet" in lines
    assert "Kelp" in lines


def test_a_backing_is_of_one_colour_where_that_is_enough(boxes):
    # one piece of sheet is 8 in too narrow, and the other is cut in two for the rest; tar and sheet would do it whole
    pattern = make_pattern(open_study(boxes))
    wide, high = pattern.finishing.backing.needed

    def remnant(name, colour, across, along):
        keys = f'name = "{name}"\ncolour = "{colour}"\nform = "remnant"\nwidth = "{across} in"\nlength = "{along} in"\n'
        return "[[cloth]]\n" + keys

    sheets = remnant("Sheet", "#eeeeee", wide - 8, high + 2) + remnant("Sheet, short", "#eeeeee", 22, high / 2 + 3)
    offer = offer_stash(pattern, read_stash(sheets + remnant("Tar", "#222222", wide - 2, high + 2)))
    assert set(offer.pieces) == {"Sheet", "Sheet, short"}
    assert all(panel.source is not None for panel in offer.backing)


def test_a_packed_study_brings_its_stash(boxes, tmp_path):
    packed = pack_study(boxes, tmp_path / "boxes.zip")
    assert "shelf.toml" in zipfile.ZipFile(packed).namelist()
    opened = unpack_study(packed, tmp_path / "opened")
    assert open_study(opened) == open_study(boxes)


def test_the_table_has_a_row_for_each_size(boxes):
    fits = match_stash(open_stash(boxes.with_name("shelf.toml")), [open_study(boxes)])
    table = stash_fits(fits)
    assert table[["Design", "Pieces", "Short", "Cloths", "Buy"]].to_numpy().tolist() == [
        ["Fish boxes", 90, 0, "box: Kelp", "–"]
    ]
