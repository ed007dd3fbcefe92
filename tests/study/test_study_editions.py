"""Editions: each is what a study written for that size alone would be, figure by figure."""

import tomllib
from copy import deepcopy
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from redrawing import attempt
from strategies import random_cases

import kit
from kit.errors import StudyError
from kit.output import tables
from kit.study import editions, open_study, read_study, save_study, study_from_keys

STUDIES = Path("data/studies")
TEXT = """title = "Boathouse"
seed = 4
{more}
[measures]
{measures}

[design]
family = "pinwheel"
columns = {columns}
rows = {rows}
block_finished = "{block}"
{sashing}

[[design.border]]
finished = "{border}"

[[fabric]]
slot = "sail"
name = "Canvas"
colour = "#efe6d2"
price = 12.0
[[fabric]]
slot = "ground"
name = "Deep"
colour = "#1f3d54"
price = 12.0
[[fabric]]
slot = "border"
name = "Quay"
colour = "#5a6f6b"
price = 11.0
[[fabric]]
slot = "sashing"
name = "Rope"
colour = "#d9b98a"
price = 11.0
{editions}"""
USUAL = {
    "more": "", "measures": "", "columns": 4, "rows": 5, "block": "8 in", "border": "3 in", "editions": "",
    "sashing": 'sashing = { finished = "1 in" }',
}  # fmt: skip
CRADLE = {"columns": 3, "rows": 4, "border": "2 in"}
QUEEN = {"columns": 8, "rows": 9, "sashing": 'sashing = { finished = "1 1/2 in" }', "border": "4 in"}
METRIC = {"measures": 'system = "metric"', "block": "20 cm"}
EDITIONS = """
[edition]
number = "2"
[edition.cradle.design]
columns = 3
rows = 4
border = [{ finished = "2 in" }]
[edition.queen.design]
columns = 8
rows = 9
sashing = { finished = "1 1/2 in" }
border = [{ finished = "4 in" }]
[edition.metric.measures]
system = "metric"
[edition.metric.design]
block_finished = "20 cm"
"""
ALONE = {"cradle": CRADLE, "queen": QUEEN, "metric": METRIC}


@pytest.fixture(scope="module")
def columns():
    """Return the sketch of every edition, and that of a study written for the size alone, by the edition's name."""
    together = editions(read_study(TEXT.format_map(USUAL | {"editions": EDITIONS})))
    alone = {}
    for name, changed in ALONE.items():
        text = TEXT.format_map(USUAL | changed | {"more": f'edition = "2, {name}"'})
        assert "[edition" not in text
        alone[name] = kit.make_sketch(read_study(text))
    return {study.edition.removeprefix("2, "): kit.make_sketch(study) for study in together}, alone


@pytest.mark.parametrize("name", ALONE)
def test_an_edition_is_the_study_that_is_written_for_its_size_alone(columns, name):
    one, other = columns[0][name], columns[1][name]
    assert one.study == other.study
    assert one.patchwork == other.patchwork
    assert one.cut_list == other.cut_list
    assert one.cutting == other.cutting
    for make in (tables.pieces, tables.shopping, tables.cutting):
        assert make(one).equals(make(other))


@pytest.mark.parametrize("name", ALONE)
def test_the_column_of_an_edition_holds_the_sizes_counts_and_yardage_of_the_study_alone(columns, name):
    column = kit.compare(list(columns[0].values()), columns="editions")[name]
    alone = columns[1][name]
    (row,) = kit.compare([alone]).to_dict("records")
    assert column["Finished"] == row["Finished"]
    assert column["Pieces"] == alone.cut_list.count == sum(piece.count for piece in alone.cut_list.pieces)
    assert (column["Patches"], column["Cost"]) == (len(alone.patchwork.patches), row["Cost"])
    bought = dict(zip(tables.shopping(alone)["Fabric"], tables.shopping(alone)["Buy"], strict=True))
    assert {fabric: column[f"{fabric}, buy"] for fabric in bought} == bought


def test_what_an_edition_finishes_follows_from_its_own_figures(columns):
    sizes = {name: sketch.patchwork.finished for name, sketch in columns[0].items()}
    assert sizes["cradle"] == pytest.approx((3 * 8 + 2 * 1 + 4, 4 * 8 + 3 * 1 + 4))
    assert sizes["queen"] == pytest.approx((8 * 8 + 7 * 1.5 + 8, 9 * 8 + 8 * 1.5 + 8))
    assert sizes["metric"] == pytest.approx((4 * 20 / 2.54 + 3 + 6, 5 * 20 / 2.54 + 4 + 6))


def test_a_metric_edition_is_redrafted_with_its_own_allowance_and_rounding(columns):
    metric = columns[0]["metric"].study.measures
    assert (metric.seam_allowance * 2.54, metric.system) == (pytest.approx(0.75), "metric")
    inch = columns[0]["queen"].study.measures
    assert inch.seam_allowance == 0.25
    assert metric.round_cuts_to != inch.round_cuts_to


def test_editions_stand_in_columns_in_the_order_of_the_file(columns):
    frame = kit.compare(list(columns[0].values()), columns="editions")
    assert list(frame.columns) == ["cradle", "queen", "metric"]
    assert len(kit.compare(list(columns[0].values()))) == 3
    assert list(kit.compare(list(columns[0].values()))["Edition"]) == ["2, cradle", "2, queen", "2, metric"]


# Studies that are there, and random ones


def lay(base, over):
    """Return keys with others in their place, tables within tables."""
    merged = deepcopy(base)
    for key, value in over.items():
        inside = isinstance(value, dict) and isinstance(merged.get(key), dict)
        merged[key] = lay(merged[key], value) if inside else value
    return merged


