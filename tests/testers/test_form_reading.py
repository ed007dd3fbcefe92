"""Filled forms read back: what is wrong is named by its row, and nothing that was written is lost."""

import re
from dataclasses import replace

import pytest
from filled_forms import fill, pattern_of_plain, write_empty, write_rows
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kit.errors import KitError
from kit.model.findings import SEVERITIES
from kit.testers.form_reading import read_form, read_size
from kit.testers.merged_forms import merge_forms
from kit.testers.questions import list_questions


@pytest.fixture(scope="module")
def asked():
    return list_questions(pattern_of_plain("ferry-steps"))


def change(rows, kind, place, /, **cells):
    """Return the rows with some cells of one row changed."""
    return [{**row, **cells} if (row["kind"], row["place"]) == (kind, place) else row for row in rows]


SMALL = ("12", "read", "expected", "stopped")
WRONG = {
    "a bare number": (lambda rows: change(rows, "size", "3", yours="8.5"), "8.5` has no unit", "in"),
    "three lengths": (lambda rows: change(rows, "size", "3", yours="8 x 8 x 8 in"), "has 3 lengths", "width"),
    "a step not asked": (lambda rows: change(rows, "size", "3", place="2"), "after step `2`", "one of the steps"),
    "a fabric of another quilt": (lambda rows: change(rows, "cloth", "Swell", place="Fog"), "`Fog`", "Ferry hull"),
    "cloth in minutes": (lambda rows: change(rows, "cloth", "Swell", yours="20 min"), "min", "one number and one unit"),
    "minutes that are a word": (lambda rows: change(rows, "minutes", "cutting", yours="an hour"), "an hour", ""),
    "minutes below zero": (lambda rows: change(rows, "minutes", "cutting", yours="-5"), "`-5`", "0 to"),
    "an unknown kind": (lambda rows: change(rows, "size", "3", kind="stumbel"), "`stumbel`", "stumble"),
    "a row twice": (lambda rows: change(rows, "size", "6", place="3"), "size `3` is there twice", "one row"),
    "a step that is not there": (
        lambda rows: fill(rows, "A", stumbles=[("99", *SMALL[1:])]),
        "place of the stumble is `99`", "a step from 1 to 17",
    ),
    "no severity": (lambda rows: fill(rows, "A", stumbles=[(*SMALL[:3], "")]), "severity is missing", "cloth lost"),
    "another severity": (lambda rows: fill(rows, "A", stumbles=[(*SMALL[:3], "bad")]), "`bad`", "read twice"),
    "no words": (lambda rows: fill(rows, "A", stumbles=[("12", "", "", "stopped")]), "no words", "what was read"),
    "no place": (lambda rows: fill(rows, "A", stumbles=[("", *SMALL[1:])]), "has no place", "a step from 1"),
    "a severity of a size": (lambda rows: change(rows, "size", "3", severity="stopped"), "the size row", "stumbles"),
}  # fmt: skip


@pytest.mark.parametrize("name", WRONG)
def test_what_is_wrong_is_refused_by_its_row(name, asked, tmp_path):
    spoil, found, needed = WRONG[name]
    path = write_rows(tmp_path / "form.csv", spoil(write_empty(asked)))
    with pytest.raises(KitError) as refused:
        read_form(path, asked)
    assert "form.csv, row " in refused.value.found
    assert found in refused.value.found
    assert needed in refused.value.needed
    assert refused.value.do


def test_several_faults_are_named_together(asked, tmp_path):
    rows = write_empty(asked)
    for step in ("3", "6", "9", "12"):
        rows = change(rows, "size", step, yours="8")
    with pytest.raises(KitError, match=r"row 6.*row 7.*row 8.*; and 1 more"):
        read_form(write_rows(tmp_path / "form.csv", rows), asked)


def test_words_outside_the_columns_are_refused_and_not_dropped(asked, tmp_path):
    path = write_rows(tmp_path / "form.csv", write_empty(asked))
    lines = path.read_text(encoding="utf-8").split("\n")
    path.write_text("\n".join([lines[0], lines[1].rstrip() + ",a word more", *lines[2:]]), encoding="utf-8")
    with pytest.raises(KitError, match="`a word more` stands outside the columns"):
        read_form(path, asked)


@pytest.mark.parametrize("text", ["", "kind,place\n", "\x00", "kind;place;what\nx;y;z\n"])
def test_a_file_that_is_not_a_form_is_refused(text, asked, tmp_path):
    path = tmp_path / "form.csv"
    path.write_text(text)
    with pytest.raises(KitError) as refused:
        read_form(path, asked)
    assert refused.value.needed
    assert refused.value.do


