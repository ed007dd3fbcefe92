"""The [[colourway]] tables: read, saved, planned, proved and printed; what is wrong in them is said in words."""

import re

import pytest
from pypdf import PdfReader

import kit
from kit.__main__ import main
from kit.errors import StudyError

TABLES = """
[[colourway]]
title = "Dusk"

[[colourway.fabric]]
in_place_of = "{first}"
name = "Evening slate"
colour = "#3A4F5C"
price = 11.5

[[colourway.fabric]]
in_place_of = "{second}"
name = "Red rust"
colour = "#b3542a"

# a lighter one
[[colourway]]
title = "Noon"

[[colourway.fabric]]
in_place_of = "{first}"
name = "Noon chalk"
colour = "#f2efe6"
"""


def write(folder, name="tideline", tables=TABLES):
    text = (kit.shipped.find_shipped("data") / "studies" / f"{name}.toml").read_text(encoding="utf-8")
    names = [fabric.name for fabric in kit.open_study(f"data/studies/{name}.toml").fabrics]
    path = folder / f"{name}.toml"
    path.write_text(text + tables.replace("{first}", names[0]).replace("{second}", names[1]), encoding="utf-8")
    return path, names


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    path, names = write(tmp_path_factory.mktemp("colourways"))
    pattern = kit.make_pattern(kit.open_study(path), "quick")
    return path, names, pattern, kit.make_colourways(pattern)


def test_a_study_with_colourways_comes_back_whole_and_keeps_its_comments(made, tmp_path):
    path, *_ = made
    study = kit.open_study(path)
    assert [one.title for one in study.colourways] == ["Dusk", "Noon"]
    assert study.colourways[0].cloths[0].price == 11.5
    copy = tmp_path / "copy.toml"
    kit.save_study(study, copy)
    assert kit.open_study(copy) == study
    assert kit.study_from_keys(kit.study_keys(study)) == study
    again = tmp_path / "again.toml"
    again.write_text(path.read_text(encoding="utf-8"), encoding="utf-8")
    kit.save_study(study, again)
    assert again.read_text(encoding="utf-8") == path.read_text(encoding="utf-8")


def test_every_patch_has_the_cloth_that_takes_the_place_of_its_own(made):
    _, names, pattern, others = made
    swaps = {"Dusk": {names[0]: "Evening slate", names[1]: "Red rust"}, "Noon": {names[0]: "Noon chalk"}}
    assert [title for title, _ in others] == list(swaps)
    for title, other in others:
        for patch, name in pattern.colouring.assignment.items():
            assert other.colouring.assignment[patch] == swaps[title].get(name, name)
        before = {plan.supply.fabric: (plan.as_bought, len(plan.strips)) for plan in pattern.cutting.cloths}
        after = {plan.supply.fabric: (plan.as_bought, len(plan.strips)) for plan in other.cutting.cloths}
        assert after == {swaps[title].get(name, name): taken for name, taken in before.items()}
        assert all(line.passed for line in kit.prove(other))


def test_the_document_has_each_with_its_fabrics_and_what_to_buy(made, tmp_path):
    _, names, pattern, others = made
    path = kit.write_document(pattern, tmp_path / "pattern.pdf")
    assert path.read_bytes() == kit.write_document(pattern, tmp_path / "again.pdf").read_bytes()
    pages = [page.extract_text() for page in PdfReader(path).pages]
    text = re.sub(r"\s+", " ", " ".join(pages))
    section = text[text.rindex("Other colourings The same quilt") :]
    for word in ("Dusk", "Evening slate", "Red rust", "Noon", "Noon chalk"):
        assert word in section
    plan = next(plan for plan in others[0][1].cutting.cloths if plan.supply.fabric == "Evening slate")
    assert f"Evening slate {names[0]} ({len(plan.strips)}) strip" in section
    assert "Other colourings hold every line above Dusk, Noon: " in text


def test_several_sizes_have_theirs_each(tmp_path):
    path, _ = write(tmp_path, "lamplight")
    sizes = [kit.make_pattern(one, "quick") for one in kit.editions(kit.open_study(path))[:2]]
    text = " ".join(page.extract_text() for page in PdfReader(kit.write_document(sizes, tmp_path / "two.pdf")).pages)
    assert len(re.findall(r"Dusk: wall", text)) == len(re.findall(r"Dusk: throw", text)) == 1


def test_the_check_proves_each(made, capsys):
    path, *_ = made
    assert main(["check", str(path)]) == 0
    said = capsys.readouterr().out
    assert "pass  tideline.toml, colourway Dusk:" in said
    assert "pass  tideline.toml, colourway Noon:" in said


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('title = "Noon"', 'title = "Dusk"', "Two colourways have the title `Dusk`"),
        ('title = "Noon"', 'tilte = "Noon"', "unknown key `colourway.2.tilte`"),
        ('in_place_of = "{second}"', 'in_place_of = "Nobody"', "`Nobody`, which the study does not have"),
        ('in_place_of = "{second}"', 'in_place_of = "{first}"', "puts two cloths in place of"),
        ('name = "Red rust"', 'name = "Evening slate"', "has two fabrics called `Evening slate`"),
        ('name = "Red rust"', 'name = "{first}"', None),
        ('colour = "#b3542a"', 'colour = "rust"', "a colour of the form #rrggbb"),
        ('colour = "#b3542a"', 'colour = "#b3542a"\nwidth = "40 in"', "unknown key `colourway.1.fabric.2.width`"),
        ("price = 11.5", "price = -1", "price"),
        ('name = "Evening slate"\n', "", "`colourway.1.fabric.1.name` is missing"),
    ],
)
def test_what_is_wrong_is_said_in_words(old, new, said, tmp_path):
    tables = TABLES.replace(old, new, 1)
    path, _ = write(tmp_path, tables=tables)
    if said is None:  # a name that becomes free may be taken
        assert kit.open_study(path).colourways
        return
    with pytest.raises(StudyError, match=re.escape(said)):
        kit.open_study(path)


def test_a_colourway_may_take_the_place_of_cloth_named_elsewhere(tmp_path):
    path, names = write(tmp_path)
    keys = kit.study_keys(kit.open_study(path))
    yardage = next(one["name"] for one in keys["fabric"] if one.get("form", "yardage") == "yardage")
    keys["finishing"] = {**keys.get("finishing", {}), "binding_fabric": yardage, "bleeding": [names[1]]}
    keys["colourway"] = [
        {
            "title": "Dusk",
            "fabric": [
                {"in_place_of": yardage, "name": "Evening slate", "colour": "#3a4f5c"},
                *([{"in_place_of": names[1], "name": "Red rust", "colour": "#b3542a"}] if names[1] != yardage else []),
            ],
        }
    ]
    pattern = kit.make_pattern(kit.study_from_keys(keys), "quick")
    dusk = kit.make_colourways(pattern)[0][1]
    assert dusk.study.finishing.binding_fabric == "Evening slate"
    assert dusk.study.finishing.bleeding == (("Red rust",) if names[1] != yardage else ("Evening slate",))
