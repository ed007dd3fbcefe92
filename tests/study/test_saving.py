"""Saving over a file keeps what the maker wrote: comments, order, layout and notation of all that did not change."""

import os
from difflib import SequenceMatcher
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from strategies import studies

from kit.study import open_study, read_study, save_study, study_from_keys, study_keys, write_study

STUDIES = sorted(Path("data/studies").glob("*.toml"))
SOME = settings(max_examples=15, suppress_health_check=[HealthCheck.too_slow])

HANDMADE = """\
# The landing, for the sale in spring.
title = 'Landing'   # not final
"seed"=3
edition   = "2"

measures.system = "inch"
measures.usable_width = '41.5"'

# Rails, three to a block.
[design]   # by hand
family = "strips"
rows = 3
columns = 5
pattern = ["sea foam sand"]
strip_cut = "2.5 in"
border = [{ finished = "2.0 in", slot = 'edge' }, {finished="3 in",slot="frame"}]

# Darks.

# the good blue
[[fabric]]
slot = "sea"
name = "Harbour"   # last of the bolt
colour = "#2F5D7C"
width = "42.0 in"

# bought in May
[[fabric]]
slot = "foam"
name = "Fog"
colour = "#dfe6ea"

# ask about the dye lot
[[fabric]]
slot = "sand"
name = "Shell"
colour = "#e8bfae"

[[fabric]]
slot = "edge"
name = "Slate"
colour = "#4a5560"

[[fabric]]
slot = "frame"
name = "Kelp"
colour = "#4c6b4f"

[colouring]
set_aside = [
    # these two wait
    "Shell",
    "Kelp",   # until autumn
]
# the end"""


def change(study, alter):
    """Return the study with its keys altered by a function."""
    keys = study_keys(study)
    alter(keys)
    return study_from_keys(keys, folder=Path("data/studies"))


def list_changes(before, after):
    """Return the (lines taken, lines put) of each place where two texts differ."""
    old, new = before.splitlines(keepends=True), after.splitlines(keepends=True)
    found = SequenceMatcher(None, old, new, autojunk=False).get_opcodes()
    return [(old[a:b], new[c:d]) for what, a, b, c, d in found if what != "equal"]


def save_changed(tmp_path, text, alter):
    """Write a text, save it changed over itself and return what changed."""
    path = tmp_path / "landing.toml"
    path.write_bytes(text.encode())
    study = change(open_study(path), alter)
    save_study(study, path)
    assert open_study(path) == study
    assert [file.name for file in tmp_path.iterdir()] == ["landing.toml"]
    return list_changes(text, path.read_bytes().decode())


@pytest.mark.parametrize("path", STUDIES, ids=lambda path: path.stem)
def test_a_study_saved_over_itself_is_byte_for_byte_what_it_was(path, tmp_path):
    copy = tmp_path / path.name
    copy.write_bytes(path.read_bytes())
    save_study(open_study(path), copy)
    assert copy.read_bytes() == path.read_bytes()


@pytest.mark.parametrize("path", STUDIES, ids=lambda path: path.stem)
def test_one_changed_key_changes_one_line(path, tmp_path):
    text = path.read_text(encoding="utf-8")
    copy = tmp_path / path.name
    study = open_study(path)
    for alter in (
        lambda keys: keys.update(seed=99),
        lambda keys: keys.update(title="Another title"),
        lambda keys: keys["fabric"][0].update(colour="#123456"),
        lambda keys: keys["fabric"][-1].update(name="Sand bar"),
    ):
        copy.write_text(text, encoding="utf-8")
        changed = change(study, alter)
        save_study(changed, copy)
        assert read_study(copy.read_text(encoding="utf-8"), folder=path.parent) == changed
        ((taken, put),) = list_changes(text, copy.read_text(encoding="utf-8"))
        assert (len(taken), len(put)) == (1, 1)