def test_a_file_in_another_encoding_or_that_is_not_there_is_refused(asked, tmp_path):
    path = tmp_path / "form.csv"
    path.write_bytes("kind,place,Größe\n".encode("latin-1"))
    with pytest.raises(KitError, match="UTF-8"):
        read_form(path, asked)
    with pytest.raises(KitError, match="cannot be read"):
        read_form(tmp_path / "none.csv", asked)


@pytest.mark.parametrize("between", [",", ";", "\t"])
def test_a_form_is_read_whatever_stands_between_its_cells(between, asked, tmp_path):
    rows = fill(write_empty(asked), "Anna", {"3": "8 1/2 in"}, {"Swell": "30.5 cm"}, {"cutting": "12.5"}, [SMALL])
    form = read_form(write_rows(tmp_path / "form.csv", rows, between), asked)
    assert form.tester == "Anna"
    assert form.sizes == (("3", (8.5,)),)
    assert dict(form.cloth)["Swell"] == pytest.approx(30.5 / 2.54)
    assert form.minutes == (("cutting", 12.5),)
    assert form.stumbles[0].read == "read"


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(
        st.tuples(
            st.sampled_from(["1", "17", "A1", "e2", "block", "Swell", "cutting", "Step 4"]),
            st.text(st.characters(codec="utf-8", categories=["L", "N", "P", "S", "Zs"]), min_size=1, max_size=30),
            st.text(st.characters(codec="utf-8", categories=["L", "N", "P", "S", "Zs"]), max_size=30),
            st.sampled_from(SEVERITIES),
        ),
        max_size=20,
    )
)
def test_every_stumble_comes_back_with_its_words(asked, tmp_path, stumbles):
    kept = [one for one in stumbles if one[1].split()]
    path = write_rows(tmp_path / "form.csv", fill(write_empty(asked), "Anna", stumbles=kept))
    found = merge_forms([read_form(path, asked)], asked)
    told = [stumble for place in found.places for stumble in place.stumbles]
    wanted = sorted((re.sub("^'(?=[-=+@])", "", " ".join(one[1].split())), one[3]) for one in kept)
    assert sorted((one.read, one.severity) for one in told) == wanted
    assert all(one.step == dict(asked.places)[one.stumbles[0].place] for one in found.places)


def test_notes_of_every_row_are_kept(asked, tmp_path):
    rows = change(write_empty(asked), "cloth", "Swell", note="two flaws cut round")
    rows = change(rows, "about", "tester", yours="Anna", note="a rainy week")
    form = read_form(write_rows(tmp_path / "form.csv", rows), asked)
    assert form.notes == (("tester", "a rainy week"), ("cloth Swell", "two flaws cut round"))


def test_two_forms_of_one_tester_are_refused(asked, tmp_path):
    paths = [write_rows(tmp_path / f"{name}.csv", fill(write_empty(asked), "Anna")) for name in ("one", "two")]
    with pytest.raises(KitError, match=r"one.csv and two.csv both name the tester `Anna`"):
        merge_forms([read_form(path, asked) for path in paths], asked)


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("8 1/2 in", (8.5,)),
        ("8-1/2 x 8 3/8 in", (8.5, 8.375)),
        ('8½" × 8⅜"', (8.5, 8.375)),
        ("21 cm X 21.5 cm", (21 / 2.54, 21.5 / 2.54)),
        ("8½ x 8½ in", (8.5, 8.5)),
    ],
)
def test_sizes_are_read_as_testers_write_them(text, size):
    assert read_size(text) == pytest.approx(size)


@pytest.mark.parametrize("name", ["=SUM(A1)", 'Fog; "thick", 5', "-12", "@home"])
def test_a_fabric_with_a_nasty_name_is_found_again(name, asked, tmp_path):
    cloth = tuple(replace(one, fabric=name) if one.fabric == "Swell" else one for one in asked.cloth)
    named = replace(asked, cloth=cloth)
    letter = next(one.letter for one in cloth if one.fabric == name)
    rows = [{**row, "yours": "9 in" * (row["what"] == letter)} for row in write_empty(named)]
    for between in ",;\t":
        form = read_form(write_rows(tmp_path / "form.csv", rows, between), named)
        assert dict(form.cloth) == {name: 9.0}
