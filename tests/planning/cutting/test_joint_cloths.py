"""One cloth in several parts of a design, prints that are not told apart, and packs: counted by hand."""

from dataclasses import replace

import pytest

from kit.buying_ways import compare_buying
from kit.checks.cutting_check import check_cutting_plan
from kit.checks.cutting_words_check import check_cutting_words
from kit.errors import CheckError
from kit.output.tables import shopping
from kit.output.words.buying_words import say_buying
from kit.output.words.cutting_words import list_cutting
from kit.output.words.printed_words import print_cutting
from kit.pipeline import make_pattern, make_sketch
from kit.study import read_study

BOXES = """title = "Net store"
[measures]
system = "{system}"
[design]
family = "grid blocks"
columns = 4
rows = 5
cell_finished = "4 in"
pattern = ["box"]
[[design.border]]
finished = "2 in"
slot = "edge"
"""
TWO = """[[fabric]]
slot = "box"
name = "Fog"
colour = "#dfe6ea"
{root}
[[fabric]]
slot = "edge"
name = "Fog edge"
colour = "#dfe6ea"
{own}
"""


def make(own, root="", system="inch"):
    return make_sketch(read_study(BOXES.format(system=system) + TWO.format(own=own, root=root)), "steady")


def test_a_fabric_in_two_parts_is_one_cloth_with_one_total():
    # Derived: 20 squares of 4 1/2 in fill two strips of 40 in and two more pieces of a third; the four border strips of
    # 2 1/2 in are cut in the same plan. Apart each has an inch for squaring up and a margin of at least one.
    apart, joint = make(""), make('cloth = "Fog"')
    assert [plan.supply.fabric for plan in joint.cutting.cloths] == ["Fog"]
    (plan,) = joint.cutting.cloths
    assert plan.supply.shares == ("Fog edge",)
    assert sum(cut.count for strip in plan.strips for cut in strip.cuts) == 20 + 4
    bought = sum(one.as_bought for one in apart.cutting.cloths)
    assert plan.as_bought < bought - 1
    check_cutting_plan(joint.making.cut_list, joint.cutting)
    check_cutting_words(print_cutting(joint))
    assert [lines.fabric for lines in list_cutting(joint)] == ["Fog"]
    table = shopping(joint)
    assert list(table["Buy"])[1] == "cut with Fog"
    assert "box, edge: " in say_buying(compare_buying(joint)[0])


@pytest.mark.parametrize("way", ["", "one_way = true", 'repeat = "9 in"', 'repeat = "9 in"\nstack = 4'])
@pytest.mark.parametrize("system", ["inch", "metric"])
def test_what_is_told_of_a_cloth_holds_for_all_its_parts(way, system):
    joint = make('cloth = "Fog"', way, system)
    check_cutting_plan(joint.making.cut_list, joint.cutting)
    check_cutting_words(print_cutting(joint))


def test_a_plan_that_forgets_a_part_is_refused():
    joint = make('cloth = "Fog"')
    (plan,) = joint.cutting.cloths
    lone = replace(joint.cutting, cloths=(replace(plan, supply=replace(plan.supply, shares=())),))
    with pytest.raises((CheckError, KeyError), match=r"edge|not a piece"):
        check_cutting_plan(joint.making.cut_list, lone)


def scraps(joint):
    rows = [
        f'[[fabric]]\nslot = "box"\nname = "{name}"\ncolour = "{colour}"\n'
        + ('cloth = "Fog"\n' if joint and name != "Fog" else 'form = "strips"\nwidth = "4 1/2 in"\n')
        for name, colour in (("Fog", "#dfe6ea"), ("Kelp", "#224422"), ("Rust", "#882211"))
    ]
    edge = '[[fabric]]\nslot = "edge"\nname = "Foam"\ncolour = "#eeeeee"\n'
    return make_sketch(read_study(BOXES.format(system="inch") + "".join(rows) + edge), "steady")


def test_prints_of_a_part_can_be_cut_as_one_pile_of_strips():
    # Derived: eight squares of 4 1/2 in to a strip of 40 in; twenty take three strips, or one and more of each print.
    told, pile = scraps(joint=False), scraps(joint=True)
    lines = {one.fabric: one for one in list_cutting(pile)}
    assert set(lines) == {"Fog", "Foam"}
    (first,) = lines["Fog"].first_cuts
    assert first.text.replace("\u00a0", " ") == "Take (3) strips 4½ in wide."
    assert [sub.gives for sub in first.sub_cuts] == [20]
    assert len(list_cutting(told)) == 4
    assert len(set(pile.colouring.assignment.values())) == 4
    check_cutting_plan(pile.making.cut_list, pile.cutting)


# Packs

PACK = """[[pack]]
name = "Shore pack"
slots = ["box"]
form = "squares"
width = "5 in"
count = {count}
prints = 9
set_aside = {aside}
price = 12.5
{more}
[[fabric]]
slot = "edge"
name = "Foam"
colour = "#eeeeee"
"""


def pack(count=12, aside=2, more=""):
    return read_study(BOXES.format(system="inch") + PACK.format(count=count, aside=aside, more=more))


@pytest.mark.parametrize(("count", "aside", "packs"), [(12, 2, 2), (12, 0, 2), (20, 0, 1), (20, 1, 2), (9, 5, 5)])
def test_a_pack_is_one_purchase_of_as_many_as_suffice(count, aside, packs):
    # Derived: twenty squares of 4 1/2 in take a square of 5 in each; what is set aside of every pack does not count.
    assert packs == -(-20 // (count - aside))
    pattern = make_pattern(pack(count, aside))
    row = shopping(pattern).set_index("Fabric").loc["Shore pack"]
    assert row["Cost"] == packs * 12.5
    assert f"{packs} pack" in row["Buy"]
    assert f"of {count} squares" in row["Buy"]
    assert "9 prints" in row["Buy"]
    bought = [one for one in pattern.finishing.cost.purchases if one.name == "Shore pack"]
    assert [(one.quantity, one.price) for one in bought] == [(packs, 12.5)]


def test_packs_on_hand_that_do_not_suffice_leave_pieces_short():
    # Two packs of 12, of which two are set aside: 20 squares, enough; of three set aside: 18, two short.
    assert not make_sketch(pack(12, 2, "packs = 2")).cutting.short
    short = make_sketch(pack(12, 3, "packs = 2")).cutting.cloths[0].short
    assert sum(short.values()) == 2


def test_a_pack_may_fill_several_parts():
    text = BOXES.format(system="inch") + PACK.format(count=42, aside=0, more="").replace('["box"]', '["box", "edge"]')
    study = read_study(text.split("[[fabric]]")[0])
    assert [(one.name, one.slot, one.cloth) for one in study.fabrics] == [
        ("Shore pack", "box", None),
        ("Shore pack, edge", "edge", "Shore pack"),
    ]


def test_alternatives_stand_in_one_line():
    (box, _) = compare_buying(make_sketch(pack()))
    said = say_buying(box).replace("\u00a0", " ")
    assert said.startswith("box: 2 packs of 12 squares of 5 in, 9 prints (20 cut; 2 of each set aside, too like")
    assert ", or " in said
    assert said.endswith(" yd, 40 in wide")
