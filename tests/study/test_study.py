"""Study files: what is saved is read again the same, and every bad input is a sentence that says what to do."""

import os
import re
import tomllib
from pathlib import Path

import pytest
import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import studies

from kit.errors import KitError, StudyError
from kit.study import editions, open_study, read_study, save_study, study_from_keys, study_keys, write_study

FOLDER = Path("data/studies")
STUDIES = sorted(path.name for path in FOLDER.glob("*.toml"))
RAIL = FOLDER.joinpath("ferry-steps.toml").read_text(encoding="utf-8")
BRAID = FOLDER.joinpath("tideline.toml").read_text(encoding="utf-8")
MANY = settings(max_examples=80)
CODES = ["0000", "0007", "001b", "000a", "0009", "007f", "0085", "200b", "202e", "2028", "feff"]


@pytest.fixture
def refusal(tmp_path):
    """Return a function that opens a study of some text or bytes and returns the refusal, after looking it over."""

    def open_text(text):
        path = tmp_path / "quay.toml"
        path.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8", "surrogatepass"))
        return refuse(path, tmp_path)

    return open_text


def refuse(path, folder):
    with pytest.raises(StudyError) as caught:
        open_study(path)
    message = str(caught.value)
    assert message.lower().startswith(path.name.lower())
    assert message.isprintable(), "one line, nothing unseen"
    assert "Traceback" not in message
    assert str(folder) not in message
    assert "pydantic" not in message
    assert len(message) < 700
    assert caught.value.needed or "rite" in message or "leave it out" in message
    return message


def swap(text, old, new):
    assert old in text
    return text.replace(old, new, 1)


# Round trips


@pytest.mark.parametrize("name", STUDIES)
def test_a_study_saved_and_opened_again_is_the_same(name, tmp_path):
    study = open_study(FOLDER / name)
    path = tmp_path / "copy.toml"
    assert open_study(save_study(study, path)) == study
    assert open_study(path).fingerprint == study.fingerprint
    assert [file.name for file in tmp_path.iterdir()] == ["copy.toml"]


@MANY
@given(studies())
def test_any_study_saved_and_opened_again_is_the_same(tmp_path_factory, keys):
    study = study_from_keys(keys)
    path = tmp_path_factory.mktemp("saved") / "study.toml"
    save_study(study, path)
    assert open_study(path) == study
    assert write_study(open_study(path)) == write_study(study)


@MANY
@given(studies())
def test_toml_in_between_changes_nothing(keys):
    study = study_from_keys(keys)
    assert read_study(tomli_w.dumps(keys)) == study
    assert study_from_keys(study_keys(study)) == study
    assert tomllib.loads(write_study(study))["title"] == study.title


@settings(max_examples=30)
@given(studies(), studies())
def test_fingerprints_are_equal_for_equal_studies_alone(one, other):
    a, b = study_from_keys(one), study_from_keys(other)
    assert (a.fingerprint == b.fingerprint) == (write_study(a) == write_study(b))
    assert re.fullmatch("[0-9a-f]{64}", a.fingerprint)


def test_saving_takes_the_place_of_a_file_that_is_there(tmp_path):
    path = tmp_path / "quay.toml"
    path.write_text("old", encoding="utf-8")
    study = open_study(FOLDER / "tideline.toml")
    assert save_study(study, path) == str(path)
    assert open_study(path) == study


def test_a_byte_order_mark_and_dos_line_ends_are_taken(tmp_path):
    path = tmp_path / "quay.toml"
    path.write_bytes(b"\xef\xbb\xbf" + RAIL.replace("\n", "\r\n").encode())
    assert open_study(path) == open_study(FOLDER / "ferry-steps.toml")