@pytest.mark.parametrize("path", STUDIES, ids=lambda path: path.stem)
def test_a_fabric_added_or_removed_leaves_the_others_untouched(path, tmp_path):
    text = path.read_text(encoding="utf-8")
    copy = tmp_path / path.name
    study = open_study(path)
    twin = {"name": "Sand bar", "colour": "#c8b48a"}
    for place in (0, 1, len(study.fabrics)):
        copy.write_text(text, encoding="utf-8")
        changed = change(study, lambda k, i=place: k["fabric"].insert(i, {**k["fabric"][0], **twin}))
        save_study(changed, copy)
        longer = copy.read_text(encoding="utf-8")
        assert read_study(longer, folder=path.parent) == changed
        assert all(not taken for taken, _ in list_changes(text, longer))
        save_study(study, copy)
        assert copy.read_text(encoding="utf-8") == text


def test_a_changed_value_keeps_its_comment_its_quotes_and_its_spacing(tmp_path):
    assert save_changed(tmp_path, HANDMADE, lambda k: k.update(title="Slip")) == [
        (["title = 'Landing'   # not final\n"], ["title = 'Slip'   # not final\n"])
    ]
    assert save_changed(tmp_path, HANDMADE, lambda k: k.update(seed=4)) == [(['"seed"=3\n'], ['"seed"=4\n'])]
    assert save_changed(tmp_path, HANDMADE, lambda k: k["fabric"][0].update(name="Quay")) == [
        (['name = "Harbour"   # last of the bolt\n'], ['name = "Quay"   # last of the bolt\n'])
    ]


def test_dotted_keys_and_tables_on_one_line_are_changed_in_place(tmp_path):
    first, *others = save_changed(tmp_path, HANDMADE, lambda k: k["measures"].update(usable_width="40 in"))
    assert first == (["measures.usable_width = '41.5\"'\n"], ["measures.usable_width = '40 in'\n"])
    assert others == 4 * [([], ['width = "41 1/2 in"\n'])], "fabrics keep the width that they had from the study"
    assert save_changed(tmp_path, HANDMADE, lambda k: k["measures"].update(seam_allowance="3/8 in")) == [
        ([], ['measures.seam_allowance = "3/8 in"\n'])
    ]
    ((taken, put),) = save_changed(tmp_path, HANDMADE, lambda k: k["design"]["border"][1].update(finished="4 in"))
    assert put == [taken[0].replace('finished="3 in"', 'finished="4 in"')]


def test_a_list_of_several_lines_keeps_its_lines_and_their_comments(tmp_path):
    changes = save_changed(tmp_path, HANDMADE, lambda k: k["colouring"].update(set_aside=["Shell", "Fog"]))
    assert changes == [(['    "Kelp",   # until autumn\n'], ['    "Fog",   # until autumn\n'])]


def test_a_removed_key_takes_its_line_and_an_added_one_goes_where_its_table_is(tmp_path):
    assert save_changed(tmp_path, HANDMADE, lambda k: k["design"].pop("columns")) == [(["columns = 5\n"], [])]
    ((taken, put),) = save_changed(tmp_path, HANDMADE, lambda k: k["fabric"][1].update(price=11.5))
    assert (taken, put) == ([], ["price = 11.5\n"])
    text = (tmp_path / "landing.toml").read_text(encoding="utf-8")
    assert 'colour = "#dfe6ea"\nprice = 11.5\n\n# ask about the dye lot\n' in text


def test_a_fabric_that_goes_takes_its_comment_and_leaves_those_of_the_others(tmp_path):
    extra = '# bought in May\n[[fabric]]\nslot = "foam"\nname = "Surf"\ncolour = "#eef2f4"\n\n'
    text = HANDMADE.replace("# ask about", extra + "# ask about")
    ((taken, put),) = save_changed(tmp_path, text, lambda k: k["fabric"].pop(2))
    assert put == []
    assert (tmp_path / "landing.toml").read_text(encoding="utf-8") == HANDMADE
    assert sorted(taken) == sorted(extra.splitlines(keepends=True))


def test_fabrics_in_another_order_keep_their_comments(tmp_path):
    save_changed(tmp_path, HANDMADE, lambda k: k["fabric"].reverse())
    text = (tmp_path / "landing.toml").read_text(encoding="utf-8")
    assert "# the good blue\n[[fabric]]\n" in text
    assert text.index("# ask about the dye lot") < text.index("# bought in May") < text.index("# the good blue")
    assert sorted(text.split()) == sorted(HANDMADE.split())


