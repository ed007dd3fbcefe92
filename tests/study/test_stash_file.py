"""The stash file: read whole or refused in three parts, saved line by line, and laid under the fabrics of a study."""

from dataclasses import replace

import pytest

from kit.errors import KitError, StudyError
from kit.lengths import read_weight, write_weight
from kit.study import open_stash, open_study, read_stash, read_study, save_stash, save_study, write_stash, write_study

SHELF = """# what lies on the shelf

[[cloth]]
name = "Kelp"          # washed in spring
colour = "#4C6B4F"
form = "strips"
width = "2 1/2 in"
count = 9

[[cloth]]
name = "Sailcloth"
colour = "#efe6d2"
form = "yardage"
length = "1.5 yd"
shrinkage = 0.03

[[cloth]]
name = "Old curtain"
colour = "#778899"
form = "remnant"
width = "40 in"
length = "72 in"
"""
TOP = """title = "Fish boxes"

[stash]
file = "shelf.toml"

[design]
family = "grid blocks"
columns = 4
rows = 5
cell_finished = "2 in"   # as the roll
pattern = ["box"]

[[fabric]]
slot = "box"
name = "Kelp"
"""


def cloth(**keys):
    usual = {"name": '"Kelp"', "colour": '"#4c6b4f"', "form": '"strips"', "width": '"2 1/2 in"', "count": "9"}
    both = {**usual, **keys}
    return "[[cloth]]\n" + "".join(f"{key} = {value}\n" for key, value in both.items() if value is not None)


WRONG = {
    "unknown key": (cloth(lenght='"40 in"'), "unknown key `cloth.1.lenght`"),
    "no name": (cloth(name=None), "`cloth.1.name` is missing"),
    "colour": (cloth(colour='"green"'), "of the form #rrggbb"),
    "form": (cloth(form='"bolt"'), "`cloth.1.form` is 'bolt'"),
    "bare width": (cloth(width="2.5"), "`cloth.1.width`"),
    "strips without a width": (cloth(width=None), "has no width"),
    "neither count nor weight": (cloth(count=None), "neither `count` nor `weight`"),
    "both": (cloth(weight='"90 g"'), "both `count` and `weight`"),
    "weight without a unit": (cloth(count=None, weight='"90"'), "g, kg, oz or lb"),
    "weight as a number": (cloth(count=None, weight="90"), "g, kg, oz or lb"),
    "no weight at all": (cloth(count=None, weight='"0 g"'), "more than nothing"),
    "less than one piece": (cloth(count=None, weight='"2 g"'), "less than one piece"),
    "count of none": (cloth(count="0"), "`cloth.1.count` is 0"),
    "yardage without a length": (cloth(form='"yardage"', width='"42 in"', count=None), "neither `length` nor"),
    "yardage with a count": (cloth(form='"yardage"', width='"42 in"', length='"1 yd"'), "is yardage and has a count"),
    "narrow yardage": (cloth(form='"yardage"', length='"1 yd"', count=None), "is yardage 2 1/2 in wide"),
    "squares with a length": (cloth(form='"squares"', length='"9 in"'), "comes as squares and has a length"),
    "remnant without a length": (cloth(form='"remnant"'), "is a remnant and has no length"),
    "remnant by weight": (cloth(form='"remnant"', count=None, weight='"90 g"'), "is a remnant and has a weight"),
    "shrinks too much": (cloth(shrinkage="3"), "`cloth.1.shrinkage` is 3"),
    "twice the same name": (cloth() + cloth(), "two cloths are called `Kelp`"),
    "weight of cloth": ("grams_per_square_metre = 3\n" + cloth(), "`grams_per_square_metre` is 3"),
    "no TOML": ("[[cloth]\n", "is not TOML"),
}


@pytest.mark.parametrize("name", WRONG)
def test_every_mistake_is_refused_with_what_to_do(name):
    text, says = WRONG[name]
    with pytest.raises(StudyError) as refused:
        read_stash(text, place="shelf.toml")
    assert says in str(refused.value)
    assert str(refused.value).lower().startswith("shelf.toml")
    assert "Needed: " in str(refused.value)


@pytest.mark.parametrize("file", ["", "../shelf.toml", "/shelf.toml", "nothing.toml"])
def test_a_stash_that_is_not_beside_the_study_is_refused(tmp_path, file):
    (tmp_path / "boxes.toml").write_text(TOP.replace("shelf.toml", file), encoding="utf-8")
    with pytest.raises(StudyError) as refused:
        open_study(tmp_path / "boxes.toml")
    assert refused.value.needed
    assert refused.value.do


def test_an_unknown_key_of_the_table_is_refused():
    with pytest.raises(StudyError, match=r"unknown key `stash\.path`.*Needed: one of file"):
        read_study(TOP.replace("file =", "path ="))


def test_a_stash_reads_back_as_it_was_written(tmp_path):
    shelf = read_stash(SHELF)
    assert read_stash(write_stash(shelf)) == shelf
    assert open_stash(save_stash(shelf, tmp_path / "new.toml")) == shelf