@pytest.mark.parametrize(
    ("swaps", "measure", "usable"),
    [
        ((), "", 42.0),  # every fabric of the study names 42 in
        (('"42 in"', '"43 in"'), "", 42.0),  # one is wider: the narrowest counts
        (('"42 in"', '"36 in"'), "", 36.0),
        (('width = "42 in"\n', ""), "", 40.0),  # one names no width, and has the usual one
        (('"42 in"', '"108 in"'), "", 42.0),  # cloth for backings does not count
        ((), '\n[measures]\nusable_width = "40 in"\n', 40.0),  # unless the study says otherwise
        (('width = "42 in"\n', ""), '\n[measures]\nusable_width = "44 in"\n', 44.0),
    ],
)
def test_one_usable_width_is_that_of_the_narrowest_cloth_unless_the_study_says_otherwise(swaps, measure, usable):
    text = RAIL.replace(*swaps, 1) if swaps else RAIL
    study = read_study(text + measure)
    assert study.measures.usable_width == usable
    assert read_study(write_study(study)) == study


def test_the_usable_width_follows_the_cloth_of_an_edition():
    keys = study_keys(read_study(RAIL))
    narrow = [{**entry, "width": "38 in"} for entry in keys["fabric"]]
    (small,) = editions(study_from_keys({**keys, "edition": {"number": "1", "small": {"fabric": narrow}}}))
    assert small.measures.usable_width == 38.0


def test_measures_that_are_not_given_are_those_of_the_system():
    inch = read_study(RAIL).measures
    assert (inch.system, inch.seam_allowance, inch.round_cuts_to) == ("inch", 0.25, 0.125)
    metric = read_study(RAIL + '\n[measures]\nsystem = "metric"\n').measures
    assert metric.system == "metric"
    assert metric.seam_allowance * 2.54 == pytest.approx(0.75)
    assert metric.round_cuts_to * 2.54 == pytest.approx(0.1)


# Keys that are not known, missing, or of the wrong kind


@pytest.mark.parametrize(
    ("text", "unknown", "near"),
    [
        (swap(RAIL, "seed = 3", "sede = 3"), "sede", "seed"),
        (swap(RAIL, "columns = 4", "colums = 4"), "design.colums", "columns"),
        (swap(RAIL, 'finished = "2 in"', 'finish = "2 in"'), "design.border.1.finish", "finished"),
        (swap(BRAID, "outer = true", "outter = true"), "design.sashing.outter", "outer"),
        (swap(RAIL, 'colour = "#1f3f5b"', 'color = "#1f3f5b"'), "fabric.1.color", "colour"),
        (RAIL + '\n[measures]\nseam_alowance = "1/4 in"\n', "measures.seam_alowance", "seam_allowance"),
        (swap(BRAID, "pairs = 16", "pears = 16"), "design.pears", "pairs"),
    ],
)
def test_an_unknown_key_is_refused_at_every_level_with_the_nearest_known_one(refusal, text, unknown, near):
    message = refusal(text)
    assert f"unknown key `{unknown}`" in message
    assert message.endswith(f"Write `{near}`.")


def test_an_unknown_key_that_is_like_no_other_is_refused_with_those_that_are_known(refusal):
    message = refusal(swap(RAIL, "columns = 4", "zzz = 4"))
    assert "unknown key `design.zzz`" in message
    assert "columns" in message
    assert "Correct or remove it" in message


@pytest.mark.parametrize(
    ("text", "missing"),
    [
        (swap(RAIL, 'title = "Ferry Steps"', ""), "title"),
        (swap(RAIL, 'slot = "deep"', ""), "fabric.1.slot"),
        (swap(RAIL, 'name = "Swell"', ""), "fabric.2.name"),
        (swap(RAIL, 'finished = "2 in"', ""), "design.border.1.finished"),
        ('title = "Quay"\n', "design"),
    ],
)
def test_a_missing_key_is_refused_by_name(refusal, text, missing):
    message = refusal(text)
    assert f"`{missing}` is missing" in message
    assert f"Add the key `{missing.split('.')[-1]}`" in message