def test_a_new_table_is_written_and_taken_away_again(tmp_path):
    save_changed(tmp_path, HANDMADE, lambda k: k.update(sewing={"pressing": "open"}))
    longer = (tmp_path / "landing.toml").read_text(encoding="utf-8")
    assert '\n[sewing]\npressing = "open"' in longer
    assert all(not taken for taken, _ in list_changes(HANDMADE + "\n", longer + "\n"))


@pytest.mark.parametrize("mark", ["", "\ufeff"])
@pytest.mark.parametrize("ends", ["\n", "\r\n"])
@pytest.mark.parametrize("last", ["", "\n", "\n\n# really the end\n"])
def test_line_ends_the_last_line_and_a_byte_order_mark_survive(tmp_path, mark, ends, last):
    text = mark + (HANDMADE + last).replace("\n", ends)
    assert save_changed(tmp_path, text, lambda _: None) == []
    ((taken, put),) = save_changed(tmp_path, text, lambda k: k.update(seed=5))
    assert (taken, put) == ([f'"seed"=3{ends}'], [f'"seed"=5{ends}'])


def test_a_default_that_another_key_changes_is_written_down(tmp_path):
    save_changed(tmp_path, HANDMADE, lambda k: k["measures"].update(system="metric"))
    text = (tmp_path / "landing.toml").read_text(encoding="utf-8")
    assert "# bought in May" in text
    assert 'measures.system = "metric"' in text


def test_a_file_that_holds_another_study_or_none_is_written_plainly(tmp_path):
    study = open_study("data/studies/tideline.toml")
    path = tmp_path / "landing.toml"
    for text in (HANDMADE, "old", "[tool]\nname = 'else'\n", "\xff\xfe"):
        path.write_text(text, encoding="latin-1")
        save_study(study, path)
        assert path.read_text(encoding="utf-8") == write_study(study)


def test_a_save_that_fails_leaves_the_file_whole(tmp_path, monkeypatch):
    path = tmp_path / "landing.toml"
    path.write_text(HANDMADE, encoding="utf-8")
    changed = change(open_study(path), lambda k: k.update(seed=8))

    def fail(*_):
        raise OSError(28, os.strerror(28))

    monkeypatch.setattr(Path, "replace", fail)
    with pytest.raises(Exception, match="cannot be written"):
        save_study(changed, path)
    assert path.read_text(encoding="utf-8") == HANDMADE


@SOME
@given(studies(), studies(), st.booleans())
def test_any_study_saved_over_any_other_of_its_title_reads_back_the_same(tmp_path_factory, one, other, dos):
    path = tmp_path_factory.mktemp("saved") / "study.toml"
    first, second = study_from_keys(one), study_from_keys({**other, "title": one["title"]})
    text = write_study(first)
    path.write_bytes((text.replace("\n", "\r\n") if dos else text).encode())
    for study in (second, first):
        save_study(study, path)
        assert read_study(path.read_bytes().decode()) == study


@SOME
@given(studies(), studies(), st.data())
def test_some_keys_changed_change_no_line_of_the_others(tmp_path_factory, one, other, data):
    first = study_from_keys(one)
    mine, theirs = study_keys(first), study_keys(study_from_keys(other))
    changed = {key: theirs[key] for key in ("seed", "edition", "sewing", "quilting", "cutting") if key in theirs}
    taken = data.draw(st.sets(st.sampled_from(sorted(changed))) if changed else st.just(set()))
    study = study_from_keys({**mine, **{key: changed[key] for key in taken}})
    text = "".join(f"# note {i}\n{line}" for i, line in enumerate(write_study(first).splitlines(keepends=True)))
    path = tmp_path_factory.mktemp("saved") / "study.toml"
    path.write_text(text, encoding="utf-8")
    if read_study(text) != first:  # a value over several lines took a note into it
        return
    save_study(study, path)
    after = path.read_text(encoding="utf-8")
    assert read_study(after) == study
    design = text[text.index("\n[design]") :].partition("\n[[fabric]]")[0].rpartition("\n#")[0]
    assert design in after
