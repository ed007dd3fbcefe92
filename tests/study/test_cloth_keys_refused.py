"""Every key of packs, of prints and of the stash, wrong in the ways in which a hand gets it wrong: refused well."""

import pytest

from kit.errors import KitError, StudyError
from kit.model.fabrics import Fabric, Supply
from kit.model.packs import ClothPack
from kit.study import open_study, read_study, study_from_keys, study_keys, write_study
from kit.study.pack_keys import PackKeys, describe_pack_keys
from kit.study.stash_file import StashClothKeys, StashFileKeys, read_stash
from kit.study.tables import FabricKeys, StashKeys

TOP = """title = "Net store"
{table}
[design]
family = "grid blocks"
columns = 4
rows = 5
cell_finished = "4 in"
pattern = ["box"]
"""
FABRIC = {"slot": '"box"', "name": '"Kelp"', "colour": '"#4c6b4f"'}
PACK = {"name": '"Roll"', "slots": '["box"]', "form": '"squares"', "width": '"5 in"', "count": "42"}
CLOTH = {"name": '"Kelp"', "colour": '"#4c6b4f"', "form": '"strips"', "width": '"2 1/2 in"', "count": "9"}
REPEAT = {"repeat": '"12 in"'}


def write(kind, usual, keys):
    return f"[[{kind}]]\n" + "".join(f"{k} = {v}\n" for k, v in {**usual, **keys}.items() if v is not None)


PRINTS = {
    "repeat": [{"repeat": "12"}, {"repeat": '"12"'}, {"repeat": '"0 in"'}, {"repeat": '"-3 in"'}],
    "repeat_across": [
        {"repeat_across": "7", **REPEAT}, {"repeat_across": '"7 in"'}, {"repeat_across": '"0 in"', **REPEAT},
    ],
    "motif_along": [
        {"motif_along": '"3 in"'}, {"motif_along": '"12 in"', **REPEAT}, {"motif_along": "3", **REPEAT},
        {"motif_along": '"3 in"', "stripes": '"along"', **REPEAT}, {"motif_along": '"-1 in"', **REPEAT},
    ],
    "motif_across": [
        {"motif_across": '"3 in"'}, {"motif_across": '"8 in"', "repeat_across": '"7 in"', **REPEAT},
        {"motif_across": '"3 in"', "stripes": '"across"', **REPEAT}, {"motif_across": "true", **REPEAT},
    ],
    "stripes": [{"stripes": '"lengthwise"'}, {"stripes": "true"}, {"stripes": '""'}],
    "stack": [
        {"stack": "6"}, {"stack": "1", **REPEAT}, {"stack": "13", **REPEAT}, {"stack": '"6"', **REPEAT},
        {"stack": "2.5", **REPEAT}, {"stack": "6", "motif_across": '"3 in"', **REPEAT},
        {"stack": "6", "stripes": '"along"', **REPEAT}, {"stack": "6", "form": '"fat quarter"', **REPEAT},
        {"stack": "true", **REPEAT},
    ],
    "cloth": [
        {"cloth": '"Kelp"'}, {"cloth": '"Fog"'}, {"cloth": "3"}, {"cloth": '""'},
        {"cloth": '"Fog"', "width": '"42 in"'},
    ],
    "picture_width": [{"picture_width": "4"}, {"picture_width": '"0 in"'}, {"picture_width": '"wide"'}],
    "picture_turn": [{"picture_turn": "45"}, {"picture_turn": '"left"'}],
    "picture_mirrored": [{"picture_mirrored": "3"}, {"picture_mirrored": '"yes"'}],
}  # fmt: skip
PACKS = {
    "name": [{"name": None}, {"name": '""'}, {"name": "3"}],
    "slots": [{"slots": None}, {"slots": "[]"}, {"slots": '"box"'}, {"slots": '["box", "box"]'}],
    "form": [{"form": None}, {"form": '"yardage"'}, {"form": '"bolt"'}],
    "width": [{"width": None}, {"width": "5"}, {"width": '"0 in"'}],
    "length": [{"length": '"40 in"'}, {"length": "40", "form": '"strips"'}],
    "count": [{"count": None}, {"count": "0"}, {"count": '"42"'}, {"count": "4.5"}, {"count": "10001"}],
    "prints": [{"prints": "0"}, {"prints": "43"}, {"prints": '"21"'}],
    "set_aside": [{"set_aside": "-1"}, {"set_aside": "42"}, {"set_aside": '"4"'}],
    "packs": [{"packs": "0"}, {"packs": "1.5"}],
    "price": [{"price": "-1"}, {"price": '"18"'}],
    "colour": [{"colour": '"green"'}],
    "one_way": [{"one_way": '"yes"'}],
    "nap": [{"nap": "2"}],
    "shrinkage": [{"shrinkage": "3"}, {"shrinkage": "-0.1"}],
    "washed": [{"washed": '"no"'}],
}
STASH = {
    "name": [{"name": None}, {"name": '""'}], "colour": [{"colour": None}, {"colour": '"green"'}],
    "form": [{"form": None}, {"form": '"bolt"'}], "width": [{"width": "2.5"}, {"width": None}, {"width": '"0 in"'}],
    "length": [{"length": "40"}, {"length": '"9 in"', "form": '"squares"'}], "count": [{"count": "0"}, {"count": None}],
    "weight": [{"weight": '"90"', "count": None}, {"weight": '"90 g"'}], "one_way": [{"one_way": '"yes"'}],
    "nap": [{"nap": "2"}], "shrinkage": [{"shrinkage": "3"}], "washed": [{"washed": '"no"'}],
    "lot": [{"lot": '""'}, {"lot": "3"}],
}  # fmt: skip
SHELF = {
    "system": ['system = "feet"'], "usable_width": ["usable_width = 40", 'usable_width = "0 in"'],
    "grams_per_square_metre": ["grams_per_square_metre = 3", 'grams_per_square_metre = "150"'],
    "cloth": ['cloth = "Kelp"'], "cut": ["cut = 3"],
}  # fmt: skip