@pytest.mark.parametrize(
    ("old", "new", "key", "value", "needed"),
    [
        ("columns = 4", "columns = 0", "design.columns", "0", "at least 1"),
        ("columns = 4", "columns = -3", "design.columns", "-3", "at least 1"),
        ("columns = 4", "columns = 1000000", "design.columns", "1000000", "at most 20000"),
        ("columns = 4", "columns = 4.5", "design.columns", "4.5", "a whole number"),
        ("columns = 4", "columns = inf", "design.columns", "inf", "a finite number"),
        ("seed = 3", "seed = 2.5", "seed", "2.5", "a whole number"),
        ("seed = 3", "seed = -1", "seed", "-1", "at least 0"),
        ("seed = 3", "seed = [3]", "seed", "a list of 1", "a whole number"),
        ('pattern = ["deep sea sand foam"]', "pattern = []", "design.pattern", "a list of 0", "a list of at least 1"),
        ('pattern = ["deep sea sand foam"]', "pattern = [4]", "design.pattern.1", "4", "a text in quotes"),
        ('colour = "#1f3f5b"', 'colour = "navy"', "fabric.1.colour", "'navy'", "#rrggbb"),
        ('colour = "#1f3f5b"', 'colour = "#1f3"', "fabric.1.colour", "'#1f3'", "#rrggbb"),
        ('colour = "#1f3f5b"', 'colour = "#1f3f5b;x"', "fabric.1.colour", "'#1f3f5b;x'", "#rrggbb"),
        ('name = "Ferry hull"', "name = 1979-05-27", "fabric.1.name", "a date", "a text in quotes"),
        ('name = "Ferry hull"', 'name = " "', "fabric.1.name", "' '", "a text of at least 1 character"),
        ('form = "yardage"', 'form = "bolt"', "fabric.1.form", "'bolt'", "'yardage'"),
        ("price = 11.5", "price = -1", "fabric.1.price", "-1", "at least 0"),
        ("price = 11.5", "price = nan", "fabric.1.price", "nan", "at most"),
        ("price = 11.5", "limit = 0", "fabric.1.limit", "0", "at least 1"),
        ("[design]", "[[design]]", "design", "a list of 1", "a table of keys"),
        (
            "columns = 4",
            "columns = 4\nalternate = true",
            "design.alternate",
            "True",
            "a table of keys: slot, unit, first",
        ),
    ],
)
def test_a_value_out_of_range_or_of_the_wrong_kind_is_refused(refusal, old, new, key, value, needed):
    message = refusal(swap(RAIL, old, new))
    assert f"`{key}` is {value}" in message
    assert f"Needed: {needed}" in message.replace("a colour of the form ", "") or needed in message


@pytest.mark.parametrize(
    ("old", "new", "key", "said"),
    [
        ("seed = 3", 'seed = "3"', "seed", "'3' is not a whole number"),
        ("seed = 3", "seed = true", "seed", "True is not a whole number"),
        ("columns = 4", "columns = true", "design.columns", "True is not a whole number"),
        ("columns = 4", 'columns = "four"', "design.columns", "'four' is not a whole number"),
        ("price = 11.5", 'price = "11.50"', "fabric.1.price", "'11.50' is not a number"),
        ("price = 11.5", 'one_way = "yes"', "fabric.1.one_way", "'yes' is not true or false"),
        ("price = 11.5", "one_way = 1", "fabric.1.one_way", "1 is not true or false"),
        ("price = 11.5", 'nap = "yes"', "fabric.1.nap", "'yes' is not true or false"),
        ("price = 11.5", 'shrinkage = "3 %"', "fabric.1.shrinkage", "'3 %' is not a number"),
        ("price = 11.5", "washed = 1", "fabric.1.washed", "1 is not true or false"),
    ],
)
def test_nothing_is_taken_for_something_else(refusal, old, new, key, said):
    message = refusal(swap(RAIL, old, new))
    assert f"`{key}`: {said}" in message
    assert "without quotes" in message


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (swap(RAIL, 'family = "strips"', ""), "`design.family` is missing"),
        (swap(RAIL, '"strips"', '"strip"'), "`design.family` is 'strip' (is `strips` meant?)"),
        (swap(RAIL, '"strips"', "3"), "`design.family` is 3"),
        (swap(RAIL, '"strips"', '["strips"]'), "`design.family` is a list of 1"),
    ],
)
def test_an_unknown_family_is_refused_with_the_known_ones(refusal, text, said):
    message = refusal(text)
    assert said in message
    assert all(name in message for name in ("braid", "log cabin", "strips"))