def test_saving_changes_only_the_lines_that_differ(tmp_path):
    path = tmp_path / "shelf.toml"
    path.write_text(SHELF, encoding="utf-8")
    shelf = open_stash(path)
    save_stash(shelf, path)
    assert path.read_text(encoding="utf-8") == SHELF
    fewer = replace(shelf, cloths=(replace(shelf.cloths[0], count=7), *shelf.cloths[1:]))
    save_stash(fewer, path)
    assert path.read_text(encoding="utf-8") == SHELF.replace("count = 9", "count = 7")
    assert open_stash(path) == fewer


def test_weights_are_read_by_their_units():
    # 1 lb is 453.59237 g exactly; an ounce is a sixteenth of it
    assert [read_weight(text) for text in ("250 g", "1 1/4 kg", "2 lb")] == [250.0, 1250.0, 907.18474]
    assert read_weight("16 oz") == pytest.approx(453.59237, abs=1e-9)
    assert read_weight(write_weight(read_weight("3.7 oz"))) == read_weight("3.7 oz")


def test_weighed_cloth_is_counted_by_its_area():
    # By hand: 100 g at 100 g to the square metre are 1 m² = 1550 sq in. Strips of 2 1/2 by 40 in have 100 sq in: 15.
    # Yardage of 38 in with 2 in of selvages is 40 in across: 38.75 in long. Squares of 5 in: 62.
    text = "grams_per_square_metre = 100\n"
    text += cloth(name='"a"', count=None, weight='"100 g"')
    text += cloth(name='"b"', form='"yardage"', width='"38 in"', count=None, weight='"100 g"')
    text += cloth(name='"c"', form='"squares"', width='"5 in"', count=None, weight='"100 g"')
    shelf = read_stash(text)
    strips, yardage, squares = shelf.cloths
    assert (shelf.count(strips), shelf.measure(yardage), shelf.count(squares)) == (15, 38.75, 62)


def test_a_fabric_without_a_form_is_the_cloth_of_that_name(tmp_path):
    (tmp_path / "shelf.toml").write_text(SHELF, encoding="utf-8")
    (tmp_path / "boxes.toml").write_text(TOP, encoding="utf-8")
    study = open_study(tmp_path / "boxes.toml")
    (kelp,) = study.fabrics
    assert (kelp.form, kelp.count, kelp.width, kelp.colour) == ("strips", 9, 2.5, "#4c6b4f")


def test_what_the_study_says_comes_before_the_stash(tmp_path):
    (tmp_path / "shelf.toml").write_text(SHELF, encoding="utf-8")
    (tmp_path / "boxes.toml").write_text(TOP + 'count = 2\ncolour = "#000000"\n', encoding="utf-8")
    (kelp,) = open_study(tmp_path / "boxes.toml").fabrics
    assert (kelp.form, kelp.count, kelp.colour) == ("strips", 2, "#000000")
    (tmp_path / "boxes.toml").write_text(TOP + 'form = "yardage"\ncolour = "#000000"\n', encoding="utf-8")
    (kelp,) = open_study(tmp_path / "boxes.toml").fabrics
    assert (kelp.form, kelp.count, kelp.length) == ("yardage", None, None)


def test_a_study_saved_over_itself_stays_and_elsewhere_it_holds_its_cloth(tmp_path):
    (tmp_path / "shelf.toml").write_text(SHELF, encoding="utf-8")
    path = tmp_path / "boxes.toml"
    path.write_text(TOP, encoding="utf-8")
    study = open_study(path)
    save_study(study, path)
    assert path.read_text(encoding="utf-8") == TOP
    save_study(replace(study, title="Boxes"), path)
    assert path.read_text(encoding="utf-8") == TOP.replace("Fish boxes", "Boxes")
    assert open_study(path).fabrics == study.fabrics
    away = tmp_path / "away"
    away.mkdir()
    assert open_study(save_study(study, away / "boxes.toml")) == study
    assert read_study(write_study(study)) == study


def test_yardage_of_the_stash_saved_in_full_is_not_taken_again(tmp_path):
    (tmp_path / "shelf.toml").write_text(SHELF, encoding="utf-8")
    path = tmp_path / "boxes.toml"
    path.write_text(TOP.replace('"Kelp"', '"Sailcloth"'), encoding="utf-8")
    study = open_study(path)
    assert (study.fabrics[0].length, study.fabrics[0].shrinkage) == (54.0, 0.03)
    (tmp_path / "shelf.toml").write_text(SHELF.replace("1.5 yd", "4 yd"), encoding="utf-8")
    assert open_study(path).fabrics[0].length == 144.0
    assert open_study(save_study(study, tmp_path / "kept.toml")) == study


def test_a_study_without_a_folder_says_that_the_colour_is_missing():
    with pytest.raises(KitError, match="has no colour"):
        read_study(TOP)