def read_well(refused, key):
    """Check that a refusal says what was found, what was needed, and what to do, without a stack of types."""
    said = str(refused.value)
    assert "pydantic" not in said
    found, _, needed = said.partition(" Needed: ")
    assert key in found or key.replace("_", " ") in found, said
    if not needed:  # what was found and what to write in one sentence
        assert ": write " in found, said
        return
    what, _, do = needed.partition(". ")
    assert what
    assert do.endswith((".", "?")), said


def cases(table):
    return [(key, keys) for key, several in table.items() for keys in several]


@pytest.mark.parametrize(("key", "keys"), cases(PRINTS))
def test_a_wrong_key_of_a_print_is_refused(key, keys):
    with pytest.raises(StudyError) as refused:
        read_study(TOP.format(table="") + write("fabric", FABRIC, keys))
    read_well(refused, key)


@pytest.mark.parametrize(("key", "keys"), cases(PACKS))
def test_a_wrong_key_of_a_pack_is_refused(key, keys):
    with pytest.raises(StudyError) as refused:
        read_study(TOP.format(table="") + write("pack", PACK, keys))
    read_well(refused, {"slots": "slot", "prints": "print"}.get(key, key))


@pytest.mark.parametrize(("key", "keys"), cases(STASH))
def test_a_wrong_key_of_a_cloth_on_hand_is_refused(key, keys):
    with pytest.raises(StudyError) as refused:
        read_stash(write("cloth", CLOTH, keys), place="shelf.toml")
    read_well(refused, key)


@pytest.mark.parametrize(("key", "line"), [(key, line) for key, lines in SHELF.items() for line in lines])
def test_a_wrong_key_of_the_stash_file_is_refused(key, line):
    more = "" if key == "cloth" else write("cloth", CLOTH, {})
    with pytest.raises(StudyError) as refused:
        read_stash(line + "\n" + more, place="shelf.toml")
    read_well(refused, key)


@pytest.mark.parametrize("line", ["file = 3", 'file = ""', 'path = "shelf.toml"', "", 'file = "../shelf.toml"'])
def test_a_wrong_table_of_the_stash_is_refused(tmp_path, line):
    (tmp_path / "net.toml").write_text(TOP.format(table=f"[stash]\n{line}") + write("fabric", FABRIC, {"colour": None}))
    with pytest.raises(StudyError) as refused:
        open_study(tmp_path / "net.toml")
    read_well(refused, "stash")


def test_no_key_of_these_tables_is_left_out():
    assert set(PACKS) == set(PackKeys.model_fields) == {name for name, _ in describe_pack_keys()}
    assert set(STASH) == set(StashClothKeys.model_fields)
    assert set(SHELF) == set(StashFileKeys.model_fields)
    assert set(StashKeys.model_fields) == {"file"}
    plain = "slot name colour picture spread form width length count price limit one_way nap shrinkage washed squaring"
    assert set(FabricKeys.model_fields) - {*plain.split(), "margin", "lot"} == set(PRINTS)


@pytest.mark.parametrize(
    ("keys", "says"),
    [({"stack": 6}, "no `repeat`"), ({"repeat": 12, "motif_along": 12}, "in a repeat of 12 in"),
     ({"stripes": "up"}, "stripes `up`"), ({"repeat": 12, "stack": True}, "True layers")],
)  # fmt: skip
def test_the_types_refuse_the_same(keys, says):
    for make in (lambda **k: Fabric("box", "Kelp", "#4c6b4f", **k), lambda **k: Supply("box", **k)):
        with pytest.raises(KitError, match=says):
            make(**keys)


@pytest.mark.parametrize(
    ("keys", "says"),
    [({"prints": 41}, "has 41 prints"), ({"set_aside": 40}, "40 are set aside"), ({"price": -1}, "costs -1")],
)
def test_a_pack_by_hand_is_refused_the_same(keys, says):
    with pytest.raises(KitError, match=says):
        ClothPack("strips", 2.5, 40, **keys)


# What is right reads back

RIGHT = (
    write("fabric", FABRIC, {**REPEAT, "repeat_across": '"7 in"', "motif_along": '"0 in"', "motif_across": '"3 in"'}),
    write("fabric", FABRIC, {**REPEAT, "stack": "6"}),
    write("fabric", FABRIC, {"repeat_across": '"7 in"', "stripes": '"along"'}),
    write("pack", PACK, {"prints": "21", "set_aside": "4", "price": "18.5", "packs": "2", "shrinkage": "0.03"}),
    write("pack", PACK, {"form": '"strips"', "length": '"42 in"', "slots": '["box", "edge"]', "colour": '"#123456"'}),
    write("fabric", FABRIC, {}) + write("fabric", FABRIC, {"name": '"Weed"', "cloth": '"Kelp"', "limit": "9"}),
)


@pytest.mark.parametrize("table", RIGHT)
def test_prints_packs_and_joint_cloths_read_back_as_they_were_written(table):
    study = read_study(TOP.format(table="") + table)
    assert read_study(write_study(study)) == study
    assert study_from_keys(study_keys(study)) == study