# Lengths


@pytest.mark.parametrize(
    ("length", "said", "do"),
    [
        ("2.5", "the bare number 2.5", 'Write "2.5 in", or "2.5 cm"'),
        ("2", "the bare number 2", 'Write "2 in", or "2 cm"'),
        ('"2 1/2"', "`2 1/2` has no unit", 'Write "2 1/2 in"'),
        ('"2 1/2 kg"', "the unit `kg`", "mass"),
        ('"2 1/2 parsnips"', "the unit `parsnips`", "Write for instance"),
        ('"-2 in"', "`-2 in` is negative", "rite"),
        ('"0 in"', "`0 in` is zero", "rite"),
        ('"nan in"', "`nan in`", "rite"),
        ('"1e9 in"', "`1e9 in`", "500 in"),
        ('""', "", "rite"),
        ("true", "True", "rite"),
        ('["2 in"]', "list", "rite"),
    ],
)
def test_what_is_not_a_length_is_refused_with_the_correction(refusal, length, said, do):
    message = refusal(swap(RAIL, 'strip_cut = "2 1/2 in"', f"strip_cut = {length}"))
    assert "`design.strip_cut`" in message
    assert said in message
    assert do in message


@pytest.mark.parametrize(
    ("text", "key", "value", "do"),
    [
        (swap(RAIL, '"2 1/2 in"', '"1/2 in"'), "design.strip_cut", "0 in", "Widen the strips"),
        (swap(BRAID, 'strip_cut = "2 1/2 in"', 'strip_cut = "1/2 in"'), "design.strip_cut", "½", "Widen the strips"),
        (swap(BRAID, '"6 in"', '"2 in"'), "design.column_finished", "2", "Widen the column"),
        (RAIL + '\n[measures]\nseam_allowance = "100 in"\n', "design.strip_cut", "-197.5 in", "narrow the allowance"),
        (RAIL + '\n[measures]\nround_cuts_to = "2 in"\n', "measures.round_cuts_to", "2 in", "1/8 in"),
        (RAIL + '\n[measures]\nusable_width = "1/4 in"\n', "measures.usable_width", "1/4 in", "width of the cloth"),
        (swap(RAIL, 'width = "42 in"', 'width = "1 in"'), "width", "1 in", "width of the cloth"),
    ],
)
def test_lengths_that_leave_no_room_are_refused_with_key_value_and_remedy(refusal, text, key, value, do):
    message = refusal(text)
    assert f"`{key}`" in message
    assert value in message
    assert "Needed: " in message
    assert do in message


# Limits


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (swap(RAIL, "columns = 4", "columns = 20000"), "400,000 patches"),
        (swap(BRAID, "pairs = 16", "pairs = 1000000000"), "`design.pairs` is 1000000000"),
        (swap(swap(BRAID, "columns = 3", "columns = 20000"), "pairs = 16", "pairs = 10000"), "600,"),
        (swap(RAIL, "columns = 4", f"columns = {'9' * 5000}"), "thousands of digits"),
    ],
)
def test_more_than_a_quilt_could_have_is_refused_before_it_is_built(refusal, text, said):
    message = refusal(text)
    assert said in message
    assert "at most" in message or "numbers for a quilt" in message


def test_more_fabrics_than_two_thousand_are_refused(refusal):
    fabric = '[[fabric]]\nslot = "deep"\nname = "{0}"\ncolour = "#102030"\n'
    message = refusal(RAIL + "".join(fabric.format(i) for i in range(2_001)))
    assert "`fabric`" in message
    assert "at most 2000" in message


# Slots and fabrics


def test_a_slot_that_no_fabric_fills_is_refused_with_the_nearest_name(refusal):
    message = refusal(swap(RAIL, 'slot = "sea"', 'slot = "see"'))
    assert "No fabric fills slot `sea` (is `see` meant?)" in message
    assert 'slot = "sea"' in message


def test_a_study_without_fabrics_is_refused(refusal):
    message = refusal(RAIL[: RAIL.index("[[fabric]]")])
    assert "No fabric fills slot" in message
    assert "Add a [[fabric]]" in message