@pytest.mark.parametrize("path", sorted(STUDIES.glob("*.toml")), ids=lambda path: path.stem)
def test_every_edition_of_a_study_that_is_there_is_a_study_of_its_own(path):
    raw = tomllib.loads(path.read_text(encoding="utf-8"))
    found = editions(open_study(path))
    if not isinstance(raw.get("edition"), dict):
        assert found == (open_study(path),)
        return
    held = raw.pop("edition")
    number = held.pop("number", "1")
    assert len(found) == len(held)
    for one, (name, over) in zip(found, held.items(), strict=True):
        alone = study_from_keys(lay(raw, over) | {"edition": f"{number}, {name}"})
        assert one == alone
        assert one.make_patchwork() == alone.make_patchwork()


@settings(max_examples=25)
@given(random_cases("grid blocks", "straight", borders=0), st.integers(1, 4), st.integers(1, 4), st.integers(4, 24))
def test_any_design_laid_over_another_is_the_design_that_is_written_out(case, columns, rows, border):
    base, refusal = attempt(lambda: case.build().verify())
    if refusal is not None:
        return
    over = {"columns": columns, "rows": rows, "border": [{"finished": f"{border / 4} in", "corners": "mitred"}]}
    fabrics = [{"slot": slot, "name": slot, "colour": "#336699"} for slot in (*base.slots, "border")]
    rest = {"title": "Two", "fabric": fabrics, "measures": {"seam_allowance": case.allowance_text}}
    study = study_from_keys(rest | {"design": case.keys, "edition": {"large": {"design": over}}})
    (one,) = editions(study)
    alone = study_from_keys(rest | {"design": case.keys | over, "edition": "1, large"})
    sketches = kit.make_sketch(one), kit.make_sketch(alone)
    assert sketches[0] == sketches[1]
    assert tables.shopping(sketches[0]).equals(tables.shopping(sketches[1]))


# Sizes that are found become editions


def test_a_size_that_is_found_becomes_an_edition_which_is_that_study():
    study = read_study(TEXT.format_map(USUAL))
    found = kit.fit(study, bed="twin", tolerance=4, most=2)
    for name, option in zip(("twin", "other"), found.options, strict=True):
        study = kit.add_edition(study, name, option.sketch.study)
    assert [one.edition for one in editions(study)] == ["1, as written", "1, twin", "1, other"]
    for one, option in zip(editions(study)[1:], found.options, strict=True):
        assert replace(one, edition="1") == replace(option.sketch.study, edition="1")
        assert one.make_patchwork().finished == pytest.approx(option.finished)
    assert read_study(kit.study.write_study(study)) == study
    again = kit.add_edition(study, "twin", found.options[1].sketch.study)
    assert [one.name for one in again.editions] == ["as written", "other", "twin"]


def test_a_key_that_goes_back_to_its_default_is_an_edition_too():
    study = read_study(TEXT.format_map(USUAL | {"columns": 7}))
    plain = replace(study, design=study.design.model_copy(update={"columns": 4}))
    assert [one.design.columns for one in editions(kit.add_edition(study, "narrow", plain))] == [7, 4]


def test_what_no_edition_can_be_is_refused():
    study = read_study(TEXT.format_map(USUAL))
    bare = replace(study, design=study.design.model_copy(update={"sashing": None}))
    with pytest.raises(StudyError, match=r"`design.sashing` is set here and left out there"):
        kit.add_edition(study, "bare", bare)
    with pytest.raises(StudyError, match="an edition is called ' '"):
        kit.add_edition(study, " ", study)


# How they are kept, and what is refused


def test_editions_are_saved_and_opened_again_as_they_were(tmp_path):
    study = read_study(TEXT.format_map(USUAL | {"editions": EDITIONS}))
    again = open_study(save_study(study, tmp_path / "boathouse.toml"))
    assert again == study
    assert editions(again) == editions(study)
    plain = replace(study, editions=())
    assert plain.fingerprint != study.fingerprint
    assert editions(plain) == (plain,)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[edition.queen.design]\ncolums = 3", "edition `queen`: unknown key `design.colums`"),
        ('[edition.queen.design]\ncolumns = "three"', "edition `queen`: `design.columns`"),
        ("[edition.queen]\ndesign = 3", "`design` is 3 over"),
        ("[edition.queen.title]\nx = 1", "`title` is"),
        ('[edition.queen.edition]\nnumber = "2"', "edition `queen`: `edition` is"),
        ("[edition]\nqueen = 3", "`edition.queen` is 3"),
        ("[edition]\nnumber = 3", "`edition.number` is 3"),
        ("[edition.queen]\nwhen = 2026-01-01", "edition `queen`"),
        ('[edition." "]\n', "an edition is called ' '"),
        ("".join(f"[edition.e{n}]\n" for n in range(25)), "there are 25 editions"),
        ('[edition.queen.design]\nblock_finished = "1/2 in"', "edition `queen`"),
        ('[edition.queen.design.sashing]\nslot = "path"', "edition `queen`: No fabric fills slot `path`"),
        ("[edition.a" + ".b" * 400 + "]\nc = 1", "edition `a`"),
    ],
)
def test_an_edition_that_cannot_be_is_told_of_when_the_study_is_opened(tmp_path, text, said):
    path = tmp_path / "boathouse.toml"
    path.write_text(TEXT.format_map(USUAL | {"editions": text}), encoding="utf-8")
    with pytest.raises(StudyError) as caught:
        open_study(path)
    assert said in str(caught.value)
    assert caught.value.do or "write" in str(caught.value)
