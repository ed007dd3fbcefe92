"""Pictures of families and studies: every family has one, its keys are told, and words reach the page as text only."""

import re
from base64 import b64decode
from pathlib import Path

import pytest

import kit
from kit.designs import FAMILIES
from kit.explore.gallery import make_example

NEEDS = {
    "lines": {"lines": ["0,6 12,6"]},
    "outlines": {"outlines": ["a: 0,0 6,0 6,12 0,12", "b: 6,0 12,0 12,12 6,12"]},
    "units": {"unit": {"a": {"patch": "square", "side_finished": "6 in"}, "whole": {"rows": ["a a"]}}},
}


def images(page):
    return [b64decode(found).decode() for found in re.findall(r"base64,([^\"]+)", page.data)]


@pytest.mark.parametrize("family", sorted(FAMILIES))
def test_every_family_has_a_picture_of_all_its_patches_and_a_table_of_its_keys(family):
    (picture,) = images(kit.show_family(family, **NEEDS.get(family, {})))
    assert picture.count("<polygon") == len(make_example(family, NEEDS.get(family, {})).patchwork.patches)
    frame = kit.list_keys(family)
    assert set(frame["Key"]) == set(FAMILIES[family].model_fields) - {"family"}
    assert frame["What it says"].str.len().min() > 5


def test_variants_stand_side_by_side_with_the_keys_that_make_them():
    page = kit.show_family("pinwheel", {}, {"sails": "double"}, {"border": [{"finished": "2 in"}]}, columns=2, rows=2)
    assert len(images(page)) == 3
    assert "sails = &quot;double&quot;" in page.data
    assert "border = [{ finished = &quot;2 in&quot; }]" in page.data


def test_keys_that_cannot_be_are_refused_in_words():
    with pytest.raises(kit.KitError, match=r"unknown key `design\.sail`"):
        kit.show_family("pinwheel", {"sail": "double"})
    with pytest.raises(kit.KitError, match=r"There is no family `pinwheels`"):
        kit.list_keys("pinwheels")
    with pytest.raises(kit.KitError, match=r"is `pinwheel` meant"):
        kit.show_family("pinwheels")


def test_keys_that_do_not_go_together_have_the_reason_in_the_place_of_the_picture():
    page = kit.show_family("flying geese", {"geese": 4}, {"on_point": {}}, {"geese": 400, "columns": 100})
    assert len(images(page)) == 1
    assert "its points would not line up" in page.data
    assert "The design would have" in page.data


def test_a_title_of_markup_stays_text(tmp_path):
    text = Path("data/studies/ferry-steps.toml").read_text(encoding="utf-8")
    path = tmp_path / "x.toml"
    path.write_text(text.replace('title = "Ferry Steps"', 'title = "<script>alert(1)</script>"'), encoding="utf-8")
    page = kit.show_studies([path, "data/studies/tideline.toml"])
    assert len(images(page)) == 2
    assert "<script" not in page.data + "".join(images(page))