def test_a_fabric_without_colour_is_refused_by_name(refusal):
    message = refusal(swap(RAIL, 'colour = "#1f3f5b"', ""))
    assert "Ferry hull" in message
    assert "colour" in message
    assert "dd " in message


def test_two_fabrics_of_one_name_are_refused(refusal):
    message = refusal(swap(RAIL, "Swell", "Wake"))
    assert "two fabrics are called `Wake`" in message
    assert "Rename one" in message


@pytest.mark.parametrize(
    ("form", "said"),
    [("strips", "has no width"), ("squares", "has no width"), ("remnant", "has no width")],
)
def test_a_cut_of_cloth_without_its_width_is_refused_by_the_name_of_the_fabric(refusal, form, said):
    message = refusal(swap(RAIL, 'form = "yardage"\nwidth = "42 in"', f'form = "{form}"'))
    assert "Fabric `Ferry hull`" in message
    assert said in message
    assert "Add for instance" in message


def test_a_remnant_without_its_length_is_refused(refusal):
    message = refusal(swap(RAIL, 'form = "yardage"\nwidth = "42 in"', 'form = "remnant"\nwidth = "12 in"'))
    assert "is a remnant and has no length" in message
    assert "dd length" in message


# Names


@pytest.mark.parametrize("place", ['title = "Ferry Steps"', 'name = "Ferry hull"', 'slot = "border"'])
@pytest.mark.parametrize("code", CODES)
def test_control_characters_in_names_are_refused_by_their_code(refusal, place, code):
    key = place.split(" ")[0]
    message = refusal(swap(RAIL, place, f'{key} = "tide\\u{code}line"'))
    assert f"U+{code.upper()}" in message
    assert key in message
    assert "leave it out" in message.lower()


@pytest.mark.parametrize(
    "name",
    [
        "<script>alert(1)</script>",
        '<svg onload="x()"><text>&amp;</text></svg>',
        'O\'Hara & "Sons" `tick` \\ slash',
        "{{7*7}} ${x} %s {0}",
        "#eval(1) @quay $sum$ //",
        "../../etc/quay",
        "🧵🪡🏳️\N{VARIATION SELECTOR-16}",
        "ظل البحر",
        "שמיכה",
        "潮の線",
        "Ćmà e\N{COMBINING ACUTE ACCENT}",
        "=1+1",
    ],
)
@pytest.mark.parametrize("place", ['title = "Ferry Steps"', 'name = "Ferry hull"'])
def test_names_in_any_script_and_of_any_marks_stay_text(tmp_path, place, name):
    key = place.split(" ")[0]
    path = tmp_path / "quay.toml"
    path.write_text(swap(RAIL, place, tomli_w.dumps({key: name}).strip()), encoding="utf-8")
    study = open_study(path)
    assert name in (study.title, study.fabrics[0].name)
    assert open_study(save_study(study, tmp_path / "again.toml")) == study


@pytest.mark.parametrize("place", ['title = "Ferry Steps"', 'name = "Ferry hull"', 'slot = "border"'])
def test_a_name_of_ten_thousand_characters_is_refused(refusal, place):
    key = place.split(" ")[0]
    message = refusal(swap(RAIL, place, f'{key} = "{"tide" * 2_500}"'))
    assert key in message
    assert "a text of at most" in message


def test_a_key_of_ten_thousand_characters_is_refused(refusal):
    assert "unknown key `design.tidetide" in refusal(swap(RAIL, "columns = 4", f"{'tide' * 2_500} = 4"))


def test_a_key_of_markup_and_control_characters_is_refused_in_one_line(refusal):
    assert "unknown key" in refusal(swap(RAIL, "columns = 4", '"<b>\\u0007\\n\\u202e" = 4'))


# Files


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("title = \n", "at line 1"),
        ("title = 'Quay'\ntitle = 'Quay'\n", "at line 2"),
        ("title = 'Quay'\n[design\n", "at line 2"),
        ("\0", "line 1"),
        ('title = "\\ud800"', "line 1"),
        ("just words", "line 1"),
        ("a = " + "[" * 100_000, "too deeply"),
        ("a = " + "{a = " * 3_000 + "1" + "}" * 3_000, "too deeply"),
    ],
)
def test_what_is_not_toml_is_refused_with_its_line(refusal, text, said):
    assert said in refusal(text)


