"""The [colouring] table and pictures of cloth in the study file."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

import kit
from kit.errors import StudyError
from kit.model.rules import Rules
from kit.study import open_study, read_study, save_study, write_study

TEXT = Path("data/studies/tideline.toml").read_text(encoding="utf-8")
ASKED = """
[colouring]
touching = "corners"
apart = 2
pairs = true
set_aside = ["Gorse"]
difference = 12.5
gradient = "left to right"
gradient_by = "hue"
symmetry = "half turn"
spread = true
no_stripes = true

[colouring.pins]
c01-L004 = "Kelp"
"""
PICTURE = """
[[fabric]]
slot = "blade"
name = "Weed"
picture = "fabrics/weed.png"
"""


def refusal(text, folder=None):
    with pytest.raises(StudyError) as caught:
        read_study(text, folder=folder)
    return str(caught.value)


def test_a_study_without_the_table_asks_for_the_usual_and_writes_no_table():
    study = read_study(TEXT)
    assert study.rules == Rules()
    assert "colouring" not in write_study(study)


def test_every_key_of_the_table_is_read_and_written_back():
    study = read_study(TEXT + ASKED)
    assert study.rules == Rules(
        touching="corners",
        apart=2,
        pairs=True,
        pins=(("c01-L004", "Kelp"),),
        set_aside=("Gorse",),
        difference=12.5,
        gradient="left to right",
        gradient_by="hue",
        symmetry="half turn",
        spread=True,
        no_stripes=True,
    )
    assert read_study(write_study(study)) == study


NAMES = ["Kelp", "Mussel", "Slate"]
TABLES = st.fixed_dictionaries(
    {},
    optional={
        "touching": st.sampled_from(["edges", "corners"]),
        "apart": st.integers(1, 50),
        "once_in_unit": st.booleans(),
        "pairs": st.booleans(),
        "pins": st.dictionaries(
            st.text(st.characters(codec="utf-8", categories=("L", "N", "P")), min_size=1), st.sampled_from(NAMES)
        ),
        "set_aside": st.lists(st.sampled_from(NAMES), unique=True),
        "difference": st.floats(0.5, 100),
        "gradient": st.sampled_from(["left to right", "right to left", "bottom to top", "top to bottom"]),
        "gradient_by": st.sampled_from(["lightness", "hue"]),
        "symmetry": st.sampled_from(["left and right", "top and bottom", "half turn", "quarter turn"]),
        "spread": st.booleans(),
        "no_stripes": st.booleans(),
    },
)


@settings(max_examples=40)
@given(TABLES)
def test_any_table_comes_back_the_same(tmp_path_factory, table):
    keys = {**kit.study.study_keys(read_study(TEXT)), "colouring": table}
    study = kit.study.study_from_keys(keys)
    path = tmp_path_factory.mktemp("study") / "any.toml"
    assert open_study(save_study(study, path)) == study


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ('touching = "sides"', "`colouring.touching`"),
        ("apart = 0", "`colouring.apart`"),
        ("difference = 0", "`colouring.difference`"),
        ('gradient = "up"', "`colouring.gradient`"),
        ('symetry = "half turn"', "Write `symmetry`"),
        ('set_aside = ["Gorze"]', "`colouring.set_aside` names the fabric `Gorze`"),
        ('pins = { c01-L004 = "Kelb" }', "Is `Kelp` meant?"),
    ],
)
def test_a_key_that_is_wrong_is_refused_with_its_name(line, said):
    assert said in refusal(f"{TEXT}\n[colouring]\n{line}\n")


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "fabrics").mkdir()
    Image.new("RGB", (12, 12), (0x2F, 0x5D, 0x7C)).save(tmp_path / "fabrics/weed.png")
    return tmp_path


def test_a_fabric_takes_its_colour_and_spread_from_its_picture(folder):
    weed = read_study(TEXT + PICTURE, folder=folder).fabrics[-1]
    assert (weed.colour, weed.spread, weed.picture) == ("#2f5d7c", 0.0, "fabrics/weed.png")


def test_a_colour_that_is_given_stands_above_the_picture(folder):
    weed = read_study(f'{TEXT}{PICTURE}colour = "#AABBCC"\n', folder=folder).fabrics[-1]
    assert (weed.colour, weed.spread) == ("#aabbcc", 0.0)


def test_a_study_with_pictures_comes_back_the_same_even_away_from_them(folder, tmp_path_factory):
    study = read_study(TEXT + PICTURE, folder=folder)
    elsewhere = tmp_path_factory.mktemp("elsewhere")
    assert open_study(save_study(study, elsewhere / "copy.toml")) == study


def test_a_picture_that_is_missing_outside_or_of_no_folder_is_refused_with_the_fabric_named(folder):
    assert "`fabrics/gone.png` does not exist" in refusal(TEXT + PICTURE.replace("weed", "gone"), folder)
    assert "is outside the study's folder" in refusal(TEXT + PICTURE.replace("fabrics/", "../"), folder)
    assert "`Weed` has a picture, but this study is not in a folder" in refusal(TEXT + PICTURE)
    bare = PICTURE.replace('picture = "fabrics/weed.png"\n', "")
    assert "`Weed` has no colour. Needed: `colour` or `picture`" in refusal(TEXT + bare)


def test_a_study_with_rules_is_proved_from_end_to_end():
    text = TEXT + '\n[colouring]\napart = 2\nspread = true\n[colouring.pins]\nc01-L004 = "Kelp"\n'
    pattern = kit.make_pattern(read_study(text))
    assert pattern.colouring.assignment["c01-L004"] == "Kelp"
    assert pattern.colouring.violations == 0
    assert [wish.name for wish in pattern.colouring.wishes] == ["spread"]