def test_tables_nested_thousands_deep_are_refused(refusal):
    assert "unknown key" in refusal(RAIL + "\n[design" + ".a" * 5_000 + "]\nx = 1\n")


@pytest.mark.parametrize("data", [b"", b"  \n\t\n"])
def test_an_empty_file_is_refused(refusal, data):
    assert "is empty" in refusal(data)


@pytest.mark.parametrize("data", [b"title = '\xff\xfe'", "title = 'Quay'".encode("utf-16"), b"\x89PNG\r\n\x1a\n"])
def test_a_file_that_is_not_utf_8_text_is_refused(refusal, data):
    message = refusal(data)
    assert "is not UTF-8 text" in message
    assert "Save it as UTF-8" in message


def test_a_file_over_a_megabyte_is_refused(refusal):
    assert "is over a megabyte" in refusal(RAIL + "#" * 1_000_000)


def test_a_missing_file_is_refused_with_the_nearest_name(tmp_path):
    (tmp_path / "tideline.toml").write_text(BRAID, encoding="utf-8")
    message = refuse(tmp_path / "tidelime.toml", tmp_path)
    assert "tidelime.toml does not exist" in message
    assert "tideline.toml meant?" in message
    assert "heck the name" in refuse(tmp_path / "nothing-like-it", tmp_path)


def test_a_missing_folder_is_refused(tmp_path):
    assert "does not exist" in refuse(tmp_path / "nowhere" / "tideline.toml", tmp_path)


def test_a_folder_is_refused(tmp_path):
    assert "is a folder" in refuse(tmp_path, tmp_path.parent)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes here")
def test_a_pipe_is_refused_without_waiting_for_it(tmp_path):
    os.mkfifo(tmp_path / "pipe.toml")
    assert "is not a file" in refuse(tmp_path / "pipe.toml", tmp_path)


def test_a_name_that_no_file_can_have_is_refused(tmp_path):
    with pytest.raises(StudyError, match=r"cannot be read|does not exist"):
        open_study(tmp_path / "a\0b.toml")
    with pytest.raises(StudyError):
        open_study(tmp_path / ("a" * 5_000))


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read_is_refused(tmp_path):
    path = tmp_path / "quay.toml"
    path.write_text(RAIL, encoding="utf-8")
    path.chmod(0)
    assert "cannot be read" in refuse(path, tmp_path)


@pytest.mark.parametrize("place", ["nowhere/quay.toml", "a\0b.toml", "taken"])
def test_saving_where_nothing_can_be_saved_is_refused_and_leaves_nothing_behind(tmp_path, place):
    (tmp_path / "taken").mkdir()
    study = open_study(FOLDER / "tideline.toml")
    with pytest.raises(StudyError) as caught:
        save_study(study, tmp_path / place)
    message = str(caught.value)
    assert "cannot be written" in message
    assert str(tmp_path) not in message
    assert "hoose another folder or name" in message
    assert [path.name for path in tmp_path.iterdir()] == ["taken"]


@MANY
@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused_in_a_sentence(tmp_path_factory, data):
    path = tmp_path_factory.mktemp("any") / "any.toml"
    path.write_bytes(data)
    refuse(path, path.parent)


SOME = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20) | st.dates(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)


@settings(max_examples=120)
@given(studies(), st.data())
def test_any_value_in_the_place_of_any_other_is_taken_or_refused_in_a_sentence(keys, data):
    table = keys
    while True:
        key = data.draw(st.sampled_from(sorted(table) if isinstance(table, dict) else range(len(table))))
        if not (isinstance(table[key], dict | list) and table[key] and data.draw(st.booleans())):
            break
        table = table[key]
    table[key] = data.draw(SOME)
    message = ""
    try:
        study_from_keys(keys).make_patchwork()
    except KitError as error:
        message = str(error)
    assert message.isprintable()
    assert len(message) < 700
